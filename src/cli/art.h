/*
 * art: the way from ART to a drawing at its real size, which all commands share; and what holds its
 * pieces and its sheet (hold.c, sheet.c). Internal to cli.
 */
#ifndef NARROWS_CLI_ART_H
#define NARROWS_CLI_ART_H

#include <cli/request.h>
#include <report/report.h>

typedef struct {
    bool picture;           /* the art is a picture, not an SVG drawing */
    double own_ppi;         /* what the picture states, or 0 */
    bool own_size;          /* the SVG drawing states its size */
    bool sized;             /* unit_mm is a real size, not 1 for want of one */
    double unit_mm;         /* millimetres per pixel; for SVG per millimetre as read */
    nw_box page;            /* the picture in pixels */
    nw_pieces pieces;       /* all that were found, in pixels; for SVG in millimetres as read */
    nw_drawing drawing;     /* the kept art at its real size */
    nw_drawing rest;        /* a picture's dropped pieces beside it, when asked for */
    nw_region region;       /* the drawing as polygons, when asked for */
    nw_point origin;        /* of the traced places in the picture: pixels, y up, from lower left */
    nw_page_picture behind; /* a picture itself, when a page is wanted */
    size_t *numbers;        /* the number of each piece of the drawing, when a page is wanted */
    size_t number_count;
    nw_line_notes lines; /* pieces drawn as lines, their width as that of the pieces */
    note_list notes;
} cli_art;

typedef struct {
    bool size;   /* refuse art without a size; else it stays in pixels */
    bool rest;   /* also give what was dropped */
    bool region; /* also flatten */
    bool page;   /* also what page.html needs besides */
} art_wants;

nw_status art_load(const char *path, const cli_request *request, art_wants wants, cli_talk *talk,
                   cli_art *art, nw_error *error);
void art_free(cli_art *art);

/* The picture's and the drawing's part of art_load. A picture's bytes are freed on the way. */
nw_status art_from_picture(nw_bytes *bytes, const cli_request *request, art_wants wants,
                           cli_talk *talk, cli_art *art, nw_error *error);
nw_status art_from_svg(const nw_bytes *bytes, const cli_request *request, art_wants wants,
                       cli_talk *talk, cli_art *art, nw_error *error);

/* The factor that gives a drawing its real size; 0 when nothing says it and none is wanted. */
nw_status size_factor(const cli_art *art, const nw_drawing *drawing, const cli_request *request,
                      bool wanted, double *factor, nw_error *error);

/* Says how large the art is when the user did not. */
nw_status size_note(const cli_request *request, cli_talk *talk, cli_art *art, nw_error *error);

/* Turns, mirrors and scales the drawing; sets sized and unit_mm. */
nw_status art_place(const cli_request *request, bool wanted, cli_art *art, nw_error *error);

/* Replaces art that is drawn as lines as --lines says; before its pieces get their numbers. */
nw_status lines_replace(const cli_request *request, cli_art *art, nw_error *error);

/* Refuses middles of lines, for what has to do with a bit. */
nw_status lines_check(const cli_request *request, nw_error *error);

/* Says how much of the art is drawn as lines, and what was or can be done about it. */
nw_status lines_note(const cli_request *request, cli_talk *talk, cli_art *art, nw_error *error);

/* Applies --keep and --drop and says what was left out. */
nw_status pieces_select(const cli_request *request, cli_talk *talk, cli_art *art, nw_error *error);

/* The box of all pieces that are kept, or of all that are not; inside out when there is none. */
nw_box pieces_box(const nw_pieces *pieces, bool kept);

size_t pieces_kept(const nw_pieces *pieces);

/* Keeps what was dropped, and drops what was kept. */
void pieces_swap(nw_pieces *pieces);

/* Brings art->rest to the size and place of the drawing. */
nw_status rest_place(cli_art *art, nw_error *error);

/* Refuses a request that does not say how the art is cut and with what. */
nw_status cut_check(const cli_request *request, nw_error *error);
nw_fit_options cut_options(const cli_request *request, bool *from_stock);

/* ---- what comes loose, and what holds it (hold.c, sheet.c) ----------------------------------- */

/* What comes loose and what holds it, and the same for the reports, which points into it: so it
 * must not be moved. Start from {0}; free with hold_free. */
typedef struct {
    nw_loose_list loose;
    nw_bridged bridged; /* its drawing was handed on */
    nw_tabs tabs;
    nw_drawing tab_lines;
    nw_point origin;
    nw_held held;
} cli_hold;

/* Refuses options that make no sense together. */
nw_status hold_check(const cli_request *request, nw_error *error);

/* Finds what comes loose when the art is cut, and says so where nothing is asked to hold it. */
nw_status hold_loose(const cli_request *request, const nw_region *region, cli_talk *talk,
                     note_list *notes, cli_hold *hold, nw_error *error);

/* Adds the bridges that were asked for to the drawing, and says so. */
nw_status hold_bridge(const cli_request *request, cli_talk *talk, note_list *notes,
                      nw_drawing *drawing, cli_hold *hold, nw_error *error);

/* The tabs that were asked for, and a line about them. */
nw_status hold_tabs(const cli_request *request, const nw_region *region, const nw_fit *fit,
                    cli_talk *talk, note_list *notes, cli_hold *hold, nw_error *error);
void hold_free(cli_hold *hold);

/* Says how much stock the drawing needs; refuses a sheet that is smaller. Also notes where written
 * drawings have their origin. */
nw_status hold_stock(const cli_request *request, const nw_drawing *drawing, cli_talk *talk,
                     note_list *notes, cli_hold *hold, nw_error *error);

/* Where the sheet lies, with the art in its lower left corner as near as margin and bit allow. */
nw_box sheet_box(const cli_request *request);

/* Where --origin puts the origin of written drawings, from the art's lower left corner. */
nw_point origin_place(const cli_request *request, const nw_drawing *drawing);

#endif
