/* What the files that read SVG share. Nothing else includes this. */
#ifndef NARROWS_SVG_INTERNAL_H
#define NARROWS_SVG_INTERNAL_H

#include <svg/svg.h>
#include <svg/svg_elements.h>
#include <solid/solid.h>

/* Limits on what a file may ask for. */
#define SVG_MOST_BYTES ((size_t)256 << 20)
#define SVG_MOST_ELEMENTS 500000 /* drawn, each use of an element counted anew */
#define SVG_MOST_STEPS 3000000
#define SVG_MOST_DEPTH 200  /* elements inside elements, uses followed */
#define SVG_MOST_USES 40    /* uses inside uses */
#define SVG_MOST_RULES 4000 /* of style sheets */
#define SVG_MOST_DASHES 32
#define SVG_MOST_ENTITY 4096 /* characters of one entity's text */
#define SVG_MOST_EXPANDED ((size_t)16 << 20)
#define SVG_FARTHEST_MM 1e7

/* Points of flattened outlines; uniting takes some 600 bytes for each. A small file may not ask for
 * much by copies; a large one needs no more than a point for every four bytes. */
#define SVG_MOST_POINTS(bytes) ((size_t)1000000 + (bytes) / 4)

/* ---- values (svg_value.c) ------------------------------------------------------------------ */

/* White space, then perhaps one comma and more white space. */
const char *nw_svg_skip_space(const char *s);
const char *nw_svg_skip_comma(const char *s);

/* Next number of a list; *s moves behind it and a following comma. False: none there. */
bool nw_svg_number_next(const char **s, double *value);

/* A transform attribute; false when it is malformed. */
bool nw_svg_transform_read(const char *text, nw_affine *matrix);

typedef enum { ALONG_X, ALONG_Y, ALONG_BOTH } nw_svg_direction;

/* What lengths in an element are relative to, in user units. */
typedef struct {
    double width, height, font_size;
} nw_svg_frame;

/* A length in user units (1/96 in); real is set when its unit is a physical one. False when
 * malformed. */
bool nw_svg_length_read(const char *text, nw_svg_frame frame, nw_svg_direction direction,
                        double *length, bool *real);

/* What takes the viewBox into a viewport of this size; false when the viewBox is malformed. A size
 * of 0 gives *empty. */
bool nw_svg_view_box_read(const char *view_box, const char *aspect, double width, double height,
                          nw_affine *matrix, nw_box *box);

/* Whether a word stands in a list separated by white space. */
bool nw_svg_list_has(const char *list, const char *word, size_t length);

/* ---- colours (svg_colour.c) ---------------------------------------------------------------- */

typedef struct {
    double red, green, blue, alpha; /* 0 to 1 */
} nw_svg_colour;

/* A CSS colour without currentColor; *end is the first character after it. */
bool nw_svg_colour_read(const char *text, nw_svg_colour *colour, const char **end);

/* What a fill of this colour at this opacity does. */
nw_paint_kind nw_svg_colour_paint(nw_svg_colour colour, double opacity);

/* ---- style (svg_style.c, svg_selector.c, svg_sheet.c) ------------------------------------ */

typedef enum { FILL_NONE, FILL_COLOUR, FILL_CURRENT, FILL_SERVER } nw_svg_fill_kind;

typedef struct {
    nw_svg_fill_kind kind; /* for a server: FILL_NONE, _COLOUR or _CURRENT in fallback */
    nw_svg_fill_kind fallback;
    nw_svg_colour colour;
    char server[96]; /* id of a gradient or pattern */
} nw_svg_fill;

typedef struct {
    /* inherited */
    nw_svg_fill fill, stroke;
    nw_svg_colour colour;
    double fill_opacity, stroke_opacity, font_size;
    nw_stroke pen;                  /* but its dashes, flatness */
    double dashes[SVG_MOST_DASHES]; /* dash_count of them, in the pen */
    bool marked;                    /* something is to stand on its corners or ends */
    bool even_odd, clip_even_odd, visible;
    /* not inherited */
    bool displayed, overflows;
    double opacity;
    nw_svg_colour stop_colour;
    double stop_opacity;
    char clip[96]; /* id */
    bool masked, filtered;
    bool unscaled; /* the pen is as wide whatever the transforms */
} nw_svg_style;

struct nw_svg_reader;

nw_svg_style nw_svg_style_initial(void);

/* The style of an element inside a parent's. */
nw_svg_style nw_svg_style_of(struct nw_svg_reader *reader, const nw_svg_element *node,
                             const nw_svg_style *parent);

#define SVG_MOST_PARTS 16 /* compounds of one selector */

/* One compound, like path.wing#left; empty parts match everything. */
typedef struct {
    const char *text;
    char joint; /* to the one before: '>', '+', or ' ' for any ancestor */
} nw_svg_compound;

typedef struct {
    nw_svg_compound parts[SVG_MOST_PARTS];
    size_t part_count;
    unsigned specificity; /* ids count most, then classes and attributes, then types */
    bool unread;          /* a part of it that is not read was passed over */
} nw_svg_selector;

/* One selector, which it cuts apart in place; false when it is of no known form. Of one that
 * reaches further than is read only the end stays, as unread. (svg_selector.c) */
bool nw_svg_selector_read(char *s, nw_svg_selector *selector);

/* Whether it matches the element, or may where parts are unread. */
bool nw_svg_selector_matches(nw_svg_selector *selector, const nw_svg_element *node);

/* How far it is to the first of `ends` that stands in no brackets or quotes, or to the end. */
size_t nw_svg_length_until(const char *s, const char *ends);

/* Whether the name at s is one of the words, of which the last is NULL. */
bool nw_svg_word_is(const char *s, const char *const *words);

typedef struct nw_svg_sheet nw_svg_sheet;

/* Adds a style element's text; rules that declare only properties that do not count are left out.
 */
typedef bool (*nw_svg_counts)(const char *property);
nw_status nw_svg_sheet_add(nw_svg_sheet **sheet, const char *text, nw_svg_counts counts,
                           nw_error *error);
void nw_svg_sheet_free(nw_svg_sheet *sheet);

/* How many of its rules were of kinds that are not read, but may apply to an element that one has
 * asked for so far. */
size_t nw_svg_sheet_unread(const nw_svg_sheet *sheet);

/* Whether it is a property that an element's area depends on. */
bool nw_svg_property_known(const char *name);

/* Calls set for every declaration that applies to the node, in cascade order; important: only
 * those that are, or only those that are not. */
typedef void (*nw_svg_declare)(void *context, const char *name, const char *value);
void nw_svg_sheet_apply(nw_svg_sheet *sheet, const nw_svg_element *node, bool important,
                        nw_svg_declare set, void *context);

/* The declarations of a style attribute. */
void nw_svg_declarations_read(const char *text, bool important, nw_svg_declare set, void *context);

/* ---- outlines (svg_pen.c, svg_path.c, svg_shape.c) ----------------------------------------- */

/* Draws in user units into a shape's outline, through a matrix. */
typedef struct {
    nw_affine matrix;
    nw_drawing *outline;
    nw_path path;
    nw_point at, start; /* user units */
    bool open;          /* a subpath has been begun */
    bool inside;        /* for its inside: subpaths are closed, and lines alone are nothing */
    bool no_memory, too_far;
    size_t steps;
} nw_svg_pen;

void nw_pen_move(nw_svg_pen *pen, nw_point to);
void nw_pen_line(nw_svg_pen *pen, nw_point to);
void nw_pen_curve(nw_svg_pen *pen, nw_point a, nw_point b, nw_point to);
/* SVG's elliptical arc, by the notes in its appendix F.6. */
void nw_pen_arc(nw_svg_pen *pen, double rx, double ry, double turn_deg, bool large, bool sweep,
                nw_point to);
void nw_pen_close(nw_svg_pen *pen);
/* Puts the subpath into the outline; one without any step has no inside. */
void nw_pen_finish(nw_svg_pen *pen);

/* Path data, up to the first error, as SVG 1.1 (F.2) asks; false when there was one. */
bool nw_svg_path_draw(nw_svg_pen *pen, const char *data);

/* The outline of a basic shape or path; false when the element is in error or disabled. */
bool nw_svg_shape_draw(nw_svg_pen *pen, const nw_svg_element *node, nw_svg_frame frame);
bool nw_svg_is_shape(const nw_svg_element *node);

/* ---- the document ------------------------------------------------------------------------- */

typedef struct nw_svg_reader {
    const nw_svg_elements *tree;
    nw_svg_sheet *sheet;
    nw_painting painting;
    nw_drawing lines; /* of layers of outlines without fill, in mm */
    size_t page_clip; /* as nw_paint_shape.clip */
    nw_svg_notes notes;
    size_t elements, steps;
    nw_svg_options options;
    const nw_svg_element *uses[SVG_MOST_USES];
    size_t use_count;
    nw_error *error;
} nw_svg_reader;

/* What an element is drawn in. */
typedef struct {
    nw_affine matrix; /* user units -> mm, y up */
    nw_svg_frame frame;
    size_t clip;
    double opacity; /* of all groups around */
    int depth;
} nw_svg_place;

/* The element that "#id" names, or NULL. */
const nw_svg_element *nw_svg_referred(const nw_svg_reader *reader, const char *reference);

/* Draws an element and what is in it into reader->painting. */
nw_status nw_svg_element_draw(nw_svg_reader *reader, const nw_svg_element *node,
                              const nw_svg_style *parent, nw_svg_place place);
nw_status nw_svg_root_draw(nw_svg_reader *reader);

/* "line 9: ", which begins a message; nothing where the line is not known, as of what a browser
 * parsed. */
typedef struct {
    char words[32];
} nw_svg_line_words;
nw_svg_line_words nw_svg_line(long line);

/* Counts one more drawn element; refuses too many or too deep. */
nw_status nw_svg_count_element(nw_svg_reader *reader, const nw_svg_element *node, int depth);

/* The outline of a shape through place.matrix, empty where it has none or is in error. inside: as
 * closed paths, for a fill; else as a pen draws it. */
nw_status nw_svg_outline_make(nw_svg_reader *reader, const nw_svg_element *node, nw_svg_place place,
                              bool inside, nw_drawing *outline);

/* Paints what the style's pen covers along the shape, in the line's paint. (svg_stroke.c) */
nw_status nw_svg_stroke_paint(nw_svg_reader *reader, const nw_svg_element *node,
                              const nw_svg_style *style, nw_svg_place place, nw_paint_shape line);

/* ---- layers (svg_layers.c) ------------------------------------------------------------------ */

/* Whether a group is a layer of tabs or paths beside one of outlines; its shapes are noted. */
bool nw_svg_is_beside(nw_svg_reader *reader, const nw_svg_element *node);

/* Takes a group's lines for outlines where it is a layer of them and they are thin and unfilled. */
nw_status nw_svg_lines_take(nw_svg_reader *reader, const nw_svg_element *node,
                            const nw_svg_style *style, nw_svg_place place, bool *taken);

/* Paints what these lines enclose. Empties reader->lines. */
nw_status nw_svg_lines_paint(nw_svg_reader *reader);

/* Paints a shape that was made in place; takes over *outline. */
nw_status nw_svg_paint(nw_svg_reader *reader, nw_paint_shape shape);

/* Applies the element's transform; a malformed one is refused, since it would misplace art. */
nw_status nw_svg_place_enter(nw_svg_reader *reader, const nw_svg_element *node,
                             nw_svg_place *place);

/* What a use element refers to, NULL and noted when there is none; place moves by its x and y. */
const nw_svg_element *nw_svg_use_target(nw_svg_reader *reader, const nw_svg_element *node,
                                        nw_svg_place *place);

/* Following a reference from one element to another, and coming back: refuses circles. */
nw_status nw_svg_use_begin(nw_svg_reader *reader, const nw_svg_element *target,
                           const nw_svg_element *from);
void nw_svg_use_end(nw_svg_reader *reader);

/* A length attribute, or what it is when missing or malformed. */
double nw_svg_length_or(const nw_svg_element *node, const char *name, nw_svg_frame frame,
                        nw_svg_direction direction, double otherwise);

/* Counts an element that is left out, in one of the reader's notes.unread. */
void nw_svg_note_unread(nw_svg_reader *reader, size_t *count, const nw_svg_element *node);

/* A new clip of one rectangle in user units. */
nw_status nw_svg_clip_rectangle(nw_svg_reader *reader, nw_svg_place *place, nw_box box);

/* The clip that an element's clip-path names becomes place->clip. */
nw_status nw_svg_clip_enter(nw_svg_reader *reader, const nw_svg_element *node,
                            const nw_svg_style *style, nw_svg_place *place);

#endif
