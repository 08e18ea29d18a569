/* unheld_names: the words for why a piece is not held, and why a bridge is only second best. */
#include <change/change.h>

const char *nw_unheld_name(nw_unheld_reason reason)
{
    static const char *const names[] = {"far",    "loose", "footing", "crowded",
                                        "closes", "crumb", "by-hand"};
    return names[reason];
}

const char *nw_unheld_words(nw_unheld_reason reason)
{
    static const char *const words[] = {"no straight way leads across the cut",
                                        "the only ways lead to what is not held either",
                                        "no stretch of its edge carries so wide a strip",
                                        "the only places are beside other bridges",
                                        "it would close the way for the bit",
                                        "it is too small for so long a bridge",
                                        "none was put there"};
    return words[reason];
}

const char *nw_bridge_reason_name(nw_bridge_reason reason)
{
    static const char *const names[] = {"crooked", "detail", "long", "spot"};
    return names[reason];
}

const char *nw_bridge_reason_words(nw_bridge_reason reason)
{
    static const char *const words[] = {"not square to an edge", "at a corner or a detail",
                                        "longer than three times the shortest way",
                                        "with a new spot beside it"};
    return words[reason];
}
