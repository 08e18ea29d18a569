/* names: the words for cuts, sides, forms and reasons that output, files and the command line
 * share. */
#include <fit/fit.h>

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

const char *nw_unheld_name(nw_unheld_reason reason)
{
    static const char *const names[] = {"far", "loose", "footing", "crowded", "closes"};
    return names[reason];
}

const char *nw_unheld_words(nw_unheld_reason reason)
{
    static const char *const words[] = {
        "no straight way leads across the cut", "the only ways lead to what is not held either",
        "no stretch of its edge carries so wide a strip",
        "the only places are beside other bridges", "it would close the way for the bit"};
    return words[reason];
}
