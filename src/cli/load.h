/* load: art as the request asks for it, and what holds it when it is cut (load.c, hold_words.c).
 * Internal to cli. */
#ifndef NARROWS_CLI_LOAD_H
#define NARROWS_CLI_LOAD_H

#include <cli/request.h>
#include <report/report.h>

typedef struct {
    nw_art art;
    nw_page_picture behind; /* the art's own file, when a page is wanted */
} cli_art;

typedef struct {
    bool size;   /* refuse art without a size; else it stays in pixels */
    bool rest;   /* also give what was dropped */
    bool region; /* also flatten */
    bool page;   /* also what page.html needs besides */
} art_wants;

/* Notes what was decided and dropped. */
nw_status art_load(const char *path, const cli_request *request, art_wants wants, cli_talk *talk,
                   cli_art *art, nw_error *error);

/* Says what was decided; on failure, status, as far as it went, and nothing is left of the art. */
nw_status art_notes(const cli_request *request, nw_status status, cli_talk *talk, cli_art *art,
                    nw_error *error);
void art_free(cli_art *art);

/* Puts the library's advice into the message, in terms of options (advice_words.c). */
nw_status advice_add(nw_status status, nw_error *error);

/* ---- the request as a whole (request_check.c) ------------------------------------------------ */

/* Refuses a request that does not say how the art is cut and with what. */
nw_status cut_check(const cli_request *request, nw_error *error);

/* Refuses two lists on one standard output. */
nw_status list_check(const cli_request *request, nw_error *error);

/* Refuses options about bridges and tabs that make no sense together. */
nw_status hold_check(const cli_request *request, nw_error *error);

/* ---- what comes loose, and what holds it (hold_words.c, sheet_words.c) ------------------------
 */

/* What comes loose and what holds it, and the same for the reports, which points into it: so it
 * must not be moved. Start from {0}; free its hold. */
typedef struct {
    nw_hold hold;
    nw_point origin;
    nw_held held;
} cli_hold;

/* Finds what comes loose when the region is cut, and says so where nothing is asked to hold it. */
nw_status hold_loose(const cli_request *request, const nw_region *region, cli_talk *talk,
                     cli_hold *hold, nw_error *error);

/* Says which bridges there are and what has none. */
nw_status hold_bridges_note(const cli_request *request, cli_talk *talk, cli_hold *hold,
                            nw_error *error);

/* Adds the bridges that were asked for to the drawing, and says so. */
nw_status hold_bridge(const cli_request *request, cli_talk *talk, nw_drawing *drawing,
                      cli_hold *hold, nw_error *error);

/* The tabs that were asked for, and a line about them. */
nw_status hold_tabs(const cli_request *request, const nw_region *region, const nw_fit *fit,
                    cli_talk *talk, cli_hold *hold, nw_error *error);

/* Says how much stock the drawing needs; refuses a sheet that is smaller. Also notes where written
 * drawings have their origin. */
nw_status hold_stock(const cli_request *request, const nw_drawing *drawing, cli_talk *talk,
                     cli_hold *hold, nw_error *error);

/* The same of what widening made of a drawing for which the sheet was large enough: one that is now
 * too small is said, not refused. */
nw_status hold_stock_grown(const cli_request *request, const nw_drawing *drawing, cli_talk *talk,
                           cli_hold *hold, bool *holds, nw_error *error);

/* Where --origin puts the origin of written drawings, from the art's lower left corner. */
nw_point origin_place(const cli_request *request, const nw_drawing *drawing);

#endif
