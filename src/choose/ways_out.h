/* The searches for critical bits and sizes, on borders made before. Internal. */
#ifndef NARROWS_FIT_WAYS_H
#define NARROWS_FIT_WAYS_H

#include <choose/judge.h>

/* A bit with the least neck that goes along with it. */
nw_trial nw_bit_trial(const nw_fit_options *options, double stock, double bit);

/* nw_bit_critical where it is known that `low` passes (0: nothing is) and `high` does not (0: no
 * such is known, but low is above 0). */
nw_status nw_bit_critical_between(const nw_borders *borders, const nw_fit_options *options,
                                  double stock, double low, double high, double *diameter,
                                  nw_error *error);

/* nw_size_critical with a judge that has started at options' bit and neck. */
nw_status nw_size_critical_from(const nw_drawing *drawing, const nw_fit_options *options,
                                nw_judge *judge, nw_judgement first, double *factor,
                                nw_error *error);

#endif
