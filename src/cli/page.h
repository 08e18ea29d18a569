/* page: what page.html is told of an art and a command (page.c). Internal to cli. */
#ifndef NARROWS_CLI_PAGE_H
#define NARROWS_CLI_PAGE_H

#include "art.h"
#include "ways.h"

/* Where the picture lies behind the drawing, from what became of one place; needs unit_mm. */
void page_place_set(cli_art *art, const cli_request *request, nw_point before, nw_point after);

/* Finds which piece of the drawing has which number; a traced drawing must still be in pixels. */
nw_status page_numbers_find(cli_art *art, nw_error *error);

/* page.html of a check; tabs may be NULL. */
nw_status page_of_check(const cli_request *request, const cli_art *art, const nw_report *report,
                        const cli_ways *found, const nw_drawing *tabs, nw_text *html,
                        nw_error *error);

/* page.html of outlines that were written at their real size, to the file report->art. */
nw_status page_of_outlines(const cli_request *request, const nw_report *report, nw_text *html,
                           nw_error *error);

#endif
