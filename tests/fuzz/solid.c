/* Shapes united, taken from one another, compared, swept and drawn by a pen: what areas promise. */
#include "shapes.h"

#include <solid/solid.h>

#include <math.h>

#define SHAPES 6
#define AREA_ROOM 0.05 /* mm², in shapes of up to 100 mm: what rounding to the grid may move */

static void pair_hold(const nw_drawing *a, const nw_drawing *b)
{
    nw_drawing both = {0}, rest = {0};
    nw_error error;
    double added = 0, removed = 0;
    nw_status status = nw_drawing_compare(a, b, NULL, NULL, &added, &removed, &error);
    fuzz_hold_status(status, &error);
    if (status != NW_OK)
        return;
    fuzz_hold(added >= 0 && removed >= 0);
    fuzz_hold(fabs(added - removed - nw_drawing_area(b) + nw_drawing_area(a)) < AREA_ROOM);
    status = nw_drawing_paint(a, b, false, &both, &error);
    fuzz_hold_status(status, &error);
    fuzz_hold(status != NW_OK ||
              fabs(nw_drawing_area(&both) - nw_drawing_area(a) - added) < AREA_ROOM);
    status = nw_drawing_paint(a, b, true, &rest, &error);
    fuzz_hold_status(status, &error);
    fuzz_hold(status != NW_OK || fabs(nw_drawing_area(&rest) - removed) < AREA_ROOM);
    nw_drawing_free(&both);
    nw_drawing_free(&rest);
}

static void pen_hold(fuzz_bytes *bytes, const nw_drawing *art)
{
    nw_drawing drawn;
    nw_error error;
    nw_stroke pen = nw_stroke_defaults();
    uint8_t kind = fuzz_next(bytes);
    double dashes[] = {fuzz_next(bytes) / 16.0, fuzz_next(bytes) / 16.0};
    pen.width = (1 + fuzz_next(bytes)) / 16.0;
    pen.cap = (nw_cap)(kind % 3);
    pen.join = (nw_join)(kind / 3 % 3);
    pen.dashes = dashes;
    pen.dash_count = kind & 64 ? 2 : 0;
    nw_status status = nw_drawing_stroke(art, &pen, &drawn, &error);
    fuzz_hold_status(status, &error);
    if (status == NW_OK)
        fuzz_hold_drawing(&drawn);
    nw_drawing_free(&drawn);
}

/* Only along lines, as sweeps are made. */
static bool is_straight(const nw_drawing *art)
{
    for (size_t i = 0; i < art->count; i++)
        for (size_t k = 0; k < art->paths[i].count; k++)
            if (art->paths[i].steps[k].kind != NW_LINE)
                return false;
    return true;
}

static void sweep_hold(const nw_drawing *art, double radius)
{
    nw_drawing swept;
    nw_error error;
    nw_status status = nw_drawing_sweep(art, radius, &swept, &error);
    fuzz_hold_status(status, &error);
    fuzz_hold(status != NW_OK || nw_drawing_area(&swept) >= nw_drawing_area(art) - AREA_ROOM);
    nw_drawing_free(&swept);
}

/* What is closed is paper: ink only grows, but where a line runs on from a seam's end. */
static void seams_hold(nw_drawing *art, double width)
{
    nw_error error;
    size_t closed;
    double before = nw_drawing_area(art), room = width * (nw_box_width(nw_drawing_box(art)) + 1);
    nw_status status = nw_drawing_close_seams(art, width, &closed, &error);
    fuzz_hold_status(status, &error);
    fuzz_hold(status != NW_OK ||
              nw_drawing_area(art) >= before - AREA_ROOM - 8 * (double)closed * room);
    if (status == NW_OK)
        fuzz_hold_drawing(art);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t length)
{
    fuzz_bytes bytes = {data, length};
    uint8_t what = fuzz_next(&bytes);
    nw_drawing a, b;
    if (!fuzz_art(&bytes, SHAPES, &a))
        return 0;
    fuzz_hold_drawing(&a);
    if (what % 3 == 0 && fuzz_art(&bytes, SHAPES, &b)) {
        pair_hold(&a, &b);
        nw_drawing_free(&b);
    } else if (what % 3 == 1) {
        pen_hold(&bytes, &a);
    } else if (what % 3 == 2 && is_straight(&a)) {
        sweep_hold(&a, (1 + fuzz_next(&bytes)) / 32.0);
    }
    if (what & 64)
        seams_hold(&a, (1 + fuzz_next(&bytes)) / 4096.0);
    nw_drawing_free(&a);
    return 0;
}
