/*
 * tabs by hand: places that somebody chose -> tabs at the nearest places of the outlines where the
 * bit runs and a tab holds, with what speaks against each.
 */
#include <change/tabs.h>

#include <math.h>
#include <stdlib.h>

#define NEAR_BITS 1.5 /* so far from the outline, and a tab's width, is not meant for it */

/* Of the ring's places those that are nearer than what was found before. */
static bool nearest_find(const nw_tab_judge *judge, size_t ring, const nw_places *wanted,
                         nw_tab_place *found, double *apart)
{
    nw_tab_place *places;
    size_t count;
    bool good = nw_tab_places(judge, ring, &places, &count);
    for (size_t i = 0; i < count && good; i++) {
        for (size_t k = 0; k < wanted->count; k++) {
            double far = nw_distance(places[i].at, wanted->items[k]);
            if (places[i].cost < INFINITY && far < apart[k]) {
                found[k] = places[i];
                apart[k] = far;
            }
        }
    }
    free(places);
    return good;
}

static bool all_find(const nw_tab_judge *judge, const nw_places *wanted, nw_tabs *tabs)
{
    nw_tab_place found[NW_PLACES_MOST];
    double apart[NW_PLACES_MOST];
    double meant = tabs->width + NEAR_BITS * judge->fit->options.bit;
    bool good = true;
    for (size_t k = 0; k < wanted->count; k++)
        apart[k] = meant;
    for (size_t ring = 0; ring < judge->region->count && good; ring++)
        good = nearest_find(judge, ring, wanted, found, apart);
    tabs->tabs = nw_alloc(wanted->count, sizeof *tabs->tabs);
    for (size_t k = 0; k < wanted->count && good && tabs->tabs; k++) {
        const nw_tab_place *p = &found[k];
        if (apart[k] < meant)
            tabs->tabs[tabs->count++] = (nw_tab){p->at, p->out, p->ring, p->reasons};
    }
    tabs->missing = wanted->count - tabs->count;
    return good && tabs->tabs;
}

nw_status nw_tabs_at(const nw_region *region, const nw_fit *fit, const nw_places *places,
                     double width, nw_tabs *tabs, nw_error *error)
{
    *tabs = (nw_tabs){.width = nw_tab_width(width, fit)};
    if (!(tabs->width > 0 && tabs->width <= NW_TAB_WIDEST_MM))
        return nw_fail(error, NW_BAD_REQUEST, "a tab is at most 100 mm wide");
    nw_tab_judge judge;
    nw_status status = nw_tab_judge_start(&judge, region, fit, tabs->width, error);
    if (status == NW_OK && !all_find(&judge, places, tabs))
        status = nw_fail_memory(error, "the tabs");
    nw_tab_judge_free(&judge);
    if (status != NW_OK)
        nw_tabs_free(tabs);
    return status;
}
