/*
 * details: the second sheet of the marked drawing, as SVG: parts of the art where spots without a
 * balloon, or a leader to themselves, stand close together, enlarged, with the number of every
 * spot; a plan of where they are; and the list from where the first sheet's ends.
 *
 * The parts are squares about a spot that hold the most spots of which no part before shows one.
 * They are enlarged further where numbers would cover one another, as long as there is room for
 * all.
 */
#include <report/sheet/sheet.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define WINDOWS_MOST 11
#define ACROSS 3
#define SIDE 52.0 /* of a window; sizes are in units of the pen */
#define BETWEEN 4.0
#define CAPTION 4.5
#define LOOKED_AT 1000 /* spots: no sheet shows more */

/* How much larger than the art at true size; from ISO 5455 on where 3 do not do. */
static const double TIMES[] = {3, 5, 10};
#define SCALES (sizeof TIMES / sizeof *TIMES)

typedef struct {
    nw_box windows[WINDOWS_MOST]; /* of the drawing */
    size_t count;
    double times, side; /* side: of each, mm of the art */
    bool whole;         /* all spots that are to be shown are */
} details;

static size_t spots_looked_at(const report_sheet *sheet)
{
    size_t count = sheet->report->fit->spot_count;
    return count < LOOKED_AT ? count : LOOKED_AT;
}

static size_t spots_seen(const report_sheet *sheet, nw_box window, bool *seen, bool mark)
{
    const nw_fit *fit = sheet->report->fit;
    size_t count = 0, looked_at = spots_looked_at(sheet);
    for (size_t i = 0; i < looked_at; i++) {
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

/* Windows so much larger that each shows so many more spots, at least, of those that have not been
 * seen, one where that shares a leader. */
static details windows_choose(const report_sheet *sheet, double times, size_t least, bool *seen)
{
    const nw_fit *fit = sheet->report->fit;
    details found = {.times = times, .side = SIDE * sheet->pen.unit / times, .whole = true};
    size_t looked_at = spots_looked_at(sheet), most = 1;
    while (most && found.count < WINDOWS_MOST) {
        size_t best = 0;
        most = 0;
        for (size_t i = 0; i < looked_at; i++) {
            nw_box window = window_about(fit->spots[i].at, found.side);
            size_t count = seen[i] ? 0 : spots_seen(sheet, window, seen, false);
            if (count > most && (count >= least || nw_report_spot_shares(sheet, i))) {
                most = count;
                best = i;
            }
        }
        if (most) {
            nw_box window = window_about(fit->spots[best].at, found.side);
            spots_seen(sheet, window, seen, true);
            found.windows[found.count++] = window;
        }
    }
    for (size_t i = 0; i < looked_at; i++)
        found.whole = found.whole && seen[i];
    return found;
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
    if (!nw_report_ground_make(&sheet->ground, slot, 0.6 * sheet->pen.unit, false) ||
        (!art->count && !nw_report_ground_flatten(&sheet->ground, sheet->report->drawing,
                                                  sheet->place.scale, art)))
        return false;
    nw_report_ground_region(&sheet->ground, art, sheet->place, GROUND_ART, GROUND_EDGE);
    return true;
}

/* covered: counts the numbers that cover one another. */
static bool window_draw(report_sheet *sheet, nw_box slot, nw_box window, size_t number,
                        nw_region *art, size_t *covered)
{
    double unit = sheet->pen.unit, scale = nw_box_width(slot) / nw_box_width(window);
    sheet->place =
        (report_frame){window.min.x - slot.min.x / scale, window.max.y + slot.min.y / scale, scale};
    art_use(sheet, slot, window);
    bool good = window_ground(sheet, slot, art);
    if (good)
        *covered += nw_report_numbers_draw(sheet, window);
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
        nw_text_number(&words, found->times, 0);
        nw_text_add(&words, " : 1");
    }
    double y = nw_report_sheet_words(sheet, sheet->left, 5.2, true, &words);
    nw_report_subject(&words, sheet->report);
    return nw_report_sheet_words(sheet, y, 3, false, &words) + 3 * sheet->pen.unit;
}

/* With lines so thin that they do not come out heavier than on the first sheet. */
static void art_define(report_sheet *sheet, double times)
{
    double unit = sheet->pen.unit;
    sheet->place = (report_frame){0, 0, 1};
    sheet->pen.unit = unit / times;
    nw_text_add(sheet->pen.out, "<defs>\n");
    nw_report_art_draw(sheet);
    nw_text_add(sheet->pen.out, "</defs>\n");
    sheet->pen.unit = unit;
}

/* What is shown above the list, and where that begins. */
static bool parts_draw(report_sheet *sheet, const details *found, double *bottom, size_t *covered)
{
    nw_region art = {0}; /* flattened for the windows' grounds, once the first is drawn */
    bool good = true;
    *covered = 0;
    double top = heading_draw(sheet, found);
    if (found->count) {
        plan_draw(sheet, slot_box(sheet, top, 0), found);
        for (size_t i = 0; good && i < found->count; i++)
            good = window_draw(sheet, slot_box(sheet, top, i + 1), found->windows[i], i, &art,
                               covered);
        top = slot_box(sheet, top, found->count).max.y + (BETWEEN + CAPTION) * sheet->pen.unit;
    }
    nw_region_free(&art);
    *bottom = top;
    return good;
}

/* Draws the parts as much enlarged as their numbers need, and tells how much that is; seen: those
 * that have a balloon. */
static bool scales_try(report_sheet *sheet, bool *seen, bool *held, double *bottom, double *times)
{
    size_t count = spots_looked_at(sheet), covered = 0;
    memcpy(held, seen, count * sizeof *seen);
    details found = windows_choose(sheet, TIMES[0], 2, seen);
    for (size_t i = 0; i < count; i++)
        held[i] = held[i] || !seen[i]; /* with a balloon, or alone */
    *times = found.times;
    bool good = parts_draw(sheet, &found, bottom, &covered);
    for (size_t k = 1; good && covered && k < SCALES; k++) {
        memcpy(seen, held, count * sizeof *seen);
        found = windows_choose(sheet, TIMES[k], 1, seen);
        if (!found.whole)
            break;
        *times = found.times;
        sheet->pen.out->length = 0;
        good = parts_draw(sheet, &found, bottom, &covered);
    }
    return good;
}

bool nw_report_details_draw(report_sheet *sheet, report_drawn *drawn)
{
    double unit = sheet->pen.unit, top = 0, times = 1;
    size_t count = spots_looked_at(sheet);
    nw_text parts = {0};
    sheet->pen.out = &parts;
    sheet->more = "spots.csv";
    drawn->unit = unit;
    drawn->white = sheet->left;
    sheet->width = fmax(sheet->width, (ACROSS * (SIDE + BETWEEN) - BETWEEN) * unit);
    bool *seen = nw_alloc(2 * count, sizeof *seen);
    for (size_t i = 0; seen && i < count; i++)
        seen[i] = nw_report_spot_has_balloon(sheet, i) && !nw_report_spot_shares(sheet, i);
    bool good = seen && scales_try(sheet, seen, seen + count, &top, &times);
    free(seen);
    sheet->pen.out = &drawn->body;
    art_define(sheet, times); /* the parts only refer to it */
    nw_text_take(&drawn->body, &parts, 0);
    top = nw_report_list_draw(sheet, top, sheet->report->fit->spot_count);
    drawn->size = (nw_point){sheet->width + 2 * sheet->left, top + sheet->left};
    return good;
}
