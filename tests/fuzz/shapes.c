/* shapes: bytes -> art and options. */
#include "shapes.h"

#include <solid/solid.h>

#include <math.h>

#define GRID 0.25 /* mm */
#define CORNERS_MOST 12

uint8_t fuzz_next(fuzz_bytes *bytes)
{
    if (!bytes->length)
        return 0;
    bytes->length--;
    return *bytes->data++;
}

static nw_point place_next(fuzz_bytes *bytes)
{
    double x = fuzz_next(bytes), y = fuzz_next(bytes);
    return (nw_point){x * GRID, y * GRID};
}

static void polygon_make(fuzz_bytes *bytes, nw_path *path, size_t count, bool curved)
{
    path->start = place_next(bytes);
    for (size_t i = 1; i < count; i++)
        if (curved)
            fuzz_hold(nw_path_curve(path, place_next(bytes), place_next(bytes), place_next(bytes)));
        else
            fuzz_hold(nw_path_line(path, place_next(bytes)));
    fuzz_hold(nw_path_line(path, path->start));
}

static void box_make(fuzz_bytes *bytes, nw_path *path)
{
    nw_point low = place_next(bytes), size = place_next(bytes);
    nw_point far = {low.x + size.x, low.y + size.y};
    path->start = low;
    fuzz_hold(nw_path_line(path, (nw_point){far.x, low.y}) && nw_path_line(path, far) &&
              nw_path_line(path, (nw_point){low.x, far.y}) && nw_path_line(path, low));
}

static void circle_make(fuzz_bytes *bytes, nw_path *path)
{
    static const double quarters[][2] = {{1, 0}, {0, 1}, {-1, 0}, {0, -1}, {1, 0}};
    const double handle = 0.5522847498307936;
    nw_point centre = place_next(bytes);
    double radius = (1 + fuzz_next(bytes)) * GRID / 2;
    path->start = (nw_point){centre.x + radius, centre.y};
    for (int i = 0; i < 4; i++) {
        nw_point from = {quarters[i][0], quarters[i][1]};
        nw_point to = {quarters[i + 1][0], quarters[i + 1][1]};
        nw_point a = nw_plus(from, to, handle), b = nw_plus(to, from, handle);
        fuzz_hold(nw_path_curve(path, nw_plus(centre, a, radius), nw_plus(centre, b, radius),
                                nw_plus(centre, to, radius)));
    }
}

nw_drawing fuzz_shapes(fuzz_bytes *bytes, size_t most)
{
    nw_drawing shapes = {0};
    for (size_t i = 0; i < most && bytes->length > 2; i++) {
        nw_path path = {.closed = true, .piece = i};
        uint8_t kind = fuzz_next(bytes);
        if (kind % 4 == 0)
            box_make(bytes, &path);
        else if (kind % 4 == 1)
            circle_make(bytes, &path);
        else
            polygon_make(bytes, &path, 3 + kind / 4 % (CORNERS_MOST - 2), kind % 4 == 3);
        fuzz_hold(nw_drawing_add(&shapes, &path));
    }
    return shapes;
}

bool fuzz_art(fuzz_bytes *bytes, size_t most, nw_drawing *art)
{
    nw_drawing nothing = {0}, shapes = fuzz_shapes(bytes, most), holes = {0}, whole = {0};
    nw_error error;
    if (fuzz_next(bytes) % 2)
        holes = fuzz_shapes(bytes, most / 2);
    nw_status status = nw_drawing_paint(&nothing, &shapes, false, &whole, &error);
    fuzz_hold_status(status, &error);
    *art = nothing;
    if (status == NW_OK) {
        status = nw_drawing_paint(&whole, &holes, true, art, &error);
        fuzz_hold_status(status, &error);
    }
    nw_drawing_free(&shapes);
    nw_drawing_free(&holes);
    nw_drawing_free(&whole);
    if (status == NW_OK && art->count && nw_drawing_place(art, 1, 0, false, &error) == NW_OK)
        return true;
    nw_drawing_free(art);
    return false;
}

nw_fit_options fuzz_cut(fuzz_bytes *bytes, const nw_drawing *art)
{
    static const double sizes[] = {0.5, 1, 1.5, 2, 3, 3.175, 5, 12};
    nw_fit_options options = nw_fit_defaults();
    uint8_t cut = fuzz_next(bytes), bit = fuzz_next(bytes), edge = fuzz_next(bytes);
    options.cut = (nw_cut)(cut % 3);
    options.bit = sizes[bit % 8];
    options.neck = bit & 8 ? sizes[bit / 16 % 8] : 0;
    options.threads = 1;
    options.with_shapes = true;
    options.has_stock = cut & 64;
    double room = edge % 16 * 0.25;
    options.stock = (nw_box){{-room, -room}, {art->width + room, art->height + edge / 16}};
    return options;
}

bool fuzz_case_read(fuzz_bytes *bytes, size_t most, fuzz_case *made)
{
    made->what = fuzz_next(bytes);
    if (!fuzz_art(bytes, most, &made->art))
        return false;
    made->cut = fuzz_cut(bytes, &made->art);
    return true;
}

#define SAME_MM 1e-6 /* widths that the lists do not tell apart stand in another order */

void fuzz_hold_fit(const nw_fit *fit)
{
    fuzz_hold(isfinite(fit->area_cut) && isfinite(fit->area_unreached));
    fuzz_hold(fit->area_unreached >= -0.01 && fit->area_unreached <= fit->area_cut + 0.01);
    fuzz_hold(fit->fits == (!fit->spot_count && !fit->unpaired));
    for (size_t i = 0; i < fit->spot_count; i++) {
        const nw_spot *spot = &fit->spots[i];
        fuzz_hold(isfinite(spot->at.x) && isfinite(spot->at.y) && isfinite(spot->area));
        fuzz_hold((spot->form == NW_PINCH) == (spot->width >= 0));
        fuzz_hold((spot->form == NW_STUB) == (spot->depth >= 0));
        const nw_fit_options *options = &fit->options;
        double size = spot->side == NW_GAP ? options->bit : options->neck;
        fuzz_hold(spot->form != NW_PINCH || spot->width < size);
        if (i && spot->form == NW_PINCH)
            fuzz_hold(spot[-1].form == NW_PINCH && spot[-1].width <= spot->width + SAME_MM);
    }
    fuzz_hold_drawing(&fit->bit_path);
    fuzz_hold_drawing(&fit->as_cut);
}
