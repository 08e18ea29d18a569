/* What the files that load art share. Internal to art. */
#ifndef NARROWS_ART_LOADING_H
#define NARROWS_ART_LOADING_H

#include <art/art.h>

/* Art under way. */
typedef struct {
    const nw_art_options *options;
    nw_art *art;
    nw_error *error;
    double dirt_px; /* smaller pieces of a picture are dirt */
} nw_loading;

/* What the art comes as, and what reads it into loading->art. */
typedef struct nw_art_source nw_art_source;
struct nw_art_source {
    nw_status (*read)(nw_loading *loading, const nw_art_source *source);
    const uint8_t *data;
    size_t length; /* of the data, or of the file that the elements are of */
    const nw_pixels *pixels;
    const nw_svg_elements *elements;
    const nw_drawing *drawing;
};

/* What nw_art_load and its like do. */
nw_status nw_art_make(const nw_art_source *source, const nw_art_options *options, nw_art *art,
                      nw_error *error);

/* From a decoded picture, which is freed; from art->drawing as an SVG file has it, with its notes;
 * from a drawing. */
nw_status nw_art_from_picture(nw_loading *loading, nw_picture *picture);
nw_status nw_art_from_svg(nw_loading *loading);
nw_status nw_art_from_drawing(nw_loading *loading, const nw_drawing *drawing);

/* The factor that gives art of this width and height, in pixels or as read, its real size; 0 when
 * nothing says it and it is not needed. */
nw_status nw_art_factor(const nw_loading *loading, double width, double height, bool needed,
                        double *factor);

/* How many points the outlines may have. */
static inline uint64_t nw_art_most_points(const nw_loading *loading)
{
    uint64_t most = loading->options->most_points;
    return most ? most : NW_POINTS_MOST;
}

/* What to do about more: pages of text have many. */
nw_advice nw_art_points_advice(const nw_loading *loading);

/* The note, where there is such a one already, or NULL. */
const nw_note *nw_art_noted(const nw_art *art, nw_note_code code);

/* How an SVG drawing is read: it may ask for as many times more than usual as its outlines may have
 * points. */
static inline nw_svg_options nw_art_svg_options(const nw_loading *loading)
{
    double more = (double)nw_art_most_points(loading) / NW_POINTS_MOST;
    return (nw_svg_options){.more = more < 1                  ? 1
                                    : more > NW_SVG_MORE_MOST ? NW_SVG_MORE_MOST
                                                              : more,
                            .skip_hairlines = loading->options->skip_hairlines};
}

/* Turns, mirrors and scales the drawing; sets sized and unit_mm. */
nw_status nw_art_place(nw_loading *loading, bool needed);

/* Brings what was dropped to the size and the place of the drawing. */
nw_status nw_art_place_rest(nw_loading *loading);

/* Chooses the pieces as keep and drop say, and takes note of what went and of what may not belong.
 */
nw_status nw_art_choose(nw_loading *loading);

/* Whether what is dropped is wanted, and there is any. */
bool nw_art_has_rest(const nw_loading *loading);

/* Keeps what was dropped, and drops what was kept. */
void nw_pieces_swap(nw_pieces *pieces);

/* Takes note of thin lines that are too pale to be ink. (art_faint.c) */
nw_status nw_art_note_faint(nw_loading *loading, const nw_picture *picture);

/* Adds a note; one of things that are counted only where there are any. */
nw_status nw_art_note(nw_loading *loading, nw_note note);
nw_status nw_art_note_count(nw_loading *loading, nw_note note);

#endif
