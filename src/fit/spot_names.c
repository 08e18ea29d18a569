/* spot_names: the words for cuts, sides and forms that output, files and the command line share. */
#include <fit/cut.h>

const char *nw_cut_name(nw_cut cut)
{
    return cut == NW_CUT_INSIDE ? "inside" : cut == NW_CUT_OUTSIDE ? "outside" : "pocket";
}

const char *nw_side_name(nw_side side)
{
    return side == NW_GAP ? "gap" : "neck";
}

const char *nw_form_name(nw_form form)
{
    return form == NW_PINCH ? "pinch" : form == NW_STUB ? "stub" : "miss";
}
