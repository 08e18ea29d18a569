/*
 * sheet_dimensions: how large the dimensions of the spots are drawn in their places, so that none
 * lies on another: the worst spot's in full, each further one as large as those before it leave
 * room for, and where there is none for the smallest either, no dimension: the figure beside the
 * balloon says it all the same.
 */
#include <report/sheet/sheet.h>

#include <math.h>
#include <stdlib.h>

#define CLEAR 0.8 /* between two dimensions, in units of the pen, at full size */

typedef struct {
    nw_point a, b;
} stroke;

static double stroke_distance(stroke s, stroke t)
{
    if (nw_segments_cross(s.a, s.b, t.a, t.b))
        return 0;
    return fmin(fmin(nw_segment_distance(t.a, t.b, s.a), nw_segment_distance(t.a, t.b, s.b)),
                fmin(nw_segment_distance(s.a, s.b, t.a), nw_segment_distance(s.a, s.b, t.b)));
}

static bool is_clear(stroke s, const stroke *placed, size_t count, double room)
{
    for (size_t i = 0; i < count; i++)
        if (stroke_distance(s, placed[i]) < room)
            return false;
    return true;
}

double nw_report_spot_weight(size_t index)
{
    return index == 0 ? 1.3 : 1;
}

bool nw_report_spot_dimension(const report_sheet *sheet, const nw_spot *spot, nw_point ends[2])
{
    if (spot->form == NW_MISS)
        return false;
    if (spot->form == NW_PINCH) {
        ends[0] = nw_report_placed(spot->from, &sheet->place);
        ends[1] = nw_report_placed(spot->to, &sheet->place);
        return true;
    }
    double length = nw_distance(spot->at, spot->stuck);
    nw_point end =
        nw_plus(spot->at, nw_minus(spot->stuck, spot->at), length > 0 ? spot->depth / length : 0);
    ends[0] = nw_report_placed(spot->at, &sheet->place);
    ends[1] = nw_report_placed(end, &sheet->place);
    return true;
}

bool nw_report_dimensions_size(report_sheet *sheet)
{
    static const double sizes[] = {1, 0.6, 0.36};
    stroke *placed = nw_alloc(sheet->balloon_count, sizeof *placed);
    size_t count = 0;
    for (size_t i = 0; placed && i < sheet->balloon_count; i++) {
        report_balloon *balloon = &sheet->balloons[i];
        nw_point ends[2];
        balloon->dimension = 0;
        if (!nw_report_spot_dimension(sheet, &sheet->report->fit->spots[i], ends) ||
            (ends[0].x == ends[1].x && ends[0].y == ends[1].y))
            continue; /* a miss, or a passage of no width at all */
        for (size_t k = 0; k < sizeof sizes / sizeof *sizes && balloon->dimension == 0; k++) {
            double size = sizes[k] * nw_report_spot_weight(i);
            nw_point line[2];
            nw_report_dimension_line(&sheet->pen, ends, size, line);
            stroke s = {line[0], line[1]};
            if (is_clear(s, placed, count, CLEAR * sizes[k] * sheet->pen.unit)) {
                balloon->dimension = size;
                placed[count++] = s;
            }
        }
    }
    bool good = placed;
    free(placed);
    return good;
}
