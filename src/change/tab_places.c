/*
 * A ring of a region -> places on it, each judged as one for a tab: does the bit run there, is the
 * stock thick enough to carry a tab, is there something on the other side of the cut, is the
 * stretch nearly straight, is no spot near? On a part a flat sanding block should reach the place,
 * so it lies on the part's convex hull (Andrew 1979); in an opening a file, so the stretch is
 * straight. What speaks against a place makes it dearer; refused are those where nothing holds.
 */
#include <change/bridges.h>
#include <change/tabs.h>

#include <math.h>
#include <stdlib.h>

#define STEP_MM 0.5
#define LEAST_PLACES 64.0
#define MOST_PLACES 1500.0
#define HULL_MM 0.05        /* further in, a sanding block does not reach */
#define CURVED_SHARE 0.08   /* a stretch that bulges more than this share of it is a tight curve */
#define STRAIGHT_SHARE 0.02 /* and one that bulges less is straight */
#define BEYOND_OF_BIT 1.25  /* across the cut there is half a bit of something to hold to */
#define THICK_OF_WIDTH 1.5  /* stock at a tab holds a disc of so many widths, and of a neck */
#define HAIR_MM 0.5         /* thinner stock carries nothing */

/* What speaks against a place: as much as the way to the next tab and more. */
#define OFF_HULL_COST 3.0
#define HOLLOW_COST 4.0
#define CURVED_COST 3.0 /* an opening's, still a slight curve */
#define BENT_COST 3.5
#define THIN_COST 3.0
#define THINNER_COST 5.0 /* than half of that */
#define SPOT_COST 3.0
#define CLOSE_COST 4.0

/* A ring under judgement. */
typedef struct {
    const nw_tab_judge *judge;
    nw_tab_place *places;
    size_t count;
    double length;
    nw_point *hull;
    size_t hull_count;
    bool part;
} judging;

nw_status nw_tab_judge_start(nw_tab_judge *judge, const nw_region *region, const nw_fit *fit,
                             double width, nw_error *error)
{
    *judge = (nw_tab_judge){.region = region, .fit = fit, .width = width};
    bool outside = fit->options.cut == NW_CUT_OUTSIDE;
    const nw_box *sheet = fit->options.has_stock ? &fit->options.stock : NULL;
    nw_status status = nw_border_make(region, outside, outside ? sheet : NULL, &judge->cut, error);
    return status == NW_OK
               ? nw_border_make(region, !outside, outside ? NULL : sheet, &judge->kept, error)
               : status;
}

void nw_tab_judge_free(nw_tab_judge *judge)
{
    nw_border_free(&judge->cut);
    nw_border_free(&judge->kept);
}

bool nw_tab_on_part(const nw_tab_judge *judge, size_t ring)
{
    return (nw_ring_area(judge->region, ring) < 0) == (judge->fit->options.cut != NW_CUT_OUTSIDE);
}

/* ---- the hull ------------------------------------------------------------------------------- */

static bool on_hull(const judging *j, nw_point p)
{
    for (size_t i = 0; i < j->hull_count; i++) {
        nw_point a = j->hull[i], b = j->hull[(i + 1) % j->hull_count];
        double length = nw_distance(a, b);
        if (length > 0 && nw_side_of(a, b, p) <= HULL_MM * length)
            return true;
    }
    return false;
}

static bool hull_set(judging *j, size_t ring)
{
    const nw_region *region = j->judge->region;
    size_t first = region->starts[ring], points = region->starts[ring + 1] - first;
    j->hull = nw_hull_make(region->points + first, points, &j->hull_count);
    return j->hull;
}

/* ---- judging -------------------------------------------------------------------------------- */

static void places_set(judging *j, size_t ring)
{
    const nw_region *region = j->judge->region;
    size_t first = region->starts[ring], end = region->starts[ring + 1], n = 0;
    bool outside = j->judge->fit->options.cut == NW_CUT_OUTSIDE;
    double station = 0, step = j->length / (double)j->count;
    for (size_t i = first; i < end; i++) {
        nw_point a = region->points[i], b = region->points[i + 1 < end ? i + 1 : first];
        double length = nw_distance(a, b);
        nw_point along = {(b.x - a.x) / length, (b.y - a.y) / length}, out = nw_left(along);
        out = outside ? (nw_point){-out.x, -out.y} : out;
        for (; n < j->count && ((double)n + 0.5) * step < station + length; n++)
            j->places[n] =
                (nw_tab_place){.at = nw_plus(a, along, ((double)n + 0.5) * step - station),
                               .out = out,
                               .ring = ring};
        station += length;
    }
    j->count = n;
}

/* The stretch of a tab and a bit round a place. */
typedef struct {
    double bulge; /* how far it leaves the line between its ends, as a share of its length */
    bool hollow;  /* it does so away from the cut area */
    bool on_hull; /* all of it */
} stretch;

static stretch stretch_at(const judging *j, size_t i)
{
    stretch s = {.bulge = 1, .on_hull = j->part};
    double wide = j->judge->width + j->judge->fit->options.bit;
    size_t half = (size_t)ceil(wide / 2 / (j->length / (double)j->count));
    if (2 * half >= j->count)
        half = j->count / 2 - 1;
    nw_point a = j->places[(i + j->count - half) % j->count].at;
    nw_point b = j->places[(i + half) % j->count].at, out = j->places[i].out;
    double length = nw_distance(a, b), off = 0;
    for (size_t k = 0; k <= 2 * half && length > 0; k++) {
        nw_point p = j->places[(i + j->count - half + k) % j->count].at;
        off = fmax(off, fabs(nw_side_of(a, b, p)) / length);
        s.on_hull = s.on_hull && on_hull(j, p);
    }
    s.bulge = length > 0 ? off / length : 1;
    s.hollow = nw_dot(nw_minus(j->places[i].at, nw_middle(a, b)), out) < -STRAIGHT_SHARE * length;
    return s;
}

static bool spot_near(const nw_tab_judge *judge, nw_point p)
{
    double room = judge->fit->options.bit + judge->width;
    for (size_t i = 0; i < judge->fit->spot_count; i++) {
        const nw_spot *spot = &judge->fit->spots[i];
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
    return nw_border_nearest(area, centre, radius, &segment, &foot) > 0.99 * radius &&
           nw_border_inside(area, centre, 2 * radius);
}

static void against(nw_tab_place *p, nw_tab_reason reason, double cost)
{
    p->reasons |= cost > 0 ? 1u << reason : 0;
    p->cost += cost;
}

static double shape_cost(const judging *j, const stretch *s)
{
    if (s->bulge > CURVED_SHARE)
        return BENT_COST;
    return !j->part && s->bulge > STRAIGHT_SHARE ? CURVED_COST : 0;
}

/* Of the stock that is to carry the tab. */
static double thin_cost(const nw_tab_judge *judge, nw_point p, nw_point in)
{
    double thick = fmax(THICK_OF_WIDTH * judge->width, judge->fit->options.neck);
    if (disc_fits(&judge->kept, p, in, thick / 2))
        return 0;
    if (disc_fits(&judge->kept, p, in, thick / 4))
        return THIN_COST;
    return disc_fits(&judge->kept, p, in, HAIR_MM / 2) ? THINNER_COST : INFINITY;
}

/* Of what lies across the cut: the sheet's edge holds nothing. */
static double beyond_cost(const nw_tab_judge *judge, nw_point p, nw_point out)
{
    double reach = BEYOND_OF_BIT * judge->fit->options.bit;
    uint32_t segment;
    nw_point foot;
    if (disc_fits(&judge->cut, p, out, reach))
        return 0;
    bool sheet = judge->fit->options.has_stock && judge->fit->options.cut == NW_CUT_OUTSIDE;
    double radius = nw_border_disc(&judge->cut, p, out, reach, &segment, &foot);
    bool edge = sheet && radius < reach && judge->cut.ring[segment] == judge->cut.ring_count - 1;
    return edge ? INFINITY : CLOSE_COST;
}

static void place_judge(judging *j, size_t i)
{
    const nw_tab_judge *judge = j->judge;
    nw_tab_place *p = &j->places[i];
    nw_point in = {-p->out.x, -p->out.y};
    stretch s = stretch_at(j, i);
    p->cut = disc_fits(&judge->cut, p->at, p->out, judge->fit->options.bit / 2);
    if (!p->cut) {
        p->cost = INFINITY;
        return;
    }
    if (j->part && !s.on_hull)
        against(p, NW_TAB_OFF_HULL, s.hollow ? HOLLOW_COST : OFF_HULL_COST);
    against(p, NW_TAB_BENT, shape_cost(j, &s));
    against(p, NW_TAB_THIN, thin_cost(judge, p->at, in));
    against(p, NW_TAB_AT_SPOT, spot_near(judge, p->at) ? SPOT_COST : 0);
    against(p, NW_TAB_CLOSE, beyond_cost(judge, p->at, p->out));
}

bool nw_tab_places(const nw_tab_judge *judge, size_t ring, nw_tab_place **places, size_t *count)
{
    judging j = {.judge = judge,
                 .length = nw_ring_length(judge->region, ring),
                 .part = nw_tab_on_part(judge, ring)};
    j.count = (size_t)fmin(fmax(j.length / STEP_MM, LEAST_PLACES), MOST_PLACES);
    j.places = nw_alloc(j.count, sizeof *j.places);
    bool good = j.places && (!j.part || hull_set(&j, ring));
    if (good) {
        places_set(&j, ring);
        for (size_t i = 0; i < j.count; i++)
            place_judge(&j, i);
    } else {
        free(j.places);
        j.places = NULL;
    }
    *places = j.places;
    *count = good ? j.count : 0;
    free(j.hull);
    return good;
}
