/*
 * clean: traced outlines, some of which may cross -> one clean drawing, nested into pieces. What
 * cannot be taken apart at its crossings, which has not been seen to happen, is united anew.
 */
#include "trace_internal.h"
#include "unite_internal.h"

nw_status drawing_clean(nw_drawing *drawing, nw_error *error)
{
    size_t left;
    nw_status status = drawing_uncross(drawing, TRACED_FLATNESS_PX, &left, error);
    if (status == NW_OK) {
        status = drawing_nest(drawing, TRACED_FLATNESS_PX, true, error);
    }
    if (status == NW_OK && left) {
        status = drawing_unite(drawing, drawing, error);
    }
    return status;
}
