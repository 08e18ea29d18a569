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

#include <fit/cut.h>

/* The whole fit of one bit. Cost follows the number of segments. The same input gives the same
 * bytes whatever the number of threads. NW_BAD_REQUEST for sizes that are not positive and finite
 * or above 1000 mm. */
NW_API nw_status nw_fit_run(const nw_region *region, const nw_fit_options *options, nw_fit *fit,
                            nw_error *error);
NW_API void nw_fit_free(nw_fit *fit);
/* Frees what options.with_sides kept. */
NW_API void nw_fit_sides_free(nw_fit *fit);

/* ---- one bit after another ------------------------------------------------------------------ */

/* Outlines prepared for many fits, as for a slider over all bits. */
typedef struct nw_fitter nw_fitter;

/* options: the cut and the stock, which stay. The caller frees *fitter; the region may go first. */
NW_API nw_status nw_fitter_make(const nw_region *region, const nw_fit_options *options,
                                nw_fitter **fitter, nw_error *error);
NW_API void nw_fitter_free(nw_fitter *fitter);

/* Whether the options ask for the fitter's own cut and stock. */
NW_API bool nw_fitter_serves(const nw_fitter *fitter, const nw_fit_options *options);

/* As nw_fit_run, for the fitter's outlines, cut and stock. quick: with what it has learnt about
 * them, which costs a fraction; where places tie to within 1e-9 mm the answer may differ in what
 * does not matter. Else from the outlines alone, the very same as nw_fit_run. */
NW_API nw_status nw_fitter_run(nw_fitter *fitter, const nw_fit_options *options, bool quick,
                               nw_fit *fit, nw_error *error);

/* Learns where bits of this diameter get in, for quick fits of smaller and larger ones. */
NW_API nw_status nw_fitter_learn(nw_fitter *fitter, double diameter, nw_error *error);

/* ---- the largest disc at a place ----------------------------------------------------------- */

/* Outlines prepared for many such questions. */
typedef struct nw_discs nw_discs;

typedef struct {
    nw_point at;     /* the place on the outline */
    nw_point normal; /* from there into the cut area, a unit long */
    double radius;   /* of the largest disc that touches there; its centre is at + normal radius */
} nw_disc;

/* stock may be NULL: the sheet has no end. The caller frees *discs; the region may go before. */
NW_API nw_status nw_discs_make(const nw_region *region, nw_cut cut, const nw_box *stock,
                               nw_discs **discs, nw_error *error);
NW_API void nw_discs_free(nw_discs *discs);

/* The largest disc in the cut area, up to the radius `limit`, that touches the outline where it is
 * nearest to `near`. Chords are taken for the curves they came from: the disc may cross the outline
 * by 0.008 mm. False when there is no outline. */
NW_API bool nw_discs_at(const nw_discs *discs, nw_point near, double limit, nw_disc *disc);

/* ---- the largest disc all along -----------------------------------------------------------------
 */

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
NW_API nw_status nw_outline_samples(const nw_region *region, const nw_fit_options *options,
                                    double spacing, double most, nw_sample **samples, size_t *count,
                                    nw_error *error);

/* The largest disc in the cut area, up to a diameter of `most`: its middle and diameter. */
NW_API nw_status nw_widest_place(const nw_region *region, const nw_fit_options *options,
                                 double most, nw_point *at, double *diameter, nw_error *error);

#ifdef NARROWS_INSIDE
#include <fit/border.h>
#include <fit/residue.h>
#include <fit/roll.h>
#include <fit/side.h>
#endif

#endif
