/*
 * marked.pdf's share of a check: processor time that making it takes, of all that the command takes
 * with the same sample and options. It is to be 5 % at most.
 *
 * usage: bench_pdf NARROWS SAMPLES FOLDER    the folder of the samples and their list; and one for
 *                                            what the command writes
 */
#include "bench.h"
#include "pictures.h"
#include "shapes.h"

#include <math.h>
#include <report/report.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>

static void make_pdf(void *context)
{
    size_t sheets;
    nw_text pdf;
    if (nw_write_marked_pdf(context, &sheets, &pdf, NULL) != NW_OK || !pdf.length)
        abort();
    nw_text_free(&pdf);
}

/* The length that stands after the option. */
static double length_after(const char *options, const char *option)
{
    char word[40];
    double length = 0;
    const char *at = strstr(options, option);
    if (!at || sscanf(at + strlen(option), "%39s", word) != 1 ||
        nw_length_read(word, &length, NULL) != NW_OK)
        abort();
    return length;
}

static double pdf_seconds(const char *path, const char *options)
{
    nw_drawing drawing;
    nw_region region;
    if (!picture_file_drawing(path, length_after(options, "--wide "), &drawing) ||
        nw_drawing_flatten(&drawing, NW_FLATNESS_MM, &region, NULL) != NW_OK)
        abort();
    nw_fit_options asked = nw_fit_defaults();
    asked.cut = strstr(options, "--cut outside")  ? NW_CUT_OUTSIDE
                : strstr(options, "--cut pocket") ? NW_CUT_POCKET
                                                  : NW_CUT_INSIDE;
    asked.bit = asked.neck = length_after(options, "--bit ");
    asked.with_shapes = true;
    nw_fit fit = shape_fit(&region, &asked);
    nw_report report = {.art = path, .drawing = &drawing, .fit = &fit};
    double seconds = bench_best(make_pdf, &report, BENCH_SPENT);
    nw_fit_free(&fit);
    nw_region_free(&region);
    nw_drawing_free(&drawing);
    return seconds;
}

/* Of the shortest of several runs, on one thread. */
static double check_seconds(const char *narrows, const char *path, const char *options,
                            const char *folder)
{
    char command[4000];
    double best = INFINITY, last = 0;
    snprintf(command, sizeof command, "'%s' check '%s' %s --threads 1 -o '%s' >'%s.txt' 2>&1",
             narrows, path, options, folder, folder);
    for (int i = 0; i < 6; i++) {
        struct rusage usage;
        int status = system(command);
        getrusage(RUSAGE_CHILDREN, &usage);
        double all = (double)(usage.ru_utime.tv_sec + usage.ru_stime.tv_sec) +
                     1e-6 * (double)(usage.ru_utime.tv_usec + usage.ru_stime.tv_usec);
        if (status != 0 && status != 256) /* there are spots: 1 */
            abort();
        best = i ? fmin(best, all - last) : best;
        last = all;
    }
    return best;
}

int main(int count, char **arguments)
{
    char path[1200], folder[1200], line[300];
    double most = 0;
    if (count != 4) {
        fputs("usage: bench_pdf NARROWS SAMPLES FOLDER\n", stderr);
        return EXIT_FAILURE;
    }
    snprintf(path, sizeof path, "%s/list", arguments[2]);
    snprintf(folder, sizeof folder, "%s/bench_pdf", arguments[3]);
    FILE *list = fopen(path, "r");
    while (list && fgets(line, sizeof line, list)) {
        char name[100], options[200];
        if (sscanf(line, "%99s %199[^\n]", name, options) == 2 && *name != '#') {
            snprintf(path, sizeof path, "%s/%s", arguments[2], name);
            double share =
                pdf_seconds(path, options) / check_seconds(arguments[1], path, options, folder);
            most = fmax(most, share);
            printf("%-20s marked.pdf / check %5.1f %%\n", name, 100 * share);
        }
    }
    if (list)
        fclose(list);
    printf("marked.pdf takes at most %.1f %% of a check\n", 100 * most);
    return most > 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
