/*
 * choose: which bit, which size, which pair of bits.
 */
#ifndef NARROWS_CHOOSE_H
#define NARROWS_CHOOSE_H

#include <fit/fit.h>
#include <pieces/pieces.h>

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
NW_API nw_status nw_rack_read(const char *text, size_t length, const char *file, nw_rack *rack,
                              nw_error *error);

/* The built-in rack: common inch and metric sizes (fractions of an inch; GB/T 1112.1-1997). */
NW_API nw_status nw_rack_common(nw_rack *rack, nw_error *error);
NW_API void nw_rack_free(nw_rack *rack);

/* The diameter that counts: at the stock's top face when the tip just goes through. stock of 0
 * (not known) gives a straight bit's diameter, and a tapered or V bit's tip. */
NW_API double nw_bit_at_top(const nw_bit *bit, double stock);

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
    size_t least;    /* when none fits: with the fewest spots of those that leave NW_NEAR_SHARE of
                        the cut area or less, the largest of such; where none leaves so little, that
                        which leaves least; else, and where no bit cuts anything, count. Shares are
                        of the narrowest bit's cut area, for outside the art a wide bit's is
                        larger */
    size_t closest;  /* the same if that comes near (nw_fit_comes_near), else count */
    double critical; /* of any size the largest that leaves no spot, to 2 NW_CRITICAL_MM: it passes,
                        and one 0.01 mm larger does not; 0 when none of 0.1 mm or more does,
                        INFINITY when NW_BIT_MOST does */
} nw_bits;

/* The least neck for a bit as the options say: theirs, else the bit's diameter, or the stock's
 * thickness if that is more. */
NW_API double nw_bit_neck(const nw_fit_options *options, double diameter, double stock);

/* Runs the fit for every bit of the rack, bits spread over the cores. options->bit is not used;
 * options->neck of 0: see nw_bit_neck. stock: thickness in mm, 0: not known. The critical bit is
 * found for a rack without bits too. */
NW_API nw_status nw_bits_compare(const nw_region *region, const nw_fit_options *options,
                                 const nw_rack *rack, double stock, nw_bits *bits, nw_error *error);
NW_API void nw_bits_free(nw_bits *bits);

/* ---- ways out
 * -----------------------------------------------------------------------------------*/

#define NW_CRITICAL_MM 0.001 /* how closely critical diameters are found */
#define NW_SIZE_MOST 100.0   /* times the size: beyond that no one asks */
#define NW_SIZE_WORTH 4.0    /* beyond that, sixteen times the stock, no size is a way out */
#define NW_BIT_LEAST_MM 0.1  /* under it no cutter is sold (common practice) */
#define NW_NEAR_SHARE 0.01   /* of the cut area: what loses no more is nearly all that is wanted */
/* Of the cut area, and of spots: what leaves more of either does not come near. The one cuts
 * another art, the other is more work than drawing anew. */
#define NW_NEAR_MOST 0.1
#define NW_NEAR_SPOTS 60

/* The smallest factor of size at which options->bit and its least neck leave no spot, and 1 %
 * smaller does; when it fits as it is, how much smaller it may become before it does not. The
 * drawing itself, enlarged and flattened, has passed the check at this size. 0 when no factor up to
 * NW_SIZE_MOST does: a point touch, or a tip too sharp for any bit. The factor makes the drawing's
 * width a multiple of 0.01 mm (0.001 mm under 10 mm), rounded up. */
NW_API nw_status nw_size_critical(const nw_drawing *drawing, const nw_region *region,
                                  const nw_fit_options *options, double *factor, nw_error *error);

/* ---- every size side by side ----------------------------------------------------------------- */

typedef struct {
    size_t pinches, stubs, misses; /* gaps, by form */
    size_t necks;
} nw_spot_counts;

NW_API nw_spot_counts nw_spots_count(const nw_fit *fit);

typedef struct {
    double width, height; /* mm */
    nw_spot_counts counts;
    nw_fit fit; /* without shapes */
} nw_size_result;

typedef struct {
    nw_size_result *results; /* by width */
    size_t count;
    size_t smallest; /* from this one on all fit; count: not even the largest does */
    size_t least;    /* when none fits: with the fewest spots of those that leave NW_NEAR_SHARE of
                        the cut area or less, the smallest of such; where none leaves so little,
                        that which leaves least; else, and where nothing is cut at any, count.
                        Shares are of the least cut area, all areas as parts of the art */
    size_t closest;  /* the same if that comes near (nw_fit_comes_near), else count */
} nw_sizes;

/* Runs the fit of options->bit at widths from half the drawing's own to NW_SIZE_WORTH times it,
 * whole millimetres (tenths under 10 mm) but its own, and at the smallest of those that fits. The
 * sheet is not used. options->neck of 0: see nw_bit_neck. region: the drawing, flattened. */
NW_API nw_status nw_sizes_compare(const nw_drawing *drawing, const nw_region *region,
                                  const nw_fit_options *options, double stock, nw_sizes *sizes,
                                  nw_error *error);
NW_API void nw_sizes_free(nw_sizes *sizes);

/* The share of the cut area that stays uncut, 0 to 1. */
static inline double nw_fit_unreached(const nw_fit *fit)
{
    return fit->area_cut > 0 ? fit->area_unreached / fit->area_cut : 0;
}

/* Is anything of it cut? */
static inline bool nw_fit_cuts(const nw_fit *fit)
{
    return fit->path_length > 0;
}

/* Does it leave so little that it may be chosen all the same? */
static inline bool nw_fit_comes_near(const nw_fit *fit)
{
    return nw_fit_unreached(fit) <= NW_NEAR_MOST && fit->spot_count <= NW_NEAR_SPOTS;
}

/* What is left without some pieces that are little beside the rest. */
typedef struct {
    size_t pieces;        /* so many; 0: more than half of the spots would be left */
    size_t spots;         /* that are left, found by a fit */
    double width, height; /* of the rest then, mm */
} nw_way_less;

/* Every remedy when options->bit does not fit; when it does, how far one may go. */
typedef struct {
    bool fits;
    size_t bit;           /* the largest bit of the rack that fits; rack->count when none does */
    double bit_diameter;  /* of that bit, at the stock's top face */
    double factor;        /* as nw_size_critical, but that the width is whole millimetres (tenths
                             under 10 mm), rounded up and tried; 0 where none up to NW_SIZE_WORTH
                             does, 1 where the art may not shrink */
    double width, height; /* at that factor */
    double longer;        /* side of the art as it is */
    double blunt;         /* where only tips stand in the way: with this as options->blunt, whole
                             tenths of a millimetre, it has been found to fit; else 0 */
    size_t tips;          /* that many of them */
    double margin;        /* beside the art, on every side of which the sheet has room for so much,
                             whole tenths of a millimetre: it leaves fewer spots; else 0 */
    size_t margin_spots;  /* so many, found by a fit */
    nw_way_less less[NW_PIECE_GUESSES]; /* without what was taken for such; see nw_ways_without */
    /* When no bit, or no size, does: the closest smaller bit and larger width, as nw_bits and
     * nw_sizes have it; rack->count and 0 where there is none to tell of. */
    size_t near_bit, near_bit_spots, near_size_spots;
    double near_bit_diameter, near_width, near_bit_share, near_size_share;
    size_t places;        /* spots that can be opened or thickened */
    double widen_most;    /* the most that one of them must become wider */
    double widen_area;    /* widening times length of all of them, mm² */
    size_t stubs, misses; /* among the places: ends and whole pieces, which need their own remedy */
    size_t crumbs;        /* spots that widening leaves out of the art */
    size_t blind;         /* spots to which no width can be given */
} nw_ways;

/* fit: the fit of options->bit; options.with_sides there makes it sooner. stock: thickness in mm,
 * 0: not known. */
NW_API nw_status nw_ways_find(const nw_drawing *drawing, const nw_region *region,
                              const nw_fit_options *options, const nw_fit *fit, const nw_rack *rack,
                              double stock, nw_ways *ways, nw_error *error);

/* Of a fit that fails: whether leaving out a caption, dust or what touches the picture's edge
 * helps, all that was taken for such, where it is little beside the rest. pieces: the art's, by
 * which the drawing's paths are numbered; size: what was asked for, which the rest takes then, wide
 * or high, 0: not given. Sets ways->less. */
NW_API nw_status nw_ways_without(const nw_drawing *drawing, const nw_pieces *pieces, nw_point size,
                                 const nw_fit *fit, nw_ways *ways, nw_error *error);

/* ---- two bits ------------------------------------------------------------------------------ */

/* A large bit runs the whole outline, a small one only where the large one leaves something. */
typedef struct {
    size_t large, small;       /* indices into the rack */
    double large_mm, small_mm; /* diameters that count */
    double large_path;         /* mm that the large bit's centre runs */
    double small_path;         /* mm that the small one runs: beside what the large one missed, and
                                  NW_PAIR_OVERLAP on at both ends of each piece */
    double remains;            /* mm² that the large one leaves */
    double left;               /* mm² that both leave */
    double share;              /* of the time that the small bit would take alone */
    double minutes;            /* for both paths at the rack's feeds; NW_NONE: a feed is missing */
} nw_pair;

typedef struct {
    nw_pair *pairs; /* the soonest first */
    size_t count;
    bool by_time; /* the first has a time */
    bool fits; /* the small bit of these pairs leaves no spot; else no bit of the rack does, and the
                  small one is the smallest */
} nw_pairs;

/* Every pair of the rack's bits whose small one fits and has more to do than its own width, but for
 * bits that cannot be judged or whose flutes are shorter than the stock. options->bit: not used. */
NW_API nw_status nw_pairs_compare(const nw_region *region, const nw_fit_options *options,
                                  const nw_rack *rack, double stock, nw_pairs *pairs,
                                  nw_error *error);
NW_API void nw_pairs_free(nw_pairs *pairs);

#define NW_PAIR_OVERLAP 1.0 /* small bits: so far its pieces go on over what the large one cuts */

/* The drawing's outlines in pieces, by who cuts them, the large bit first: open paths, closed where
 * a whole outline is one piece. The small one's go on at both ends, so that no step stays. region:
 * the drawing, flattened. All three drawings must be freed. */
NW_API nw_status nw_pair_pieces(const nw_drawing *drawing, const nw_region *region,
                                const nw_fit_options *options, double large_mm, double small_mm,
                                nw_drawing *large, nw_drawing *small, nw_drawing *left,
                                nw_error *error);

#endif
