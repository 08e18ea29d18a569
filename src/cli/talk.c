/*
 * talk: everything that is said. Errors and notes go to standard error, results to standard
 * output; a progress line appears only on a terminal, and only when the work takes a while.
 */
#define _DEFAULT_SOURCE
#include <cli/stop.h>
#include <cli/talk.h>

#include <errno.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <time.h>
#include <unistd.h>

#define PATIENCE_S 0.5 /* no progress line before this */
#define PAUSE_S 0.1    /* between two progress lines */
#define PATIENCE_MS 50 /* with a pipe that is full */
#define PART 4096      /* what every pipe takes that takes anything */
#define COLUMNS 80
#define COLUMNS_LEAST 40 /* terminals narrower than that get longer lines than they are wide */

static double seconds_now(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

/* A terminal that can move its cursor and show colours. */
static bool is_terminal(int descriptor)
{
    const char *kind = getenv("TERM");
    return isatty(descriptor) && kind && *kind && strcmp(kind, "dumb") != 0;
}

void talk_start(cli_talk *talk)
{
    const char *no_colour = getenv("NO_COLOR");
    *talk = (cli_talk){
        .progress = is_terminal(STDERR_FILENO),
        .colour = is_terminal(STDOUT_FILENO) && !(no_colour && *no_colour),
        .started = seconds_now(),
    };
}

void talk_clear(cli_talk *talk)
{
    if (talk->shown) {
        fputs("\r\033[K", stderr);
        talk->shown = false;
    }
}

void talk_progress(void *context, const char *stage, double fraction)
{
    cli_talk *talk = context;
    double now = talk->progress && !talk->quiet ? seconds_now() : 0;
    if (now > talk->started + PATIENCE_S && now > talk->told + PAUSE_S) {
        talk->told = now;
        fprintf(stderr, "\r\033[K%s %d %%", stage, (int)(100 * fraction));
        fflush(stderr);
        talk->shown = true;
    }
}

/* Of standard error; where it is none, those of a plain one. */
static size_t terminal_columns(void)
{
    struct winsize size;
    bool known = ioctl(STDERR_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col >= COLUMNS_LEAST;
    return known ? size.ws_col : COLUMNS;
}

/* With the art that it is about where there are several. */
static void add_about(nw_text *line, const cli_talk *talk, const char *words)
{
    if (talk->about && !strstr(words, talk->about)) {
        nw_text_add(line, "'");
        talk_add_line(line, talk->about);
        nw_text_add(line, "': ");
    }
    nw_text_add(line, words);
}

/* A note, wrapped, on standard error. */
static void say(cli_talk *talk, const char *words)
{
    talk_clear(talk);
    nw_text line = {0}, wrapped = {0};
    add_about(&line, talk, words);
    nw_write_wrapped(&wrapped, "narrows: ", line.data ? line.data : words, terminal_columns());
    fputs(nw_text_string(&wrapped), stderr);
    nw_text_free(&wrapped);
    nw_text_free(&line);
}

/* One line, that of an error which says that there is no memory too. */
void talk_error(cli_talk *talk, const nw_error *error)
{
    talk_clear(talk);
    nw_text line = {0};
    add_about(&line, talk, error->message);
    fprintf(stderr, "narrows: %s\n", line.data && !line.failed ? line.data : error->message);
    nw_text_free(&line);
}

void talk_end(cli_talk *talk)
{
    note_list *notes = &talk->notes;
    size_t told = talk->quiet ? 0 : talk->verbose ? notes->count : notes->plain;
    for (size_t i = 0; i < told; i++)
        say(talk, notes->lines[i]);
    talk_forget(talk);
}

/* In parts that never fill a pipe that takes any, so that a signal is seen. */
static bool print_all(const char *data, size_t length)
{
    struct pollfd out = {.fd = STDOUT_FILENO, .events = POLLOUT};
    while (length) {
        bool ready = poll(&out, 1, PATIENCE_MS) > 0;
        if (stop_asked()) {
            errno = EINTR;
            return false;
        }
        ssize_t put = ready ? write(STDOUT_FILENO, data, length < PART ? length : PART) : 0;
        if (put < 0 && errno != EINTR && errno != EAGAIN)
            return false;
        data += put > 0 ? put : 0;
        length -= put > 0 ? (size_t)put : 0;
    }
    return true;
}

nw_status talk_print(nw_text *text, nw_error *error)
{
    nw_status status = text->failed ? nw_fail_memory(error, "the result") : NW_OK;
    if (status == NW_OK && !print_all(text->data, text->length)) {
        status =
            nw_fail(error, NW_CANNOT_WRITE, "cannot write standard output: %s", strerror(errno));
    }
    nw_text_free(text);
    return status;
}
