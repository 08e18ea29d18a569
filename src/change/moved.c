/*
 * Outlines before and after -> how far any of them is from where it was: the largest distance of a
 * place of either from the other's outlines (Hausdorff 1914), looked for every SPACING_MM.
 */
#include <change/widen.h>

#define SPACING_MM 0.25
#define REACH_MM 1000.0

static double farthest(const nw_border *from, const nw_border *to)
{
    double most = 0;
    for (uint32_t i = 0; i < from->count; i++) {
        int parts = (int)ceil(from->length[i] / SPACING_MM);
        for (int k = 0; k < parts; k++) {
            uint32_t segment;
            nw_point foot, p = nw_border_at(from, i, from->length[i] * k / parts);
            most = fmax(most, nw_border_nearest(to, p, REACH_MM, &segment, &foot));
        }
    }
    return most;
}

nw_status nw_outlines_moved(const nw_region *before, const nw_region *after, double *most,
                            nw_error *error)
{
    nw_border was = {0}, is = {0};
    *most = 0;
    nw_status status = nw_border_make(before, false, NULL, &was, error);
    if (status == NW_OK)
        status = nw_border_make(after, false, NULL, &is, error);
    if (status == NW_OK && was.count && is.count)
        *most = fmax(farthest(&was, &is), farthest(&is, &was));
    nw_border_free(&was);
    nw_border_free(&is);
    return status;
}
