/*
 * svg_layers: the layers that narrows writes, by their names, whichever program has carried them
 * here -> the art that their lines enclose.
 *
 * A layer that is called like one of outlines and holds thin lines without fill shows where to cut,
 * not what a pen covers: its closed lines are the art's outlines. Open ones have gaps for tabs:
 * each end is led on to the beginning that lies ahead of it, nearest first, by a curve along both
 * their directions. Layers of tabs, paths and pieces beside it are left out.
 */
#include <svg/svg_internal.h>

#include <math.h>
#include <stdlib.h>
#include <strings.h>

#define THIN_MM 0.5     /* no bit cuts so narrow an area */
#define SAME_MM 0.01    /* ends that meet, as programs round */
#define GAP_MOST_MM 100 /* a tab and a bit are shorter */
#define AHEAD 0.5       /* cosine of the angle at which the other side of a gap is looked for */
#define LINES_MOST 4000 /* open ones: each is held against each */
#define SWEEPS_MOST 40  /* of that */

static bool is_among(const char *name, const char *const *names)
{
    for (; *names && name; names++)
        if (strcasecmp(name, *names) == 0)
            return true;
    return false;
}

/* By its id, or what drawing programs call a layer for their users. */
static bool is_layer(const nw_svg_element *node, const char *const *names)
{
    return nw_svg_named(node, "g") && (is_among(nw_svg_attribute_of(node, "id"), names) ||
                                       is_among(nw_svg_attribute_of(node, "label"), names));
}

static bool is_outline(const nw_svg_element *node)
{
    static const char *const names[] = {"outline", NULL};
    return is_layer(node, names);
}

bool nw_svg_is_beside(nw_svg_reader *reader, const nw_svg_element *node)
{
    static const char *const names[] = {"as-cut", "bit-path", "tabs",        "middle",
                                        "large",  "small",    "not-reached", NULL};
    if (!is_layer(node, names))
        return false;
    const nw_svg_element *n = reader->tree->root;
    while (n && !is_outline(n))
        n = nw_svg_following(n);
    const nw_svg_element *last = node; /* in it */
    while (last->last)
        last = last->last;
    for (const nw_svg_element *inner = n ? node : last; inner != last;) {
        inner = nw_svg_following(inner);
        reader->notes.beside += nw_svg_is_shape(inner);
    }
    return n != NULL;
}

/* ---- the lines of a layer -------------------------------------------------------------------- */

/* Adds what an element draws to the lines; *thin becomes false where it is no thin line. */
static nw_status lines_collect(nw_svg_reader *reader, const nw_svg_element *node,
                               const nw_svg_style *parent, nw_svg_place place, nw_drawing *lines,
                               bool *thin)
{
    nw_status status = nw_svg_count_element(reader, node, place.depth);
    nw_svg_style style = nw_svg_style_of(reader, node, parent);
    if (!status)
        status = nw_svg_place_enter(reader, node, &place);
    if (status || !style.displayed)
        return status;
    place.frame.font_size = style.font_size;
    if (nw_svg_is_shape(node)) {
        nw_affine m = place.matrix;
        double scale = style.unscaled ? NW_MM_PER_INCH / 96 : sqrt(fabs(m.a * m.d - m.b * m.c));
        *thin = *thin && style.fill.kind == FILL_NONE && style.stroke.kind != FILL_NONE &&
                style.pen.width * scale <= THIN_MM;
        nw_drawing outline;
        status = *thin && style.visible ? nw_svg_outline_make(reader, node, place, false, &outline)
                                        : NW_OK;
        for (size_t i = 0; *thin && style.visible && !status && i < outline.count; i++)
            if (!nw_drawing_add(lines, &outline.paths[i]))
                status = nw_fail_memory(reader->error, "the outlines");
        if (*thin && style.visible)
            nw_drawing_free(&outline);
        return status;
    }
    *thin = *thin && !nw_svg_is_text(node) && !nw_svg_named(node, "use");
    place.depth++;
    for (const nw_svg_element *n = nw_svg_first_child(node); n && !status && *thin;
         n = nw_svg_next(n))
        status = lines_collect(reader, n, &style, place, lines, thin);
    return status;
}

nw_status nw_svg_lines_take(nw_svg_reader *reader, const nw_svg_element *node,
                            const nw_svg_style *style, nw_svg_place place, bool *taken)
{
    nw_drawing lines = {0};
    nw_status status = NW_OK;
    *taken = is_outline(node);
    place.depth++;
    for (const nw_svg_element *n = nw_svg_first_child(node); n && !status && *taken;
         n = nw_svg_next(n))
        status = lines_collect(reader, n, style, place, &lines, taken);
    *taken = *taken && lines.count;
    for (size_t i = 0; i < lines.count && *taken && !status; i++)
        if (!nw_drawing_add(&reader->lines, &lines.paths[i]))
            status = nw_fail_memory(reader->error, "the outlines");
    nw_drawing_free(&lines);
    return status;
}

/* ---- from lines to outlines ------------------------------------------------------------------ */

/* An open line: where it begins and ends, in which directions of travel, and what follows it. */
typedef struct {
    nw_path *path;
    nw_point start, end, leaves, arrives;
    size_t next, before; /* SIZE_MAX: none yet */
} open_line;

static open_line open_line_of(nw_path *path)
{
    open_line line = {.path = path, .start = path->start, .next = SIZE_MAX, .before = SIZE_MAX};
    size_t last = path->count - 1;
    nw_point from = nw_path_from(path, last);
    line.end = path->steps[last].to;
    line.leaves = nw_unit(line.start, nw_step_at(line.start, &path->steps[0], 0.01));
    line.arrives = nw_unit(nw_step_at(from, &path->steps[last], 0.99), line.end);
    return line;
}

/* What it takes to lead one line on to the other: less is better, INFINITY where it is none. */
static double gap_cost(const open_line *from, const open_line *to)
{
    double length = nw_distance(from->end, to->start);
    if (length <= SAME_MM)
        return length;
    nw_point across = nw_unit(from->end, to->start);
    double out = nw_dot(from->arrives, across), in = nw_dot(to->leaves, across);
    return length > GAP_MOST_MM || out < AHEAD || in < AHEAD ? INFINITY : length * (3 - out - in);
}

/* Joins the ends and beginnings that are each other's best. False: none was. */
static bool lines_match(open_line *lines, size_t count)
{
    bool any = false;
    for (size_t i = 0; i < count; i++) {
        size_t best = SIZE_MAX, rival = SIZE_MAX;
        double least = INFINITY, back = INFINITY;
        for (size_t k = 0; k < count && lines[i].next == SIZE_MAX; k++) {
            double cost = lines[k].before == SIZE_MAX ? gap_cost(&lines[i], &lines[k]) : INFINITY;
            if (cost < least) {
                least = cost;
                best = k;
            }
        }
        for (size_t k = 0; k < count && best != SIZE_MAX; k++) {
            double cost = lines[k].next == SIZE_MAX ? gap_cost(&lines[k], &lines[best]) : INFINITY;
            if (cost < back) {
                back = cost;
                rival = k;
            }
        }
        if (best != SIZE_MAX && rival == i) {
            lines[i].next = best;
            lines[best].before = i;
            any = true;
        }
    }
    return any;
}

static bool steps_add(nw_path *ring, const nw_path *path)
{
    bool good = true;
    for (size_t i = 0; i < path->count && good; i++)
        good = nw_path_add(ring, &path->steps[i]);
    return good;
}

/* The ring that begins with the line, in place of its path. */
static nw_status ring_close(nw_svg_reader *reader, open_line *lines, size_t first)
{
    nw_path ring = {.start = lines[first].start, .closed = true};
    bool room = true;
    for (size_t i = first; room;) {
        open_line *line = &lines[i], *next = &lines[line->next];
        double gap = nw_distance(line->end, next->start);
        room = steps_add(&ring, line->path);
        if (room && gap <= SAME_MM) {
            ring.steps[ring.count - 1].to = next->start;
        } else if (room) {
            room = nw_path_curve(&ring, nw_plus(line->end, line->arrives, gap / 3),
                                 nw_plus(next->start, next->leaves, -gap / 3), next->start);
            reader->notes.gaps++;
        }
        nw_path_free(line->path);
        i = line->next;
        line->next = SIZE_MAX;
        if (i == first)
            break;
    }
    *lines[first].path = ring;
    return room ? NW_OK : nw_fail_memory(reader->error, "the outlines");
}

static nw_status lines_join(nw_svg_reader *reader, open_line *lines, size_t count)
{
    for (int sweep = 0; sweep < SWEEPS_MOST && lines_match(lines, count); sweep++)
        ;
    for (size_t i = 0; i < count; i++) {
        if (lines[i].next == SIZE_MAX) {
            nw_text place = {0};
            nw_text_number(&place, lines[i].end.x, 1);
            nw_status status =
                nw_fail(reader->error, NW_BAD_INPUT,
                        "the layer of outlines has a line that encloses nothing: it ends %s mm "
                        "from the left of the page",
                        nw_text_string(&place));
            nw_text_free(&place);
            return status;
        }
    }
    nw_status status = NW_OK;
    for (size_t i = 0; i < count && !status; i++)
        if (lines[i].next != SIZE_MAX)
            status = ring_close(reader, lines, i);
    return status;
}

static nw_status lines_close(nw_svg_reader *reader)
{
    nw_drawing *all = &reader->lines;
    size_t count = 0;
    for (size_t i = 0; i < all->count; i++)
        count += !all->paths[i].closed && all->paths[i].count;
    if (count > LINES_MOST) {
        return nw_fail(reader->error, NW_BAD_INPUT,
                       "the layer of outlines has %zu open lines, more than %d; join them", count,
                       LINES_MOST);
    }
    open_line *lines = nw_alloc(count, sizeof *lines);
    if (!lines)
        return nw_fail_memory(reader->error, "the outlines");
    count = 0;
    for (size_t i = 0; i < all->count; i++)
        if (!all->paths[i].closed && all->paths[i].count)
            lines[count++] = open_line_of(&all->paths[i]);
    nw_status status = lines_join(reader, lines, count);
    free(lines);
    return status;
}

nw_status nw_svg_lines_paint(nw_svg_reader *reader)
{
    if (!reader->lines.count)
        return NW_OK;
    nw_status status = lines_close(reader);
    nw_paint_shape shape = {.even_odd = true, .clip = reader->page_clip, .paint = PAINT_INK};
    for (size_t i = 0; i < reader->lines.count && !status; i++) {
        nw_path *path = &reader->lines.paths[i];
        reader->notes.rings += path->count > 0;
        if (path->count && !nw_drawing_add(&shape.outline, path))
            status = nw_fail_memory(reader->error, "the outlines");
    }
    if (!status)
        return nw_svg_paint(reader, shape);
    nw_drawing_free(&shape.outline);
    return status;
}
