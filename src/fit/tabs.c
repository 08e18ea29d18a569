/*
 * tabs: a region and its fit -> places for small strips that hold each part until it is cut free.
 *
 * Every part's outline is gone over in small steps, and each place judged: does the bit run there,
 * is the stock thick enough to carry a tab, is the stretch nearly straight, does a flat sanding
 * block reach it (it lies on the part's convex hull; Andrew 1979), is no spot near? Of the good
 * places those are taken that are spread most evenly round the part. Few and small is common
 * practice.
 */
#include <fit/bridges.h>

#include <math.h>
#include <stdlib.h>

#define STEP_MM 0.5
#define LEAST_PLACES 64.0
#define MOST_PLACES 1500.0
#define HULL_MM 0.05        /* further in, a sanding block does not reach */
#define CURVED_SHARE 0.08   /* a stretch that bulges more than this share of it is a tight curve */
#define STRAIGHT_SHARE 0.02 /* and one that bulges less is straight */
#define THICK_OF_WIDTH 1.5  /* the stock at a tab holds a disc of this many widths */
#define TAB_OF_BIT 1.5      /* common practice: one to two bits wide, */
#define EACH_MM 250.0       /* one for so much of the perimeter, */
#define EACH_MM2 15000.0    /* and for so much of the part's area, that is weight, */
#define FEWEST 2            /* but as many as these for small parts */
#define FEWEST_LARGE 3
#define LARGE_MM 150.0 /* of perimeter */
#define MOST_AUTO 8
#define APART_WIDTHS 2.0 /* two tabs nearer than this would be one */
#define STARTS 48        /* turns of the even spread that are tried */

typedef struct {
    nw_point at, along;
    bool good, straight, cut; /* cut: the bit runs here */
} place;

typedef struct {
    const nw_region *region;
    const nw_fit *fit;
    nw_border cut, kept;
    double width;
    nw_tabs *tabs;
    size_t capacity;
    /* the ring in hand */
    size_t ring;
    place *places;
    size_t count;
    double length;
    nw_point *hull;
    size_t hull_count;
} tabbing;

static double cross_of(nw_point o, nw_point a, nw_point b)
{
    return nw_cross(nw_minus(a, o), nw_minus(b, o));
}

static int points_order(const void *a, const void *b)
{
    const nw_point *p = a, *q = b;
    if (p->x != q->x)
        return p->x < q->x ? -1 : 1;
    return (p->y > q->y) - (p->y < q->y);
}

/* Counter-clockwise; hull has room for twice the points. */
static size_t hull_make(nw_point *points, size_t count, nw_point *hull)
{
    size_t n = 0;
    qsort(points, count, sizeof *points, points_order);
    for (size_t i = 0; i < count; i++) {
        while (n >= 2 && cross_of(hull[n - 2], hull[n - 1], points[i]) <= 0)
            n--;
        hull[n++] = points[i];
    }
    size_t lower = n + 1;
    for (size_t i = count - 1; i-- > 0;) {
        while (n >= lower && cross_of(hull[n - 2], hull[n - 1], points[i]) <= 0)
            n--;
        hull[n++] = points[i];
    }
    return n - 1;
}

static bool on_hull(const tabbing *t, nw_point p)
{
    for (size_t i = 0; i < t->hull_count; i++) {
        nw_point a = t->hull[i], b = t->hull[(i + 1) % t->hull_count];
        double length = nw_distance(a, b);
        if (length > 0 && cross_of(a, b, p) <= HULL_MM * length)
            return true;
    }
    return false;
}

static double ring_length(const nw_region *region, size_t ring)
{
    size_t first = region->starts[ring], end = region->starts[ring + 1];
    double length = 0;
    for (size_t i = first; i < end; i++)
        length += nw_distance(region->points[i], region->points[i + 1 < end ? i + 1 : first]);
    return length;
}

static void places_set(tabbing *t)
{
    const nw_region *region = t->region;
    size_t first = region->starts[t->ring], end = region->starts[t->ring + 1], n = 0;
    double station = 0, step = t->length / (double)t->count;
    for (size_t i = first; i < end; i++) {
        nw_point a = region->points[i], b = region->points[i + 1 < end ? i + 1 : first];
        double length = nw_distance(a, b);
        nw_point along = {(b.x - a.x) / length, (b.y - a.y) / length};
        for (; n < t->count && ((double)n + 0.5) * step < station + length; n++)
            t->places[n] = (place){.at = nw_plus(a, along, ((double)n + 0.5) * step - station),
                                   .along = along};
        station += length;
    }
    t->count = n;
}

/* How far the places within half of a tab and a bit of this one leave the line between the two
 * ends, as a share of its length; outside also whether a block reaches all of them. */
static double bulge_at(const tabbing *t, size_t i, bool *reached)
{
    double stretch = t->width + t->fit->options.bit;
    size_t half = (size_t)ceil(stretch / 2 / (t->length / (double)t->count));
    if (2 * half >= t->count)
        return 1;
    nw_point a = t->places[(i + t->count - half) % t->count].at;
    nw_point b = t->places[(i + half) % t->count].at;
    double length = nw_distance(a, b), bulge = 0;
    for (size_t k = 0; k <= 2 * half && length > 0; k++) {
        nw_point p = t->places[(i + t->count - half + k) % t->count].at;
        bulge = fmax(bulge, fabs(cross_of(a, b, p)) / length);
        *reached = *reached && on_hull(t, p);
    }
    return length > 0 ? bulge / length : 1;
}

static bool spot_near(const tabbing *t, nw_point p)
{
    double room = t->fit->options.bit + t->width;
    for (size_t i = 0; i < t->fit->spot_count; i++) {
        const nw_spot *spot = &t->fit->spots[i];
        if (nw_distance(spot->at, p) < room + fmax(spot->length, 0) / 2)
            return true;
    }
    return false;
}

/* Does a disc of this radius that touches p lie wholly within the area? */
static bool disc_fits(const nw_border *area, nw_point p, nw_point normal, double radius)
{
    nw_point centre = nw_plus(p, normal, radius), foot;
    uint32_t segment;
    return nw_border_nearest(area, centre, radius, &segment, &foot) > 0.99 * radius;
}

static void place_judge(tabbing *t, size_t i)
{
    place *p = &t->places[i];
    bool outside = t->fit->options.cut == NW_CUT_OUTSIDE, reached = true;
    double bulge = bulge_at(t, i, &reached);
    nw_point inward = nw_left(p->along), outward = {-inward.x, -inward.y};
    p->straight = bulge <= STRAIGHT_SHARE;
    p->cut = disc_fits(&t->cut, p->at, outside ? outward : inward, t->fit->options.bit / 2);
    p->good = p->cut && bulge <= CURVED_SHARE && (!outside || reached) && !spot_near(t, p->at) &&
              disc_fits(&t->kept, p->at, outside ? inward : outward, THICK_OF_WIDTH * t->width / 2);
}

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

/* Places wanted tabs evenly from a start; returns how many and the least distance of two. */
static size_t spread_try(const tabbing *t, size_t wanted, double start, size_t *chosen,
                         size_t *apart)
{
    size_t placed = 0, room = t->count / wanted / 2;
    room = room > 0 ? room - (2 * room >= t->count) : 0;
    for (size_t j = 0; j < wanted; j++) {
        double share = ((double)j + start) / (double)wanted;
        size_t at = place_near(t, (size_t)(share * (double)t->count) % t->count, room);
        bool room_left = at < t->count;
        for (size_t k = 0; room_left && k < placed; k++)
            room_left =
                nw_distance(t->places[at].at, t->places[chosen[k]].at) > APART_WIDTHS * t->width;
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

static size_t wanted_of(const tabbing *t, size_t count)
{
    if (count)
        return count;
    double area = fabs(nw_ring_area(t->region, t->ring));
    double most = fmax(t->length / EACH_MM, area / EACH_MM2);
    size_t least = t->length > LARGE_MM ? FEWEST_LARGE : FEWEST;
    size_t wanted = (size_t)fmin(ceil(most), MOST_AUTO);
    return wanted > least ? wanted : least;
}

static bool tab_add(tabbing *t, const place *p)
{
    void *items = t->tabs->tabs;
    if (!nw_grow(&items, &t->capacity, t->tabs->count + 1, sizeof *t->tabs->tabs))
        return false;
    t->tabs->tabs = items;
    nw_point inward = nw_left(p->along), outward = {-inward.x, -inward.y};
    bool outside = t->fit->options.cut == NW_CUT_OUTSIDE;
    t->tabs->tabs[t->tabs->count++] = (nw_tab){p->at, outside ? outward : inward, t->ring};
    return true;
}

static bool ring_spread(tabbing *t, size_t count)
{
    size_t wanted = wanted_of(t, count), best = 0, best_apart = 0, apart;
    size_t chosen[NW_TABS_MOST];
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
    bool cut = false;
    for (size_t i = 0; i < t->count; i++)
        cut = cut || t->places[i].cut;
    t->tabs->missing += cut ? wanted - best : 0; /* what is not cut at all needs none */
    bool good = true;
    for (size_t j = 0; j < best && good; j++)
        good = tab_add(t, &t->places[chosen[j]]);
    return good;
}

/* ---- all parts --------------------------------------------------------------------------------
 */

static bool ring_tabs(tabbing *t, size_t ring, size_t count)
{
    const nw_region *region = t->region;
    size_t points = region->starts[ring + 1] - region->starts[ring];
    t->ring = ring;
    t->length = ring_length(region, ring);
    t->count = (size_t)fmin(fmax(t->length / STEP_MM, LEAST_PLACES), MOST_PLACES);
    t->places = nw_alloc(t->count, sizeof *t->places);
    t->hull = nw_alloc(2 * points + 2, sizeof *t->hull);
    nw_point *sorted = nw_alloc(points, sizeof *sorted);
    bool good = t->places && t->hull && sorted;
    if (good) {
        for (size_t i = 0; i < points; i++)
            sorted[i] = region->points[region->starts[ring] + i];
        t->hull_count = hull_make(sorted, points, t->hull);
        places_set(t);
        for (size_t i = 0; i < t->count; i++)
            place_judge(t, i);
        good = ring_spread(t, count);
    }
    free(sorted);
    free(t->places);
    free(t->hull);
    return good;
}

nw_status nw_tabs_find(const nw_region *region, const nw_fit *fit, size_t count, double width,
                       nw_tabs *tabs, nw_error *error)
{
    *tabs = (nw_tabs){.width = width > 0 ? width : TAB_OF_BIT * fit->options.bit};
    if (count > NW_TABS_MOST || !(tabs->width <= 100) || width < 0)
        return nw_fail(error, NW_BAD_REQUEST, "at most 100 tabs of at most 100 mm on a part");
    tabbing t = {.region = region, .fit = fit, .width = tabs->width, .tabs = tabs};
    bool outside = fit->options.cut == NW_CUT_OUTSIDE;
    nw_status status = nw_border_make(region, outside, NULL, &t.cut, error);
    if (status == NW_OK)
        status = nw_border_make(region, !outside, NULL, &t.kept, error);
    for (size_t k = 0; k < region->count && status == NW_OK; k++)
        if (!nw_ring_is_hole(region, k) && !ring_tabs(&t, k, count))
            status = nw_fail_memory(error, "the tabs");
    nw_border_free(&t.cut);
    nw_border_free(&t.kept);
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
