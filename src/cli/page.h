/* page: what page.html is told of an art and a command (page.c). Internal to cli. */
#ifndef NARROWS_CLI_PAGE_H
#define NARROWS_CLI_PAGE_H

#include <cli/art.h>
#include <cli/ways_print.h>

/* Where the picture lies behind the drawing, from what became of one place; needs unit_mm. */
void page_place_set(cli_art *art, const cli_request *request, nw_point before, nw_point after);

/* Finds which piece of the drawing has which number; a traced drawing must still be in pixels. */
nw_status page_numbers_find(cli_art *art, nw_error *error);

/* page.html of a check. command: whose options the request's are; NULL: no command makes what the
 * page shows. change (may be NULL): the widening that made the art. */
nw_status page_of_check(const cli_request *request, const cli_art *art, const nw_report *report,
                        const cli_ways *found, const char *command, const nw_change_report *change,
                        nw_text *html, nw_error *error);

/* page.html of outlines at their real size, as a check of the file `name` finds them, whose text is
 * svg; with is_file false that file holds more, which no check takes. change: what made svg's
 * drawing. behind (may be NULL): the picture, as it lies behind that drawing (page_fixed.c). */
nw_status page_of_outlines(const cli_request *request, const char *name, const nw_text *svg,
                           bool is_file, const nw_change_report *change,
                           const nw_page_picture *behind, nw_text *html, nw_error *error);

/* Says that there is no page.html, and why. */
nw_status page_note(cli_talk *talk, note_list *notes, nw_error *error);

#endif
