/* page: what page.html is told of an art and a command (page.c). Internal to cli. */
#ifndef NARROWS_CLI_PAGE_H
#define NARROWS_CLI_PAGE_H

#include <cli/load.h>
#include <cli/ways_print.h>

/* page.html of a check of the art. change (may be NULL): the widening that made it. */
nw_status page_of_check(const cli_request *request, const cli_art *art, const nw_report *report,
                        const cli_ways *found, const nw_change_report *change, nw_text *html,
                        nw_error *error);

/* Says that there is no page.html, and why. */
nw_status page_note(cli_talk *talk, nw_error *error);

#endif
