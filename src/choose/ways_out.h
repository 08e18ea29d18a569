/* The searches for critical bits and sizes, on borders made before. Internal. */
#ifndef NARROWS_CHOOSE_WAYS_OUT_H
#define NARROWS_CHOOSE_WAYS_OUT_H

#include <choose/judge.h>

/* A bit of the rack with the diameter that counts. */
typedef struct {
    size_t bit;
    double diameter;
} nw_cutting_bit;

/* The rack's bits that can be judged and cut through the stock, largest first; bits has room for
 * all. Returns how many. (rack.c) */
size_t nw_rack_cutting(const nw_rack *rack, nw_cut cut, double stock, nw_cutting_bit *bits);

/* A bit with the least neck that goes along with it. */
nw_trial nw_bit_trial(const nw_fit_options *options, double stock, double bit);

/* nw_bits' critical bit where it is known that `low` passes (0: nothing is) and `high` does not (0:
 * no such is known, but low is above 0). */
nw_status nw_bit_critical_between(const nw_borders *borders, const nw_fit_options *options,
                                  double stock, double low, double high, double *diameter,
                                  nw_error *error);

/* nw_size_critical with a judge that has started at options' bit and neck. suggested: only up to
 * NW_SIZE_WORTH, and such that the width is whole millimetres, tenths under 10 mm; where it fits, 1
 * where no such is smaller. */
nw_status nw_size_critical_from(const nw_drawing *drawing, const nw_fit_options *options,
                                nw_judge *judge, nw_judgement first, bool suggested, double *factor,
                                nw_error *error);

/* Of a drawing that does not fit but may at `wide` mm, the smallest factor as above up to that,
 * found by halving with the drawing itself, flattened anew; 0 where it does not. For outlines that
 * touch or cross by less than flattening is off by: chords drawn for one size tell nothing of
 * another. */
nw_status nw_size_tried(const nw_drawing *drawing, const nw_fit_options *options, double wide,
                        double *factor, nw_error *error);

/* Where nothing fits, the closest of the bits, smallest first, or of the sizes, largest first: with
 * the fewest spots of those that leave NW_NEAR_SHARE of the cut area or less, and the last of such;
 * the first of all where that leaves more. Fewest of all would be a bit that misses the whole art
 * in one spot. */
typedef struct {
    size_t index; /* SIZE_MAX: none yet */
    size_t spots;
    double share; /* of the cut area that is left */
    bool beyond;  /* the last left more, and so will all that follow */
} nw_closest;

nw_closest nw_closest_none(void);
/* The share of the cut area, and the spots, beyond which the next one is not the closest, or no
 * help: more need not be told from one another. */
nw_leavings nw_closest_most(const nw_closest *closest, const nw_fit *own);
/* Whether so many of the fit's pinches are too narrow for the trial's discs too that it is not
 * near, nor is anything between: residues grow together, but never those of two spots at hand. */
bool nw_closest_none_near(const nw_fit *own, nw_trial trial);
/* Whether spots counted on chords drawn for another size are surely more than are worth widening.
 */
bool nw_closest_too_many(size_t spots);
/* Whether this one is the closest so far. */
bool nw_closest_take(nw_closest *closest, size_t index, size_t spots, double share);
/* The same of what is known without a fit, up to that share. */
bool nw_closest_count(nw_closest *closest, size_t index, size_t spots, double share);

/* Whether it is worth more than the bit in hand: it leaves little where that leaves much, or fewer
 * spots; where it leaves much too, fewer spots and less than half as much. */
bool nw_closest_helps(const nw_closest *closest, const nw_fit *own);

/* The closest of the sizes that nw_sizes_compare looks at, larger than the drawing's own. */
nw_status nw_size_near(const nw_drawing *drawing, const nw_region *region, const nw_fit *own,
                       nw_ways *ways, nw_error *error);

#endif
