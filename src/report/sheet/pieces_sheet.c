/*
 * pieces_svg: the pieces of an art with their numbers on them. A number stands in the middle of
 * the widest stretch of ink that a few level lines find in its piece, or above a piece that is
 * smaller than the number. Among many small pieces, such as letters, it becomes as small as it has
 * to be to stand alone.
 */
#include <report/parts.h>
#include <report/sheet/pieces_sheet.h>

#include <math.h>
#include <stdlib.h>

#define UNSIZED_MM 180.0    /* the larger side of a drawing without a size */
#define TEXT_SHARE 0.03     /* height of a number, of the larger side */
#define SMALL_TEXT 0.4      /* of that height, for small pieces */
#define SMALLEST_TEXT 0.08  /* of that height, where small pieces crowd */
#define SMALLER 0.8         /* of its height, until a number is clear of others */
#define CROWD 2.0           /* heights of a number: lower pieces are kept clear too */
#define DIGIT_WIDTH 0.7     /* of its height */
#define LEVELS 9            /* lines looked at in a piece */
#define SAME_BOX 0.02       /* a traced outline's box against its piece's, of the larger side */
#define NUMBERS_MOST 400    /* more could not be read */
#define FLATNESS_SHARE 2e-4 /* for placing numbers, of the larger side */

typedef struct {
    nw_text *svg;
    const nw_pieces_report *report;
    nw_box page;
    double text_height;
    nw_box *taken; /* NUMBERS_MOST: by the numbers so far */
    size_t taken_count;
} pieces_sheet;

static double larger_side(nw_box box)
{
    return fmax(box.max.x - box.min.x, box.max.y - box.min.y);
}

static double box_distance(nw_box a, nw_box b)
{
    return fabs(a.min.x - b.min.x) + fabs(a.min.y - b.min.y) + fabs(a.max.x - b.max.x) +
           fabs(a.max.y - b.max.y);
}

/* Where the rings of one piece cross the level y, in order; the count of crossings. */
static size_t crossings(const nw_region *region, size_t piece, double y, double *found)
{
    size_t count = 0;
    for (size_t ring = 0; ring < region->count; ring++) {
        size_t first = region->starts[ring], end = region->starts[ring + 1];
        for (size_t i = first; region->pieces[ring] == piece && i < end; i++) {
            nw_point a = region->points[i], b = region->points[i + 1 < end ? i + 1 : first];
            if ((a.y > y) != (b.y > y))
                found[count++] = a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y);
        }
    }
    nw_sort(found, count, sizeof *found, nw_by_number);
    return count;
}

/* The middle of the widest stretch of ink of a piece; its width goes to *wide. */
static nw_point widest_place(const nw_region *region, size_t ring, double *scratch, double *wide)
{
    nw_box box = nw_ring_box(region, ring);
    nw_point best = {box.max.x, (box.min.y + box.max.y) / 2};
    *wide = 0;
    for (int level = 1; level <= LEVELS; level++) {
        double y = box.min.y + (box.max.y - box.min.y) * level / (LEVELS + 1.0);
        size_t count = crossings(region, region->pieces[ring], y, scratch);
        for (size_t i = 0; i + 1 < count; i += 2) {
            if (scratch[i + 1] - scratch[i] > *wide * 1.001) {
                *wide = scratch[i + 1] - scratch[i];
                best = (nw_point){(scratch[i] + scratch[i + 1]) / 2, y};
            }
        }
    }
    return best;
}

/* The number with its middle at a place, on a pale rim that keeps it legible on ink. */
static void add_text(pieces_sheet *sheet, nw_point at, double height, const nw_piece *piece)
{
    nw_text *svg = sheet->svg;
    for (int rim = 1; rim >= 0; rim--) {
        nw_text_add(svg, "<text x=\"");
        nw_text_number(svg, at.x - sheet->page.min.x, 3);
        nw_text_add(svg, "\" y=\"");
        nw_text_number(svg, sheet->page.max.y - at.y + 0.35 * height, 3);
        nw_text_add(svg, "\" font-size=\"");
        nw_text_number(svg, height, 3);
        if (rim) {
            nw_text_add(svg, "\" fill=\"none\" stroke=\"white\" stroke-width=\"");
            nw_text_number(svg, 0.25 * height, 3);
            nw_text_add(svg, "\" stroke-linejoin=\"round\"");
        } else {
            nw_text_format(svg, "\" fill=\"%s\"", piece->kept ? "#b00020" : "#555");
        }
        nw_text_format(svg, ">%zu</text>\n", piece->number);
    }
}

static double digits_of(size_t number)
{
    return number < 10 ? 1 : number < 100 ? 2 : number < 1000 ? 3 : 4;
}

/* As high as the sheet's numbers are, but no wider than a small piece in a row of others. */
static double text_height(const pieces_sheet *sheet, nw_box box, size_t number)
{
    double height = (box.max.x - box.min.x) / (digits_of(number) * DIGIT_WIDTH);
    return fmin(fmax(height, SMALL_TEXT * sheet->text_height), sheet->text_height);
}

static nw_box text_box(nw_point at, double height, size_t number)
{
    double half = digits_of(number) * DIGIT_WIDTH * height / 2;
    return (nw_box){{at.x - half, at.y - 0.45 * height}, {at.x + half, at.y + 0.45 * height}};
}

static bool boxes_meet(nw_box a, nw_box b)
{
    return a.min.x < b.max.x && b.min.x < a.max.x && a.min.y < b.max.y && b.min.y < a.max.y;
}

/* Clear of all numbers so far, and of other small pieces. */
static bool is_clear(const pieces_sheet *sheet, nw_box text, const nw_piece *own)
{
    for (size_t k = 0; k < sheet->taken_count; k++)
        if (boxes_meet(text, sheet->taken[k]))
            return false;
    const nw_pieces *pieces = sheet->report->pieces;
    for (size_t k = 0; k < pieces->count && k < NUMBERS_MOST; k++) {
        nw_box box = nw_report_piece_box(sheet->report, &pieces->items[k]);
        bool small = box.max.y - box.min.y < CROWD * sheet->text_height;
        if (small && &pieces->items[k] != own && boxes_meet(text, box))
            return false;
    }
    return true;
}

/* In its widest stretch of ink, or above the piece where that is smaller than the number. */
static nw_point place_text(nw_point inside, double wide, nw_box box, double height)
{
    if (wide < height || box.max.y - box.min.y < 1.5 * height)
        return (nw_point){(box.min.x + box.max.x) / 2, box.max.y + 0.6 * height};
    return inside;
}

static void add_number(pieces_sheet *sheet, const nw_region *region, const nw_piece *piece,
                       double *scratch)
{
    nw_box box = nw_report_piece_box(sheet->report, piece);
    double nearest = SAME_BOX * larger_side(sheet->page);
    size_t ring = region->count;
    for (size_t k = 0; k < region->count; k++) {
        double distance = box_distance(nw_ring_box(region, k), box);
        if (distance < nearest) {
            nearest = distance;
            ring = k;
        }
    }
    double wide = 0, height = text_height(sheet, box, piece->number);
    nw_point at = {0, 0};
    if (ring < region->count)
        at = widest_place(region, ring, scratch, &wide);
    double least = SMALLEST_TEXT * sheet->text_height;
    nw_point place = place_text(at, wide, box, height);
    while (height > least && !is_clear(sheet, text_box(place, height, piece->number), piece)) {
        height = fmax(least, SMALLER * height);
        place = place_text(at, wide, box, height);
    }
    sheet->taken[sheet->taken_count++] = text_box(place, height, piece->number);
    add_text(sheet, place, height, piece);
}

/* The numbers of the pieces that are kept, or of those that are not. */
static nw_status add_numbers(pieces_sheet *sheet, const nw_drawing *drawing, bool kept,
                             nw_error *error)
{
    nw_region region = {0};
    nw_status status = NW_OK;
    if (drawing->count) {
        double flatness = FLATNESS_SHARE * larger_side(sheet->page);
        status = nw_drawing_flatten(drawing, flatness, &region, error);
    }
    if (status != NW_OK)
        return status;
    double *scratch = nw_alloc(nw_region_size(&region), sizeof *scratch);
    const nw_pieces *pieces = sheet->report->pieces;
    for (size_t i = 0; scratch && i < pieces->count && i < NUMBERS_MOST; i++)
        if (pieces->items[i].kept == kept)
            add_number(sheet, &region, &pieces->items[i], scratch);
    sheet->svg->failed = sheet->svg->failed || !scratch;
    free(scratch);
    nw_region_free(&region);
    return NW_OK;
}

static void add_shapes(pieces_sheet *sheet, const nw_drawing *drawing, const char *colour)
{
    report_frame frame = {sheet->page.min.x, sheet->page.max.y, 1};
    for (size_t first = 0; first < drawing->count;) {
        size_t count = nw_report_piece_length(drawing, first);
        nw_text_format(sheet->svg, "<path fill=\"%s\" fill-rule=\"evenodd\" d=\"", colour);
        nw_report_path_data(sheet->svg, drawing->paths + first, count, frame);
        nw_text_add(sheet->svg, "\"/>\n");
        first += count;
    }
}

/* The page: both drawings, and a margin in which numbers find room. */
static nw_box page_box(const nw_pieces_report *report)
{
    nw_layer layers[] = {{.name = "kept", .drawing = report->kept},
                         {.name = "dropped", .drawing = report->dropped}};
    nw_box box = {{0, 0}, {1, 1}};
    nw_report_layers_box(layers, 2, &box);
    double margin = 2 * TEXT_SHARE * larger_side(box);
    return (nw_box){{box.min.x - margin, box.min.y - margin},
                    {box.max.x + margin, box.max.y + margin}};
}

static void open_sheet(pieces_sheet *sheet)
{
    const nw_pieces_report *report = sheet->report;
    double scale = report->unit_mm > 0 ? 1 : UNSIZED_MM / larger_side(sheet->page);
    nw_report_sheet_open(sheet->svg, (nw_point){0, 0},
                         (sheet->page.max.x - sheet->page.min.x) * scale,
                         (sheet->page.max.y - sheet->page.min.y) * scale);
    nw_text_add(sheet->svg, "<title>Pieces of ");
    nw_text_escaped(sheet->svg, report->art);
    nw_text_add(sheet->svg, "</title>\n<g transform=\"scale(");
    nw_text_number(sheet->svg, scale, 9);
    nw_text_add(sheet->svg, ")\" font-family=\"sans-serif\" font-weight=\"bold\" "
                            "text-anchor=\"middle\">\n");
}

nw_status nw_write_pieces_svg(const nw_pieces_report *report, nw_text *svg, nw_error *error)
{
    *svg = (nw_text){0};
    nw_status status = nw_report_pieces_check(report, error);
    if (status != NW_OK)
        return status;
    if (!nw_report_drawing_sound(report->kept) || !nw_report_drawing_sound(report->dropped))
        return nw_fail(error, NW_INTERNAL, "a drawing holds a number that is not finite");
    pieces_sheet sheet = {.svg = svg, .report = report, .page = page_box(report)};
    sheet.taken = nw_alloc(NUMBERS_MOST, sizeof *sheet.taken);
    if (!sheet.taken)
        return nw_fail_memory(error, "the drawing of pieces");
    sheet.text_height = TEXT_SHARE * larger_side(sheet.page);
    open_sheet(&sheet);
    add_shapes(&sheet, report->dropped, "#e0d2b4");
    add_shapes(&sheet, report->kept, "#5a6470");
    status = add_numbers(&sheet, report->dropped, false, error);
    if (status == NW_OK)
        status = add_numbers(&sheet, report->kept, true, error);
    free(sheet.taken);
    if (status != NW_OK) {
        nw_text_free(svg);
        return status;
    }
    nw_text_add(svg, "</g>\n</svg>\n");
    return nw_report_finish(svg, "the drawing of pieces", error);
}
