/*
 * Writes one of the program's files for a drawing made by hand, so that other people's readers can
 * judge it: report_files KIND WIDTH HEIGHT BIT SPOTS, to standard output.
 */
#include "../report_sample.h"

#include <report/report.h>

#include <stdio.h>
#include <string.h>

static nw_status write_kind(const char *kind, const nw_report *report, nw_text *text,
                            nw_error *error)
{
    nw_drawing tracks = {0};
    nw_path track = {.start = {1, 2}};
    nw_status status = NW_INTERNAL;
    if (!nw_path_line(&track, (nw_point){3, 4}) ||
        !nw_path_arc(&track, (nw_point){4, 4}, (nw_point){5, 4}, true) ||
        !nw_drawing_add(&tracks, &track))
        nw_path_free(&track);
    nw_layer layers[] = {{"outline", report->drawing, NULL, true},
                         {"track", &tracks, "#0072b2", false}};
    if (!strcmp(kind, "svg"))
        status = nw_write_svg(layers, 2, report->art, NULL, text, error);
    else if (!strcmp(kind, "dxf"))
        status = nw_write_dxf(layers, 2, NULL, text, error);
    else if (!strcmp(kind, "marked"))
        status = nw_write_marked(report, text, NULL, error);
    else if (!strcmp(kind, "details")) {
        nw_text first;
        status = nw_write_marked(report, &first, text, error);
        nw_text_free(&first);
    } else if (!strcmp(kind, "csv"))
        status = nw_write_spots_csv(report, text, error);
    else if (!strcmp(kind, "json"))
        status = nw_write_spots_json(report, text, error);
    else if (!strcmp(kind, "table"))
        status = nw_write_table(report, false, text, error);
    nw_drawing_free(&tracks);
    return status;
}

int main(int count, char **words)
{
    double sizes[4] = {0};
    const char *end;
    for (int i = 0; i < 4; i++)
        if (count != 6 || !nw_number_read(words[i + 2], &sizes[i], &end))
            return 2;
    nw_drawing drawing;
    nw_fit fit;
    sample_drawing(sizes[0], sizes[1], &drawing);
    sample_fit(sizes[0], sizes[1], sizes[2], (size_t)sizes[3], &fit);
    const char *notes[] = {"12 specks were dropped; --dirt 0 keeps them"};
    nw_report report = {.art = "a <b> & \"c\".png",
                        .drawing = &drawing,
                        .fit = &fit,
                        .notes = notes,
                        .note_count = 1};
    nw_text text = {0};
    nw_error error = {0};
    nw_status status = write_kind(words[1], &report, &text, &error);
    if (status == NW_OK)
        fwrite(text.data, 1, text.length, stdout);
    else
        fprintf(stderr, "%s\n", error.message);
    nw_text_free(&text);
    sample_fit_free(&fit);
    nw_drawing_free(&drawing);
    return status == NW_OK ? 0 : 1;
}
