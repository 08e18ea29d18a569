/* ways: the rack, and the ways out with the commands that they name (ways_print.c, ways_told.c).
 * Internal to cli. */
#ifndef NARROWS_CLI_WAYS_H
#define NARROWS_CLI_WAYS_H

#include <cli/request.h>
#include <report/report.h>

/* The rack at --rack, else the user's own, else the built-in one; name (may be NULL) says which. */
nw_status rack_load(const cli_request *request, nw_rack *rack, nw_text *name, nw_error *error);

/* The rack, and the ways out of a fit that fails or the room that there is; free the rack. */
typedef struct {
    nw_rack rack;
    nw_ways ways;
    const nw_fit *fit; /* NULL: there are no ways to tell */
} cli_ways;

nw_status ways_find(const cli_request *request, const nw_art *art, const nw_fit *fit,
                    cli_ways *found, nw_error *error);
/* Adds to them what a caption or dust less would do, unless the user has said what stays. */
nw_status ways_less(const cli_request *request, const nw_drawing *drawing, const nw_pieces *pieces,
                    cli_ways *found, nw_error *error);

/* As a paragraph, or NULL one by one, with the user's words in the commands that they name. Those
 * repeat the folder, or NULL none: files must not depend on where they are written. ways_write:
 * the paragraph with the folder that was asked for. */
nw_status ways_write(const cli_request *request, const char *path, const cli_ways *found,
                     nw_text *text, nw_error *error);
nw_status ways_tell(const cli_request *request, const char *path, const char *folder,
                    const cli_ways *found, nw_text *paragraph, nw_way_line *lines, nw_error *error);

#endif
