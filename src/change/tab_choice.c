/*
 * tabs: a region and its fit -> places for small strips that hold what is cut until it is cut free
 * by hand: a part, an island, or the slug of an opening.
 *
 * Of the good places on its outline those are taken that are spread most evenly. Few and small is
 * common practice; what is too light to be thrown about gets none, as slugs of small openings.
 */
#include <change/bridges.h>
#include <change/change.h>
#include <change/tabs.h>

#include <math.h>
#include <stdlib.h>

#define TAB_OF_BIT 1.5   /* common practice: one to two bits wide, */
#define EACH_MM 250.0    /* one for so much of the perimeter, */
#define EACH_MM2 15000.0 /* and for so much of the area, that is weight, */
#define FEWEST 2         /* but as many as these for small parts */
#define FEWEST_LARGE 3
#define LARGE_MM 150.0 /* of perimeter */
#define MOST_AUTO 8
#define LIGHT_MM2 1500.0 /* waste up to this, as large as a matchbox, is left to fall out */
#define CRUMB_MM2 100.0  /* and up to this nobody asks about it */
#define APART_WIDTHS 2.0 /* two tabs nearer than this would be one */
#define EDGE_MM 0.02     /* so far into a slug is in it for certain */
#define STARTS 48        /* turns of the even spread that are tried */

typedef struct {
    nw_tab_judge judge;
    nw_slugs slugs;
    size_t asked; /* on each; 0: as many as it takes */
    nw_tabs *tabs;
    size_t capacity;
    /* all places in openings, and the slug behind each */
    nw_tab_place *open;
    size_t *slug, open_count, open_capacity, slug_capacity;
    /* what is to be held now */
    nw_tab_place *places;
    size_t count;
} tabbing;

/* ---- spreading ------------------------------------------------------------------------------ */

static size_t distance_round(size_t a, size_t b, size_t count)
{
    size_t d = a > b ? a - b : b - a;
    return d < count - d ? d : count - d;
}

/* The best good place near the wished one, straight ones first; count when there is none. */
static size_t place_near(const tabbing *t, size_t wished, size_t room)
{
    size_t best = t->count, least = SIZE_MAX;
    for (size_t k = 0; k <= 2 * room; k++) {
        size_t i = (wished + t->count - room + k) % t->count;
        size_t cost = distance_round(i, wished, t->count) + (t->places[i].straight ? 0 : room);
        if (t->places[i].good && cost < least) {
            least = cost;
            best = i;
        }
    }
    return best;
}

static double apart_of(const tabbing *t)
{
    return APART_WIDTHS * t->judge.width;
}

/* From the tabs that hold something else. */
static bool is_apart(const tabbing *t, nw_point p)
{
    for (size_t i = 0; i < t->tabs->count; i++)
        if (nw_distance(t->tabs->tabs[i].at, p) <= apart_of(t))
            return false;
    return true;
}

/* Places wanted tabs evenly from a start; returns how many and the least distance of two. */
static size_t spread_try(const tabbing *t, size_t wanted, double start, size_t *chosen,
                         size_t *apart)
{
    size_t placed = 0, room = t->count / wanted / 2;
    room = room > 0 ? room - (2 * room >= t->count) : 0;
    for (size_t j = 0; j < wanted; j++) {
        double share = ((double)j + start) / (double)wanted;
        size_t at = place_near(t, (size_t)(share * (double)t->count) % t->count, room);
        bool room_left = at < t->count && is_apart(t, t->places[at].at);
        for (size_t k = 0; room_left && k < placed; k++)
            room_left = nw_distance(t->places[at].at, t->places[chosen[k]].at) > apart_of(t);
        if (room_left)
            chosen[placed++] = at;
    }
    *apart = t->count;
    for (size_t j = 0; j < placed; j++)
        for (size_t k = 0; k < j; k++) {
            size_t d = distance_round(chosen[j], chosen[k], t->count);
            *apart = d < *apart ? d : *apart;
        }
    return placed;
}

static bool tab_add(tabbing *t, const nw_tab_place *p)
{
    void *items = t->tabs->tabs;
    bool good = nw_grow(&items, &t->capacity, t->tabs->count + 1, sizeof *t->tabs->tabs);
    t->tabs->tabs = items;
    if (good)
        t->tabs->tabs[t->tabs->count++] = (nw_tab){p->at, p->out, p->ring};
    return good;
}

static bool places_spread(tabbing *t, size_t wanted)
{
    size_t best = 0, best_apart = 0, apart, chosen[NW_TABS_MOST];
    double start = 0;
    for (int k = 0; k < STARTS; k++) {
        size_t placed = spread_try(t, wanted, (double)k / STARTS, chosen, &apart);
        if (placed > best || (placed == best && apart > best_apart)) {
            best = placed;
            best_apart = apart;
            start = (double)k / STARTS;
        }
    }
    best = spread_try(t, wanted, start, chosen, &apart);
    bool cut = false, good = true;
    for (size_t i = 0; i < t->count; i++)
        cut = cut || t->places[i].cut;
    t->tabs->missing += cut ? wanted - best : 0; /* what is not cut at all needs none */
    t->tabs->bare += cut && !best;
    for (size_t j = 0; j < best && good; j++)
        good = tab_add(t, &t->places[chosen[j]]);
    return good;
}

/* How many a thing gets; waste is not worth as much as a part. */
static size_t wanted_of(const tabbing *t, double length, double area, bool waste)
{
    if (waste && area < (t->asked ? CRUMB_MM2 : LIGHT_MM2))
        return 0;
    if (t->asked)
        return t->asked;
    size_t least = length > LARGE_MM ? FEWEST_LARGE : FEWEST;
    size_t wanted = (size_t)fmin(ceil(fmax(length / EACH_MM, area / EACH_MM2)), MOST_AUTO);
    return wanted > least ? wanted : least;
}

/* ---- parts and slugs ------------------------------------------------------------------------ */

static bool part_hold(tabbing *t, size_t ring)
{
    const nw_region *region = t->judge.region;
    bool island = t->judge.fit->options.cut != NW_CUT_OUTSIDE;
    double area = fabs(nw_ring_area(region, ring)), length = nw_ring_length(region, ring);
    size_t wanted = wanted_of(t, length, area, island);
    t->tabs->light += wanted == 0 && area >= CRUMB_MM2;
    if (!wanted)
        return true;
    bool good = nw_tab_places(&t->judge, ring, &t->places, &t->count);
    good = good && places_spread(t, wanted);
    free(t->places);
    return good;
}

/* Adds the places of an opening's ring that lie beside a slug, which is `bit` away. */
static bool opening_add(tabbing *t, size_t ring)
{
    nw_tab_place *places;
    size_t count;
    void *open = t->open, *slug = t->slug;
    bool good = nw_tab_places(&t->judge, ring, &places, &count);
    good = good && nw_grow(&open, &t->open_capacity, t->open_count + count, sizeof *t->open);
    t->open = open;
    good = good && nw_grow(&slug, &t->slug_capacity, t->open_count + count, sizeof *t->slug);
    t->slug = slug;
    for (size_t i = 0; i < count && good; i++) {
        double deep = t->judge.fit->options.bit + EDGE_MM;
        size_t behind = nw_slug_at(&t->slugs, nw_plus(places[i].at, places[i].out, deep));
        if (behind != SIZE_MAX) {
            t->open[t->open_count] = places[i];
            t->slug[t->open_count++] = behind;
        }
    }
    free(places);
    return good;
}

/* The places beside a slug, and whether one of them is good. */
static bool slug_places(tabbing *t, size_t slug)
{
    bool any = false;
    t->count = 0;
    for (size_t i = 0; i < t->open_count; i++) {
        if (t->slug[i] == slug) {
            t->places[t->count++] = t->open[i];
            any = any || t->open[i].good;
        }
    }
    return any;
}

static bool slug_hold(tabbing *t, size_t slug)
{
    double length = nw_ring_length(&t->slugs.rings, slug), area = t->slugs.areas[slug];
    size_t wanted = wanted_of(t, length, area, true);
    t->tabs->light += wanted == 0 && area >= CRUMB_MM2;
    if (!wanted)
        return true;
    if (!slug_places(t, slug)) {
        t->tabs->missing += wanted;
        t->tabs->bare++;
        return true;
    }
    return places_spread(t, wanted);
}

static bool slugs_hold(tabbing *t)
{
    const nw_region *region = t->judge.region;
    bool good = true;
    for (size_t k = 0; k < region->count && good; k++)
        good = nw_tab_on_part(&t->judge, k) || opening_add(t, k);
    t->places = nw_alloc(t->open_count, sizeof *t->places);
    good = good && t->places;
    for (size_t k = 0; k < t->slugs.rings.count && good; k++)
        if (nw_ring_area(&t->slugs.rings, k) > 0)
            good = slug_hold(t, k);
    free(t->places);
    return good;
}

static bool all_hold(tabbing *t)
{
    const nw_region *region = t->judge.region;
    bool good = true;
    for (size_t k = 0; k < region->count && good; k++)
        good = !nw_tab_on_part(&t->judge, k) || part_hold(t, k);
    return good && slugs_hold(t);
}

nw_status nw_tabs_find(const nw_region *region, const nw_fit *fit, size_t count, double width,
                       nw_tabs *tabs, nw_error *error)
{
    *tabs = (nw_tabs){.width = width > 0 ? width : TAB_OF_BIT * fit->options.bit};
    if (count > NW_TABS_MOST || !(tabs->width <= 100) || width < 0)
        return nw_fail(error, NW_BAD_REQUEST,
                       "a part takes at most 100 tabs, each at most 100 mm wide");
    tabbing t = {.asked = count, .tabs = tabs};
    nw_status status = nw_tab_judge_start(&t.judge, region, fit, tabs->width, error);
    if (status == NW_OK)
        status = nw_slugs_find(region, fit, &t.slugs, error);
    if (status == NW_OK && !all_hold(&t))
        status = nw_fail_memory(error, "the tabs");
    nw_tab_judge_free(&t.judge);
    nw_slugs_free(&t.slugs);
    free(t.open);
    free(t.slug);
    if (status != NW_OK)
        nw_tabs_free(tabs);
    return status;
}

void nw_tabs_free(nw_tabs *tabs)
{
    if (!tabs)
        return;
    free(tabs->tabs);
    *tabs = (nw_tabs){0};
}

nw_status nw_tabs_lines(const nw_tabs *tabs, double bit, nw_drawing *lines, nw_error *error)
{
    *lines = (nw_drawing){0};
    for (size_t i = 0; i < tabs->count; i++) {
        const nw_tab *tab = &tabs->tabs[i];
        nw_path path = {.start = nw_plus(tab->at, tab->out, -bit / 2), .piece = i};
        bool good = nw_path_line(&path, nw_plus(tab->at, tab->out, 1.5 * bit)) &&
                    nw_drawing_add(lines, &path);
        nw_path_free(&path);
        if (!good) {
            nw_drawing_free(lines);
            return nw_fail_memory(error, "the tabs");
        }
    }
    return NW_OK;
}
