/*
 * The whole check, picture to files, against reading and tracing the same picture with libpng and
 * libpotrace alone: processor time as a ratio, and peak memory per pixel. Both run as processes of
 * their own.
 *
 * usage: bench_whole NARROWS PLAIN FOLDER
 */
#include "pictures.h"

#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

typedef struct {
    double seconds; /* spent, of the shortest run */
    double peak;    /* bytes */
    int status;
} run;

static run run_once(char *const arguments[])
{
    pid_t child = fork();
    if (child == 0) {
        int nowhere = open("/dev/null", O_WRONLY);
        dup2(nowhere, STDOUT_FILENO);
        dup2(nowhere, STDERR_FILENO);
        execv(arguments[0], arguments);
        _exit(127);
    }
    int status = -1;
    struct rusage usage = {0};
    wait4(child, &status, 0, &usage);
    struct timeval user = usage.ru_utime, system = usage.ru_stime;
    double spent =
        (double)(user.tv_sec + system.tv_sec) + 1e-6 * (double)(user.tv_usec + system.tv_usec);
    run r = {spent, (double)usage.ru_maxrss * 1024, -1};
    r.status = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
    return r;
}

static run run_best(char *const arguments[], int times)
{
    run best = run_once(arguments);
    for (int i = 1; i < times; i++) {
        run next = run_once(arguments);
        best.seconds = next.seconds < best.seconds ? next.seconds : best.seconds;
        best.peak = next.peak > best.peak ? next.peak : best.peak;
    }
    return best;
}

/* Exit status 1 says that there are spots; more is a failure. */
static int compare(char *narrows, char *plain, const char *folder, uint32_t side, double noise)
{
    char picture[1024], out[1100];
    snprintf(picture, sizeof picture, "%s/bench_%u_%s.png", folder, side,
             noise > 0 ? "scan" : "art");
    snprintf(out, sizeof out, "%s.out", picture);
    uint8_t *grey = picture_make(side, noise);
    if (!grey || !picture_write(picture, grey, side)) {
        fprintf(stderr, "cannot write %s\n", picture);
        free(grey);
        return 1;
    }
    free(grey);
    char *check[] = {narrows,  "check", picture,  "--wide", "120mm", "--bit",
                     "1/16in", "--cut", "inside", "-o",     out,     NULL};
    char *trace[] = {plain, picture, NULL};
    int times = side > 4000 ? 2 : 7;
    run whole = run_best(check, times), bare = run_best(trace, times);
    if (whole.status < 0 || whole.status > 1 || bare.status != 0) {
        fprintf(stderr, "%s: check ended with %d, plain with %d\n", picture, whole.status,
                bare.status);
        return 1;
    }
    double pixels = (double)side * side;
    printf("%6.1f Mpx %-5s check / plain %6.2f   peak memory %6.2f bytes a pixel (plain %5.2f)\n",
           pixels / 1e6, noise > 0 ? "scan" : "art", whole.seconds / bare.seconds,
           whole.peak / pixels, bare.peak / pixels);
    remove(picture);
    return 0;
}

int main(int count, char **arguments)
{
    if (count != 4) {
        fputs("usage: bench_whole NARROWS PLAIN FOLDER\n", stderr);
        return EXIT_FAILURE;
    }
    setvbuf(stdout, NULL, _IOLBF, 0);
    const uint32_t sides[] = {1000, 8000};
    int failed = 0;
    for (int i = 0; i < 4; i++)
        failed |= compare(arguments[1], arguments[2], arguments[3], sides[i / 2], i % 2 ? 0.5 : 0);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
