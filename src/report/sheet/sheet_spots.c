/*
 * sheet_spots: the spots on the marked drawing: for each the bit (or a disc as wide as the least
 * neck) where it gets stuck, a dimension across a pinch or along a stub, and a leader to its
 * numbered balloon with the figure beside it (ISO 129-1; leaders as in ISO 128-22: on a dimension
 * line they end in nothing, in an area in a dot). Gaps have round balloons, necks square ones.
 * Leaders that join another end in a dot on it, and their balloons stand in its stack. Spots
 * without a balloon get a small mark; these and those that share a leader get their number at the
 * place where there is room.
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
#define MARK 0.8
#define NUMBER 2.4 /* lettering beside it */
#define JOINT 0.45 /* of two leaders */

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

static void spot_label(const nw_spot *spot, bool inch, nw_text *first, nw_text *second)
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

/* Where the outer ends of the dimension line come to, or its middle where nothing sticks out; where
 * none is drawn the spot's place: the middle of a bent stub's depth is somewhere else. */
static void leader_ends(const report_sheet *sheet, const nw_spot *spot, double weight,
                        nw_point ends[2])
{
    nw_point line[2];
    if (weight == 0 || !nw_report_spot_dimension(sheet, spot, line))
        ends[0] = ends[1] = nw_report_placed(spot->at, &sheet->place);
    else if (!nw_report_dimension_line(&sheet->pen, line, weight, ends))
        ends[0] = ends[1] = nw_middle(line[0], line[1]);
}

static double text_width(const nw_text *text, double size, bool bold)
{
    return nw_report_text_width(nw_text_string(text), text->length, size, bold);
}

static void measure_balloon(const report_sheet *sheet, const nw_spot *spot, style s,
                            report_balloon *balloon)
{
    nw_text first = {0}, second = {0};
    double unit = sheet->pen.unit;
    spot_label(spot, sheet->report->inch, &first, &second);
    double label = fmax(text_width(&first, s.figure, true), text_width(&second, s.second, false));
    sheet->pen.out->failed = sheet->pen.out->failed || first.failed || second.failed;
    nw_text_free(&first);
    nw_text_free(&second);
    *balloon = (report_balloon){.dimension = balloon->dimension,
                                .radius = s.radius,
                                .room = LABEL_GAP * unit,
                                .label = label,
                                .lines = s.figure + s.second + 0.3 * unit};
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
    for (int white = 1; white >= 0; white--) {
        for (size_t i = 1; i < balloon->way.count; i++)
            nw_report_pen_line(&sheet->pen, balloon->way.points[i - 1], balloon->way.points[i],
                               width + white * 0.4 * unit, white ? INK_WHITE : INK_BLACK);
    }
    if (balloon->dimension == 0) {
        bool miss = sheet->report->fit->spots[index].form == NW_MISS;
        nw_report_pen_circle(&sheet->pen, balloon->way.points[0],
                             (miss ? 0.6 : 0.4) * s.weight * unit, INK_BLACK, INK_WHITE, 0.2 * unit,
                             false);
    }
    nw_report_pen_end(&sheet->pen);
    if (balloon->host != index)
        nw_report_pen_circle(&sheet->pen, balloon->way.points[balloon->way.count - 1], JOINT * unit,
                             INK_BLACK, NULL, 0, false);
}

static void draw_label(report_sheet *sheet, const nw_spot *spot, const report_balloon *balloon,
                       style s)
{
    nw_text first = {0}, second = {0};
    report_anchor anchor = balloon->way.second ? REPORT_END : REPORT_START;
    double aside = balloon->radius + balloon->room;
    nw_point at = {balloon->centre.x + (balloon->way.second ? -aside : aside),
                   balloon->centre.y - balloon->lines / 2};
    spot_label(spot, sheet->report->inch, &first, &second);
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

bool nw_report_spot_has_balloon(const report_sheet *sheet, size_t index)
{
    return index < sheet->balloon_count && sheet->balloons[index].way.count;
}

/* Puts the number beside the mark where that covers nothing: free of the art, else on it; where it
 * is needed, on what else there is. Gives whether it covers nothing. */
static bool draw_number(report_sheet *sheet, nw_point at, size_t index)
{
    static const double sides[][2] = {{0, -1}, {-1, -1}, {0, 0}, {-1, 0}, {-0.5, -1}, {-0.5, 0}};
    double size = NUMBER * sheet->pen.unit, off = MARK * sheet->pen.unit + sheet->ground.cell;
    nw_text number = {0};
    nw_text_format(&number, "%zu", index + 1);
    double wide = text_width(&number, size, false), high = 0.76 * size;
    static const int rounds[] = {GROUND_LETTERED | GROUND_ART | GROUND_EDGE, GROUND_LETTERED,
                                 GROUND_TAKEN};
    bool needed = !sheet->balloon_count || nw_report_spot_has_balloon(sheet, index);
    for (int round = 0; round < 2 + needed; round++) {
        for (size_t i = 0; i < sizeof sides / sizeof *sides; i++) {
            double x = sides[i][0], y = sides[i][1];
            nw_point low = {at.x + x * wide +
                                (x < -0.5 ? -off
                                 : x < 0  ? 0
                                          : off),
                            at.y + y * high + (x > -0.6 && x < 0 ? (y < 0 ? -off : off) : 0)};
            nw_box box = {low, {low.x + wide, low.y + high}};
            if (!nw_report_ground_is_clear(&sheet->ground, box, rounds[round]))
                continue;
            nw_report_ground_box(&sheet->ground, box, GROUND_TAKEN);
            nw_report_pen_box(&sheet->pen, box, INK_WHITE, NULL, 0);
            nw_report_pen_words(&sheet->pen, (nw_point){low.x, box.max.y},
                                (report_lettering){size, false, REPORT_START, NULL}, &number);
            return round < 2;
        }
    }
    nw_text_free(&number);
    return false;
}

static nw_point draw_mark(report_sheet *sheet, size_t index)
{
    const nw_spot *spot = &sheet->report->fit->spots[index];
    nw_point at = nw_report_placed(spot->at, &sheet->place);
    nw_report_balloon_shape(&sheet->pen, spot->side, at, MARK * sheet->pen.unit, false);
    return at;
}

/* What lettering keeps clear of, and leaders where they can. */
void nw_report_spots_ground(report_sheet *sheet)
{
    const nw_fit *fit = sheet->report->fit;
    nw_report_marks_ground(sheet);
    for (size_t i = 0; i < fit->spot_count; i++) {
        const nw_spot *spot = &fit->spots[i];
        nw_report_ground_disc(&sheet->ground, nw_report_placed(spot->at, &sheet->place),
                              MARK * sheet->pen.unit, GROUND_SHY);
        if (i >= sheet->balloon_count)
            continue;
        nw_point line[2];
        for (int k = 0; k < 2; k++)
            nw_report_ground_disc(&sheet->ground, sheet->balloons[i].ends[k],
                                  MARK * sheet->pen.unit, GROUND_SPOT);
        if (spot->form != NW_MISS)
            nw_report_ground_disc(&sheet->ground, nw_report_placed(spot->stuck, &sheet->place),
                                  disc_radius(sheet, spot), GROUND_SHY);
        double size = sheet->balloons[i].dimension;
        if (size > 0 && nw_report_spot_dimension(sheet, spot, line)) {
            nw_report_dimension_line(&sheet->pen, line, size, line);
            nw_report_ground_line(&sheet->ground, line[0], line[1], GROUND_SHY);
        }
    }
}

bool nw_report_spot_shares(const report_sheet *sheet, size_t index)
{
    bool shares = false;
    for (size_t i = 0; i < sheet->balloon_count && nw_report_spot_has_balloon(sheet, index); i++)
        shares = shares || (i != index && sheet->balloons[i].host == sheet->balloons[index].host);
    return shares;
}

bool nw_report_any_shares(const report_sheet *sheet)
{
    bool shares = false;
    for (size_t i = 0; i < sheet->balloon_count && !shares; i++)
        shares = nw_report_spot_shares(sheet, i);
    return shares;
}

size_t nw_report_marks_count(const report_sheet *sheet)
{
    size_t count = 0;
    for (size_t i = 0; i < sheet->report->fit->spot_count; i++)
        count += !nw_report_spot_has_balloon(sheet, i);
    return count;
}

/* No mark covers a number: marks come first. */
size_t nw_report_numbers_draw(report_sheet *sheet, nw_box box)
{
    const nw_fit *fit = sheet->report->fit;
    size_t covered = 0;
    sheet->balloon_count = 0;
    nw_report_spots_ground(sheet);
    for (int numbers = 0; numbers < 2; numbers++) {
        for (size_t i = 0; i < fit->spot_count; i++) {
            nw_point at = fit->spots[i].at;
            if (at.x <= box.min.x || at.x >= box.max.x || at.y <= box.min.y || at.y >= box.max.y)
                continue;
            if (numbers)
                covered += !draw_number(sheet, nw_report_placed(at, &sheet->place), i);
            else
                draw_mark(sheet, i);
        }
    }
    return covered;
}

/* Less harmful ones first, so that the worst lies on top. */
void nw_report_spots_draw(report_sheet *sheet)
{
    const nw_fit *fit = sheet->report->fit;
    for (size_t i = sheet->balloon_count; i-- > 0;)
        draw_disc(sheet, &fit->spots[i], style_of(i, sheet->pen.unit));
    for (size_t i = sheet->balloon_count; i-- > 0;) {
        draw_dimension(sheet, i);
        if (nw_report_spot_has_balloon(sheet, i))
            draw_leader(sheet, i);
    }
    for (size_t i = 0; i < fit->spot_count; i++)
        if (!nw_report_spot_has_balloon(sheet, i))
            draw_number(sheet, draw_mark(sheet, i), i);
        else if (nw_report_spot_shares(sheet, i))
            draw_number(sheet, nw_report_placed(fit->spots[i].at, &sheet->place), i);
    for (size_t i = sheet->balloon_count; i-- > 0;)
        if (nw_report_spot_has_balloon(sheet, i))
            draw_balloon(sheet, i);
}
