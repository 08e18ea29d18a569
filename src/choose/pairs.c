/*
 * Outlines and a rack -> pairs of bits: a large one that runs the whole outline and a small one
 * that runs only beside what the large one misses. What a smaller disc misses a larger one misses
 * too (Serra, Image Analysis and Mathematical Morphology, 1982), and both roll along the same
 * elements of the border, so the small one's way is told by comparing stretches, exactly. A pocket
 * is cleared as well, in lanes half a diameter apart (common practice): by the large bit, and by
 * the small one what that leaves.
 *
 * The small bit is the largest that cuts it all: a smaller one takes longer for nothing. Pairs are
 * ranked by time; where the rack gives no feed the cutting rate is taken in proportion to the
 * diameter (common practice).
 */
#include <choose/choose.h>
#include <choose/ways_out.h>

#include <math.h>
#include <stdlib.h>

#define LANES_OF_BIT 0.5 /* between the middles of two lanes of a pocket */

/* ---- path lengths ---------------------------------------------------------------------------- */

/* Length of [from, to] that lies in the list's stretches of the ring; *at goes along the list. */
static double covered(const nw_stretches *list, size_t *at, uint32_t ring, double from, double to)
{
    while (*at < list->count && (list->items[*at].ring < ring ||
                                 (list->items[*at].ring == ring && list->items[*at].to <= from)))
        (*at)++;
    double sum = 0;
    for (size_t k = *at; k < list->count && list->items[k].ring == ring; k++) {
        if (list->items[k].from >= to)
            break;
        sum += fmax(0, fmin(to, list->items[k].to) - fmax(from, list->items[k].from));
    }
    return sum;
}

static bool covers(const nw_stretches *list, size_t at, uint32_t ring, double place)
{
    for (size_t k = at; k < list->count && list->items[k].ring == ring; k++) {
        if (list->items[k].from > place)
            return false;
        if (list->items[k].to >= place)
            return true;
    }
    return false;
}

/* The way of the small one's centre beside what the large one missed. */
static double way_beside(const nw_lane *small, const nw_stretches *missed)
{
    const nw_roll *roll = &small->rolled.roll;
    const nw_border *border = &small->rolled.border;
    double sum = 0;
    size_t at = 0;
    for (size_t k = 0; k < roll->count; k++) {
        nw_free_stretch free = roll->frees[k];
        uint32_t i = free.element / 2, ring = border->ring[i];
        double start = border->station[i];
        if (free.element % 2) {
            sum += covered(missed, &at, ring, start + free.from, start + free.to);
        } else {
            covered(missed, &at, ring, start, start); /* only moves on */
            sum += covers(missed, at, ring, start) ? roll->radius * (free.to - free.from) : 0;
        }
    }
    return sum;
}

/* The stretches made longer at both ends, over the ring's start where that lies there; those that
 * meet become one. wide has room for twice as many. */
static void stretches_widen(const nw_border *border, const nw_stretches *list, double by,
                            nw_stretches *wide)
{
    for (size_t k = 0; k < list->count; k++) {
        nw_stretch s = list->items[k];
        double whole = border->ring_length[s.ring], from = s.from - by, to = s.to + by;
        wide->items[wide->count++] = (nw_stretch){s.ring, fmax(from, 0), fmin(to, whole)};
        if (from < 0 || to > whole)
            wide->items[wide->count++] = from < 0
                                             ? (nw_stretch){s.ring, fmax(whole + from, 0), whole}
                                             : (nw_stretch){s.ring, 0, fmin(to - whole, whole)};
    }
    nw_sort(wide->items, wide->count, sizeof *wide->items, nw_stretch_order);
    size_t kept = 0;
    for (size_t k = 0; k < wide->count; k++) {
        nw_stretch s = wide->items[k], *last = kept ? &wide->items[kept - 1] : NULL;
        if (last && last->ring == s.ring && s.from <= last->to)
            last->to = fmax(last->to, s.to);
        else
            wide->items[kept++] = s;
    }
    wide->count = kept;
}

/* The same with the ends that go on over what the large one has cut. False when memory runs out. */
static bool way_with_ends(const nw_lane *small, const nw_stretches *missed, double overlap,
                          double *way)
{
    nw_stretches wide = {.items = nw_alloc(2 * missed->count, sizeof *wide.items)};
    if (!wide.items)
        return false;
    stretches_widen(&small->rolled.border, missed, overlap, &wide);
    *way = way_beside(small, &wide);
    free(wide.items);
    return true;
}

static double way_length(const nw_roll *roll)
{
    double sum = 0;
    for (size_t k = 0; k < roll->count; k++) {
        nw_free_stretch free = roll->frees[k];
        sum += (free.to - free.from) * (free.element % 2 ? 1 : roll->radius);
    }
    return sum;
}

/* ---- all pairs ------------------------------------------------------------------------------- */

typedef struct {
    size_t bit;
    double diameter, feed;
    nw_lane lane;
    bool fits; /* on both sides */
} runner;

typedef struct {
    runner *items; /* largest first */
    size_t count;
} runners;

static void runners_free(runners *list)
{
    for (size_t i = 0; i < list->count; i++)
        nw_lane_free(&list->items[i].lane);
    free(list->items);
}

static nw_status runner_make(const nw_borders *borders, const nw_fit_options *options, double stock,
                             runner *one)
{
    nw_fit_options own = *options;
    nw_judgement judgement;
    own.bit = one->diameter;
    own.neck = nw_bit_neck(options, own.bit, stock);
    own.threads = 1;
    nw_status status = nw_lane_make(&borders->cut, &own, &one->lane, NULL);
    if (status != NW_OK || !one->lane.fits)
        return status;
    status = nw_judge_once(borders, &own, &judgement, NULL);
    one->fits = judgement.fits;
    return status;
}

static nw_status runners_make(const nw_borders *borders, const nw_fit_options *options,
                              const nw_rack *rack, double stock, runners *list, nw_error *error)
{
    nw_status failed = NW_OK;
    nw_cutting_bit *bits = nw_alloc(rack->count, sizeof *bits);
    list->items = nw_alloc(rack->count, sizeof *list->items);
    if (bits && list->items)
        list->count = nw_rack_cutting(rack, options->cut, stock, bits);
    for (size_t i = 0; i < list->count; i++)
        list->items[i] = (runner){
            .bit = bits[i].bit, .diameter = bits[i].diameter, .feed = rack->bits[bits[i].bit].feed};
    bool good = bits && list->items;
    free(bits);
    if (!good)
        return nw_fail_memory(error, "the pairs");
#ifdef _OPENMP
#pragma omp parallel for schedule(dynamic) if (borders->cut.count >= NW_SHARED_LEAST)
#endif
    for (size_t i = 0; i < list->count; i++) {
        nw_tell(options, "pairing bits", (double)i / (double)list->count);
        nw_status status = runner_make(borders, options, stock, &list->items[i]);
        if (status != NW_OK) {
#ifdef _OPENMP
#pragma omp critical(nw_pairs_failed)
#endif
            failed = status;
        }
    }
    return failed == NW_OK ? NW_OK
                           : nw_fail(error, failed, "the pairs could not be compared: %s",
                                     nw_status_name(failed));
}

/* The way along walls, and in lanes through the rest of an area that is cleared. */
static double way_clearing(double along_walls, double area, double diameter)
{
    return along_walls + fmax(0, area - along_walls * diameter) / (LANES_OF_BIT * diameter);
}

/* In units that are the same for all: mm by mm/min. */
static double cost_of(const runner *one, double way, double rate)
{
    return way / (one->feed > 0 ? one->feed : rate * one->diameter);
}

/* What feeds are to diameters in this rack, on average; 1 where none is given. */
static double rate_of(const runners *list)
{
    double sum = 0;
    size_t count = 0;
    for (size_t i = 0; i < list->count; i++) {
        sum += list->items[i].feed > 0 ? list->items[i].feed / list->items[i].diameter : 0;
        count += list->items[i].feed > 0;
    }
    return count ? sum / (double)count : 1;
}

/* pocket: the area that is cleared; 0 where only outlines are cut. False when memory runs out. */
static bool pair_make(const runner *large, const runner *small, double pocket, double rate,
                      nw_pair *made)
{
    double way;
    if (!way_with_ends(&small->lane, &large->lane.missed, NW_PAIR_OVERLAP * small->diameter, &way))
        return false;
    nw_pair pair = {.large = large->bit,
                    .small = small->bit,
                    .large_mm = large->diameter,
                    .small_mm = small->diameter,
                    .large_path = way_length(&large->lane.rolled.roll),
                    .small_path = way,
                    .remains = large->lane.area,
                    .left = small->lane.area,
                    .minutes = NW_NONE};
    double alone = way_length(&small->lane.rolled.roll);
    if (pocket > 0) {
        alone = way_clearing(alone, pocket - pair.left, pair.small_mm);
        pair.large_path = way_clearing(pair.large_path, pocket - pair.remains, pair.large_mm);
        pair.small_path = way_clearing(pair.small_path, pair.remains - pair.left, pair.small_mm);
    }
    double both = cost_of(large, pair.large_path, rate) + cost_of(small, pair.small_path, rate);
    if (large->feed > 0 && small->feed > 0)
        pair.minutes = both;
    pair.share = both / cost_of(small, alone, rate);
    *made = pair;
    return true;
}

static int sooner_first(const void *left, const void *right)
{
    const nw_pair *a = left, *b = right;
    if (a->share != b->share)
        return nw_order(a->share, b->share);
    return (a->large_mm < b->large_mm) - (a->large_mm > b->large_mm);
}

/* A large bit that can be nowhere, or a small one with nothing to do, makes no pair: where it would
 * not even run its own width, no one changes the bit. Nor does one that saves no time. */
static bool pair_counts(const nw_pair *pair, const runner *large, const runner *small)
{
    return pair->large_mm > pair->small_mm && pair->large_path > 0 &&
           way_beside(&small->lane, &large->lane.missed) > pair->small_mm && pair->share < 1;
}

static nw_status pairs_fill(const runners *list, double pocket, nw_pairs *pairs, nw_error *error)
{
    size_t small = 0;
    double rate = rate_of(list);
    while (small < list->count && !list->items[small].fits)
        small++;
    pairs->fits = small < list->count;
    small -= !pairs->fits && small > 0;
    pairs->pairs = nw_alloc(list->count, sizeof *pairs->pairs);
    if (!pairs->pairs)
        return nw_fail_memory(error, "the pairs");
    for (size_t l = 0; l < small; l++) {
        const runner *large = &list->items[l], *other = &list->items[small];
        nw_pair *pair = &pairs->pairs[pairs->count];
        if (!pair_make(large, other, pocket, rate, pair))
            return nw_fail_memory(error, "the pairs");
        pairs->count += pair_counts(pair, large, other);
    }
    nw_sort(pairs->pairs, pairs->count, sizeof *pairs->pairs, sooner_first);
    pairs->by_time = pairs->count && pairs->pairs[0].minutes >= 0;
    return NW_OK;
}

nw_status nw_pairs_compare(const nw_region *region, const nw_fit_options *options,
                           const nw_rack *rack, double stock, nw_pairs *pairs, nw_error *error)
{
    *pairs = (nw_pairs){0};
    nw_borders borders;
    runners list = {0};
    nw_status status = nw_borders_make(region, options, &borders, error);
    if (status != NW_OK)
        return status;
    status = runners_make(&borders, options, rack, stock, &list, error);
    if (status == NW_OK)
        status = pairs_fill(&list, options->cut == NW_CUT_POCKET ? nw_region_area(region) : 0,
                            pairs, error);
    if (status != NW_OK)
        nw_pairs_free(pairs);
    runners_free(&list);
    nw_borders_free(&borders);
    return status;
}

void nw_pairs_free(nw_pairs *pairs)
{
    if (!pairs)
        return;
    free(pairs->pairs);
    *pairs = (nw_pairs){0};
}
