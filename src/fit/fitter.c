/*
 * fitter: the same outlines and one bit after another -> the fit of each, sooner than from scratch.
 *
 * Both sides' borders are made once. What rolling a disc shows of each part of them bounds what
 * larger and smaller discs can find there (roll.c), so after a few diameters most of the way is
 * known before it is rolled. A least neck that stays need not be rolled again at all, nor its spots
 * be found.
 */
#include <fit/fit.h>

#include <stdlib.h>
#include <string.h>

struct nw_fitter {
    nw_borders borders;
    nw_fit_options options; /* the cut and the stock */
    nw_rolled necks;        /* of the last quick fit; its diameter is 0 before */
    nw_finds neck_spots;    /* theirs, */
    double blunt;           /* for such tips */
};

nw_status nw_fitter_make(const nw_region *region, const nw_fit_options *options, nw_fitter **fitter,
                         nw_error *error)
{
    nw_fitter *made = *fitter = nw_alloc(1, sizeof **fitter);
    if (!made)
        return nw_fail_memory(error, "the outlines' segments");
    made->options = *options;
    nw_status status = nw_borders_make(region, options, &made->borders, error);
    if (status == NW_OK &&
        !(nw_border_remember(&made->borders.cut) && nw_border_remember(&made->borders.kept)))
        status = nw_fail_memory(error, "the outlines' segments");
    if (status != NW_OK) {
        nw_fitter_free(made);
        *fitter = NULL;
    }
    return status;
}

void nw_fitter_free(nw_fitter *fitter)
{
    if (!fitter)
        return;
    nw_finds_free(&fitter->neck_spots);
    nw_rolled_free(&fitter->necks);
    nw_borders_free(&fitter->borders);
    free(fitter);
}

/* The options with what stays. */
static nw_fit_options options_of(const nw_fitter *fitter, const nw_fit_options *options)
{
    nw_fit_options own = *options;
    own.cut = fitter->options.cut;
    own.has_stock = fitter->options.has_stock;
    own.stock = fitter->options.stock;
    return own;
}

/* Without a sheet that has edges its place, which moves with the bit, is nothing. */
bool nw_fitter_serves(const nw_fitter *fitter, const nw_fit_options *options)
{
    const nw_fit_options *own = &fitter->options;
    return own->cut == options->cut && own->has_stock == options->has_stock &&
           (!own->has_stock || !memcmp(&own->stock, &options->stock, sizeof own->stock));
}

static nw_status necks_find(nw_fitter *fitter, const nw_fit_options *used, nw_error *error)
{
    if (fitter->necks.diameter == used->neck && fitter->blunt == used->blunt)
        return NW_OK;
    nw_finds_free(&fitter->neck_spots);
    nw_rolled_free(&fitter->necks);
    fitter->blunt = used->blunt;
    nw_status status =
        nw_rolled_make(&fitter->borders.kept, used->neck, used, &fitter->necks, error);
    if (status == NW_OK)
        status = nw_spots_find(&fitter->necks, NW_NECK, used, &fitter->neck_spots, error);
    if (status != NW_OK)
        nw_rolled_free(&fitter->necks);
    return status;
}

static nw_status fit_quickly(nw_fitter *fitter, const nw_fit_options *options, nw_fit *fit,
                             nw_error *error)
{
    *fit = (nw_fit){0};
    nw_fit_options used = *options;
    nw_rolled gaps = {0};
    nw_status status = nw_fit_options_fill(&used, error);
    if (status == NW_OK)
        status = necks_find(fitter, &used, error);
    if (status == NW_OK)
        status = nw_rolled_make(&fitter->borders.cut, used.bit, &used, &gaps, error);
    if (status == NW_OK)
        status =
            nw_fit_of_sides(&gaps, &fitter->necks, &fitter->neck_spots, NULL, &used, fit, error);
    nw_rolled_free(&gaps);
    return status;
}

nw_status nw_fitter_run(nw_fitter *fitter, const nw_fit_options *options, bool quick, nw_fit *fit,
                        nw_error *error)
{
    nw_fit_options own = options_of(fitter, options);
    if (quick)
        return fit_quickly(fitter, &own, fit, error);
    nw_borders plain = fitter->borders;
    plain.cut.fates = plain.kept.fates = NULL;
    plain.cut.balls = plain.kept.balls = NULL;
    return nw_fit_run_on(&plain, &own, fit, error);
}

nw_status nw_fitter_learn(nw_fitter *fitter, double diameter, nw_error *error)
{
    nw_fit_options used = nw_fit_defaults();
    used.bit = diameter;
    nw_status status = nw_fit_options_fill(&used, error);
    const nw_border *sides[] = {&fitter->borders.cut, &fitter->borders.kept};
    for (int k = 0; k < 2 && status == NW_OK; k++) {
        nw_roll roll;
        status = nw_roll_make(sides[k], nw_rolled_radius(diameter), &used, &roll, error);
        nw_roll_free(&roll);
    }
    return status;
}
