/*
 * engine: the fit and the report's words for the page, compiled to WebAssembly. The page hands in
 * the outlines, asks for a size and a fit, and reads flat arrays of doubles; engine.js beside this
 * file is its only caller. engine_words.c and engine_hold.c hold what is asked for besides.
 *
 * Outlines in: for every path its piece, 1 for a hole, steps, start x y; then the steps (7 each):
 * kind (0 line, 1 curve, 2 arc, 3 arc clockwise), a x y, b x y, to x y.
 *
 * A result:
 *   head (12):  fits (all of it), narrowest gap, narrowest neck, spots, lifts, corners: count,
 * deepest, area; areas: cut, reached, unreached; unpaired spots (16 each): side, form, at x y,
 * width, length, depth, area, widen, from x y, to x y, stuck x y, 0 lifts (3 each): x, y, width
 */
#include <report/page/engine.h>

#include <stdlib.h>
#include <string.h>

#define HEAD 12
#define SPOT 16
#define STEP 7

page *EXPORT(page_new)(void);
void *EXPORT(page_alloc)(size_t size);
void EXPORT(page_release)(void *memory);
int EXPORT(page_load)(page *p, const char *art, int inch, double width, double height,
                      const double *numbers, size_t count);
void EXPORT(page_doubts)(page *p, double sure, uint32_t texts, uint32_t images, uint32_t marks,
                         uint32_t effects, uint32_t shades);
int EXPORT(page_shape)(page *p, double factor, const uint8_t *keep, size_t pieces);
int EXPORT(page_learn)(page *p, double diameter);
int EXPORT(page_fit)(page *p, int quick, int cut, double bit, double neck, double blunt,
                     int from_stock, double left, double low, double right, double top);
const double *EXPORT(page_shape_result)(const page *p);
const double *EXPORT(page_result)(const page *p);
size_t EXPORT(page_result_length)(const page *p);
const double *EXPORT(page_disc)(page *p, int cut, double x, double y, double limit);

page *page_new(void)
{
    return nw_alloc(1, sizeof(page));
}

void *page_alloc(size_t size)
{
    return nw_alloc(size, 1);
}

void page_release(void *memory)
{
    free(memory);
}

/* ---- outlines in ---------------------------------------------------------------------------- */

static bool step_add(nw_path *path, const double *n)
{
    nw_point a = {n[1], n[2]}, b = {n[3], n[4]}, to = {n[5], n[6]};
    switch ((int)n[0]) {
    case 0:
        return nw_path_line(path, to);
    case 1:
        return nw_path_curve(path, a, b, to);
    default:
        return nw_path_arc(path, a, to, n[0] > 2);
    }
}

/* Reads one path; returns the numbers it took, 0 when memory runs out. */
static size_t path_load(nw_drawing *drawing, const double *n, size_t left)
{
    nw_path path = {.piece = (size_t)n[0], .hole = n[1] > 0, .closed = true, .start = {n[3], n[4]}};
    size_t steps = (size_t)n[2], at = 5;
    bool good = steps <= (left - at) / STEP;
    for (size_t i = 0; i < steps && good; i++, at += STEP)
        good = step_add(&path, n + at);
    if (good && nw_drawing_add(drawing, &path))
        return at;
    nw_path_free(&path);
    return 0;
}

int page_load(page *p, const char *art, int inch, double width, double height,
              const double *numbers, size_t count)
{
    p->inch = inch;
    p->art = art;
    nw_drawing_free(&p->whole);
    p->whole.width = width;
    p->whole.height = height;
    p->whole.placed = NW_UNMOVED;
    p->whole.placed = NW_UNMOVED;
    for (size_t at = 0, took; at + 5 <= count; at += took) {
        took = path_load(&p->whole, numbers + at, count - at);
        if (!took)
            return (int)nw_fail_memory(&p->error, "the outlines");
    }
    return NW_OK;
}

/* What is not sure about what was handed in. */
void page_doubts(page *p, double sure, uint32_t texts, uint32_t images, uint32_t marks,
                 uint32_t effects, uint32_t shades)
{
    p->sure = sure;
    p->unread = (nw_unread){texts, images, marks, effects, shades};
}

/* Leaves the drawing as it was handed in, to the last bit, when every piece stays. */
static nw_status pieces_keep(page *p, const uint8_t *keep, size_t count)
{
    if (!memchr(keep, 0, count))
        return NW_OK;
    nw_pieces pieces = {.items = nw_alloc(count, sizeof(nw_piece)), .count = count};
    if (!pieces.items)
        return nw_fail_memory(&p->error, "the pieces");
    for (size_t k = 0; k < count; k++)
        pieces.items[k].kept = keep[k];
    nw_status status = nw_drawing_keep(&p->kept, &pieces, &p->error);
    free(pieces.items);
    return status;
}

/* Keeps the pieces whose byte in keep is not 0, at `factor` times the size handed in. */
int page_shape(page *p, double factor, const uint8_t *keep, size_t pieces)
{
    nw_drawing_free(&p->kept);
    nw_region_free(&p->region);
    nw_fitter_free(p->fitter);
    nw_discs_free(p->discs);
    p->fitter = NULL;
    p->discs = NULL;
    nw_status status = nw_drawing_copy(&p->whole, &p->kept, &p->error);
    if (status == NW_OK)
        status = pieces_keep(p, keep, pieces);
    p->shape[0] = 0 - p->kept.placed.e;
    p->shape[1] = 0 - p->kept.placed.f;
    if (status == NW_OK && factor != 1)
        status = nw_drawing_place(&p->kept, factor, 0, false, &p->error);
    if (status == NW_OK)
        status = nw_drawing_flatten(&p->kept, NW_FLATNESS_MM, &p->region, &p->error);
    p->factor = factor;
    p->shape[2] = p->kept.width;
    p->shape[3] = p->kept.height;
    return (int)status;
}

const double *page_shape_result(const page *p)
{
    return p->shape;
}

/* ---- the result out ------------------------------------------------------------------------- */

static void add_spot(page *p, const nw_spot *s)
{
    nw_page_numbers_add(&p->numbers,
                        (double[SPOT]){s->side, s->form, s->at.x, s->at.y, s->width, s->length,
                                       s->depth, s->area, s->widen, s->from.x, s->from.y, s->to.x,
                                       s->to.y, s->stuck.x, s->stuck.y},
                        SPOT);
}

static int result_fill(page *p)
{
    const nw_fit *f = &p->fit;
    p->numbers.count = 0;
    p->numbers.failed = false;
    nw_page_numbers_add(&p->numbers,
                        (double[HEAD]){f->fits && !nw_unread_count(&p->unread), f->narrowest_gap,
                                       f->narrowest_neck, (double)f->spot_count,
                                       (double)f->lift_count, (double)f->corners.count,
                                       f->corners.deepest, f->corners.area, f->area_cut,
                                       f->area_reached, f->area_unreached, (double)f->unpaired},
                        HEAD);
    for (size_t i = 0; i < f->spot_count; i++)
        add_spot(p, &f->spots[i]);
    for (size_t i = 0; i < f->lift_count; i++)
        nw_page_numbers_add(&p->numbers,
                            (double[]){f->lifts[i].at.x, f->lifts[i].at.y, f->lifts[i].width}, 3);
    return p->numbers.failed ? (int)nw_fail_memory(&p->error, "the result") : NW_OK;
}

static bool same_stock(const nw_fit_options *a, const nw_fit_options *b)
{
    return a->has_stock == b->has_stock && !memcmp(&a->stock, &b->stock, sizeof a->stock);
}

/* What was made for another cut or another sheet goes. */
static nw_status fitter_find(page *p, const nw_fit_options *options)
{
    if (p->fitter && p->fitted.cut == options->cut && same_stock(&p->fitted, options))
        return NW_OK;
    nw_fitter_free(p->fitter);
    nw_discs_free(p->discs);
    p->fitter = NULL;
    p->discs = NULL;
    p->fitted = *options;
    nw_page_loose_find(p, options->cut);
    return nw_fitter_make(&p->region, options, &p->fitter, &p->error);
}

/* skip: how coarse shapes may be, mm; above 0 the fit is a quick one. The sheet has edges where
 * right is more than left. */
int page_fit(page *p, int quick, int cut, double bit, double neck, double blunt, int from_stock,
             double left, double low, double right, double top)
{
    nw_fit_options options = nw_fit_defaults();
    options.cut = (nw_cut)cut;
    options.bit = bit;
    options.neck = neck;
    options.blunt = blunt;
    options.with_shapes = true;
    options.has_stock = right > left;
    options.stock = (nw_box){{left, low}, {right, top}};
    p->neck_from_stock = from_stock;
    nw_page_tabs_free(p);
    nw_fit_free(&p->fit);
    nw_status status = fitter_find(p, &options);
    if (status == NW_OK)
        status = nw_fitter_run(p->fitter, &options, quick, &p->fit, &p->error);
    return status == NW_OK ? result_fill(p) : (int)status;
}

/* For quick fits to come, after a first fit. */
int page_learn(page *p, double diameter)
{
    return p->fitter ? (int)nw_fitter_learn(p->fitter, diameter, &p->error) : NW_OK;
}

const double *page_result(const page *p)
{
    return p->numbers.items;
}

size_t page_result_length(const page *p)
{
    return p->numbers.count;
}

/* at x y, centre x y, radius; NULL when there is none. */
const double *page_disc(page *p, int cut, double x, double y, double limit)
{
    if (p->discs && p->discs_cut != (nw_cut)cut) {
        nw_discs_free(p->discs);
        p->discs = NULL;
    }
    p->discs_cut = (nw_cut)cut;
    const nw_box *sheet = p->fit.options.has_stock ? &p->fit.options.stock : NULL;
    nw_disc disc;
    if (!p->discs && nw_discs_make(&p->region, p->discs_cut, sheet, &p->discs, &p->error) != NW_OK)
        return NULL;
    if (!nw_discs_at(p->discs, (nw_point){x, y}, limit, &disc))
        return NULL;
    double *n = p->disc;
    n[0] = disc.at.x, n[1] = disc.at.y, n[2] = disc.normal.x, n[3] = disc.normal.y;
    n[4] = disc.radius;
    return n;
}
