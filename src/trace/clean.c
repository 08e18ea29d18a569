/*
 * clean: traced outlines, some of which may cross -> one clean drawing, nested into pieces. What
 * cannot be taken apart at its crossings is united anew: edges that run along one another.
 */
#include <trace/tracing.h>
#include <solid/solid.h>

nw_status nw_drawing_clean(nw_drawing *drawing, nw_error *error)
{
    size_t left;
    nw_status status = nw_drawing_uncross(drawing, CROSSING_FLATNESS_PX, &left, error);
    if (status == NW_OK)
        status = nw_drawing_nest(drawing, CROSSING_FLATNESS_PX, true, error);
    if (status == NW_OK && left)
        status = nw_drawing_unite(drawing, drawing, error);
    return status;
}
