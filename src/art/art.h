/*
 * art: bytes and options -> a drawing at its real size, and with it as data what was decided and
 * dropped on the way; and what is cut with which bit, from which sheet, and what holds it.
 *
 *     nw_art_options options = nw_art_defaults();
 *     options.wide = 240;
 *     nw_art art;
 *     if (nw_art_load(bytes.data, bytes.length, &options, &art, &error) == NW_OK)
 *         nw_fit_run(&art.region, ...
 */
#ifndef NARROWS_ART_H
#define NARROWS_ART_H

#include <art/job.h>
#include <lines/lines.h>
#include <pieces/pieces.h>
#include <svg/svg.h>
#include <trace/trace.h>

/* ---- what is asked --------------------------------------------------------------------------- */

#define NW_OUTLINES_MOST 10000 /* more are noise, and take a machine more than it is worth; */
#define NW_POINTS_MOST 200000  /* the densest scan that was seen has 75 000 */
#define NW_LENGTHS_EACH 0.05   /* for each point, sides of the art that outlines may be long */
#define NW_EDGES_EACH 10       /* pixels along which outlines may run for each point */

/* What is so small that it is dirt. */
typedef enum {
    NW_DIRT_USUAL, /* of a picture 8 pixels, in large ones eight millionths of the square on the
                    * shorter side, in small ones a 2500th of it; of a drawing nothing */
    NW_DIRT_PX,    /* pixels of the file; of pictures alone */
    NW_DIRT_MM2
} nw_dirt;

typedef struct {
    nw_picture_options picture;
    nw_dirt dirt;
    double dirt_area; /* what is smaller goes, and so do smaller holes of a picture's art; 0: all
                         stay */
    nw_dirt fill;     /* larger holes to fill, of pictures alone; NW_DIRT_USUAL: none */
    double fill_area;
    const char *keep, *drop; /* as nw_pieces_choose takes them, NULL: all stay */
    nw_lines lines;
    double smooth;       /* how far an outline may leave the picture, mm; 0: as nw_trace_defaults */
    double wide, high;   /* the art's own, mm; 0: not given; at most one of the three, */
    double ppi;          /* but a width and a height that agree; 0: what the art states */
    double turn_deg;     /* counter-clockwise; the sides are those of the turned art */
    bool mirror;         /* left to right, before it is turned */
    bool skip_unread;    /* what cannot be read of a drawing is not wanted, shades as they come */
    bool skip_hairlines; /* lines that are under 0.1 mm wide in a drawing are not wanted */
    uint64_t most_outlines; /* pieces and holes together; 0: NW_OUTLINES_MOST */
    uint64_t most_points;   /* of all outlines, flattened; 0: NW_POINTS_MOST */
    bool need_size;         /* fail when nothing says the size, rather than stay in pixels */
    bool need_region;       /* flatten the drawing; fails for the middles of lines */
    bool need_rest;         /* also give what is dropped */
    bool need_last_bits;    /* the outlines before nw_drawing_steady, for who scales them on */
    /* Called once with a picture as it was decoded, before anything is cleared from it. The bytes
     * are not read after that, and the caller may free them there. NULL: not called. */
    nw_status (*decoded)(void *context, const nw_picture *picture, nw_error *error);
    void *context;
} nw_art_options;

/* need_size and need_region are set. */
NW_API nw_art_options nw_art_defaults(void);

/* ---- what was decided ------------------------------------------------------------------------ */

typedef enum {
    NW_NOTE_INK,       /* how ink was told from paper: art.picture */
    NW_NOTE_PINHOLES,  /* count holes were filled, all of less than `value` pixels */
    NW_NOTE_DIRT,      /* count specks were dropped, the largest of `value` px or mm² as read */
    NW_NOTE_DUST,      /* count pieces are hardly larger than dirt, the first of them `number` */
    NW_NOTE_FAINT,     /* count thin lines are too pale to be ink; the level `number` takes them */
    NW_NOTE_DOTS,      /* count dots of print, or holes between such, all under `value` px */
    NW_NOTE_CHOSEN,    /* keep and drop left count of art.pieces */
    NW_NOTE_FRAME,     /* count kept pieces look like frames, the first is `number`; */
    NW_NOTE_LETTERING, /* like lettering; */
    NW_NOTE_PRINT,     /* count of `number` kept pieces are letters as small as text on a screen */
    NW_NOTE_EDGE,      /* touch the picture's edge and may be cut off there */
    NW_NOTE_HAIRLINES, /* what the file holds, count of each: art.svg */
    NW_NOTE_HAIRLINES_OUT, /* the same where they are left out */
    NW_NOTE_UNSCALED,
    NW_NOTE_BESIDE,        /* lines written beside outlines, such as a bit's path */
    NW_NOTE_RINGS,         /* count lines without fill enclose the art; `number` gaps in them */
    NW_NOTE_TEXTS,         /* lettering, */
    NW_NOTE_IMAGES,        /* pictures, */
    NW_NOTE_MARKS,         /* lines' marks, */
    NW_NOTE_EFFECTS,       /* masks, filters and the like: art.svg.unread */
    NW_NOTE_RULES,         /* rules of style sheets: art.svg.unread */
    NW_NOTE_SHADES,        /* shapes that fade into paper; or the picture is in shades */
    NW_NOTE_OFF_PAGE,      /* shapes beyond the page's edge, or clipped away */
    NW_NOTE_SEAMS,         /* count seams between shapes are closed, all under `value` as read */
    NW_NOTE_COLOURS,       /* shapes of several colours were taken for one art */
    NW_NOTE_LIGHT,         /* all shapes are near white and were taken for art */
    NW_NOTE_INK_UNUSED,    /* what was asked for is for pictures, and this is a drawing: the ink, */
    NW_NOTE_LEVEL_UNUSED,  /* the level, */
    NW_NOTE_SMOOTH_UNUSED, /* smoothing */
    NW_NOTE_OUTLINE,       /* how closely outlines follow the picture: art.trace */
    NW_NOTE_TIPS,          /* how far pointed tips are drawn out: art.trace */
    NW_NOTE_COARSE,        /* a pixel is large enough to matter for widths: art.sure */
    NW_NOTE_SIZE,        /* nobody said the size: the picture's own_ppi, or 96 units to the inch */
    NW_NOTE_LINES,       /* count pieces are drawn as lines: art.lines */
    NW_NOTE_LINES_UNUSED /* no piece is, so that what was asked for lines does nothing */
} nw_note_code;

typedef struct {
    nw_note_code code;
    size_t count, number;
    double value;
} nw_note;

typedef struct {
    nw_drawing drawing; /* what is kept, at its real size, with numbers and place */
    nw_region region;   /* the drawing as polygons, when asked for */
    nw_drawing rest;    /* what is dropped, beside it, when asked for */
    nw_pieces pieces;   /* all that were found, in pixels, y down; of an SVG in mm as read */
    bool from_picture;  /* else from an SVG drawing */
    bool sized;         /* unit_mm is a real size, not 1 for want of one */
    double unit_mm;     /* in a pixel; of an SVG in a millimetre as read */
    double own_ppi;     /* that the picture states, 0: none */
    double source_px; /* a pixel of the smaller picture that it was enlarged from; 0: it is none */
    double sure;      /* mm to which its pixels tell a width at this size; 0: not known, or exact */
    nw_picture picture; /* without its density */
    nw_trace_notes trace;
    nw_svg_notes svg;
    nw_unread unread;    /* what no verdict is about, though nobody said that it is not wanted */
    nw_line_notes lines; /* their width in pixels, or mm as read */
    nw_note *notes;      /* in the order of the work */
    size_t note_count, note_capacity;
} nw_art;

/* NW_BAD_INPUT where data, the first 65 536 bytes of it or all, does not begin as art of a kind
 * that can be read. */
NW_API nw_status nw_art_known(const uint8_t *data, size_t length, nw_error *error);

/* Bytes of a picture or an SVG drawing, told by content, to the art as the options say. On failure
 * only the notes up to there are left. NW_BAD_INPUT: the bytes are no art; NW_BAD_REQUEST: the
 * options do not suit it, or lack its size. nw_error.advice tells which of them. */
NW_API nw_status nw_art_load(const uint8_t *data, size_t length, const nw_art_options *options,
                             nw_art *art, nw_error *error);
NW_API void nw_art_free(nw_art *art);

/* The same of a picture that is decoded already. */
NW_API nw_status nw_art_of_pixels(const nw_pixels *pixels, const nw_art_options *options,
                                  nw_art *art, nw_error *error);

#define NW_WRITTEN_PER_MM 1e4 /* places in SVG files are rounded to whole numbers of these */

/* A drawing of lines and curves as it would be loaded from an SVG file that it was written to, at
 * its size and to the file's last digit: its pieces count anew. It still knows where it was
 * placed. */
NW_API nw_status nw_art_of_drawing(const nw_drawing *drawing, const nw_art_options *options,
                                   nw_art *art, nw_error *error);

/* Outlines that were widened, and perhaps bridged, as the art that their file will be read as:
 * moves them, and the bridges (may be NULL), to their own lower left corner, and sets after, corner
 * and the counts of pieces and holes to what a check of that file with this fit finds. */
NW_API nw_status nw_art_of_widened(nw_widened *widened, nw_bridged *bridged,
                                   const nw_fit_options *fit, const nw_art_options *options,
                                   nw_art *now, nw_error *error);

/* From the pixels, y down, of a picture of this height to a drawing made of it. */
NW_API nw_affine nw_placed_from_top(nw_affine placed, double height);

/* Of a picture that was neither turned nor mirrored: makes the kept pieces' boxes those of their
 * outlines, which reach further than whole pixels where tips taper. */
NW_API void nw_art_box_outlines(nw_art *art);

#ifdef NARROWS_INSIDE
/* The same of an SVG drawing that is parsed already; bytes: the length of its file. */
nw_status nw_art_of_elements(const nw_svg_elements *elements, size_t bytes,
                             const nw_art_options *options, nw_art *art, nw_error *error);
#endif

#endif
