/*
 * sheet_layout: where everything lies on the marked drawing: how large a unit is, and the balloons
 * in and round the art. It is the same for every form of the drawing.
 *
 * The art keeps its own size, but spots on very small art are shown enlarged, with the art at true
 * size beside them. Lettering has a size on paper, 2.5 mm and more; for art beyond
 * 300 mm everything around grows with it, a little slower, since such a sheet is looked at from
 * further away.
 */
#include <report/sheet/sheet.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define PLAIN_SIZE_MM 300.0 /* up to here a unit is 1 mm */
#define SMALL_ART_MM 40.0   /* up to here spots are shown enlarged */
#define FRAME_GAP 12.0      /* of the margin round the art, at least, in units */
#define FRAME_FEW 17.0      /* at first, where the worst balloon has room, */
#define FRAME_MANY 24.0     /* or where stacks have it, too */
#define FEW 8
#define PAD_GROWTH 1.5
#define ROUNDS 3 /* a wider margin helps no balloon whose way is barred */
#define CELL 0.9 /* of the ground, in units */

/* Spots on very small art are shown enlarged, by the scales of ISO 5455. */
static double sheet_scale(const nw_report *report)
{
    double size = fmax(report->drawing->width, report->drawing->height);
    if (!report->fit->spot_count || size > SMALL_ART_MM)
        return 1;
    return size > SMALL_ART_MM / 2 ? 2 : size > SMALL_ART_MM / 5 ? 5 : 10;
}

static double sheet_unit(const nw_drawing *drawing)
{
    double size = fmax(drawing->width, drawing->height);
    double root = sqrt(size / PLAIN_SIZE_MM);
    return size > PLAIN_SIZE_MM ? root * sqrt(root) : 1;
}

report_sheet nw_report_sheet_of(const nw_report *report, const nw_change_report *change)
{
    size_t count = report->fit->spot_count;
    return (report_sheet){.pen = {.unit = sheet_unit(report->drawing)},
                          .report = report,
                          .change = change,
                          .place = {0, 0, sheet_scale(report)},
                          .balloon_count =
                              count < REPORT_BALLOONS_MOST ? count : REPORT_BALLOONS_MOST};
}

/* The box that the art takes on the sheet, with the band round a part that is cut out and with
 * what is too thin around it. */
static nw_box content_box(const report_sheet *sheet)
{
    const nw_report *report = sheet->report;
    double band = report->fit->options.cut == NW_CUT_OUTSIDE ? report->fit->options.bit : 0;
    const nw_layer layers[] = {{"art", report->drawing, NULL, true},
                               {"residues", &report->fit->residues, NULL, true}};
    nw_box box = {{0, 0}, {0, 0}};
    nw_report_layers_box(layers, 2, &box);
    if (sheet->change)
        nw_report_change_box(sheet, &box);
    const nw_point *origin = nw_report_origin_of(sheet);
    if (origin && isfinite(origin->x + origin->y))
        nw_box_take(&box, *origin, 0);
    nw_point low = nw_report_placed((nw_point){box.min.x - band, box.max.y + band}, &sheet->place);
    nw_point high = nw_report_placed((nw_point){box.max.x + band, box.min.y - band}, &sheet->place);
    return (nw_box){low, high};
}

static bool shapes_mark(report_ground *ground, const nw_drawing *shapes, report_frame place,
                        int area, int line)
{
    nw_region region = {0};
    bool good = nw_report_ground_flatten(ground, shapes, place.scale, &region);
    if (good)
        nw_report_ground_region(ground, &region, place, area, line);
    nw_region_free(&region);
    return good;
}

/* Places the balloons on the frame, as many as there is room for; `last`: no larger one follows. */
static bool balloons_place(report_sheet *sheet, nw_box frame, bool last, size_t *placed)
{
    nw_report_ground_free(&sheet->ground);
    bool good = nw_report_ground_make(&sheet->ground, frame, CELL * sheet->pen.unit, true);
    const nw_drawing *art[] = {sheet->report->drawing,
                               sheet->change ? &sheet->change->widened->drawing : NULL};
    for (int i = 0; good && i < 2 && art[i]; i++)
        good = shapes_mark(&sheet->ground, art[i], sheet->place, GROUND_ART, GROUND_EDGE);
    good = good && shapes_mark(&sheet->ground, &sheet->report->fit->residues, sheet->place,
                               GROUND_LOST, GROUND_LOST);
    if (good)
        nw_report_spots_ground(sheet);
    return good && nw_report_balloons_place(sheet->balloons, sheet->balloon_count, &sheet->ground,
                                            last, placed);
}

/* Leaves out what of the margin was not needed. */
static void margin_trim(const report_sheet *sheet, nw_box content, nw_box *all)
{
    nw_box taken = nw_box_of(content.min, content.max, FRAME_GAP * sheet->pen.unit);
    for (size_t i = 0; i < sheet->balloon_count; i++) {
        const report_balloon *balloon = &sheet->balloons[i];
        for (size_t k = 0; k < balloon->way.count; k++)
            nw_box_take(&taken, balloon->way.points[k], balloon->room);
        if (balloon->way.count && balloon->host == i)
            nw_box_grow(&taken, nw_box_moved(balloon->box, balloon->centre));
    }
    *all = (nw_box){{fmax(all->min.x, taken.min.x), fmax(all->min.y, taken.min.y)},
                    {fmin(all->max.x, taken.max.x), fmin(all->max.y, taken.max.y)}};
}

/* Places the balloons in and round the art, with as little margin as there is room for them, the
 * sheet's least width taken, and gives the box that all of it takes. */
static bool lay_out(report_sheet *sheet, nw_box *all)
{
    double unit = sheet->pen.unit;
    nw_box box = content_box(sheet);
    nw_report_spots_measure(sheet, &box);
    size_t placed = 0, count = sheet->balloon_count;
    bool good = true;
    double pad = count ? unit * (count > FEW ? FRAME_MANY : FRAME_FEW) : 0;
    for (int round = 0; good && round < ROUNDS; round++, pad *= PAD_GROWTH) {
        *all = nw_box_of(box.min, box.max, pad);
        double spare = REPORT_WIDTH_LEAST * unit - nw_box_width(*all);
        all->min.x -= fmax(0, spare / 2);
        all->max.x += fmax(0, spare / 2);
        good = balloons_place(sheet, *all, round + 1 == ROUNDS, &placed);
        if (placed == count)
            break;
    }
    if (count)
        margin_trim(sheet, box, all);
    return good;
}

nw_status nw_report_layout_find(const nw_report *report, const nw_change_report *change,
                                nw_layout **layout, nw_error *error)
{
    *layout = NULL;
    nw_status status = nw_report_check(report, error);
    if (status != NW_OK)
        return status;
    if (!report->drawing->count)
        return nw_fail(error, NW_BAD_REQUEST, "there is no outline to draw");
    nw_text failed = {0};
    report_sheet sheet = nw_report_sheet_of(report, change);
    sheet.pen.out = &failed;
    sheet.balloons = nw_alloc(sheet.balloon_count, sizeof *sheet.balloons);
    nw_box all;
    nw_layout *found = calloc(1, sizeof *found);
    if (!found || !sheet.balloons || !lay_out(&sheet, &all) || failed.failed) {
        nw_report_ground_free(&sheet.ground);
        free(sheet.balloons);
        free(found);
        return nw_fail_memory(error, change ? "the drawing of the change" : "the marked drawing");
    }
    *found = (nw_layout){sheet.balloons, sheet.balloon_count, sheet.ground, all};
    *layout = found;
    return NW_OK;
}

nw_status nw_layout_find(const nw_report *report, nw_layout **layout, nw_error *error)
{
    return nw_report_layout_find(report, NULL, layout, error);
}

bool nw_report_layout_take(const nw_layout *layout, report_sheet *sheet)
{
    sheet->balloon_count = layout->balloon_count;
    sheet->balloons = nw_alloc(layout->balloon_count, sizeof *sheet->balloons);
    if (sheet->balloons)
        memcpy(sheet->balloons, layout->balloons, layout->balloon_count * sizeof *sheet->balloons);
    return nw_report_ground_copy(&sheet->ground, &layout->ground) && sheet->balloons;
}

void nw_layout_free(nw_layout *layout)
{
    if (!layout)
        return;
    nw_report_ground_free(&layout->ground);
    free(layout->balloons);
    free(layout);
}
