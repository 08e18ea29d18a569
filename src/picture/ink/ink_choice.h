/* find: how a picture's ink is told from its paper, and a reading that does so. */
#ifndef NARROWS_PICTURE_INK_CHOICE_H
#define NARROWS_PICTURE_INK_CHOICE_H

#include <picture/raster.h>

/* There is transparent ground, and something on it. */
bool nw_find_ground(const raster *r);

/* Transparency tells the art from its ground. */
bool nw_find_alpha(const raster *r);

/* What is not transparent is a rectangle, with corners trimmed at most. */
bool nw_find_sheet(const raster *r);

/* What is light is a sheet with a drawing on it that lies on a darker table, which in a photograph
 * may be paler than what is drawn; histogram is that of r->values, which are grey. (on_table.c) */
bool nw_find_on_table(const raster *r, const uint64_t histogram[256], bool photograph);

/* The ink is the darker part, of a picture that shows no table. */
bool nw_find_dark(const raster *r, const uint64_t histogram[256]);

typedef struct {
    uint8_t colour[3]; /* of the paper */
    size_t count;      /* colours that are ink */
    unsigned nearest;  /* the distance of the nearest of them from the paper, and that of the
                          farthest tone that is left out: ink is what is farther than half of it */
    unsigned least;    /* from the farthest that is left out, or paper, to the nearest */
    int grey;          /* of the paper */
    bool pale_areas;   /* some are told from paper by the areas alone that they fill */
    bool several;     /* what is darker than the level, or lighter, has clearly several that meet */
    int pale_level;   /* takes in a paler tone, which is left out; or 0 */
    int palest_level; /* leaves out the palest ink, a grey, and no other; or 0 */
    int checker;      /* the grey of the other squares of a checkered ground, or -1 */
    int mark, over;   /* the greys of a half-transparent mark on paper and on ink, or -1; over is -1
                         where that lies on several inks */
} nw_colours;

/* The tone that a half-transparent grey mark over art in several colours has on the paper, or NULL.
 * (mark.c) */
const nw_tone *nw_find_mark_over(const raster *r, const nw_tone *paper);

/* Whether two greys are the squares of a checkered ground. (backdrop.c) */
bool nw_find_checker(const raster *r, int one, int other);

/* One level of grey, the ramp's, would lose some of the colours of a drawn picture; pale: those are
 * among them that only the areas tell which they fill. */
bool nw_find_colours(const raster *r, bool dark, const nw_ramp *ramp, bool pale, nw_colours *found);

/* Of paper that is lit evenly: a level that takes in the main tone that the ramp's leaves out with
 * it; or 0. */
int nw_find_pale(const raster *r, bool dark, double crossing);

/* Drawn in flat colours, without noise or compression that scatters them. */
bool nw_find_drawn(const raster *r);

/* Drawn in a few flat tones, and none between them: edges are steps from pixel to pixel. */
bool nw_find_steps(const raster *r);

/* Several colours that differ fill much of the picture. */
bool nw_find_several(const raster *r);

/* Takes the picture's own main colour that a colour stands for, if there is one near. other: the
 * distance of the nearest other main colour; false when there is none. */
bool nw_find_near(const raster *r, uint8_t colour[3], unsigned *other);

/* A side of the picture, or of the sheet in it: 0 the left one, 1 the right, 2 the top, 3 the
 * bottom. */
typedef struct {
    uint8_t *first;          /* the value of its first pixel */
    ptrdiff_t along, inward; /* from one to the next, and to the row, or column, behind it */
    size_t count;
} nw_side;

nw_side nw_rim_side(const raster *r, int k);

#define NW_CROPPED_PX 2 /* rows that are half the page's: the second is so in part, then */

/* The rim's levels, those behind it where it is cropped. */
void nw_rim_count(const raster *r, uint64_t histogram[256]);

/* The share of them up to this level. */
double nw_rim_dark(const raster *r, int level);

/* Finds the sides that are r->cropped, by r->values, which are grey on white. (sides.c) */
void nw_cropped_find(raster *r);

/* Of the densities that r->values are: takes what only those sides have of ink for paper. */
void nw_cropped_take(raster *r);

/* A reading under way. */
typedef struct {
    raster_reader *read;
    const uint8_t *data;
    size_t length;
    raster raster;
    nw_picture *picture; /* ink, level and how are filled in */
    nw_error *error;
} reading;

/* Decodes and turns g->raster.values into density. */
nw_status nw_reading_run(reading *g);

/* The same as a whole picture, and frees what the reading took. */
nw_status nw_reading_picture(reading *g);

#endif
