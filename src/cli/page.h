/* page: what page.html is told of an art and a command (page.c). Internal to cli. */
#ifndef NARROWS_CLI_PAGE_H
#define NARROWS_CLI_PAGE_H

#include <cli/judge_art.h>

typedef struct {
    const cli_request *request; /* what was asked of the art */
    const cli_art *art;
    const char *widened;       /* the folder with what was judged; NULL: that is the art */
    const cli_request *judged; /* what was asked of that */
    const nw_report *report;
    const cli_ways *found;
    const nw_text *drawings[2]; /* for browsers without scripts, the better one first */
} cli_page;

nw_status page_write(const cli_page *told, nw_text *html, nw_error *error);

/* Says that there is no page.html, and why. */
nw_status page_note(cli_talk *talk, nw_error *error);

#endif
