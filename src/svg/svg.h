/*
 * svg: the bytes of an SVG drawing -> outlines in millimetres.
 */
#ifndef NARROWS_SVG_H
#define NARROWS_SVG_H

#include <geom/geom.h>

/* The class of the lines that are written beside outlines, such as a bit's path: no area. */
#define NW_SVG_LINE "narrows-line"

/* The class of the roots of drawings that are for looking at, which are no art. */
#define NW_SVG_SHEET "narrows-sheet"

/* What a drawing has and its outlines do not show. */
typedef struct {
    size_t texts;   /* lettering that is not outlines, left out */
    size_t images;  /* pictures and other foreign content, left out */
    size_t marks;   /* lines with markers, which are left out */
    size_t effects; /* masks, filters and clips not applied, and copies of nothing */
    size_t rules;   /* of style sheets, of kinds that are not read, which may be about shapes */
    size_t shades;  /* shapes that fade into paper and count whole; 1: a picture in shades */
} nw_unread;

NW_API size_t nw_unread_count(const nw_unread *unread);

typedef struct {
    size_t hairlines; /* lines so thin, under 0.1 mm, that hardly their area is meant, whether they
                       * count as areas or were left out */
    bool only_hairlines; /* nothing would be left without these */
    size_t unscaled;     /* lines as wide whatever the transforms: as in the file's own size */
    size_t beside;       /* lines of class NW_SVG_LINE, and in layers of tabs and paths, left out */
    size_t rings;        /* lines without fill in a layer of outlines, which enclose the art */
    size_t gaps;         /* in these, for tabs */
    nw_unread unread;
    char others[30]; /* the first few images and effects of these */
    size_t off_page; /* shapes wholly beyond the page's edge or clipped away */
    bool light;      /* all fills are near white, so all of them were taken as ink */
    bool several;    /* what counts as ink has several colours, which meet as far as boxes tell */
    bool sized;      /* the file states its size in real units */
} nw_svg_notes;

/* True when the bytes look like an XML document with an svg root. */
NW_API bool nw_svg_known(const uint8_t *data, size_t length);

/* Reads the filled and stroked shapes of an SVG 1.1 document, in millimetres (user units are 1/96
 * in where the file states no size), united into one clean drawing. No network, no entity
 * expansion. */
NW_API nw_status nw_drawing_read_svg(const uint8_t *data, size_t length, nw_drawing *drawing,
                                     nw_svg_notes *notes, nw_error *error);

#ifdef NARROWS_INSIDE
#include <svg/svg_elements.h>

#define NW_SVG_MORE_MOST 1e6

typedef struct {
    double more; /* times the elements, points and crossings that a drawing may usually ask for, 1
                  * to NW_SVG_MORE_MOST */
    bool skip_hairlines; /* these are counted and left out */
} nw_svg_options;

/* The same as the options say. */
nw_status nw_drawing_read_as(const uint8_t *data, size_t length, const nw_svg_options *options,
                             nw_drawing *drawing, nw_svg_notes *notes, nw_error *error);

/* The same from elements that somebody else has parsed; the tree stays the caller's. bytes: the
 * file's length, which bounds what it may ask for. */
nw_status nw_drawing_read_elements(const nw_svg_elements *tree, size_t bytes,
                                   const nw_svg_options *options, nw_drawing *drawing,
                                   nw_svg_notes *notes, nw_error *error);
#endif

#endif
