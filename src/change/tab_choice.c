/*
 * tabs: a region and its fit -> places for small strips that hold what is cut until it is cut free
 * by hand: a part, an island, or the slug of an opening.
 *
 * Places are spread evenly round the convex hull; near each wished one the least is taken of what
 * speaks against a place and of the way there. Few and small is common practice; what is too light
 * to be thrown about gets none, as slugs of small openings.
 */
#include <change/bridges.h>
#include <change/change.h>
#include <change/tabs.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define TAB_OF_BIT 1.5   /* common practice: one to two bits wide, */
#define EACH_MM 250.0    /* one for so much of the perimeter, */
#define EACH_MM2 15000.0 /* and for so much of the area, that is weight, */
#define FEWEST 2         /* but as many as these for small parts */
#define FEWEST_LARGE 3
#define LARGE_MM 150.0 /* of perimeter */
#define MOST_AUTO 8
#define LIGHT_MM2 1500.0   /* waste up to this, as large as a matchbox, is left to fall out */
#define CRUMB_MM2 100.0    /* and up to this nobody asks about it */
#define DUST_OF_SQUARE 0.4 /* of the bit's square: half of what it covers is turned into dust, */
#define DUST_THICK 0.125   /* and so is a hair, as thin in bits; twice area over perimeter */
#define APART_WIDTHS 2.0   /* two tabs nearer than this would be one, */
#define OTHERS_WIDTHS 1.25 /* and those of two things in one another's way, */
#define LEAST_WIDTHS 0.5   /* which is better than none at all */
#define EDGE_MM 0.02       /* so far into a slug is in it for certain */
#define STARTS 48          /* turns of the even spread that are tried */
#define WAY_COST 0.9       /* of half the way to the next tab */
#define FAR_COST 1.0       /* of a place that is farther away, */
#define CROWD_COST 6.0     /* of one where the part's next tab is, none from half an even way on, */
#define MISSING_COST 20.0

typedef struct {
    nw_tab_judge judge;
    nw_slugs slugs;
    size_t asked;  /* on each; 0: as many as it takes */
    double others; /* mm between tabs of two things */
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

/* Where round the hull each place is: by the point of the hull that is nearest. */
static bool stations_set(tabbing *t)
{
    nw_point *points = nw_alloc(t->count, sizeof *points);
    for (size_t i = 0; points && i < t->count; i++)
        points[i] = t->places[i].at;
    size_t corners = 0;
    nw_point *hull = points ? nw_hull_make(points, t->count, &corners) : NULL;
    free(points);
    if (!hull)
        return false;
    double whole = 0;
    for (size_t k = 0; k < corners; k++)
        whole += nw_distance(hull[k], hull[(k + 1) % corners]);
    for (size_t i = 0; i < t->count && whole > 0; i++) {
        double least = INFINITY, before = 0;
        for (size_t k = 0; k < corners; k++) {
            nw_point a = hull[k], b = hull[(k + 1) % corners], p = t->places[i].at;
            double length = nw_distance(a, b), off = nw_segment_distance(a, b, p);
            if (off < least) {
                double along = nw_dot(nw_minus(p, a), nw_unit(a, b));
                t->places[i].station = (before + fmin(fmax(along, 0), length)) / whole;
                least = off;
            }
            before += length;
        }
    }
    free(hull);
    return true;
}

static double apart_of(const tabbing *t)
{
    return APART_WIDTHS * t->judge.width;
}

/* From the tabs that hold something else, and from those chosen already. */
static bool is_apart(const tabbing *t, nw_point p, const size_t *chosen, size_t placed)
{
    for (size_t i = 0; i < t->tabs->count; i++)
        if (nw_distance(t->tabs->tabs[i].at, p) <= t->others)
            return false;
    for (size_t i = 0; i < placed; i++)
        if (nw_distance(t->places[chosen[i]].at, p) <= apart_of(t))
            return false;
    return true;
}

/* How much nearer than half an even way round the hull a place is to those that were chosen. */
static double crowd_of(const tabbing *t, double station, double room, const size_t *chosen,
                       size_t placed)
{
    double crowd = 0;
    for (size_t k = 0; k < placed; k++) {
        double off = fabs(t->places[chosen[k]].station - station);
        crowd = fmax(crowd, 1 - fmin(off, 1 - off) / room);
    }
    return crowd;
}

/* The cheapest place near the wished one, at most half the way to the next tab if there is any;
 * count when there is none at all. */
static size_t place_near(const tabbing *t, double wished, double room, const size_t *chosen,
                         size_t placed, double *cost)
{
    size_t best = t->count;
    *cost = INFINITY;
    for (size_t i = 0; i < t->count; i++) {
        double off = fabs(t->places[i].station - wished);
        off = fmin(off, 1 - off);
        double own = t->places[i].cost + WAY_COST * off / room + (off > room ? FAR_COST : 0);
        if (own < *cost)
            own += CROWD_COST * crowd_of(t, t->places[i].station, room, chosen, placed);
        if (own < *cost && is_apart(t, t->places[i].at, chosen, placed)) {
            *cost = own;
            best = i;
        }
    }
    return best;
}

/* Places wanted tabs evenly from a start; returns how many, and what they cost. */
static size_t spread_try(const tabbing *t, size_t wanted, double start, size_t *chosen,
                         double *cost)
{
    size_t placed = 0;
    *cost = 0;
    for (size_t j = 0; j < wanted; j++) {
        double own, room = 0.5 / (double)wanted;
        size_t at = place_near(t, ((double)j + start) / (double)wanted, room, chosen, placed, &own);
        *cost += at < t->count ? own : MISSING_COST;
        if (at < t->count)
            chosen[placed++] = at;
    }
    return placed;
}

static bool tab_add(tabbing *t, const nw_tab_place *p)
{
    nw_tab tab = {p->at, p->out, p->ring, p->reasons};
    return nw_push(&t->tabs->tabs, &t->tabs->count, &t->capacity, &tab, sizeof tab);
}

/* The cheapest spread of all starts. */
static size_t spread_best(const tabbing *t, size_t wanted, size_t best[NW_TABS_MOST])
{
    double least = INFINITY, cost;
    size_t count = 0, chosen[NW_TABS_MOST];
    for (int k = 0; k < STARTS; k++) {
        size_t placed = spread_try(t, wanted, (double)k / STARTS, chosen, &cost);
        if (cost < least) {
            least = cost;
            count = placed;
            memcpy(best, chosen, placed * sizeof *chosen);
        }
    }
    return count;
}

static bool places_spread(tabbing *t, size_t wanted)
{
    size_t chosen[NW_TABS_MOST], best = 0;
    if (!stations_set(t))
        return false;
    for (int tight = 0; tight < 2 && !best; tight++) {
        t->others = (tight ? LEAST_WIDTHS : OTHERS_WIDTHS) * t->judge.width;
        best = spread_best(t, wanted, chosen);
    }
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
    if (area < CRUMB_MM2)
        return 1;
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
    double bit = t->judge.fit->options.bit;
    if (area < CRUMB_MM2 &&
        (area < DUST_OF_SQUARE * bit * bit || 2 * area < DUST_THICK * bit * length))
        return true;
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
    bool good = nw_tab_places(&t->judge, ring, &places, &count) &&
                nw_grow(&t->open, &t->open_capacity, t->open_count + count, sizeof *t->open) &&
                nw_grow(&t->slug, &t->slug_capacity, t->open_count + count, sizeof *t->slug);
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

/* The places beside a slug, and whether a tab can stand at one of them. */
static bool slug_places(tabbing *t, size_t slug)
{
    bool any = false;
    t->count = 0;
    for (size_t i = 0; i < t->open_count; i++) {
        if (t->slug[i] == slug) {
            t->places[t->count++] = t->open[i];
            any = any || t->open[i].cost < INFINITY;
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

double nw_tab_width(double asked, const nw_fit *fit)
{
    return asked > 0 ? asked : TAB_OF_BIT * fit->options.bit;
}

nw_status nw_tabs_find(const nw_region *region, const nw_fit *fit, size_t count, double width,
                       nw_tabs *tabs, nw_error *error)
{
    *tabs = (nw_tabs){.width = nw_tab_width(width, fit)};
    if (count > NW_TABS_MOST || !(tabs->width <= NW_TAB_WIDEST_MM) || width < 0)
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

const char *nw_tab_reason_name(nw_tab_reason reason)
{
    static const char *const names[] = {"off-hull", "bent", "thin", "spot", "close"};
    return names[reason];
}

const char *nw_tab_reason_words(nw_tab_reason reason)
{
    static const char *const words[] = {"where a flat sanding block does not reach", "on a bend",
                                        "on thin stock", "near a spot",
                                        "close to the next outline"};
    return words[reason];
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
