/* widening: a drawing whose spots are widened; and for places without room the size that has it. */
#include <change/widen.h>

#include <math.h>

#define MOST_EASE_MM 5.0
#define WORK_MOST 1.2e10
#define SIZES_FROM 1.2e10 /* work beyond this is taken from what trying other sizes may take */

nw_widen_options nw_widen_defaults(void)
{
    return (nw_widen_options){.fit = nw_fit_defaults(), .ease = 0.05};
}

nw_status nw_drawing_widen(const nw_drawing *drawing, const nw_widen_options *options,
                           nw_widened *widened, nw_error *error)
{
    *widened = (nw_widened){0};
    if (!(options->ease >= NW_LEAST_EASE_MM && options->ease <= MOST_EASE_MM)) {
        return nw_fail_advised(error, NW_BAD_REQUEST, NW_ADVICE_EASE,
                               "the ease must lie between 0.01 and 5 mm");
    }
    double most = WORK_MOST * (options->more > 0 ? options->more : 1);
    nw_work spent = {.most = most, .told = &options->fit, .stage = "widening", .whole = most};
    nw_work sizes = {.told = &options->fit, .stage = "trying other sizes", .whole = NW_SIZES_MOST};
    nw_widen_options silent = *options; /* the many fits of the way */
    silent.fit.progress = NULL;
    nw_status status = nw_widen_here(drawing, &silent, NW_MOST_TRIES, NULL, &spent, widened, error);
    sizes.done = fmax(spent.done - SIZES_FROM, 0);
    sizes.fitting = spent.fitting;
    if (status == NW_OK)
        status = nw_sizes_try(drawing, &silent, &sizes, widened, error);
    if (status != NW_OK)
        nw_widened_free(widened);
    return status;
}
