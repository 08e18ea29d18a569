/*
 * Residues -> spots: by the number of contact arcs a pinch, a stub or a miss; what lies in a blind
 * end that may be lost is a corner; pinches that leave nothing uncut are lifts.
 */
#include <fit/side.h>

#include <math.h>
#include <stdlib.h>

#define NOTHING_MM2 1e-4   /* a pinch in the cut area that leaves less than this is a lift, */
#define NOTHING_MM 0.01    /* and so is a film that is thinner than this along its walls, */
#define NOTHING_SHARE 0.01 /* and than this share of the disc */

static nw_spot stub_spot(const nw_blind_end *s, const nw_component *component, double diameter)
{
    nw_spot spot = {.form = NW_STUB, .at = s->deepest, .width = NW_NONE, .depth = s->depth};
    spot.length = fmax(s->depth, component->wall_length / 2);
    spot.widen = nw_spot_widen(diameter, fmin(s->shallow, fmin(s->middle, s->deep)));
    spot.tip = nw_blind_end_is_tip(s);
    spot.from = spot.to = s->deepest;
    spot.stuck = s->centre;
    return spot;
}

/* ---- pinches --------------------------------------------------------------------------------- */

static nw_spot pinch_spot(const nw_rolled *rolled, const nw_component *component, nw_width width)
{
    nw_spot spot = {.form = NW_PINCH, .width = width.width, .depth = NW_NONE};
    spot.at = nw_middle(width.from, width.to);
    spot.from = width.from;
    spot.to = width.to;
    spot.length = component->wall_length / 2;
    spot.widen = nw_spot_widen(rolled->diameter, width.width);
    double nearest = INFINITY;
    for (size_t k = component->wall_first; k < component->wall_last; k++) {
        uint32_t w = rolled->wall_order[k];
        nw_point centre = rolled->walls.walls[w].after;
        if (!nw_wall_has_arc(&rolled->walls, w) || nw_distance(centre, spot.at) >= nearest)
            continue;
        nearest = nw_distance(centre, spot.at);
        spot.stuck = centre;
    }
    return spot;
}

/* ---- all ------------------------------------------------------------------------------------- */

typedef struct {
    const nw_rolled *rolled;
    nw_side side;
    double blunt;
    double share; /* of the areas that are nothing, where the art is drawn smaller */
    bool discs;   /* of misses are asked */
    const nw_width *widths;
    nw_finds *finds;
} search;

static bool corner_add(const search *work, nw_found found, const nw_blind_end *s)
{
    nw_finds *finds = work->finds;
    if (work->side == NW_NECK)
        return true;
    finds->deepest = fmax(finds->deepest, s->depth);
    finds->tips += nw_blind_end_is_deep(s, work->blunt);
    finds->corner_area += found.spot.area;
    return nw_push(&finds->corners, &finds->corner_count, &finds->corner_capacity, &found,
                   sizeof found);
}

/* What a residue is, and of a stub what was measured for it. */
typedef enum { DUST, MISS, STUB, CORNER, PINCH, LIFT } kind;

/* A film along a wall, where two discs that meet in a hollow do not quite reach it. */
static bool is_nothing(const search *work, const nw_component *component)
{
    double thin = fmin(NOTHING_MM * sqrt(work->share), NOTHING_SHARE * work->rolled->diameter);
    double film = thin * component->wall_length;
    return component->area < fmax(NOTHING_MM2 * work->share, film);
}

/* Where one of its contacts leads to a blind end that may be lost, it is a corner. */
static bool corner_find(const search *work, const nw_component *component, kind *found,
                        nw_blind_end *s)
{
    const nw_rolled *rolled = work->rolled;
    bool good = true, yes = false;
    for (size_t k = component->wall_first; good && !yes && k < component->wall_last; k++) {
        uint32_t w = rolled->wall_order[k];
        if (!nw_wall_has_arc(&rolled->walls, w))
            continue;
        good = *found == STUB
                   ? nw_stub_is_blunted(rolled, w, work->blunt, s, &yes)
                   : nw_room_is_blunted(rolled, w, component->wall_length, work->blunt, s, &yes);
    }
    if (yes)
        *found = CORNER;
    return good;
}

static bool kind_find(const search *work, uint32_t c, kind *found, nw_blind_end *s)
{
    const nw_component *component = &work->rolled->components[c];
    *found = component->contacts == 0 ? MISS : component->contacts == 1 ? STUB : PINCH;
    double dust = nw_dust_area(work->blunt, NW_DUST_MM * sqrt(work->share));
    if (*found != PINCH && component->area < dust)
        *found = DUST;
    if (*found == PINCH && work->side == NW_GAP && is_nothing(work, component))
        *found = LIFT;
    return (*found != STUB && *found != PINCH) || corner_find(work, component, found, s);
}

static bool component_sort(const search *work, uint32_t c)
{
    const nw_rolled *rolled = work->rolled;
    const nw_component *component = &rolled->components[c];
    nw_finds *finds = work->finds;
    nw_found found = {.rolled = rolled, .component = c};
    nw_blind_end s = {0};
    kind is;
    if (!kind_find(work, c, &is, &s))
        return false;
    if (is == DUST)
        return true;
    if (is == MISS)
        found.spot = nw_miss_spot(rolled, component, work->discs);
    else if (is == PINCH || is == LIFT)
        found.spot = pinch_spot(rolled, component, work->widths[c]);
    else if (is == STUB)
        found.spot = stub_spot(&s, component, rolled->diameter);
    found.spot.side = work->side;
    found.spot.area = component->area;
    if (is == CORNER)
        return corner_add(work, found, &s);
    if (is == LIFT)
        return nw_push(&finds->lifts, &finds->lift_count, &finds->lift_capacity,
                       &(nw_lift){found.spot.at, found.spot.width}, sizeof(nw_lift));
    return nw_push(&finds->spots, &finds->spot_count, &finds->spot_capacity, &found, sizeof found);
}

nw_status nw_spots_find(const nw_rolled *rolled, nw_side side, const nw_fit_options *options,
                        nw_finds *finds, nw_error *error)
{
    nw_width *widths = nw_alloc(rolled->component_count, sizeof *widths);
    if (!widths)
        return nw_fail_memory(error, "the spots");
    nw_status status = nw_widths_find(rolled, options->threads, widths, error);
    search work = {.rolled = rolled,
                   .side = side,
                   .blunt = nw_blunt_length(options, &rolled->border),
                   .share = 1,
                   .discs = !options->without_discs,
                   .widths = widths,
                   .finds = finds};
    for (uint32_t c = 0; status == NW_OK && c < rolled->component_count; c++)
        if (!component_sort(&work, c))
            status = nw_fail_memory(error, "the spots");
    free(widths);
    return status;
}

/* ---- only whether there are any -------------------------------------------------------------- */

void nw_walls_choose(const nw_rolled *rolled, uint32_t c, bool *chosen)
{
    for (size_t k = rolled->components[c].wall_first; k < rolled->components[c].wall_last; k++)
        chosen[rolled->wall_order[k]] = true;
}

/* How many times wider a pinch would have to be. */
static void need_take(const nw_rolled *rolled, uint32_t c, double width, nw_marks *marks)
{
    double need = width > 0 ? rolled->diameter / width : INFINITY;
    if (need <= marks->need)
        return;
    marks->need = need;
    marks->tightest = c;
}

static nw_status marks_start(const nw_rolled *rolled, nw_marks *marks, nw_error *error)
{
    *marks = (nw_marks){.need = 1, .any = rolled->walls.unpaired > 0};
    marks->walls = nw_alloc(rolled->walls.count, sizeof *marks->walls);
    return marks->walls ? NW_OK : nw_fail_memory(error, "the spots");
}

nw_status nw_marks_of(const nw_rolled *rolled, const nw_finds *finds, nw_marks *marks,
                      nw_error *error)
{
    nw_status status = marks_start(rolled, marks, error);
    for (size_t k = 0; status == NW_OK && k < finds->spot_count; k++) {
        const nw_found *found = &finds->spots[k];
        if (found->rolled != rolled)
            continue;
        nw_walls_choose(rolled, found->component, marks->walls);
        marks->any = true;
        marks->count++;
        if (found->spot.form == NW_PINCH)
            need_take(rolled, found->component, found->spot.width, marks);
    }
    return status;
}

nw_status nw_spots_mark(const nw_rolled *rolled, nw_side side, const nw_fit_options *options,
                        double scale, bool need, nw_marks *marks, nw_error *error)
{
    search work = {.rolled = rolled,
                   .side = side,
                   .blunt =
                       nw_blunt_length(options, &rolled->border) / (options->blunt > 0 ? scale : 1),
                   .share = 1 / (scale * scale)};
    nw_status status = marks_start(rolled, marks, error);
    bool *pinches = nw_alloc(rolled->component_count, sizeof *pinches), any = false;
    nw_width *widths = nw_alloc(rolled->component_count, sizeof *widths);
    bool good = status == NW_OK && pinches && widths;
    for (uint32_t c = 0; good && c < rolled->component_count; c++) {
        nw_blind_end s;
        kind is;
        good = kind_find(&work, c, &is, &s);
        if (!good || (is != MISS && is != STUB && is != PINCH))
            continue;
        nw_walls_choose(rolled, c, marks->walls);
        marks->any = true;
        marks->count++;
        any = any || (need && is == PINCH);
        pinches[c] = is == PINCH;
    }
    status = good ? NW_OK : nw_fail_memory(error, "the spots");
    if (good && any)
        status = nw_widths_find(rolled, options->threads, widths, error);
    for (uint32_t c = 0; status == NW_OK && any && c < rolled->component_count; c++)
        if (pinches[c])
            need_take(rolled, c, widths[c].width, marks);
    free(pinches);
    free(widths);
    if (status != NW_OK)
        nw_marks_free(marks);
    return status;
}

void nw_marks_free(nw_marks *marks)
{
    free(marks->walls);
    *marks = (nw_marks){0};
}
