/* Art and a cut: widened, held by bridges and tabs, recognised as lines, and written: what is
 * written is read again with the same area. */
#include "shapes.h"

#include <change/change.h>
#include <lines/lines.h>
#include <report/report.h>
#include <svg/svg.h>

#include <math.h>

#define SHAPES 6

static void written_hold(const nw_drawing *drawing)
{
    nw_layer layer = {.name = "outline", .drawing = drawing, .filled = true};
    nw_text svg = {0}, dxf = {0};
    nw_drawing again;
    nw_svg_notes notes;
    nw_error error;
    if (!drawing->count)
        return;
    fuzz_hold(nw_write_svg(&layer, 1, "fuzz", NULL, &svg, &error) == NW_OK);
    fuzz_hold(nw_write_dxf(&layer, 1, NULL, &dxf, &error) == NW_OK);
    nw_status status =
        nw_drawing_read_svg((const uint8_t *)svg.data, svg.length, &again, &notes, &error);
    fuzz_hold_status(status, &error);
    fuzz_hold(status == NW_OK || fabs(nw_drawing_area(drawing)) < 0.01);
    /* Places are written to 0.0001 mm. */
    double room = 0.01 + 1e-3 * (drawing->width + drawing->height);
    fuzz_hold(status != NW_OK || fabs(nw_drawing_area(&again) - nw_drawing_area(drawing)) < room);
    nw_drawing_free(&again);
    nw_text_free(&svg);
    nw_text_free(&dxf);
}

static void widen_hold(fuzz_bytes *bytes, const nw_drawing *art, const nw_fit_options *cut)
{
    nw_widen_options options = nw_widen_defaults();
    nw_widened widened;
    nw_error error;
    uint8_t kind = fuzz_next(bytes);
    options.fit = *cut;
    options.stubs = (nw_remedy)(kind % 3);
    options.misses = (nw_remedy)(kind / 3 % 3);
    nw_status status = nw_drawing_widen(art, &options, &widened, &error);
    fuzz_hold_status(status, &error);
    if (status != NW_OK)
        return;
    fuzz_hold_drawing(&widened.drawing);
    fuzz_hold(isfinite(widened.largest_move) && widened.largest_move >= 0);
    if (widened.drawing.count)
        fuzz_hold_fit(&widened.after);
    written_hold(&widened.drawing);
    nw_widened_free(&widened);
}

static void bridges_hold(fuzz_bytes *bytes, const nw_drawing *art, const nw_fit_options *cut)
{
    nw_bridged bridged;
    nw_error error;
    uint8_t kind = fuzz_next(bytes);
    nw_places at = {.count = kind / 128};
    if (at.count)
        at.items[0] = (nw_point){fuzz_next(bytes) / 255.0 * art->width,
                                 fuzz_next(bytes) / 255.0 * art->height};
    nw_status status =
        nw_drawing_bridge(art, cut, 0.5 + kind % 8, kind / 8 % 3, &at, &bridged, &error);
    fuzz_hold_status(status, &error);
    if (status != NW_OK)
        return;
    fuzz_hold_drawing(&bridged.drawing);
    written_hold(&bridged.drawing);
    nw_bridged_free(&bridged);
}

static void tabs_hold(fuzz_bytes *bytes, const nw_drawing *art, const nw_fit_options *cut)
{
    nw_region region;
    nw_fit fit;
    nw_tabs tabs;
    nw_error error;
    if (nw_drawing_flatten(art, NW_FLATNESS_MM, &region, &error) != NW_OK)
        return;
    if (nw_fit_run(&region, cut, &fit, &error) == NW_OK) {
        nw_status status = nw_tabs_find(&region, &fit, fuzz_next(bytes) % 5, 0, &tabs, &error);
        fuzz_hold_status(status, &error);
        if (status == NW_OK)
            nw_tabs_free(&tabs);
        nw_fit_free(&fit);
    }
    nw_region_free(&region);
}

static void lines_hold(fuzz_bytes *bytes, nw_drawing *art)
{
    nw_error error;
    nw_status status = nw_drawing_lines(art, (nw_lines)(fuzz_next(bytes) % 4), NULL, &error);
    fuzz_hold_status(status, &error);
    fuzz_hold_drawing(art);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t length)
{
    fuzz_bytes bytes = {data, length};
    fuzz_case made;
    if (!fuzz_case_read(&bytes, SHAPES, &made))
        return 0;
    if (made.what % 4 == 0)
        widen_hold(&bytes, &made.art, &made.cut);
    else if (made.what % 4 == 1)
        bridges_hold(&bytes, &made.art, &made.cut);
    else if (made.what % 4 == 2)
        tabs_hold(&bytes, &made.art, &made.cut);
    else
        lines_hold(&bytes, &made.art);
    nw_drawing_free(&made.art);
    return 0;
}
