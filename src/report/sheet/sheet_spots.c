/*
 * sheet_spots: the spots on the marked drawing: for each the bit (or a disc as wide as the least
 * neck) where it gets stuck, a dimension across a pinch or along a stub, and a leader to its
 * numbered balloon with the figure beside it (ISO 129-1; leaders as in ISO 128-22: on a dimension
 * line they end in nothing, in an area in a dot). Gaps have round balloons, necks square ones.
 * Spots without a balloon get a small mark.
 */
#include <report/sheet/sheet.h>

#include <math.h>

#define RADIUS 2.9 /* of a balloon; all sizes here are in units of the pen */
#define RADIUS_WORST 5.2
#define FIGURE 2.9 /* lettering: figure beside the balloon, the line under it */
#define FIGURE_WORST 4.4
#define SECOND 2.5
#define SECOND_WORST 3.2
#define LABEL_GAP 0.8
#define ROOM 0.9 /* between neighbours */
#define MARK 0.8

typedef struct {
    bool worst;
    double radius, figure, second, weight;
} style;

static style style_of(size_t index, double unit)
{
    bool worst = index == 0;
    return (style){worst, unit * (worst ? RADIUS_WORST : RADIUS),
                   unit * (worst ? FIGURE_WORST : FIGURE), unit * (worst ? SECOND_WORST : SECOND),
                   nw_report_spot_weight(index)};
}

const char *nw_report_side_colour(nw_side side)
{
    return side == NW_GAP ? INK_VERMILLION : INK_BLUE;
}

void nw_report_spot_label(const nw_spot *spot, bool inch, nw_text *first, nw_text *second)
{
    if (spot->form == NW_PINCH) {
        nw_report_length_cell(first, spot->width, inch);
        if (spot->widen >= 0) {
            nw_text_add(second, "+");
            nw_report_widen_cell(second, spot->widen, inch);
        }
    } else if (spot->form == NW_STUB) {
        nw_report_length_cell(first, spot->depth, inch);
        nw_text_add(second, "deep");
    } else {
        nw_text_add(first, "all");
        nw_text_add(second, "lost");
    }
}

static double disc_radius(const report_sheet *sheet, const nw_spot *spot)
{
    const nw_fit_options *options = &sheet->report->fit->options;
    return sheet->place.scale * (spot->side == NW_GAP ? options->bit : options->neck) / 2;
}

/* Where the outer ends of the dimension line come to, or its middle where nothing sticks out. */
static void leader_ends(const report_sheet *sheet, const nw_spot *spot, double weight,
                        nw_point ends[2])
{
    nw_point line[2];
    if (!nw_report_spot_dimension(sheet, spot, line)) {
        ends[0] = ends[1] = nw_report_placed(spot->at, &sheet->place);
        return;
    }
    if (weight == 0 || !nw_report_dimension_line(&sheet->pen, line, weight, ends))
        ends[0] = ends[1] = nw_plus(line[0], nw_minus(line[1], line[0]), 0.5);
}

static double text_width(const nw_text *text, double size, bool bold)
{
    return nw_report_text_width(text->data ? text->data : "", text->length, size, bold);
}

static void measure_balloon(const report_sheet *sheet, const nw_spot *spot, style s,
                            report_balloon *balloon)
{
    nw_text first = {0}, second = {0};
    double unit = sheet->pen.unit;
    nw_report_spot_label(spot, sheet->report->inch, &first, &second);
    double label = fmax(text_width(&first, s.figure, true), text_width(&second, s.second, false));
    double lines = s.figure + s.second + LABEL_GAP * unit;
    sheet->pen.out->failed = sheet->pen.out->failed || first.failed || second.failed;
    nw_text_free(&first);
    nw_text_free(&second);
    *balloon = (report_balloon){.dimension = balloon->dimension,
                                .radius = s.radius,
                                .beside = {2 * s.radius + LABEL_GAP * unit + label,
                                           fmax(2 * s.radius, lines) + ROOM * unit},
                                .above = {fmax(2 * s.radius, label) + ROOM * unit,
                                          2 * s.radius + LABEL_GAP * unit + lines}};
    leader_ends(sheet, spot, balloon->dimension, balloon->ends);
}

void nw_report_spots_measure(report_sheet *sheet, nw_box *content)
{
    const nw_fit *fit = sheet->report->fit;
    sheet->pen.out->failed = !nw_report_dimensions_size(sheet) || sheet->pen.out->failed;
    for (size_t i = 0; i < sheet->balloon_count; i++) {
        const nw_spot *spot = &fit->spots[i];
        report_balloon *balloon = &sheet->balloons[i];
        measure_balloon(sheet, spot, style_of(i, sheet->pen.unit), balloon);
        nw_box_take(content, balloon->ends[0], 0);
        nw_box_take(content, balloon->ends[1], 0);
        nw_box_take(content, nw_report_placed(spot->at, &sheet->place), MARK * sheet->pen.unit);
        if (spot->form != NW_MISS) {
            nw_box_take(content, nw_report_placed(spot->stuck, &sheet->place),
                        disc_radius(sheet, spot));
        }
    }
}

void nw_report_balloon_shape(report_pen *pen, nw_side side, nw_point centre, double radius,
                             bool worst)
{
    const char *colour = nw_report_side_colour(side), *fill = worst ? colour : INK_WHITE;
    double width = (worst ? 0.8 : 0.4) * pen->unit;
    if (side == NW_GAP) {
        nw_report_pen_circle(pen, centre, radius - width / 2, fill, worst ? INK_BLACK : colour,
                             width, false);
        return;
    }
    double half = radius - width / 2;
    nw_report_pen_box(
        pen, (nw_box){{centre.x - half, centre.y - half}, {centre.x + half, centre.y + half}}, fill,
        worst ? INK_BLACK : colour, width);
}

static void draw_disc(report_sheet *sheet, const nw_spot *spot, style s)
{
    if (spot->form == NW_MISS)
        return;
    nw_point centre = nw_report_placed(spot->stuck, &sheet->place);
    double unit = sheet->pen.unit;
    nw_report_pen_circle(&sheet->pen, centre, disc_radius(sheet, spot), NULL, INK_BLACK,
                         0.18 * s.weight * unit, spot->side == NW_NECK);
    nw_report_pen_cross(&sheet->pen, centre, 0.5 * unit, 0.15 * unit);
}

static void draw_dimension(report_sheet *sheet, size_t index)
{
    nw_point ends[2];
    double size = sheet->balloons[index].dimension;
    if (size > 0 && nw_report_spot_dimension(sheet, &sheet->report->fit->spots[index], ends)) {
        nw_report_pen_group(&sheet->pen, "dimension", index + 1);
        nw_report_pen_dimension(&sheet->pen, ends, size, INK_BLACK);
        nw_report_pen_end(&sheet->pen);
    }
}

static void draw_leader(report_sheet *sheet, size_t index)
{
    const report_balloon *balloon = &sheet->balloons[index];
    style s = style_of(index, sheet->pen.unit);
    double unit = sheet->pen.unit, width = (s.worst ? 0.6 : 0.2) * unit;
    nw_report_pen_group(&sheet->pen, "leader", index + 1);
    nw_report_pen_line(&sheet->pen, balloon->bend, balloon->end, width + 0.4 * unit, INK_WHITE);
    nw_report_pen_line(&sheet->pen, balloon->centre, balloon->bend, width, INK_BLACK);
    nw_report_pen_line(&sheet->pen, balloon->bend, balloon->end, width, INK_BLACK);
    if (balloon->dimension == 0) {
        bool miss = sheet->report->fit->spots[index].form == NW_MISS;
        nw_report_pen_circle(&sheet->pen, balloon->end, (miss ? 0.6 : 0.4) * s.weight * unit,
                             INK_BLACK, INK_WHITE, 0.2 * unit, false);
    }
    nw_report_pen_end(&sheet->pen);
}

/* Where the label's text is anchored, and how. */
static nw_point label_place(const report_balloon *balloon, style s, double unit,
                            report_anchor *anchor)
{
    nw_point at = balloon->centre;
    double gap = balloon->radius + LABEL_GAP * unit, lines = s.figure + s.second + 0.3 * unit;
    if (balloon->edge == REPORT_LEFT || balloon->edge == REPORT_RIGHT) {
        bool left = balloon->edge == REPORT_LEFT;
        *anchor = left ? REPORT_END : REPORT_START;
        return (nw_point){at.x + (left ? -gap : gap), at.y - lines / 2};
    }
    *anchor = REPORT_MIDDLE;
    return (nw_point){at.x, at.y + (balloon->edge == REPORT_TOP ? -gap - lines : gap)};
}

static void draw_label(report_sheet *sheet, const nw_spot *spot, const report_balloon *balloon,
                       style s)
{
    nw_text first = {0}, second = {0};
    report_anchor anchor;
    nw_point at = label_place(balloon, s, sheet->pen.unit, &anchor);
    nw_report_spot_label(spot, sheet->report->inch, &first, &second);
    /* Capitals and figures reach to about three quarters of the letter size. */
    at.y += 0.85 * s.figure;
    nw_report_pen_words(&sheet->pen, at, (report_lettering){s.figure, true, anchor, NULL}, &first);
    at.y += s.second + 0.3 * sheet->pen.unit;
    nw_report_pen_words(&sheet->pen, at, (report_lettering){s.second, false, anchor, NULL},
                        &second);
}

static void draw_balloon(report_sheet *sheet, size_t index)
{
    nw_report_pen_group(&sheet->pen, "balloon", index + 1);
    const report_balloon *balloon = &sheet->balloons[index];
    const nw_spot *spot = &sheet->report->fit->spots[index];
    style s = style_of(index, sheet->pen.unit);
    nw_text number = {0};
    nw_text_format(&number, "%zu", index + 1);
    nw_report_balloon_shape(&sheet->pen, spot->side, balloon->centre, balloon->radius, s.worst);
    double size = balloon->radius * (s.worst ? 1.25 : 1.05);
    nw_point at = {balloon->centre.x, balloon->centre.y + 0.36 * size};
    nw_report_pen_words(&sheet->pen, at,
                        (report_lettering){size, true, REPORT_MIDDLE, s.worst ? INK_WHITE : NULL},
                        &number);
    draw_label(sheet, spot, balloon, s);
    nw_report_pen_end(&sheet->pen);
}

static void draw_mark(report_sheet *sheet, const nw_spot *spot)
{
    double half = MARK * sheet->pen.unit;
    nw_point at = nw_report_placed(spot->at, &sheet->place);
    nw_report_balloon_shape(&sheet->pen, spot->side, at, half, false);
}

/* Less harmful ones first, so that the worst lies on top. */
void nw_report_spots_draw(report_sheet *sheet)
{
    const nw_fit *fit = sheet->report->fit;
    for (size_t i = sheet->balloon_count; i < fit->spot_count; i++)
        draw_mark(sheet, &fit->spots[i]);
    for (size_t i = sheet->balloon_count; i-- > 0;)
        draw_disc(sheet, &fit->spots[i], style_of(i, sheet->pen.unit));
    for (size_t i = sheet->balloon_count; i-- > 0;) {
        draw_dimension(sheet, i);
        draw_leader(sheet, i);
    }
    for (size_t i = sheet->balloon_count; i-- > 0;)
        draw_balloon(sheet, i);
}
