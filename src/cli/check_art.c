/* check: one art: the list of spots, the marked drawing, the outlines and the page. */
#include <cli/check.h>
#include <cli/files.h>
#include <cli/judge_art.h>
#include <cli/page.h>

#include <string.h>

/* Three may not be there: they are written only where they were built in, or needed. */
enum {
    OUTLINE_SVG,
    OUTLINE_DXF,
    MARKED,
    SPOTS_CSV,
    PAGE,
    MARKED_PDF,
    DETAILS,
    SPOTS_JSON,
    FILE_COUNT
};

static nw_status files_make(const nw_report *report, const cli_request *request,
                            const cli_hold *hold, cli_file *files, nw_error *error)
{
    cli_layers layers;
    nw_status status = layers_make(request, report->drawing, report->fit, hold, &layers, error);
    if (status == NW_OK) {
        status = layers_write_both(&layers, request, report->art, &files[OUTLINE_SVG].text,
                                   &files[OUTLINE_DXF].text, error);
    }
    layers_free(&layers);
    if (status == NW_OK)
        status = nw_write_marked(report, &files[MARKED].text, &files[DETAILS].text, error);
    if (status == NW_OK)
        status = nw_write_spots_csv(report, &files[SPOTS_CSV].text, error);
    if (status == NW_OK)
        status = nw_write_spots_json(report, &files[SPOTS_JSON].text, error);
    return status;
}

static nw_status ways_add(const nw_report *report, const cli_ways *found,
                          const cli_request *request, nw_text *output, nw_error *error)
{
    nw_text ways = {0};
    nw_status status = ways_write(request, report->art, found, &ways, error);
    if (status == NW_OK) {
        nw_text_add(output, "\n");
        nw_text_take(output, &ways, 0);
    }
    return status;
}

/* What goes to standard output; nothing when it is not wanted. */
static nw_status output_make(const nw_report *report, const cli_ways *found,
                             const cli_request *request, bool colour, const char *folder,
                             const nw_text *json, nw_text *output, nw_error *error)
{
    if (request->json) {
        nw_text_add_bytes(output, json->data, json->length);
        return output->failed ? nw_fail_memory(error, "the list") : NW_OK;
    }
    if (request->quiet || request->each)
        return NW_OK;
    nw_status status = nw_write_table(report, colour, output, error);
    if (status == NW_OK && found->fit)
        status = ways_add(report, found, request, output, error);
    nw_text_add(output, "\n");
    nw_write_caution(output);
    add_written(output, folder);
    return status == NW_OK && output->failed ? nw_fail_memory(error, "the table") : status;
}

static nw_status judged_deliver(const cli_judged *judged, const cli_request *request,
                                const cli_art *art, cli_talk *talk, const char *folder,
                                const check_listener *listener, const check_result *result,
                                nw_error *error)
{
    nw_text output = {0};
    cli_file files[FILE_COUNT] = {{.name = "outline.svg"}, {.name = "outline.dxf"},
                                  {.name = "marked.svg"},  {.name = "spots.csv"},
                                  {.name = "page.html"},   {.name = "marked.pdf"},
                                  {.name = "details.svg"}, {.name = CHECK_LAST}};
    nw_report report = judged->report;
    nw_layout *layout;
    nw_status status = nw_layout_find(&report, &layout, error);
    report.layout = layout;
    if (status == NW_OK)
        status = files_make(&report, request, &judged->hold, files, error);
    if (status == NW_OK && nw_page_built()) {
        cli_page page = {request,
                         art,
                         NULL,
                         request,
                         &report,
                         &judged->found,
                         {&files[MARKED].text, &files[OUTLINE_SVG].text}};
        status = page_write(&page, &files[PAGE].text, error);
    }
    if (status == NW_OK)
        status = print_make(&report, "marked.pdf", talk, &files[MARKED_PDF].text, error);
    nw_layout_free(layout);
    if (status == NW_OK)
        status = output_make(&judged->report, &judged->found, request, talk->colour, folder,
                             &files[SPOTS_JSON].text, &output, error);
    if (status == NW_OK && listener) {
        status = listener->tell(listener->context, result, &output, error);
        nw_text_free(&output);
    }
    if (status == NW_OK)
        status = files_save(report.art, folder, files, FILE_COUNT, talk, &output, error);
    nw_text_free(&output);
    files_free(files, FILE_COUNT);
    return status;
}

static check_result result_of(const nw_report *report)
{
    const nw_drawing *drawing = report->drawing;
    const nw_fit *fit = report->fit;
    size_t unread = nw_unread_count(&report->unread);
    check_result result = {.fits = nw_report_rest_fits(report),
                           .unread = unread,
                           .width = drawing->width,
                           .height = drawing->height,
                           .narrowest_gap = fit->narrowest_gap,
                           .narrowest_neck = fit->narrowest_neck};
    for (size_t i = 0; i < fit->spot_count; i++) {
        result.gaps += fit->spots[i].side == NW_GAP;
        result.necks += fit->spots[i].side == NW_NECK;
    }
    return result;
}

/* The cheapest way out, where there is one and it is no longer than the result has room for. */
static nw_status way_take(const cli_judged *judged, const char *path, const cli_request *request,
                          check_result *result, nw_error *error)
{
    nw_way_line lines[NW_WAY_LINES];
    if (!judged->found.fit)
        return NW_OK;
    nw_status status = ways_tell(request, path, NULL, &judged->found, NULL, lines, error);
    const char *words = status == NW_OK && lines[0].open ? lines[0].text.data : NULL;
    if (words && strlen(words) < sizeof result->way)
        memcpy(result->way, words, strlen(words));
    if (status == NW_OK)
        nw_ways_lines_free(lines);
    return status;
}

nw_status check_one(const char *path, const char *folder, const cli_request *request,
                    cli_talk *talk, const check_listener *listener, check_result *result,
                    nw_error *error)
{
    cli_art art;
    art_wants wants = {.size = true, .region = true, .page = nw_page_built()};
    nw_status status = art_load(path, request, wants, talk, &art, error);
    if (status != NW_OK)
        return status;
    cli_judged judged;
    if (!nw_page_built())
        status = page_note(talk, error);
    if (status == NW_OK)
        status = art_judge(path, request, &art, talk, &judged, error);
    if (status == NW_OK) {
        *result = result_of(&judged.report);
        if (listener)
            status = way_take(&judged, path, request, result, error);
        if (status == NW_OK)
            status = judged_deliver(&judged, request, &art, talk, folder, listener, result, error);
        judged_free(&judged);
    }
    art_free(&art);
    return status;
}
