/*
 * engine: the command for the page, compiled to WebAssembly: what the page asks in the command's
 * options (engine_request.c), of a picture or a drawing that the browser has read (engine_load.c).
 * The page asks for a shape and a fit of it, and reads flat arrays of doubles; engine.js is its
 * only caller.
 *
 * Outlines in: as nw_page_numbers_drawing has them.
 *
 * A result:
 *   head (12):  fits (all of it), narrowest gap, narrowest neck, spots, lifts, corners: count,
 * deepest, area; areas: cut, reached, unreached; unpaired spots (16 each): side, form, at x y,
 * width, length, depth, area, widen, from x y, to x y, stuck x y, what was chosen (1 + nw_remedy;
 * 0: nothing); lifts (3 each): x, y, width
 */
#include <cli/engine/engine_calls.h>

#include <stdlib.h>
#include <string.h>

#define HEAD 12
#define SPOT 16
#define STEP 7

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

int page_load(page *p, const char *art, double width, double height, const double *numbers,
              size_t count)
{
    nw_text_free(&p->name);
    nw_text_add(&p->name, art);
    nw_drawing_free(&p->whole);
    p->whole.width = width;
    p->whole.height = height;
    p->whole.placed = NW_UNMOVED;
    for (size_t at = 0, took; at + 5 <= count; at += took) {
        took = path_load(&p->whole, numbers + at, count - at);
        if (!took)
            return (int)nw_fail_memory(&p->error, "the outlines");
    }
    return NW_OK;
}

/* For each piece of the outlines its number in the art, and for what it was taken. */
int page_pieces(page *p, const double *numbers, size_t count)
{
    nw_pieces_free(&p->pieces);
    double most = 0;
    for (size_t i = 0; i < count; i++)
        most = numbers[2 * i] > most ? numbers[2 * i] : most;
    p->pieces.items = nw_alloc((size_t)most, sizeof *p->pieces.items);
    if (!p->pieces.items)
        return (int)nw_fail_memory(&p->error, "the pieces");
    p->pieces.count = (size_t)most;
    for (size_t i = 0; i < count; i++)
        if (numbers[2 * i] > 0)
            p->pieces.items[(size_t)numbers[2 * i] - 1].guess = (nw_piece_guess)numbers[2 * i + 1];
    for (size_t i = 0; i < p->whole.count; i++) {
        nw_path *path = &p->whole.paths[i];
        path->number = path->piece < count ? (size_t)numbers[2 * path->piece] : 0;
    }
    return NW_OK;
}

/* What is not sure about what was handed in. */
void page_doubts(page *p, double sure, uint32_t texts, uint32_t images, uint32_t marks,
                 uint32_t effects, uint32_t rules, uint32_t shades)
{
    p->sure = sure;
    p->unread = (nw_unread){texts, images, marks, effects, rules, shades};
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
    nw_drawing_free(&p->bridged);
    nw_region_free(&p->bridged_region);
    engine_fitter_free(p);
    nw_status status = nw_drawing_copy(&p->whole, &p->kept, &p->error);
    if (status == NW_OK)
        status = pieces_keep(p, keep, pieces);
    p->shape[0] = 0 - p->kept.placed.e;
    p->shape[1] = 0 - p->kept.placed.f;
    if (status == NW_OK && factor != 1)
        status = nw_drawing_place(&p->kept, factor, 0, false, &p->error);
    p->shape[2] = p->kept.width; /* to the last bit, as another factor will ask */
    p->shape[3] = p->kept.height;
    nw_drawing_steady(&p->kept);
    if (status == NW_OK)
        status = nw_drawing_flatten(&p->kept, NW_FLATNESS_MM, &p->region, &p->error);
    p->factor = factor;
    return (int)status;
}

const double *page_shape_result(const page *p)
{
    return p->shape;
}

/* ---- the result out ------------------------------------------------------------------------- */

static void add_spot(page *p, size_t spot)
{
    const nw_spot *s = &p->fit.spots[spot];
    double chosen = p->remedies && p->remedies[spot] != NW_AS_FORM ? 1 + p->remedies[spot] : 0;
    nw_page_numbers_add(&p->numbers,
                        (double[SPOT]){s->side, s->form, s->at.x, s->at.y, s->width, s->length,
                                       s->depth, s->area, s->widen, s->from.x, s->from.y, s->to.x,
                                       s->to.y, s->stuck.x, s->stuck.y, chosen},
                        SPOT);
}

static int result_fill(page *p)
{
    const nw_fit *f = &p->fit;
    nw_report report = engine_report(p);
    p->numbers.count = 0;
    p->numbers.failed = false;
    nw_page_numbers_add(&p->numbers,
                        (double[HEAD]){nw_report_fits(&report), f->narrowest_gap, f->narrowest_neck,
                                       (double)f->spot_count, (double)f->lift_count,
                                       (double)f->corners.count, f->corners.deepest,
                                       f->corners.area, f->area_cut, f->area_reached,
                                       f->area_unreached, (double)f->unpaired},
                        HEAD);
    for (size_t i = 0; i < f->spot_count; i++)
        add_spot(p, i);
    for (size_t i = 0; i < f->lift_count; i++)
        nw_page_numbers_add(&p->numbers,
                            (double[]){f->lifts[i].at.x, f->lifts[i].at.y, f->lifts[i].width}, 3);
    return p->numbers.failed ? (int)nw_fail_memory(&p->error, "the result") : NW_OK;
}

/* What was made for another cut or another sheet goes. */
static nw_status fitter_find(page *p, const nw_fit_options *options)
{
    if (p->fitter && nw_fitter_serves(p->fitter, options))
        return NW_OK;
    engine_fitter_free(p);
    return nw_fitter_make(engine_region(p), options, &p->fitter, &p->error);
}

static void progress_tell(void *context, const char *stage, double share)
{
    (void)context, (void)stage;
    page_progress(share);
}

/* quick: with what was learnt, and without the notes, the bridges and the tabs, which stay as they
 * were. */
int page_fit(page *p, int quick)
{
    nw_fit_options options = nw_job_fit_options(&p->request.job);
    options.progress = quick ? NULL : progress_tell;
    nw_fit_free(&p->fit);
    nw_status status = quick ? NW_OK : engine_hold(p);
    if (status == NW_OK)
        status = fitter_find(p, &options);
    if (status == NW_OK)
        status = nw_fitter_run(p->fitter, &options, quick, &p->fit, &p->error);
    if (status == NW_OK)
        status = engine_choose(p);
    if (status == NW_OK && !quick)
        status = engine_tabs(p);
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
const double *page_disc(page *p, double x, double y, double limit)
{
    nw_cut cut = p->fit.options.cut;
    if (p->discs && p->discs_cut != cut) {
        nw_discs_free(p->discs);
        p->discs = NULL;
    }
    p->discs_cut = cut;
    const nw_box *sheet = p->fit.options.has_stock ? &p->fit.options.stock : NULL;
    nw_disc disc;
    const nw_region *region = engine_region(p);
    if (!p->discs && nw_discs_make(region, p->discs_cut, sheet, &p->discs, &p->error) != NW_OK)
        return NULL;
    if (!nw_discs_at(p->discs, (nw_point){x, y}, limit, &disc))
        return NULL;
    double *n = p->disc;
    n[0] = disc.at.x, n[1] = disc.at.y, n[2] = disc.normal.x, n[3] = disc.normal.y;
    n[4] = disc.radius;
    return n;
}
