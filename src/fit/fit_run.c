/* The whole fit of one bit: both sides rolled, their spots in order of harm, areas and shapes. */
#include <fit/fit.h>

#include <math.h>
#include <stdlib.h>
#ifdef _OPENMP
#include <omp.h>
#endif

#define BAND_MM2 1e-3 /* finer than this the band round the art is not known */

nw_fit_options nw_fit_defaults(void)
{
    return (nw_fit_options){.cut = NW_CUT_INSIDE, .bit = 3.175};
}

void nw_fit_free(nw_fit *fit)
{
    if (!fit)
        return;
    free(fit->spots);
    free(fit->lifts);
    nw_drawing_free(&fit->residues);
    nw_drawing_free(&fit->corner_residues);
    nw_drawing_free(&fit->bit_path);
    nw_drawing_free(&fit->as_cut);
    nw_fit_sides_free(fit);
    *fit = (nw_fit){0};
}

static bool length_good(double mm)
{
    return mm > 0 && mm <= NW_BIT_MOST;
}

nw_status nw_fit_options_fill(nw_fit_options *options, nw_error *error)
{
    if (!length_good(options->bit))
        return nw_fail(error, NW_BAD_REQUEST, "the bit must be above 0 and at most 1000 mm");
    if (options->neck == 0)
        options->neck = options->bit;
    if (!length_good(options->neck))
        return nw_fail(error, NW_BAD_REQUEST, "the least neck must be above 0 and at most 1000 mm");
    if (!(options->blunt >= 0 && isfinite(options->blunt)))
        return nw_fail(error, NW_BAD_REQUEST, "the depth of blunted tips must not be negative");
#ifdef _OPENMP
    if (options->threads <= 0)
        options->threads = omp_get_max_threads();
#else
    options->threads = 1;
#endif
    return NW_OK;
}

static nw_status sheet_check(const nw_fit_options *options, nw_error *error)
{
    const nw_box *sheet = &options->stock;
    if (options->has_stock && !(sheet->min.x < sheet->max.x && sheet->min.y < sheet->max.y &&
                                isfinite(nw_box_width(*sheet)) && isfinite(nw_box_height(*sheet))))
        return nw_fail(error, NW_BAD_REQUEST, "the stock has no size");
    return NW_OK;
}

static nw_status stock_check(const nw_region *region, const nw_fit_options *options,
                             nw_error *error)
{
    size_t count = region->count ? region->starts[region->count] : 0;
    for (size_t i = 0; options->has_stock && i < count; i++) {
        nw_point p = region->points[i];
        if (p.x < options->stock.min.x - NW_FLUSH_MM || p.x > options->stock.max.x + NW_FLUSH_MM ||
            p.y < options->stock.min.y - NW_FLUSH_MM || p.y > options->stock.max.y + NW_FLUSH_MM)
            return nw_fail(error, NW_BAD_REQUEST, "the art reaches beyond the stock");
    }
    return NW_OK;
}

/* Equal in the lists is equal here: the last bits differ from one machine's arithmetic to the next,
 * and art is often symmetrical. */
static double settled(double value)
{
    return nearbyint(value * 1e6);
}

/* Pinches by width, then the others by area; ties by place, so that the order is always one. */
static int harm_order(const void *a, const void *b)
{
    const nw_spot *p = &((const nw_found *)a)->spot, *q = &((const nw_found *)b)->spot;
    bool pinch_p = p->form == NW_PINCH, pinch_q = q->form == NW_PINCH;
    if (pinch_p != pinch_q)
        return pinch_p ? -1 : 1;
    double width_p = settled(p->width), width_q = settled(q->width);
    double area_p = settled(p->area), area_q = settled(q->area);
    if (pinch_p && width_p != width_q)
        return width_p < width_q ? -1 : 1;
    if (area_p != area_q)
        return nw_order(area_q, area_p);
    if (settled(p->at.x) != settled(q->at.x))
        return p->at.x < q->at.x ? -1 : 1;
    return p->at.y < q->at.y ? -1 : p->at.y > q->at.y;
}

/* Where nothing is reached both areas are sums of the same, in another order. */
static double unreached_area(const nw_rolled *rolled, double most)
{
    return fmin(fmax(0, nw_rolled_area(rolled)), most);
}

bool nw_fit_has_band(const nw_fit_options *options)
{
    return options->cut == NW_CUT_OUTSIDE && !options->has_stock;
}

nw_status nw_fit_cut_area(const nw_border *border, double radius, const nw_fit_options *options,
                          const nw_roll *twice, double *area, nw_error *error)
{
    *area = nw_border_area(border);
    if (!nw_fit_has_band(options))
        return NW_OK;
    nw_roll own = {0};
    nw_status status = NW_OK;
    if (!twice)
        status = nw_roll_make(border, 2 * radius, options, &own, error);
    if (status == NW_OK) {
        double beyond = nw_roll_area(twice ? twice : &own);
        *area = nearbyint((*area - beyond) / BAND_MM2) * BAND_MM2;
    }
    nw_roll_free(&own);
    return status;
}

static nw_status shapes_fill(nw_finds *finds, const nw_rolled *gaps, nw_fit *fit, nw_error *error)
{
    bool good = nw_way_paths(gaps, &fit->bit_path) && nw_as_cut_paths(gaps, &fit->as_cut);
    for (size_t k = 0; good && k < finds->spot_count; k++) {
        nw_found *found = &finds->spots[k];
        found->spot.residue = fit->residues.count;
        good = nw_component_paths(found->rolled, found->component, k, &fit->residues,
                                  &found->spot.residue_count);
    }
    for (size_t k = 0; good && k < finds->corner_count; k++) {
        size_t count;
        good = nw_component_paths(finds->corners[k].rolled, finds->corners[k].component, k,
                                  &fit->corner_residues, &count);
    }
    return good ? NW_OK : nw_fail_memory(error, "the shapes");
}

static void narrowest_fill(nw_fit *fit)
{
    fit->narrowest_gap = fit->narrowest_neck = NW_NONE;
    for (size_t k = fit->spot_count; k-- > 0;) {
        const nw_spot *spot = &fit->spots[k];
        if (spot->form != NW_PINCH)
            continue;
        if (spot->side == NW_GAP)
            fit->narrowest_gap = spot->width;
        else
            fit->narrowest_neck = spot->width;
    }
}

static nw_status fit_fill(nw_finds *finds, nw_fit *fit, nw_error *error)
{
    fit->spots = nw_alloc(finds->spot_count, sizeof *fit->spots);
    if (!fit->spots)
        return nw_fail_memory(error, "the spots");
    for (size_t k = 0; k < finds->spot_count; k++)
        fit->spots[k] = finds->spots[k].spot;
    fit->spot_count = finds->spot_count;
    fit->lifts = finds->lifts;
    fit->lift_count = finds->lift_count;
    finds->lifts = NULL;
    fit->corners =
        (nw_corners){finds->corner_count, finds->deepest, finds->corner_area, finds->tips};
    narrowest_fill(fit);
    return NW_OK;
}

static double border_length(const nw_border *border)
{
    double sum = 0;
    for (size_t k = 0; k < border->ring_count; k++)
        sum += border->ring_length[k];
    return sum;
}

/* What bounds dust counts as reached: at every corner of a flattened curve there is some. */
static void lengths_fill(const nw_finds *finds, const nw_rolled *gaps, nw_fit *fit)
{
    fit->outline_length = border_length(&gaps->border);
    for (size_t k = 0; k < finds->spot_count; k++)
        if (finds->spots[k].spot.side == NW_GAP)
            fit->outline_missed += gaps->components[finds->spots[k].component].wall_length;
    for (size_t k = 0; k < finds->corner_count; k++)
        fit->outline_missed += gaps->components[finds->corners[k].component].wall_length;
    for (size_t k = 0; k < gaps->roll.count; k++) {
        nw_free_stretch free = gaps->roll.frees[k];
        fit->path_length += (free.to - free.from) * (free.element % 2 ? 1 : gaps->roll.radius);
    }
}

/* What the bit reaches of the cut area. */
static nw_status areas_fill(const nw_rolled *gaps, const nw_roll *twice,
                            const nw_fit_options *options, nw_fit *fit, nw_error *error)
{
    *fit = (nw_fit){.options = *options, .blunt = nw_blunt_length(options, &gaps->border)};
    nw_status status = nw_fit_options_fill(&fit->options, error);
    if (status == NW_OK)
        status = nw_fit_cut_area(&gaps->border, gaps->roll.radius, &fit->options, twice,
                                 &fit->area_cut, error);
    fit->area_unreached = unreached_area(gaps, fit->area_cut);
    fit->area_reached = fit->area_cut - fit->area_unreached;
    return status;
}

/* Necks leave nothing but spots. */
static nw_status necks_take(const nw_finds *known, nw_finds *finds, nw_error *error)
{
    bool good = true;
    for (size_t k = 0; good && k < known->spot_count; k++)
        good = nw_push(&finds->spots, &finds->spot_count, &finds->spot_capacity, &known->spots[k],
                       sizeof *known->spots);
    return good ? NW_OK : nw_fail_memory(error, "the spots");
}

/* known: the necks' finds, or NULL. */
static nw_status sides_sort(const nw_rolled *gaps, const nw_rolled *necks, const nw_finds *known,
                            nw_finds *finds, nw_fit *fit, nw_error *error)
{
    const nw_fit_options *options = &fit->options;
    nw_status status = nw_spots_find(gaps, NW_GAP, options, finds, error);
    if (status == NW_OK)
        status = known ? necks_take(known, finds, error)
                       : nw_spots_find(necks, NW_NECK, options, finds, error);
    if (status == NW_OK)
        nw_sort(finds->spots, finds->spot_count, sizeof *finds->spots, harm_order);
    if (status == NW_OK && options->with_shapes)
        status = shapes_fill(finds, gaps, fit, error);
    if (status == NW_OK)
        status = fit_fill(finds, fit, error);
    lengths_fill(finds, gaps, fit);
    fit->unpaired = gaps->walls.unpaired + necks->walls.unpaired;
    fit->fits = fit->spot_count == 0 && fit->unpaired == 0;
    return status;
}

/* ---- from borders, and from a region --------------------------------------------------------- */

nw_status nw_borders_make(const nw_region *region, const nw_fit_options *options,
                          nw_borders *borders, nw_error *error)
{
    *borders = (nw_borders){0};
    bool outside = options->cut == NW_CUT_OUTSIDE;
    const nw_box *sheet = options->has_stock ? &options->stock : NULL;
    nw_status status = sheet_check(options, error);
    if (status == NW_OK)
        status = stock_check(region, options, error);
    if (status == NW_OK)
        status = nw_border_make(region, outside, outside ? sheet : NULL, &borders->cut, error);
    if (status == NW_OK)
        status = nw_border_make(region, !outside, outside ? NULL : sheet, &borders->kept, error);
    if (status != NW_OK)
        nw_borders_free(borders);
    return status;
}

void nw_borders_free(nw_borders *borders)
{
    nw_border_free(&borders->cut);
    nw_border_free(&borders->kept);
}

void nw_finds_free(nw_finds *finds)
{
    free(finds->spots);
    free(finds->corners);
    free(finds->lifts);
    *finds = (nw_finds){0};
}

/* The rest of a fit that has its areas. known: the necks' finds, marked: both sides, or NULL. */
static nw_status spots_fill(const nw_rolled *gaps, const nw_rolled *necks, const nw_finds *known,
                            nw_judged *marked, nw_fit *fit, nw_error *error)
{
    nw_finds finds = {0};
    nw_status status = sides_sort(gaps, necks, known, &finds, fit, error);
    for (int k = 0; status == NW_OK && marked && k < 2; k++)
        status = nw_marks_of(&marked[k].rolled, &finds, &marked[k].marks, error);
    nw_finds_free(&finds);
    if (status != NW_OK)
        nw_fit_free(fit);
    return status;
}

nw_status nw_fit_of_sides(const nw_rolled *gaps, const nw_rolled *necks, const nw_finds *known,
                          const nw_roll *twice, const nw_fit_options *options, nw_fit *fit,
                          nw_error *error)
{
    nw_status status = areas_fill(gaps, twice, options, fit, error);
    return status == NW_OK ? spots_fill(gaps, necks, known, NULL, fit, error) : status;
}

/* On the sides' borders; marks: theirs too. */
static nw_status fit_from(nw_fit_sides *sides, const nw_fit_options *options, bool marks,
                          nw_fit *fit, nw_error *error)
{
    *fit = (nw_fit){0};
    nw_fit_options used = *options;
    nw_rolled *gaps = &sides->judged[NW_GAP].rolled, *necks = &sides->judged[NW_NECK].rolled;
    nw_status status = nw_fit_options_fill(&used, error);
    if (status == NW_OK)
        status = nw_rolled_make(&sides->borders.cut, used.bit, &used, gaps, error);
    if (status == NW_OK)
        status = nw_rolled_make(&sides->borders.kept, used.neck, &used, necks, error);
    if (status == NW_OK)
        status = areas_fill(gaps, NULL, &used, fit, error);
    return status == NW_OK ? spots_fill(gaps, necks, NULL, marks ? sides->judged : NULL, fit, error)
                           : status;
}

void nw_judged_free(nw_judged *judged)
{
    if (judged) {
        nw_marks_free(&judged->marks);
        nw_rolled_free(&judged->rolled);
    }
}

static void both_free(nw_fit_sides *sides)
{
    nw_judged_free(&sides->judged[NW_GAP]);
    nw_judged_free(&sides->judged[NW_NECK]);
}

void nw_fit_sides_free(nw_fit *fit)
{
    if (!fit->sides)
        return;
    both_free(fit->sides);
    nw_borders_free(&fit->sides->borders);
    free(fit->sides);
    fit->sides = NULL;
}

nw_status nw_fit_run_on(const nw_borders *borders, const nw_fit_options *options, nw_fit *fit,
                        nw_error *error)
{
    nw_fit_sides sides = {.borders = *borders};
    nw_status status = fit_from(&sides, options, false, fit, error);
    both_free(&sides);
    return status;
}

nw_status nw_fit_run(const nw_region *region, const nw_fit_options *options, nw_fit *fit,
                     nw_error *error)
{
    *fit = (nw_fit){0};
    nw_fit_sides *sides = nw_alloc(1, sizeof *sides);
    if (!sides)
        return nw_fail_memory(error, "the outlines' sides");
    nw_status status = nw_borders_make(region, options, &sides->borders, error);
    if (status == NW_OK)
        status = fit_from(sides, options, options->with_sides, fit, error);
    fit->sides = sides;
    if (status != NW_OK || !options->with_sides)
        nw_fit_sides_free(fit);
    return status;
}
