/* Tabs, inside: places on an outline and how good they are. Internal. */
#ifndef NARROWS_CHANGE_TABS_H
#define NARROWS_CHANGE_TABS_H

#include <change/change.h>

/* A place on an outline where a tab might stand. */
typedef struct {
    nw_point at, out; /* out: unit, into the cut area */
    size_t ring;
    bool cut;         /* the bit runs here */
    double cost;      /* of what speaks against it; INFINITY: none can stand here */
    unsigned reasons; /* as nw_tab has them */
    double station;   /* round the hull of what is to be held, 0 to 1 */
} nw_tab_place;

/* What places are judged by. */
typedef struct {
    const nw_region *region;
    const nw_fit *fit;
    nw_border cut, kept;
    double width; /* of a tab */
} nw_tab_judge;

nw_status nw_tab_judge_start(nw_tab_judge *judge, const nw_region *region, const nw_fit *fit,
                             double width, nw_error *error);
void nw_tab_judge_free(nw_tab_judge *judge);

/* Whether the ring bounds what stays: a part, or inside an island; else it bounds an opening. */
bool nw_tab_on_part(const nw_tab_judge *judge, size_t ring);

/* A tab's width, mm: as asked, else by the fit's bit. */
double nw_tab_width(double asked, const nw_fit *fit);
#define NW_TAB_WIDEST_MM 100.0

/* The ring in small equal steps, each place judged; *places is the caller's to free. */
bool nw_tab_places(const nw_tab_judge *judge, size_t ring, nw_tab_place **places, size_t *count);

/* ---- what falls out of openings (slugs.c) ---------------------------------------------------- */

/* What the bit leaves of the cut area after it ran along all outlines: the cut area eroded by the
 * bit's diameter. Rings as polygons, slugs counter-clockwise. */
typedef struct {
    nw_region rings;
    nw_box *boxes;
    double *signed_areas; /* of each ring: positive for slugs, negative for holes in them */
    double *areas;        /* of each slug, what lies in it taken off */
} nw_slugs;

nw_status nw_slugs_find(const nw_region *region, const nw_fit *fit, nw_slugs *slugs,
                        nw_error *error);
void nw_slugs_free(nw_slugs *slugs);

/* The slug that a place lies in, or SIZE_MAX. */
size_t nw_slug_at(const nw_slugs *slugs, nw_point p);

#endif
