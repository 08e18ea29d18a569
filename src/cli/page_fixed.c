/*
 * page_fixed: the page of outlines that were written. They are read again as the command check
 * would read the file, so that the page shows what a check of it finds, to the last digit, with the
 * same numbers for the pieces.
 */
#include <cli/page.h>

#include <stdlib.h>
#include <string.h>

/* Options that change what a check of outlines of known size finds. */
static bool about_the_cut(const cli_option *option)
{
    static const char *const names[] = {"inch", "tabs", "tab-width"};
    bool named = option->group == GROUP_CUT;
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        named = named || strcmp(option->name, names[i]) == 0;
    }
    return named;
}

/* The request for a check of the file; *texts must be freed. */
static bool request_make(const cli_request *request, const char **name, const char ***texts,
                         cli_request *check)
{
    *texts = nw_alloc(cli_option_count, sizeof **texts);
    for (size_t i = 0; *texts && i < cli_option_count; i++) {
        (*texts)[i] = about_the_cut(&cli_options[i]) ? request->texts[i] : NULL;
    }
    *check = (cli_request){.arts = name,
                           .art_count = 1,
                           .texts = *texts,
                           .inch = request->inch,
                           .rack = request->rack,
                           .bit = request->bit,
                           .neck = request->neck,
                           .stock = request->stock,
                           .blunt = request->blunt,
                           .margin = request->margin,
                           .sheet = request->sheet,
                           .cut = request->cut,
                           .tabs = request->tabs,
                           .tab_width = request->tab_width,
                           .threads = request->threads};
    return *texts != NULL;
}

static nw_status svg_read(const cli_request *check, const nw_text *svg, cli_talk *quiet,
                          cli_art *art, cli_hold *hold, nw_error *error)
{
    nw_bytes bytes = {(uint8_t *)svg->data, svg->length};
    art_wants wants = {.size = true, .region = true, .page = true};
    *art = (cli_art){0};
    nw_status status = art_from_svg(&bytes, check, wants, quiet, art, error);
    if (status == NW_OK) {
        status = nw_drawing_flatten(&art->drawing, NW_FLATNESS_MM, &art->region, error);
    }
    if (status == NW_OK) {
        status = hold_loose(check, &art->region, quiet, &art->notes, hold, error);
    }
    if (status == NW_OK) {
        status = hold_stock(check, &art->drawing, quiet, &art->notes, hold, error);
    }
    return status;
}

/* The file's drawing has its origin in its lower left corner. */
static void behind_set(cli_art *art, const nw_page_picture *behind, const nw_drawing *drawing)
{
    nw_box box = nw_drawing_box(drawing);
    if (behind) {
        art->behind = *behind;
        art->behind.place[4] -= box.min.x;
        art->behind.place[5] -= box.min.y;
    }
}

static nw_status page_make(const cli_request *check, cli_art *art, cli_hold *hold, bool is_file,
                           const nw_change_report *change, nw_text *html, nw_error *error)
{
    nw_report report = {
        .art = check->arts[0], .drawing = &art->drawing, .inch = check->inch, .held = &hold->held};
    cli_talk quiet = {.quiet = true};
    nw_fit_options options = cut_options(check, &report.neck_from_stock);
    nw_fit fit;
    cli_ways found = {{0}, {0}};
    nw_status status = nw_fit_run(&art->region, &options, &fit, error);
    if (status != NW_OK) {
        return status;
    }
    report.fit = &fit;
    status = hold_tabs(check, &art->region, &fit, &quiet, &art->notes, hold, error);
    report.notes = (const char *const *)art->notes.lines;
    report.note_count = art->notes.count;
    if (status == NW_OK) {
        status = ways_find(check, &art->drawing, &art->region, &fit, &found, error);
    }
    if (status == NW_OK) {
        status = page_of_check(check, art, &report, &found, is_file ? "check" : NULL, change, html,
                               error);
        nw_rack_free(&found.rack);
    }
    nw_fit_free(&fit);
    return status;
}

nw_status page_of_outlines(const cli_request *request, const char *name, const nw_text *svg,
                           bool is_file, const nw_change_report *change,
                           const nw_page_picture *behind, nw_text *html, nw_error *error)
{
    const char **texts;
    cli_request check;
    if (!request_make(request, &name, &texts, &check)) {
        return nw_fail_memory(error, "the request");
    }
    cli_talk quiet = {.quiet = true};
    cli_art art;
    cli_hold hold = {.held = {0}};
    nw_status status = svg_read(&check, svg, &quiet, &art, &hold, error);
    if (status == NW_OK) {
        behind_set(&art, behind, &change->widened->drawing);
        status = page_make(&check, &art, &hold, is_file, change, html, error);
        art.behind = (nw_page_picture){.uri = {0}}; /* the caller's */
    }
    hold_free(&hold);
    art_free(&art);
    free(texts);
    return status;
}
