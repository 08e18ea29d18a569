/*
 * page: what page.html is told besides the report: the art, and the command as it was given, so
 * that the page can go on from there.
 */
#include <cli/page.h>

#include <stdlib.h>

/* How a command runs is no matter of the page. */
static size_t options_list(const cli_request *request, nw_page_option *list)
{
    size_t count = 0;
    for (size_t i = 0; i < cli_option_count; i++) {
        const cli_option *option = &cli_options[i];
        if (request->texts[i] && option->group != GROUP_RUN)
            list[count++] =
                (nw_page_option){option->name, option->argument ? request->texts[i] : NULL};
    }
    return count;
}

nw_status page_write(const cli_page *told, nw_text *html, nw_error *error)
{
    const nw_art *art = &told->art->art;
    cli_talk talk = {.quiet = true};
    nw_way_line lines[NW_WAY_LINES] = {{.text = {0}}};
    nw_report of_art = {.art = told->request->arts[0],
                        .drawing = &art->drawing,
                        .pieces = &art->pieces,
                        .unread = art->unread,
                        .sure = art->sure};
    nw_page page = {.report = told->report,
                    .art = &of_art,
                    .widened = told->widened,
                    .rack = &told->found->rack,
                    .ppi = art->own_ppi,
                    .picture = &told->art->behind,
                    .ways = lines,
                    .drawings = {told->drawings[0], told->drawings[1]}};
    nw_page_option *options = nw_alloc(cli_option_count, sizeof *options);
    nw_status status =
        options ? talk_art(&talk, told->request, art, error) : nw_fail_memory(error, "the command");
    if (status == NW_OK && told->found->fit) {
        status = ways_tell(told->judged, told->report->art, NULL, told->found, NULL, lines, error);
        while (page.way_count < NW_WAY_LINES && lines[page.way_count].text.data)
            page.way_count++;
    }
    if (status == NW_OK) {
        page.options = options;
        page.option_count = options_list(told->request, options);
        page.notes = (const char *const *)talk.notes.lines;
        page.weights = talk.notes.weights;
        page.note_count = talk.notes.count;
        status = nw_write_page(&page, html, error);
    }
    nw_ways_lines_free(lines);
    talk_forget(&talk);
    free(options);
    return status;
}

nw_status page_note(cli_talk *talk, nw_error *error)
{
    nw_text line = {0};
    nw_text_add(&line, nw_page_missing());
    return talk_note(talk, NW_WEIGHT_USUAL, &line, error);
}
