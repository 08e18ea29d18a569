/* The critical bit by itself: that of a rack without bits. */
#ifndef NARROWS_TESTS_CRITICAL_H
#define NARROWS_TESTS_CRITICAL_H

#include <choose/choose.h>

static inline nw_status critical_bit(const nw_region *region, const nw_fit_options *options,
                                     double stock, double *diameter, nw_error *error)
{
    nw_bits bits;
    nw_status status = nw_bits_compare(region, options, &(nw_rack){0}, stock, &bits, error);
    *diameter = bits.critical;
    nw_bits_free(&bits);
    return status;
}

#endif
