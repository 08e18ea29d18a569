/*
 * svg_data: outlines -> the path data of SVG 1.1 (W3C Recommendation, 16 August 2011, section 8.3).
 * Lines stay lines, curves cubic curves, arcs arcs. Four decimals of a millimetre: a tenth of a
 * micrometre is far below what any machine or eye can tell.
 */
#include <report/parts.h>

#include <math.h>
#include <string.h>

#define PATH_DECIMALS 4
#define ARC_SPLIT 3.0 /* radians; arcs near half a turn are ambiguous once rounded */
#define LARGEST_PLACE_MM 1e6

static void add_point(nw_text *text, const char *before, nw_point point, report_frame frame)
{
    nw_text_add(text, before);
    nw_text_number(text, (point.x - frame.left) * frame.scale, PATH_DECIMALS);
    nw_text_add(text, " ");
    nw_text_number(text, (frame.top - point.y) * frame.scale, PATH_DECIMALS);
}

static void add_arc(nw_text *text, nw_point from, const nw_step *step, report_frame frame)
{
    double turn = fabs(nw_arc_sweep(from, step));
    int parts = turn > ARC_SPLIT ? (int)ceil(turn / ARC_SPLIT) : 1;
    double radius = frame.scale * nw_distance(from, step->a);
    for (int i = 1; i <= parts; i++) {
        nw_point to = i == parts ? step->to : nw_step_at(from, step, (double)i / parts);
        nw_text_add(text, "A");
        nw_text_number(text, radius, PATH_DECIMALS);
        nw_text_add(text, " ");
        nw_text_number(text, radius, PATH_DECIMALS);
        /* Turned over, clockwise stays clockwise, which SVG calls the positive direction. */
        add_point(text, step->clockwise ? " 0 0 1 " : " 0 0 0 ", to, frame);
    }
}

/* Shorter than the last decimal: other programs stumble over arcs without length. */
static bool rounds_away(nw_point from, const nw_step *step, report_frame frame)
{
    double length = frame.scale * nw_distance(step->to, from);
    bool round = step->kind == NW_ARC && fabs(nw_arc_sweep(from, step)) > ARC_SPLIT;
    return step->kind != NW_CURVE && !round && length * NW_WRITTEN_PER_MM < 1;
}

static void add_path(nw_text *text, const nw_path *path, report_frame frame)
{
    nw_point from = path->start;
    add_point(text, "M", from, frame);
    for (size_t i = 0; i < path->count; i++) {
        const nw_step *step = &path->steps[i];
        bool last_line = path->closed && i + 1 == path->count && step->kind == NW_LINE;
        if (rounds_away(from, step, frame))
            continue;
        if (step->kind == NW_CURVE) {
            add_point(text, "C", step->a, frame);
            add_point(text, " ", step->b, frame);
            add_point(text, " ", step->to, frame);
        } else if (step->kind == NW_ARC) {
            add_arc(text, from, step, frame);
        } else if (!last_line) { /* closing draws the last line */
            add_point(text, "L", step->to, frame);
        }
        from = step->to;
    }
    if (path->closed)
        nw_text_add(text, "Z");
}

void nw_report_path_data(nw_text *text, const nw_path *paths, size_t count, report_frame frame)
{
    for (size_t i = 0; i < count; i++)
        add_path(text, &paths[i], frame);
}

size_t nw_report_piece_length(const nw_drawing *drawing, size_t first)
{
    const nw_path *path = &drawing->paths[first];
    size_t end = first + 1;
    while (path->closed && !path->line && end < drawing->count && drawing->paths[end].closed &&
           drawing->paths[end].piece == path->piece)
        end++;
    return end - first;
}

static bool point_sound(nw_point point)
{
    return fabs(point.x) <= LARGEST_PLACE_MM && fabs(point.y) <= LARGEST_PLACE_MM;
}

static bool path_sound(const nw_path *path)
{
    bool sound = point_sound(path->start);
    for (size_t i = 0; i < path->count && sound; i++) {
        const nw_step *step = &path->steps[i];
        sound = point_sound(step->to) &&
                (step->kind != NW_CURVE || (point_sound(step->a) && point_sound(step->b))) &&
                (step->kind != NW_ARC || isfinite(step->a.x + step->a.y)); /* far for a flat arc */
    }
    return sound;
}

bool nw_report_drawing_sound(const nw_drawing *drawing)
{
    for (size_t i = 0; i < drawing->count; i++)
        if (!path_sound(&drawing->paths[i]))
            return false;
    return fabs(drawing->width) <= LARGEST_PLACE_MM && fabs(drawing->height) <= LARGEST_PLACE_MM;
}

bool nw_report_layers_box(const nw_layer *layers, size_t count, nw_box *box)
{
    bool any = false;
    for (size_t i = 0; i < count; i++) {
        if (!layers[i].drawing->count)
            continue;
        nw_box own = nw_drawing_box(layers[i].drawing);
        if (!any)
            *box = own;
        any = true;
        nw_box_grow(box, own);
    }
    return any;
}

/* Names become identifiers in both formats, so only what both allow. */
static bool name_sound(const char *name)
{
    static const char letters[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ";
    return name && *name && strchr(letters, *name) && strlen(name) <= 64 &&
           strspn(name, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-") ==
               strlen(name);
}

nw_status nw_report_layers_check(const nw_layer *layers, size_t count, nw_error *error)
{
    if (count > REPORT_LAYERS_MOST) {
        return nw_fail(error, NW_BAD_REQUEST, "%zu layers are more than the %d that fit a file",
                       count, REPORT_LAYERS_MOST);
    }
    for (size_t i = 0; i < count; i++) {
        if (!name_sound(layers[i].name)) {
            return nw_fail(error, NW_BAD_REQUEST,
                           "a layer's name must be a letter, then letters, digits and '-': '%s'",
                           layers[i].name ? layers[i].name : "");
        }
        if (!nw_report_drawing_sound(layers[i].drawing)) {
            return nw_fail(error, NW_BAD_INPUT, "layer '%s' has places that are not within 1 km",
                           layers[i].name);
        }
    }
    nw_box box;
    if (!nw_report_layers_box(layers, count, &box))
        return nw_fail(error, NW_BAD_REQUEST, "there is no outline to write");
    return NW_OK;
}
