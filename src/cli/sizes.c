/* sizes: every size side by side for one bit. */
#include <cli/files.h>
#include <cli/load.h>

enum { SIZES_CSV, SIZES_JSON, SIZES_SVG, FILE_COUNT };

static nw_status files_write(const nw_sizes_report *report, const char *folder, cli_talk *talk,
                             nw_text *text, nw_error *error)
{
    cli_file files[FILE_COUNT] = {
        {.name = "sizes.csv"}, {.name = "sizes.json"}, {.name = "sizes.svg"}};
    nw_status status = nw_write_sizes_csv(report, &files[SIZES_CSV].text, error);
    if (status == NW_OK)
        status = nw_write_sizes_json(report, &files[SIZES_JSON].text, error);
    if (status == NW_OK)
        status = nw_write_sizes_svg(report, &files[SIZES_SVG].text, error);
    if (status == NW_OK)
        status = files_save(report->art, folder, files, FILE_COUNT, talk, text, error);
    files_free(files, FILE_COUNT);
    return status;
}

static nw_status output_make(const cli_request *request, const nw_sizes_report *report, bool colour,
                             nw_text *text, nw_error *error)
{
    if (request->json)
        return nw_write_sizes_json(report, text, error);
    if (request->csv)
        return nw_write_sizes_csv(report, text, error);
    if (request->quiet)
        return NW_OK;
    nw_status status = nw_write_sizes_table(report, colour, text, error);
    nw_text_add(text, "\n");
    add_written(text, request->output);
    return status;
}

static nw_status sizes_deliver(const cli_request *request, const nw_art *art, const nw_sizes *sizes,
                               cli_talk *talk, nw_error *error)
{
    nw_sizes_report report = {request->arts[0], &art->drawing, sizes, art->unread, request->inch};
    nw_text text = {0};
    nw_status status = output_make(request, &report, talk->colour, &text, error);
    talk_clear(talk);
    if (status == NW_OK)
        status = files_write(&report, request->output, talk, &text, error);
    nw_text_free(&text);
    return status;
}

nw_status sizes_run(const cli_request *request, cli_talk *talk, exit_code *exit, nw_error *error)
{
    cli_art art = {.art = {.sized = false}};
    nw_sizes sizes = {0};
    nw_status status = list_check(request, error);
    if (status == NW_OK)
        status = cut_check(request, error);
    if (status == NW_OK) {
        status = art_load(request->arts[0], request, (art_wants){.size = true, .region = true},
                          talk, &art, error);
    }
    if (status == NW_OK) {
        nw_fit_options options = nw_job_fit_options(&request->job);
        options.neck = request->job.neck;
        options.progress = talk_progress;
        options.progress_context = talk;
        status = nw_sizes_compare(&art.art.drawing, &art.art.region, &options, request->job.stock,
                                  &sizes, error);
    }
    if (status == NW_OK)
        status = sizes_deliver(request, &art.art, &sizes, talk, error);
    *exit =
        sizes.smallest < sizes.count && !nw_unread_count(&art.art.unread) ? EXIT_FITS : EXIT_SPOTS;
    nw_sizes_free(&sizes);
    art_free(&art);
    return status;
}
