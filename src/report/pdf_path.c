/*
 * pdf_path: the path data that path.c writes -> PDF's operators of path construction (ISO
 * 32000-1:2008, 8.5.2). The numbers are handed on as they stand. PDF has no arcs: they become
 * cubic curves of at most a quarter turn, which leave the circle by 0.03 % of its radius at most
 * (the usual 4/3 tan(angle / 4); from memory).
 */
#include <report/pdf_parts.h>

#include <math.h>
#include <string.h>

#define TURN (2 * 3.14159265358979323846)
#define NUMBERS_MOST 7

void report_pdf_numbers(nw_text *pdf, const double *numbers, size_t count, const char *word)
{
    for (size_t i = 0; i < count; i++) {
        nw_text_number(pdf, numbers[i], 4);
        nw_text_add(pdf, " ");
    }
    nw_text_add(pdf, word);
    nw_text_add(pdf, "\n");
}

/* The circle round the centre from one angle on, in `parts` curves. */
static void add_curves(nw_text *pdf, nw_point centre, double radius, double from, double turn,
                       int parts)
{
    double step = turn / parts, reach = 4.0 / 3 * tan(step / 4) * radius;
    for (int i = 0; i < parts; i++) {
        double a = from + i * step, b = a + step;
        nw_point p = {centre.x + radius * cos(a), centre.y + radius * sin(a)};
        nw_point q = {centre.x + radius * cos(b), centre.y + radius * sin(b)};
        double curve[] = {p.x - reach * sin(a),
                          p.y + reach * cos(a),
                          q.x + reach * sin(b),
                          q.y - reach * cos(b),
                          q.x,
                          q.y};
        report_pdf_numbers(pdf, curve, 6, "c");
    }
}

void report_pdf_circle(nw_text *pdf, nw_point centre, double radius)
{
    report_pdf_numbers(pdf, (double[]){centre.x + radius, centre.y}, 2, "m");
    add_curves(pdf, centre, radius, 0, TURN, 4);
    nw_text_add(pdf, "h\n");
}

/* An arc of less than half a turn; positive is SVG's direction, clockwise to the eye. */
static void add_arc(nw_text *pdf, nw_point from, nw_point to, double radius, bool positive)
{
    double x = to.x - from.x, y = to.y - from.y, chord = hypot(x, y);
    if (!(chord > 0 && radius > 0)) {
        return;
    }
    double half = fmin(1, chord / 2 / radius), off = radius * sqrt(1 - half * half) / chord;
    off = positive ? off : -off;
    nw_point centre = {(from.x + to.x) / 2 - off * y, (from.y + to.y) / 2 + off * x};
    double turn = 2 * asin(half), start = atan2(from.y - centre.y, from.x - centre.x);
    add_curves(pdf, centre, radius, start, positive ? turn : -turn, turn > TURN / 4 ? 2 : 1);
}

/* The numbers from text on, as far as they go. */
static size_t numbers_read(const char *text, const char *end, double *numbers)
{
    size_t count = 0;
    while (text < end && count < NUMBERS_MOST && nw_number_read(text, &numbers[count], &text)) {
        count++;
        text += text < end && *text == ' ';
    }
    return text == end ? count : 0;
}

/* The last point that was written, from the operands that end there. */
static bool point_read(const char *operands, const char *end, nw_point *point)
{
    int spaces = 0;
    const char *s = end;
    while (s > operands && (s[-1] != ' ' || ++spaces < 2)) {
        s--;
    }
    double numbers[NUMBERS_MOST];
    if (numbers_read(s, end, numbers) != 2) {
        return false;
    }
    *point = (nw_point){numbers[0], numbers[1]};
    return true;
}

/* from: the operands of the command before, which end in the place where the arc begins. */
static bool arc_add(nw_text *pdf, const char *from, const char *from_end, const char *operands,
                    const char *end)
{
    double v[NUMBERS_MOST];
    nw_point start;
    if (!from || numbers_read(operands, end, v) != 7 || v[0] != v[1] || v[3] != 0 ||
        !point_read(from, from_end, &start)) {
        return false;
    }
    add_arc(pdf, start, (nw_point){v[5], v[6]}, v[0], v[4] != 0);
    return true;
}

static const char *operator_of(char command)
{
    switch (command) {
    case 'M':
        return " m\n";
    case 'L':
        return " l\n";
    case 'C':
        return " c\n";
    default:
        return NULL;
    }
}

bool report_pdf_path(nw_text *pdf, const char *data, const char *end)
{
    const char *from = NULL, *from_end = NULL;
    while (data < end) {
        char command = *data++;
        const char *operands = data, *word = operator_of(command);
        while (data < end &&
               (*data == ' ' || *data == '.' || *data == '-' || (*data >= '0' && *data <= '9'))) {
            data++;
        }
        if (command == 'Z') {
            nw_text_add(pdf, "h\n");
            continue;
        }
        if (word) {
            nw_text_add_bytes(pdf, operands, (size_t)(data - operands));
            nw_text_add_bytes(pdf, word, 3);
        } else if (command != 'A' || !arc_add(pdf, from, from_end, operands, data)) {
            return false;
        }
        from = operands;
        from_end = data;
    }
    return true;
}
