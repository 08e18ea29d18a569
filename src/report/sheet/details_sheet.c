/*
 * details: the second sheet of the marked drawing, as SVG: parts of the art where spots without a
 * balloon stand close together, enlarged, with the number of every spot; a plan of where they are;
 * and the list from where the first sheet's ends.
 *
 * The parts are squares about a spot that hold the most spots of which no part before shows one.
 */
#include <report/sheet/sheet.h>

#include <math.h>
#include <stdlib.h>

#define WINDOWS_MOST 11
#define ACROSS 3
#define SIDE 52.0 /* of a window; sizes are in units of the pen */
#define BETWEEN 4.0
#define CAPTION 4.5
#define TIMES 3.0      /* how much larger than the art at true size */
#define LOOKED_AT 1000 /* spots: no sheet shows more */

typedef struct {
    nw_box windows[WINDOWS_MOST]; /* of the drawing */
    size_t count;
    double side;   /* of each, mm of the art */
    nw_region art; /* flattened for their grounds, once the first is drawn */
} details;

static size_t spots_seen(const report_sheet *sheet, nw_box window, bool *seen, bool mark)
{
    const nw_fit *fit = sheet->report->fit;
    size_t count = 0;
    for (size_t i = 0; i < fit->spot_count && i < LOOKED_AT; i++) {
        if (seen[i] || !nw_box_holds(window, fit->spots[i].at))
            continue;
        count++;
        seen[i] = mark;
    }
    return count;
}

static nw_box window_about(nw_point at, double side)
{
    return (nw_box){{at.x - side / 2, at.y - side / 2}, {at.x + side / 2, at.y + side / 2}};
}

static bool windows_choose(const report_sheet *sheet, details *found)
{
    const nw_fit *fit = sheet->report->fit;
    bool *seen = nw_alloc(fit->spot_count, sizeof *seen);
    for (size_t i = 0; seen && i < fit->spot_count; i++)
        seen[i] = nw_report_spot_has_balloon(sheet, i);
    for (size_t most = 2; seen && most > 1 && found->count < WINDOWS_MOST;) {
        size_t best = 0;
        most = 1;
        for (size_t i = 0; i < fit->spot_count && i < LOOKED_AT; i++) {
            nw_box window = window_about(fit->spots[i].at, found->side);
            size_t count = seen[i] ? 0 : spots_seen(sheet, window, seen, false);
            if (count > most) {
                most = count;
                best = i;
            }
        }
        if (most > 1) {
            nw_box window = window_about(fit->spots[best].at, found->side);
            spots_seen(sheet, window, seen, true);
            found->windows[found->count++] = window;
        }
    }
    free(seen);
    return seen;
}

/* Where the slot of that number lies, below top. */
static nw_box slot_box(const report_sheet *sheet, double top, size_t slot)
{
    double unit = sheet->pen.unit, side = SIDE * unit;
    nw_point at = {sheet->left + (double)(slot % ACROSS) * (side + BETWEEN * unit),
                   top + (double)(slot / ACROSS) * (side + (BETWEEN + CAPTION) * unit)};
    return (nw_box){at, {at.x + side, at.y + side}};
}

static void name_put(report_sheet *sheet, nw_point at, size_t window, bool bold)
{
    const char letter[] = {(char)('A' + window), '\0'};
    nw_report_pen_text(&sheet->pen, at, nw_report_small(&sheet->pen, REPORT_START, bold), letter);
}

/* The art, which stands in the file once, as seen through a window. */
static void art_use(report_sheet *sheet, nw_box slot, nw_box window)
{
    const double values[] = {slot.min.x,           slot.min.y,           nw_box_width(slot),
                             nw_box_height(slot),  window.min.x,         -window.max.y,
                             nw_box_width(window), nw_box_height(window)};
    static const char *const names[] = {"<svg x=\"",     "\" y=\"", "\" width=\"", "\" height=\"",
                                        "\" viewBox=\"", " ",       " ",           " "};
    nw_text *out = sheet->pen.out;
    for (int i = 0; i < 8; i++) {
        nw_text_add(out, names[i]);
        nw_text_number(out, values[i], 4);
    }
    nw_text_add(out, "\"><use xmlns:xlink=\"http://www.w3.org/1999/xlink\" xlink:href=\"#art\"/>"
                     "</svg>\n");
    nw_report_pen_box(&sheet->pen, slot, NULL, INK_BLACK, 0.2 * sheet->pen.unit);
}

/* What the numbers in a window keep clear of. */
static bool window_ground(report_sheet *sheet, nw_box slot, nw_region *art)
{
    nw_report_ground_free(&sheet->ground);
    if (!nw_report_ground_make(&sheet->ground, slot, 0.6 * sheet->pen.unit) ||
        (!art->count && !nw_report_ground_flatten(&sheet->ground, sheet->report->drawing,
                                                  sheet->place.scale, art)))
        return false;
    nw_report_ground_region(&sheet->ground, art, sheet->place, GROUND_ART);
    return true;
}

static bool window_draw(report_sheet *sheet, nw_box slot, nw_box window, size_t number,
                        nw_region *art)
{
    double unit = sheet->pen.unit, scale = nw_box_width(slot) / nw_box_width(window);
    sheet->place =
        (report_frame){window.min.x - slot.min.x / scale, window.max.y + slot.min.y / scale, scale};
    art_use(sheet, slot, window);
    bool good = window_ground(sheet, slot, art);
    if (good)
        nw_report_numbers_draw(sheet, window);
    nw_point below = {slot.min.x, slot.max.y + 3.4 * unit};
    name_put(sheet, below, number, true);
    nw_text words = {0};
    nw_text_add(&words, "lower left corner at ");
    nw_write_place(&words, window.min, sheet->report->inch);
    below.x += 4 * unit;
    nw_report_pen_words(&sheet->pen, below, nw_report_small(&sheet->pen, REPORT_START, false),
                        &words);
    return good;
}

static void plan_draw(report_sheet *sheet, nw_box slot, const details *found)
{
    nw_box box = nw_drawing_box(sheet->report->drawing);
    double side = 1.06 * fmax(fmax(nw_box_width(box), nw_box_height(box)), found->side);
    nw_box all = window_about(nw_middle(box.min, box.max), side);
    double unit = sheet->pen.unit, scale = nw_box_width(slot) / side;
    sheet->place =
        (report_frame){all.min.x - slot.min.x / scale, all.max.y + slot.min.y / scale, scale};
    art_use(sheet, slot, all);
    for (size_t i = 0; i < found->count; i++) {
        nw_box window = found->windows[i];
        nw_point low = nw_report_placed(window.min, &sheet->place);
        nw_point high = nw_report_placed(window.max, &sheet->place);
        nw_report_pen_box(&sheet->pen, (nw_box){{low.x, high.y}, {high.x, low.y}}, NULL, INK_BLACK,
                          0.3 * unit);
        name_put(sheet, (nw_point){low.x + 0.5 * unit, high.y + REPORT_SMALL * unit}, i, true);
    }
    nw_report_pen_text(&sheet->pen, (nw_point){slot.min.x, slot.max.y + 3.4 * unit},
                       nw_report_small(&sheet->pen, REPORT_START, false),
                       "where the enlarged parts are");
}

static double heading_draw(report_sheet *sheet, const details *found)
{
    nw_text words = {0};
    nw_text_add(&words, found->count ? "Crowded parts, enlarged " : "More spots");
    if (found->count) {
        nw_text_number(&words, TIMES, 0);
        nw_text_add(&words, " : 1");
    }
    double y = nw_report_sheet_words(sheet, sheet->left, 5.2, true, &words);
    nw_report_subject(&words, sheet->report);
    return nw_report_sheet_words(sheet, y, 3, false, &words) + 3 * sheet->pen.unit;
}

/* With lines so thin that they do not come out heavier than on the first sheet. */
static void art_define(report_sheet *sheet)
{
    double unit = sheet->pen.unit;
    sheet->place = (report_frame){0, 0, 1};
    sheet->pen.unit = unit / TIMES;
    nw_text_add(sheet->pen.out, "<defs>\n");
    nw_report_art_draw(sheet);
    nw_text_add(sheet->pen.out, "</defs>\n");
    sheet->pen.unit = unit;
}

bool nw_report_details_draw(report_sheet *sheet, report_drawn *drawn)
{
    double unit = sheet->pen.unit;
    details found = {.side = SIDE * unit / TIMES};
    sheet->pen.out = &drawn->body;
    sheet->more = "spots.csv";
    drawn->unit = unit;
    drawn->white = sheet->left;
    sheet->width = fmax(sheet->width, (ACROSS * (SIDE + BETWEEN) - BETWEEN) * unit);
    if (!windows_choose(sheet, &found))
        return false;
    art_define(sheet);
    double top = heading_draw(sheet, &found);
    bool good = true;
    if (found.count) {
        plan_draw(sheet, slot_box(sheet, top, 0), &found);
        for (size_t i = 0; good && i < found.count; i++)
            good = window_draw(sheet, slot_box(sheet, top, i + 1), found.windows[i], i, &found.art);
        top = slot_box(sheet, top, found.count).max.y + (BETWEEN + CAPTION) * unit;
        nw_region_free(&found.art);
    }
    top = nw_report_list_draw(sheet, top, sheet->report->fit->spot_count);
    drawn->size = (nw_point){sheet->width + 2 * sheet->left, top + sheet->left};
    return good;
}
