/*
 * trail: places one after another -> a path: between knots one straight line where that is near
 * enough, else fitted curves.
 */
#include <lines/strokes.h>
#include <lines/trail.h>

#include <math.h>
#include <stdlib.h>

static const double FIT = 0.03;    /* widths of line that curves may leave their places */
static const double LOOK_AT = 0.5; /* widths of line that give a direction */

bool nw_trail_add(nw_trail *t, nw_point at, nw_place_kind kind)
{
    if (!nw_grow(&t->places, &t->place_capacity, t->count + 1, sizeof at) ||
        !nw_push(&t->kinds, &t->count, &t->kind_capacity, &(uint8_t){(uint8_t)kind}, 1))
        return false;
    t->places[t->count - 1] = at;
    return true;
}

void nw_trail_free(nw_trail *t)
{
    free(t->places);
    free(t->kinds);
    *t = (nw_trail){0};
}

static nw_point place_towards(const nw_trail *t, size_t from, size_t to)
{
    return nw_minus(t->places[to], t->places[from]);
}

/* Direction of travel at a smooth knot, which may be the closed trail's seam. */
static nw_point knot_way(const nw_trail *t, size_t i)
{
    size_t before = i ? i - 1 : t->count - 2, after = i + 1 < t->count ? i + 1 : 1;
    double limit = LOOK_AT * t->width;
    while (before > 0 && t->kinds[before] == PASSED &&
           nw_distance(t->places[before], t->places[i]) < limit)
        before--;
    while (after + 1 < t->count && t->kinds[after] == PASSED &&
           nw_distance(t->places[after], t->places[i]) < limit)
        after++;
    return place_towards(t, before, after);
}

static bool is_straight(const nw_trail *t, size_t first, size_t last)
{
    nw_point way = place_towards(t, first, last);
    double length = nw_length(way), limit = FIT * t->width * length;
    for (size_t i = first + 1; i < last; i++) {
        nw_point d = place_towards(t, first, i);
        double on = nw_dot(d, way) / (length > 0 ? length : 1);
        if (fabs(nw_cross(d, way)) > limit || on < 0 || on > length)
            return false;
    }
    return length > 0;
}

static bool section_fit(const nw_trail *t, size_t first, size_t last, nw_path *path)
{
    if (is_straight(t, first, last))
        return nw_path_line(path, t->places[last]);
    nw_point leave =
        t->kinds[first] == SMOOTH_KNOT ? knot_way(t, first) : place_towards(t, first, first + 1);
    nw_point arrive =
        t->kinds[last] == SMOOTH_KNOT ? knot_way(t, last) : place_towards(t, last - 1, last);
    return nw_path_fit(path, t->places + first, last - first + 1, leave, arrive, FIT * t->width);
}

bool nw_trail_write(const nw_trail *t, size_t piece, bool line, nw_drawing *out)
{
    nw_path path = {.closed = t->closed, .piece = piece, .line = line, .start = t->places[0]};
    bool good = true;
    for (size_t first = 0, last; first + 1 < t->count && good; first = last) {
        for (last = first + 1; last + 1 < t->count && t->kinds[last] == PASSED; last++) {
        }
        good = section_fit(t, first, last, &path);
    }
    good = good && (path.count == 0 || nw_drawing_add(out, &path));
    nw_path_free(&path);
    return good;
}
