/*
 * page: what page.html is told besides the report: the command as it was given, so that the page
 * can show the one for what its reader changes, and the ways out.
 */
#include <cli/page.h>

#include <stdlib.h>

static size_t options_list(const cli_request *request, nw_page_words *list)
{
    size_t count = 0;
    for (size_t i = 0; i < cli_option_count; i++) {
        const cli_option *option = &cli_options[i];
        if (request->texts[i] && option->group != GROUP_RUN && option->commands & CHECK) {
            list[count++] =
                (nw_page_words){option->name, option->argument ? request->texts[i] : NULL};
        }
    }
    return count;
}

/* Fills in what the request says and what is to be known of the art, and writes. */
static nw_status page_finish(nw_page *page, const cli_request *request, const nw_art *art,
                             nw_text *html, nw_error *error)
{
    cli_talk told = {.quiet = true};
    nw_page_words *options = nw_alloc(cli_option_count, sizeof *options);
    nw_status status =
        options ? talk_art(&told, request, art, error) : nw_fail_memory(error, "the command");
    if (status == NW_OK) {
        page->options = options;
        page->option_count = options_list(request, options);
        page->notes = (const char *const *)told.notes.lines;
        page->weights = told.notes.weights;
        page->note_count = told.notes.count;
        page->stock = request->job.stock;
        status = nw_write_page(page, html, error);
    }
    talk_forget(&told);
    free(options);
    return status;
}

nw_status page_of_check(const cli_request *request, const cli_art *art, const nw_report *report,
                        const cli_ways *found, const nw_change_report *change, nw_text *html,
                        nw_error *error)
{
    nw_way_line lines[NW_WAY_LINES] = {{.text = {0}}};
    nw_page_words ways[NW_WAY_LINES];
    nw_page page = {.report = report,
                    .command = "check",
                    .rack = &found->rack,
                    .ways = ways,
                    .change = change,
                    .drawing = &art->art.drawing,
                    .picture = &art->behind};
    nw_status status = NW_OK;
    if (found->fit) {
        status = ways_lines(request, report->art, found, lines, error);
        page.way_count = NW_WAY_LINES;
    }
    for (size_t i = 0; i < page.way_count && status == NW_OK; i++)
        ways[i] = (nw_page_words){lines[i].text.data, lines[i].command.data};
    if (status == NW_OK)
        status = page_finish(&page, request, &art->art, html, error);
    nw_ways_lines_free(lines);
    return status;
}

nw_status page_note(cli_talk *talk, nw_error *error)
{
    nw_text line = {0};
    nw_text_add(&line, nw_page_missing());
    return talk_note(talk, NW_WEIGHT_USUAL, &line, error);
}
