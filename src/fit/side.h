/* One side of the fit, gaps or necks, from border to spots. Internal. */
#ifndef NARROWS_FIT_SIDE_H
#define NARROWS_FIT_SIDE_H

#include <fit/residue.h>

/* A connected residue: its walls and loops are wall_order[walls] and loop_order[loops]. */
typedef struct {
    size_t wall_first, wall_last, loop_first, loop_last;
    size_t contacts; /* contact arcs */
    size_t holes;
    double area, wall_length;
} nw_component;

typedef struct {
    double diameter;  /* as asked for */
    nw_border border; /* a copy of the caller's, with the same arrays */
    nw_roll roll;
    nw_walls walls;
    nw_loops loops;
    nw_component *components;
    size_t component_count;
    uint32_t *wall_order, *loop_order;
    uint32_t *wall_group; /* walls joined by arcs too short to count have the same group */
} nw_rolled;

/* Rolls a disc of the diameter along a border that stays the caller's and must outlive it. */
nw_status nw_rolled_make(const nw_border *border, double diameter, const nw_fit_options *options,
                         nw_rolled *rolled, nw_error *error);
/* The radius of the disc that rolls for a diameter, and the rest of nw_rolled_make once it has;
 * takes over *roll. */
double nw_rolled_radius(double diameter);
nw_status nw_rolled_from(const nw_border *border, double diameter, nw_roll *roll, nw_rolled *rolled,
                         nw_error *error);
void nw_rolled_free(nw_rolled *rolled);

/* Of all that the disc leaves. */
double nw_rolled_area(const nw_rolled *rolled);

typedef struct {
    double width;
    nw_point from, to;
} nw_width;

/* The least width of each component with two contacts or more; widths has one place for every
 * component. */
nw_status nw_widths_find(const nw_rolled *rolled, int threads, nw_width *widths, nw_error *error);

/* How much wider a place of this width must become; NW_NONE where it is wide enough. */
static inline double nw_spot_widen(double diameter, double width)
{
    return width < diameter ? diameter - width : NW_NONE;
}

/* A blind end beyond a disc's contact arc (blind_ends.c). */
typedef struct {
    nw_point deepest, centre; /* the point furthest from the disc, and the disc */
    double depth;
    double shallow, middle, deep; /* widths at a quarter, half and three quarters of the depth */
    double along; /* to the deepest point, from where the border beyond the arc begins */
} nw_blind_end;

bool nw_blind_end_is_tip(const nw_blind_end *end);

/* What loses more than a blind end that is no tip may. */
bool nw_blind_end_is_deep(const nw_blind_end *end, double blunt);

/* Of a residue with one contact, the arc after the wall: what is lost of it, and whether it may be.
 * False: out of memory. */
bool nw_stub_is_blunted(const nw_rolled *rolled, uint32_t arc, double blunt, nw_blind_end *end,
                        bool *yes);

/* Whether all that lies beyond one of more contacts, the arc after the wall, the residue with its
 * `walls` millimetres of wall and rooms in which the
 * disc fits included, is a blind end that may be lost; *end is then what its own disc loses of it.
 * False: out of memory. */
bool nw_room_is_blunted(const nw_rolled *rolled, uint32_t arc, double walls, double blunt,
                        nw_blind_end *end, bool *yes);

/* What a tip may lose, in the border's millimetres. */
double nw_blunt_length(const nw_fit_options *options, const nw_border *border);

/* The spot that a residue without contact is; without its disc that is a point (misses.c). */
nw_spot nw_miss_spot(const nw_rolled *rolled, const nw_component *component, bool with_disc);

/* A spot, corner or lift as found, with the component it came from. */
typedef struct {
    nw_spot spot;
    const nw_rolled *rolled;
    uint32_t component;
} nw_found;

typedef struct {
    nw_found *spots;
    size_t spot_count, spot_capacity;
    nw_found *corners;
    size_t corner_count, corner_capacity;
    nw_lift *lifts;
    size_t lift_count, lift_capacity;
    double deepest, corner_area;
    size_t tips;
} nw_finds;

nw_status nw_spots_find(const nw_rolled *rolled, nw_side side, const nw_fit_options *options,
                        nw_finds *finds, nw_error *error);
void nw_finds_free(nw_finds *finds);

/* Whether there are spots, and where. */
typedef struct {
    bool any;
    size_t count;
    bool *walls; /* of the roll: those of spots */
    double need; /* how many times larger the art must be for its pinches to open: INFINITY where it
                    touches in a point, 1 where there are none */
    uint32_t tightest; /* the component of the narrowest of them, where need is above 1 */
} nw_marks;

/* The same as nw_spots_find, with the art drawn at 1 / scale of its size; options are for its real
 * size. Without `need` no pinch is measured, and that is 1. */
nw_status nw_spots_mark(const nw_rolled *rolled, nw_side side, const nw_fit_options *options,
                        double scale, bool need, nw_marks *marks, nw_error *error);
void nw_marks_free(nw_marks *marks);

/* Sets chosen, which has a place for every wall of the roll, at those of a component. */
void nw_walls_choose(const nw_rolled *rolled, uint32_t component, bool *chosen);

/* The same of what nw_spots_find found in it. */
nw_status nw_marks_of(const nw_rolled *rolled, const nw_finds *finds, nw_marks *marks,
                      nw_error *error);

/* A disc that has rolled, and its spots. */
typedef struct {
    nw_rolled rolled;
    nw_marks marks;
} nw_judged;

void nw_judged_free(nw_judged *judged);

/* Both sides' borders, which serve any number of bits. */
typedef struct {
    nw_border cut, kept;
} nw_borders;

nw_status nw_borders_make(const nw_region *region, const nw_fit_options *options,
                          nw_borders *borders, nw_error *error);
void nw_borders_free(nw_borders *borders);

/* What a fit was found from. It points into itself: it must not be moved. */
struct nw_fit_sides {
    nw_borders borders;
    nw_judged judged[2]; /* by nw_side */
};

#define NW_BIT_MOST 1000.0 /* mm */

/* Checks sizes and fills in defaults. */
nw_status nw_fit_options_fill(nw_fit_options *options, nw_error *error);

/* nw_fit_run on borders made before. */
nw_status nw_fit_run_on(const nw_borders *borders, const nw_fit_options *options, nw_fit *fit,
                        nw_error *error);

/* True where the cut area has no end, and its share is that of a band round the art, which a disc
 * of twice the radius bounds. */
bool nw_fit_has_band(const nw_fit_options *options);

/* With no end to the cut area: the band within a bit's diameter of the art. Its far side bounds
 * where a disc of twice the radius can be: twice, or NULL where that has not rolled. */
nw_status nw_fit_cut_area(const nw_border *border, double radius, const nw_fit_options *options,
                          const nw_roll *twice, double *area, nw_error *error);

/* The same once both sides have rolled, at the sizes in options; with what was found in the necks
 * by the same options, and twice, the disc for the band, where these are known; else NULL. */
nw_status nw_fit_of_sides(const nw_rolled *gaps, const nw_rolled *necks, const nw_finds *known,
                          const nw_roll *twice, const nw_fit_options *options, nw_fit *fit,
                          nw_error *error);

/* A stretch of ring from `from` to `to` millimetres from its start. */
typedef struct {
    uint32_t ring;
    double from, to;
} nw_stretch;

typedef struct {
    nw_stretch *items; /* in the border's order, none overlapping */
    size_t count, capacity;
} nw_stretches;

/* Of two nw_stretch, for nw_sort: along the border. */
int nw_stretch_order(const void *left, const void *right);

/* What one bit misses on one side, dust aside. */
typedef struct {
    nw_rolled rolled;
    nw_stretches missed;
    double area; /* of all residues */
    bool fits;   /* no spots on this side */
} nw_lane;

nw_status nw_lane_make(const nw_border *border, const nw_fit_options *options, nw_lane *lane,
                       nw_error *error);
void nw_lane_free(nw_lane *lane);

/* Appends the component's loops as paths, the outer ones first; how many comes out in *count. */
bool nw_component_paths(const nw_rolled *rolled, uint32_t component, size_t piece,
                        nw_drawing *drawing, size_t *count);

/* Appends the centre's way as closed paths. */
bool nw_way_paths(const nw_rolled *rolled, nw_drawing *drawing);

/* Appends the boundary of what the disc covers, lines and arcs, what is covered on its left
 * (as_cut.c). */
bool nw_as_cut_paths(const nw_rolled *rolled, nw_drawing *drawing);

/* A line that is not shorter than what counts as one point; false when memory runs out. */
bool nw_line_to(nw_path *path, nw_point to);

/* Closes the path and hands it to the drawing, unless it is less than two steps; frees what is
 * left. False when memory runs out or good was false. */
bool nw_path_keep(nw_path *path, nw_drawing *drawing, bool good);

#endif
