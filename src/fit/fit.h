/*
 * fit: outlines and a bit -> where the bit cannot get in and what comes out too thin.
 *
 * With A the cut area and r half the bit's diameter, the bit's centre can be at E, A eroded by a
 * disc of radius r, and cuts O, E dilated by it: the opening of A (Serra, Image Analysis and
 * Mathematical Morphology, 1982). The residue A - O stays uncut; each connected component of it
 * is a gap's spot, a corner or dust. Necks are the same computation on the kept area. It is done
 * by rolling the disc along the outlines exactly, without any grid: docs/method.md.
 */
#ifndef NARROWS_FIT_H
#define NARROWS_FIT_H

#include <base/base.h>
#include <outline/outline.h>

#ifdef __cplusplus
extern "C" {
#endif

typedef enum { NW_CUT_INSIDE, NW_CUT_OUTSIDE, NW_CUT_POCKET } nw_cut;

typedef enum { NW_GAP, NW_NECK } nw_side;
typedef enum { NW_PINCH, NW_STUB, NW_MISS } nw_form;

const char *nw_cut_name(nw_cut cut);
const char *nw_side_name(nw_side side);
const char *nw_form_name(nw_form form);

typedef struct {
    nw_cut cut;
    double bit;           /* diameter, mm */
    double neck;          /* least neck, mm; 0: as the bit */
    double blunt;         /* a pointed tip less deep is a corner; 0: 2 bits, or 2 least necks */
    bool has_stock;       /* the sheet has edges */
    nw_box stock;         /* the sheet in the drawing's coordinates, when has_stock */
    bool with_shapes;     /* also give residues, reach and bit path */
    int threads;          /* 0: as many as there are cores */
    nw_progress progress; /* may be NULL; called from the caller's own thread only */
    void *progress_context;
} nw_fit_options;

nw_fit_options nw_fit_defaults(void);

#define NW_NONE (-1.0) /* a length that does not apply */

typedef struct {
    nw_side side;
    nw_form form;
    nw_point at;   /* pinch: middle of the shortest line; stub: the deepest point; miss: the
                      centre of the largest disc that fits in it, or an inner point */
    double width;  /* pinch, else NW_NONE */
    double length; /* along the passage's middle */
    double depth;  /* stub, else NW_NONE */
    double area;   /* of the residue */
    double widen;  /* how much wider the place must become in all; NW_NONE where it cannot tell */
    nw_point from, to; /* pinch: ends of the shortest line, one on either wall */
    nw_point stuck;    /* where a disc of the bit (or least neck) comes to a halt */
    size_t residue;    /* index into nw_fit.residues of its outer path, when with_shapes */
    size_t residue_count;
} nw_spot;

typedef struct {
    nw_point at;
    double width;
} nw_lift;

typedef struct {
    size_t count;
    double deepest, area;
} nw_corners;

typedef struct {
    nw_fit_options options;               /* as used: defaults filled in */
    bool fits;                            /* no spots */
    double narrowest_gap, narrowest_neck; /* least pinch width on each side, NW_NONE: no pinch */
    nw_spot *spots;                       /* in order of harm: pinches by width, then by area */
    size_t spot_count;
    nw_lift *lifts;
    size_t lift_count;
    nw_corners corners;
    double area_cut; /* the art for inside and pocket; for outside the residue's frame has no
                        end, so it is the area of the band that the bit sweeps round the art */
    double area_reached, area_unreached;
    double outline_length; /* of the cut area's border, the sheet's edges included */
    double outline_missed; /* of it, what bounds spots and corners: not cut to the line */
    double path_length;    /* that the bit's centre runs to cut the whole outline once */
    nw_drawing residues;   /* closed paths of lines and arcs: what stays uncut or is too thin */
    nw_drawing corner_residues; /* the same for corners */
    nw_drawing bit_path;        /* closed paths of lines and arcs: where the centre runs */
    nw_drawing as_cut; /* closed paths of lines and arcs: the outline that the bit really produces,
                          what it cuts to the left, so clockwise ones are stock inside it; for
                          outside cuts without the outer end, which is nowhere */
    size_t unpaired;   /* ends of walls that found no partner: 0, or the result is incomplete */
} nw_fit;

/* The whole fit of one bit. Cost follows the number of segments. The same input gives the same
 * bytes whatever the number of threads. NW_BAD_REQUEST for sizes that are not positive and finite
 * or above 1000 mm. */
nw_status nw_fit_run(const nw_region *region, const nw_fit_options *options, nw_fit *fit,
                     nw_error *error);
void nw_fit_free(nw_fit *fit);

/* ---- one bit after another ------------------------------------------------------------------ */

/* Outlines prepared for many fits, as for a slider over all bits. */
typedef struct nw_fitter nw_fitter;

/* options: the cut and the stock, which stay. The caller frees *fitter; the region may go first. */
nw_status nw_fitter_make(const nw_region *region, const nw_fit_options *options, nw_fitter **fitter,
                         nw_error *error);
void nw_fitter_free(nw_fitter *fitter);

/* As nw_fit_run, for the fitter's outlines, cut and stock. quick: with what it has learnt about
 * them, which costs a fraction; where places tie to within 1e-9 mm the answer may differ in what
 * does not matter. Else from the outlines alone, the very same as nw_fit_run. */
nw_status nw_fitter_run(nw_fitter *fitter, const nw_fit_options *options, bool quick, nw_fit *fit,
                        nw_error *error);

/* Learns where bits of this diameter get in, for quick fits of smaller and larger ones. */
nw_status nw_fitter_learn(nw_fitter *fitter, double diameter, nw_error *error);

/* ---- the largest disc at a place ----------------------------------------------------------- */

/* Outlines prepared for many such questions. */
typedef struct nw_discs nw_discs;

typedef struct {
    nw_point at;     /* the place on the outline */
    nw_point normal; /* from there into the cut area, a unit long */
    double radius;   /* of the largest disc that touches there; its centre is at + normal radius */
} nw_disc;

/* stock may be NULL: the sheet has no end. The caller frees *discs; the region may go before. */
nw_status nw_discs_make(const nw_region *region, nw_cut cut, const nw_box *stock, nw_discs **discs,
                        nw_error *error);
void nw_discs_free(nw_discs *discs);

/* The largest disc in the cut area, up to the radius `limit`, that touches the outline where it is
 * nearest to `near`. Chords are taken for the curves they came from: the disc may cross the outline
 * by 0.008 mm. False when there is no outline. */
bool nw_discs_at(const nw_discs *discs, nw_point near, double limit, nw_disc *disc);

/* ---- bits and racks ------------------------------------------------------------------------ */

typedef enum { NW_STRAIGHT, NW_TAPERED, NW_VEE } nw_bit_shape;

typedef struct {
    char name[48];
    nw_bit_shape shape;
    double diameter;  /* measured, at the widest, mm */
    double flute;     /* cutting length, mm; NW_NONE: not known */
    double tip;       /* tapered and V: diameter of the tip, mm; else 0 */
    double angle_deg; /* tapered and V: included angle; else 0 */
    double feed;      /* mm per minute; NW_NONE: not known */
} nw_bit;

typedef struct {
    nw_bit *bits; /* as listed; names are unique */
    size_t count, capacity;
} nw_rack;

/* Reads a rack from plain text, one bit a line, '#' starting a comment:
 *     name, diameter [, flutes LENGTH] [, tip LENGTH, angle DEGREES] [, feed MM-PER-MINUTE]
 * A bit with an angle is tapered, with a tip of 0 or none stated a V bit. file names the source in
 * messages, which tell the line. At most 1000 bits. */
nw_status nw_rack_read(const char *text, size_t length, const char *file, nw_rack *rack,
                       nw_error *error);

/* The built-in rack: common inch and metric sizes (fractions of an inch; GB/T 1112.1-1997). */
nw_status nw_rack_common(nw_rack *rack, nw_error *error);
void nw_rack_free(nw_rack *rack);

/* The diameter that counts: at the stock's top face when the tip just goes through. stock of 0
 * (not known) gives a straight bit's diameter, and a tapered or V bit's tip. */
double nw_bit_at_top(const nw_bit *bit, double stock);

/* ---- every bit side by side ---------------------------------------------------------------- */

typedef struct {
    size_t bit;        /* index into the rack */
    double diameter;   /* the one that counts, at the stock's top face */
    bool judged;       /* false: a tip of 0 and no stock, or a V bit on a pocket, which has no one
                          diameter; then fits is false and the counts are 0 */
    bool flutes_short; /* the cutting length is less than the stock's thickness */
    double vee_depth;  /* V bit on a pocket: half the widest place over tan(half the angle), as far
                          as the bit's own diameter goes; else NW_NONE */
    nw_point vee_at;   /* where that is */
    size_t pinches, stubs, misses; /* gaps, by form */
    size_t necks;
    double share_unreached; /* of the cut area, 0 to 1 */
    double share_outline;   /* of the outline's length, reached: 0 to 1 */
    nw_fit fit;             /* with its shapes when options->with_shapes */
} nw_bit_result;

/* The rack's bits, largest first; `largest` is the first that fits and whose flutes are long
 * enough, or count when there is none. */
typedef struct {
    nw_bit_result *results;
    size_t count, largest;
    double critical; /* as nw_bit_critical: of any size the largest that leaves no spot */
} nw_bits;

/* The least neck for a bit as the options say: theirs, else the bit's diameter, or the stock's
 * thickness if that is more. */
double nw_bit_neck(const nw_fit_options *options, double diameter, double stock);

/* Runs the fit for every bit of the rack, bits spread over the cores. options->bit is not used;
 * options->neck of 0: see nw_bit_neck. stock: thickness in mm, 0: not known. */
nw_status nw_bits_compare(const nw_region *region, const nw_fit_options *options,
                          const nw_rack *rack, double stock, nw_bits *bits, nw_error *error);
void nw_bits_free(nw_bits *bits);

/* The largest disc at the outline. */
typedef struct {
    nw_point at;
    double diameter;
    double length; /* of the outline that this sample stands for */
} nw_sample;

/* For samples at most `spacing` apart along the border of the cut area, in its order: the largest
 * disc that touches there and lies in the cut area, up to a diameter of `most`. A place is reached
 * by a bit of diameter d when its disc is not smaller than d (within 0.01 mm). The caller frees
 * *samples with free(). Shrinking ball: Ma, Bae and Choi, The Visual Computer 28 (2012). */
nw_status nw_outline_samples(const nw_region *region, const nw_fit_options *options, double spacing,
                             double most, nw_sample **samples, size_t *count, nw_error *error);

/* The largest disc in the cut area, up to a diameter of `most`: its middle and diameter. */
nw_status nw_widest_place(const nw_region *region, const nw_fit_options *options, double most,
                          nw_point *at, double *diameter, nw_error *error);

/* ---- ways out ------------------------------------------------------------------------------ */

#define NW_CRITICAL_MM 0.001 /* how closely critical diameters are found */
#define NW_SIZE_MOST 100.0   /* times the size: beyond that no one asks */

/* The largest bit that leaves no spot, to 2 NW_CRITICAL_MM: it passes, and one 0.01 mm larger does
 * not. 0 when none of 0.1 mm or more does, INFINITY when 1000 mm does. With options->neck of
 * 0 the least neck goes along with the bit. */
nw_status nw_bit_critical(const nw_region *region, const nw_fit_options *options, double stock,
                          double *diameter, nw_error *error);

/* The smallest factor of size at which options->bit and its least neck leave no spot, and 1 %
 * smaller does; when it fits as it is, how much smaller it may become before it does not. The
 * drawing itself, enlarged and flattened, has passed the check at this size. 0 when no factor up to
 * NW_SIZE_MOST does: a point touch, or a tip too sharp for any bit. The factor makes the drawing's
 * width a multiple of 0.01 mm (0.001 mm under 10 mm), rounded up. */
nw_status nw_size_critical(const nw_drawing *drawing, const nw_region *region,
                           const nw_fit_options *options, double *factor, nw_error *error);

/* Every remedy when options->bit does not fit; when it does, how far one may go. */
typedef struct {
    bool fits;
    size_t bit;           /* the largest bit of the rack that fits; rack->count when none does */
    double bit_diameter;  /* of that bit, at the stock's top face */
    double factor;        /* as nw_size_critical */
    double width, height; /* at that factor */
    size_t places;        /* spots that can be opened or thickened */
    double widen_most;    /* the most that one of them must become wider */
    double widen_area;    /* widening times length of all of them, mm² */
    size_t stubs, misses; /* among the places: ends and whole pieces, which need their own remedy */
    size_t blind;         /* spots to which no width can be given */
} nw_ways;

/* fit: the fit of options->bit. stock: thickness in mm, 0: not known. */
nw_status nw_ways_find(const nw_drawing *drawing, const nw_region *region,
                       const nw_fit_options *options, const nw_fit *fit, const nw_rack *rack,
                       double stock, nw_ways *ways, nw_error *error);

/* ---- two bits ------------------------------------------------------------------------------ */

/* A large bit runs the whole outline, a small one only where the large one leaves something. */
typedef struct {
    size_t large, small;       /* indices into the rack */
    double large_mm, small_mm; /* diameters that count */
    double large_path;         /* mm that the large bit's centre runs */
    double small_path;         /* mm that the small one runs: beside what the large one missed */
    double remains;            /* mm² that the large one leaves */
    double left;               /* mm² that both leave */
    double minutes;            /* for both paths at the rack's feeds; NW_NONE: a feed is missing */
} nw_pair;

typedef struct {
    nw_pair *pairs; /* the best first: by time, then those of which a feed is missing, by length */
    size_t count;
    bool by_time; /* the first has a time */
    bool fits; /* the small bits of these pairs leave no spot; else no bit of the rack does, and the
                  small one is the smallest */
} nw_pairs;

/* Every pair of the rack's bits whose small one fits and has more to do than its own width, but for
 * bits that cannot be judged or whose flutes are shorter than the stock. options->bit: not used. */
nw_status nw_pairs_compare(const nw_region *region, const nw_fit_options *options,
                           const nw_rack *rack, double stock, nw_pairs *pairs, nw_error *error);
void nw_pairs_free(nw_pairs *pairs);

/* The drawing's outlines in pieces, by who cuts them: open paths, closed where a whole outline is
 * one piece. region: the drawing, flattened. All three drawings must be freed. */
nw_status nw_pair_pieces(const nw_drawing *drawing, const nw_region *region,
                         const nw_fit_options *options, double large_mm, double small_mm,
                         nw_drawing *large, nw_drawing *small, nw_drawing *left, nw_error *error);

/* ---- widening ------------------------------------------------------------------------------ */

/* What becomes of stubs and misses. */
typedef enum {
    NW_KEEP, /* they stay as they are, and are listed */
    NW_OPEN, /* they are made wide enough */
    NW_TRIM  /* they are taken out of the art */
} nw_remedy;

typedef struct {
    nw_fit_options fit;
    double ease; /* how much wider than the bit (thicker than the least neck) a pinch becomes, mm */
    nw_remedy stubs, misses;
    const bool *chosen; /* for each spot of the fit before: widen it; NULL: all */
    size_t chosen_count;
} nw_widen_options;

nw_widen_options nw_widen_defaults(void);

typedef enum {
    NW_WIDENED,  /* no longer a spot */
    NW_LEFT,     /* not asked for */
    NW_CONFLICT, /* widening it would harm its surroundings: see factor */
    NW_STUCK     /* tried without success */
} nw_outcome;

typedef struct {
    nw_outcome outcome;
    double factor; /* NW_CONFLICT: at this many times the size there is room; 0: not known */
} nw_widen_note;

typedef struct {
    nw_drawing drawing; /* the outlines, widened */
    nw_fit before, after;
    nw_widen_note *notes;            /* one for each spot of before */
    double area_added, area_removed; /* of the art, mm² */
    double largest_move;             /* of an outline, mm */
    size_t pieces_before, pieces_after, holes_before, holes_after;
} nw_widened;

/* Makes the chosen spots wide enough with the least change: both walls of a passage move to where
 * a disc of the bit's diameter plus ease, on the passage's own middle line, touches them; stock
 * that is too thin on one side makes the other side give more. Places that are not spots keep their
 * curves. The result has been through the same fit: after. NW_BAD_REQUEST for an ease outside
 * 0.01 to 5 mm. */
nw_status nw_drawing_widen(const nw_drawing *drawing, const nw_widen_options *options,
                           nw_widened *widened, nw_error *error);
void nw_widened_free(nw_widened *widened);

/* ---- what comes loose, and what holds it ---------------------------------------------------- */

/* Inside cuts and pockets: an island, stock with cut all round it. Outside: one of several parts.
 * A single part is not loose from anything and not listed, nor is dust of under 0.05 mm². */
typedef struct {
    nw_box box;
    double area;
    size_t ring; /* its outline in the region */
} nw_loose;

typedef struct {
    nw_loose *items; /* in the order of the region's rings */
    size_t count;
} nw_loose_list;

nw_status nw_loose_find(const nw_region *region, nw_cut cut, nw_loose_list *list, nw_error *error);
void nw_loose_free(nw_loose_list *list);

/* A straight strip of stock across the cut; ends on the outlines, in the middle of the strip. */
typedef struct {
    nw_point from, to;
} nw_bridge;

/* Why no bridge was found, from what came nearest to being one. */
typedef enum {
    NW_UNHELD_FAR,     /* no straight way across the cut, or */
    NW_UNHELD_LOOSE,   /* only to what is not held either */
    NW_UNHELD_FOOTING, /* no stretch of its edge, or of those it faces, carries so wide a strip */
    NW_UNHELD_CROWDED, /* only where another bridge stands */
    NW_UNHELD_CLOSES   /* only where the bit could no longer get to all beside it */
} nw_unheld_reason;

/* As the enumeration's names end, in small letters, for programs; as part of a sentence. */
const char *nw_unheld_name(nw_unheld_reason reason);
const char *nw_unheld_words(nw_unheld_reason reason);

/* An island or a part that is not held, or lacks the second bridge that was asked for. */
typedef struct {
    nw_loose piece;
    bool held;
    size_t joined; /* parts not named, for they hang on this one, the largest of them */
    nw_unheld_reason reason;
} nw_unheld;

typedef struct {
    nw_drawing drawing; /* the art with the bridges */
    nw_drawing strips;  /* closed paths, their ends within the stock */
    nw_bridge *bridges;
    size_t count;
    nw_unheld *unheld;
    size_t loose; /* of them */
} nw_bridged;

/* A small strip that holds a part, or what falls out of an opening, until it is cut by hand. */
typedef struct {
    nw_point at;  /* its middle, on the outline */
    nw_point out; /* unit, into the cut area */
    size_t ring;
} nw_tab;

typedef struct {
    nw_tab *tabs; /* parts and islands in the order of the outlines, then the slugs of openings */
    size_t count;
    double width;
    size_t missing; /* that found no good place */
    size_t bare;    /* parts, islands and slugs that got none of those they were to have */
    size_t light;   /* slugs and islands of 100 mm² and more that are too light to need any */
} nw_tabs;

#define NW_TABS_MOST 100 /* on one part */

/* Places for tabs on every part, and for openings on every slug: what is left in them once the bit
 * has run along their outlines. They are spread round it: on a part on its convex hull, where a
 * flat sanding block reaches; in an opening on straight stretches that a file reaches; off inside
 * corners, tight curves, spots and thin stock. count: how many each, 0: by perimeter and weight
 * (area); then islands and slugs under 1500 mm² get none, else those under 100 mm². width 0: one
 * and a half bits. fit must be the region's. NW_BAD_REQUEST for counts above NW_TABS_MOST and
 * widths that are not above 0 and at most 100 mm. */
nw_status nw_tabs_find(const nw_region *region, const nw_fit *fit, size_t count, double width,
                       nw_tabs *tabs, nw_error *error);
void nw_tabs_free(nw_tabs *tabs);

/* Short open lines across the cut, one for each tab. */
nw_status nw_tabs_lines(const nw_tabs *tabs, double bit, nw_drawing *lines, nw_error *error);

#define NW_BRIDGES_EACH 2 /* at most */

/* Joins what comes loose to the rest by the fewest and shortest bridges, a minimum spanning tree
 * (Kruskal 1956); where each is 2, then a second one on the other side of each. They have footing
 * all across and take from the bit little more than the corners beside them. NW_BAD_REQUEST for a
 * width outside 0.1 to 100 mm. */
nw_status nw_drawing_bridge(const nw_drawing *drawing, const nw_fit_options *options, double width,
                            size_t each, nw_bridged *bridged, nw_error *error);
void nw_bridged_free(nw_bridged *bridged);

#ifdef __cplusplus
}
#endif

#endif
