/* Rolling the disc: where its centre is free along each part of a border. Internal. */
#ifndef NARROWS_FIT_ROLL_H
#define NARROWS_FIT_ROLL_H

#include <fit/cut.h>
#include <fit/roller.h>

/* The disc touches an element of the border: 2 i is point i, where the area lies round a corner
 * and the centre runs on an arc; 2 i + 1 is segment i, where it runs beside it. */
static inline uint32_t nw_element_point(uint32_t i)
{
    return 2 * i;
}

static inline uint32_t nw_element_segment(uint32_t i)
{
    return 2 * i + 1;
}

/* Outlines of fewer segments are not spread over threads: on a busy machine waiting for one
 * another costs more than they save. */
#define NW_SHARED_LEAST 4096

typedef struct {
    const nw_border *border;
    double radius;
    nw_free_stretch *frees; /* in the border's order */
    size_t count, capacity;
} nw_roll;

/* Tells how far the work is, unless another thread than the caller's asks for it. */
void nw_tell(const nw_fit_options *options, const char *stage, double fraction);

/* options: threads, and who is told; bit and neck are not used. */
nw_status nw_roll_make(const nw_border *border, double radius, const nw_fit_options *options,
                       nw_roll *roll, nw_error *error);

/* The same for several radii, one to NW_RADII_MOST, in ascending order: what one of them says
 * about an element often answers others. */
#define NW_RADII_MOST 16
nw_status nw_rolls_make(const nw_border *border, const double *radii, size_t radius_count,
                        const nw_fit_options *options, nw_roll *rolls, nw_error *error);
void nw_roll_free(nw_roll *roll);

/* The element that follows along the outline. */
uint32_t nw_element_next(const nw_border *border, uint32_t element);

/* How far the element's parameter runs: the segment's length or the point's turn; 0 where a
 * point gives no arc. */
double nw_element_extent(const nw_border *border, uint32_t element);

/* Where the disc's centre is, and where it touches, at a parameter of an element. */
nw_point nw_element_centre(const nw_roll *roll, uint32_t element, double at);
nw_point nw_element_foot(const nw_roll *roll, uint32_t element, double at);

/* Half of ∮ x dy - y dx along all free stretches: the area of all places of the centre (less the
 * whole plane, where the border has no end). */
double nw_roll_area(const nw_roll *roll);

#endif
