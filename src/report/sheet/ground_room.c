/*
 * ground_room: where on the sheet's ground boxes are free (summed areas: Crow, Summed-area tables
 * for texture mapping, 1984).
 */
#include <report/sheet/ground.h>

void nw_report_ground_count(report_ground *ground, int marks)
{
    ground->counted = marks;
    size_t wide = ground->columns + 1;
    for (size_t r = 0; r < ground->rows; r++) {
        uint32_t sum = 0;
        for (size_t c = 0; c < ground->columns; c++) {
            sum += (ground->marks[r * ground->columns + c] & marks) != 0;
            ground->filled[(r + 1) * wide + c + 1] = ground->filled[r * wide + c + 1] + sum;
        }
    }
}

/* What a box from least to most about the middle of a column, or row, covers of them. */
static ground_span span_about(double corner, double cell, size_t count, size_t at, double least,
                              double most)
{
    double middle = corner + ((double)at + 0.5) * cell, from = middle + least, to = middle + most;
    if (from < corner || to > corner + (double)count * cell)
        return (ground_span){0, 0};
    return (ground_span){(uint32_t)nw_report_ground_index((from - corner) / cell, count),
                         (uint32_t)nw_report_ground_index((to - corner) / cell, count) + 1};
}

/* Of the one box and the other, what they cover about each column, and then about each row. */
void nw_report_ground_boxes(report_ground *ground, const nw_box boxes[2])
{
    ground_span *span = ground->spans;
    for (int k = 0; k < 2; k++) {
        nw_box box = boxes[k];
        for (size_t c = 0; c < ground->columns; c++)
            *span++ = span_about(ground->corner.x, ground->cell, ground->columns, c, box.min.x,
                                 box.max.x);
        for (size_t r = 0; r < ground->rows; r++)
            *span++ =
                span_about(ground->corner.y, ground->cell, ground->rows, r, box.min.y, box.max.y);
    }
}

static bool is_unbarred(const report_ground *ground, ground_span across, ground_span down)
{
    uint8_t found = 0;
    for (size_t r = down.first; r < down.end && !(found & ground->barring); r++) {
        const uint8_t *marks = ground->marks + r * ground->columns;
        for (size_t c = across.first; c < across.end; c++)
            found |= marks[c];
    }
    return !(found & ground->barring);
}

/* Whether all of a box about the cell is on the ground and nothing in it was counted or bars. */
static bool is_free(const report_ground *ground, size_t box, size_t column, size_t row)
{
    const ground_span *spans = ground->spans + box * (ground->columns + ground->rows);
    ground_span across = spans[column], down = spans[ground->columns + row];
    size_t low = (ground->columns + 1) * down.end, top = (ground->columns + 1) * down.first;
    const uint32_t *filled = ground->filled;
    return across.end && down.end &&
           filled[low + across.end] + filled[top + across.first] ==
               filled[top + across.end] + filled[low + across.first] &&
           is_unbarred(ground, across, down);
}

/* The boxes lie round the cell, so that a counted one has no room. */
bool nw_report_ground_has_room(const report_ground *ground, uint32_t cell, bool *second)
{
    if (ground->marks[cell] & (ground->counted | ground->barring))
        return false;
    uint32_t wide = (uint32_t)ground->columns, column = cell % wide, row = cell / wide;
    *second = !is_free(ground, 0, column, row);
    return !*second || is_free(ground, 1, column, row);
}
