/*
 * The outline in pieces for two bits: they keep the outline's curves, the small one's overlap the
 * large one's by a stated length, and they are cut where the disc of the large bit touches both
 * sides (geometry).
 */
#include "fit_shapes.h"

#include "../tests.h"

#include <choose/choose.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A lens: two arcs of radius 25 round (-15, 0) and (15, 0), each of two cubics; and a disc of
 * radius 9 beside it, of four. Both moved by what the reading moves them. */
#define LENS_R 25.0
#define LENS_C 15.0
#define LARGE_MM 10.0
#define SMALL_MM 2.0
#define FOOT_MM 0.03

typedef struct {
    nw_drawing drawing;
    nw_region region;
    nw_point middle; /* of the lens */
    nw_fit_options options;
    nw_drawing pieces[3]; /* large, small, left */
} cut_art;

static nw_point on_circle(nw_point centre, double radius, double angle)
{
    return (nw_point){centre.x + radius * cos(angle), centre.y + radius * sin(angle)};
}

/* Cubics within 1e-5 of the arc where it turns by no more than a right angle. */
static void arc_add(nw_path *path, nw_point centre, double radius, double from, double to)
{
    double handle = 4.0 / 3 * tan((to - from) / 4) * radius;
    nw_point p = on_circle(centre, radius, from), q = on_circle(centre, radius, to);
    nw_point a = {p.x - handle * sin(from), p.y + handle * cos(from)};
    nw_point b = {q.x + handle * sin(to), q.y - handle * cos(to)};
    ck_assert(nw_path_curve(path, a, b, q));
}

static cut_art art_cut(nw_cut cut)
{
    cut_art art = {.options = nw_fit_defaults()};
    double half = acos(LENS_C / LENS_R);
    nw_point left = {-LENS_C, 0}, right = {LENS_C, 0}, disc = {40, 0};
    nw_path lens = {.start = on_circle(left, LENS_R, -half), .closed = true};
    arc_add(&lens, left, LENS_R, -half, 0);
    arc_add(&lens, left, LENS_R, 0, half);
    arc_add(&lens, right, LENS_R, PI - half, PI);
    arc_add(&lens, right, LENS_R, PI, PI + half);
    lens.steps[3].to = lens.start;
    nw_path round = {.start = {49, 0}, .closed = true, .piece = 1};
    for (int k = 0; k < 4; k++)
        arc_add(&round, disc, 9, k * PI / 2, (k + 1) * PI / 2);
    round.steps[3].to = round.start;
    ck_assert(nw_drawing_add(&art.drawing, &lens) && nw_drawing_add(&art.drawing, &round));
    ck_assert(nw_drawing_place(&art.drawing, 1, 0, false, NULL) == NW_OK);
    ck_assert(nw_drawing_flatten(&art.drawing, NW_FLATNESS_MM, &art.region, NULL) == NW_OK);
    art.middle = (nw_point){LENS_R - LENS_C, LENS_R * sin(half)};
    art.options.cut = cut;
    art.options.neck = 0.1;
    ck_assert(nw_pair_pieces(&art.drawing, &art.region, &art.options, LARGE_MM, SMALL_MM,
                             &art.pieces[0], &art.pieces[1], &art.pieces[2], NULL) == NW_OK);
    return art;
}

static void art_free(cut_art *art)
{
    for (int i = 0; i < 3; i++)
        nw_drawing_free(&art->pieces[i]);
    nw_region_free(&art->region);
    nw_drawing_free(&art->drawing);
}

static nw_point end_of(const nw_path *path)
{
    return path->steps[path->count - 1].to;
}

static bool same(nw_point a, nw_point b)
{
    return a.x == b.x && a.y == b.y;
}

/* How far the path's curves leave the art: its circles, within what cubics leave those by. */
static double off_the_art(const cut_art *art, const nw_path *path)
{
    double worst = 0;
    nw_point from = path->start, m = art->middle;
    for (size_t k = 0; k < path->count; k++) {
        for (int part = 0; part <= 32; part++) {
            nw_point p = nw_step_at(from, &path->steps[k], part / 32.0);
            double a = fabs(hypot(p.x - m.x + LENS_C, p.y - m.y) - LENS_R);
            double b = fabs(hypot(p.x - m.x - LENS_C, p.y - m.y) - LENS_R);
            double c = fabs(hypot(p.x - m.x - 40, p.y - m.y) - 9);
            worst = fmax(worst, fmin(a, fmin(b, c)));
        }
        from = path->steps[k].to;
    }
    return worst;
}

START_TEST(pieces_keep_the_curves)
{
    cut_art art = art_cut(NW_CUT_INSIDE);
    size_t steps = 0, lines = 0;
    for (int i = 0; i < 3; i++) {
        for (size_t p = 0; p < art.pieces[i].count; p++) {
            const nw_path *path = &art.pieces[i].paths[p];
            ck_assert_double_lt(off_the_art(&art, path), NW_FLATNESS_MM + 0.003);
            for (size_t k = 0; k < path->count; k++)
                lines += path->steps[k].kind == NW_LINE;
            steps += path->count;
        }
    }
    ck_assert_uint_eq(lines, 0);
    /* The art's eight curves; at either tip the large bit ends on both arcs, and the small one. */
    ck_assert_uint_eq(steps, 8 + 4 + 4);
    ck_assert_uint_eq(art.pieces[0].count, 3);
    ck_assert_uint_eq(art.pieces[1].count, 4);
    ck_assert_uint_eq(art.pieces[2].count, 2);
    art_free(&art);
}
END_TEST

START_TEST(a_whole_outline_stays_as_it_is)
{
    for (int cut = NW_CUT_INSIDE; cut <= NW_CUT_OUTSIDE; cut++) {
        cut_art art = art_cut((nw_cut)cut);
        const nw_path *own = &art.drawing.paths[1], *whole = NULL;
        for (size_t p = 0; p < art.pieces[0].count; p++)
            if (art.pieces[0].paths[p].closed && art.pieces[0].paths[p].piece == 1)
                whole = &art.pieces[0].paths[p];
        ck_assert(whole && whole->count == own->count);
        if (cut == NW_CUT_INSIDE)
            for (size_t k = 0; k < own->count; k++)
                ck_assert(!memcmp(&own->steps[k].to, &whole->steps[k].to, sizeof(nw_point)) &&
                          hypot(own->steps[k].a.x - whole->steps[k].a.x,
                                own->steps[k].a.y - whole->steps[k].a.y) < 1e-9);
        art_free(&art);
    }
}
END_TEST

/* The angle round the middle of the nearer of the lens's arcs. */
static double angle_of(const cut_art *art, nw_point p)
{
    double x = p.x - art->middle.x, y = p.y - art->middle.y;
    return atan2(y, fabs(x) + LENS_C);
}

/* What neither reaches begins where a piece of the small one ends, to the last digit; each of those
 * goes on along the outline by its bit's diameter over a piece of the large one. */
START_TEST(small_pieces_overlap_large_ones)
{
    cut_art art = art_cut(NW_CUT_INSIDE);
    size_t met = 0, over = 0;
    for (size_t p = 0; p < art.pieces[1].count; p++) {
        const nw_path *path = &art.pieces[1].paths[p];
        nw_point ends[2] = {path->start, end_of(path)};
        for (int e = 0; e < 2; e++) {
            for (size_t q = 0; q < art.pieces[2].count; q++)
                met += same(ends[e],
                            e ? art.pieces[2].paths[q].start : end_of(&art.pieces[2].paths[q]));
            for (size_t q = 0; q < art.pieces[0].count; q++) {
                const nw_path *large = &art.pieces[0].paths[q];
                nw_point start = e ? large->start : end_of(large);
                bool beside = (start.x - art.middle.x) * (ends[e].x - art.middle.x) > 0 &&
                              (start.y - art.middle.y) * (ends[e].y - art.middle.y) > 0;
                if (large->closed || !beside)
                    continue;
                double by = LENS_R * (fabs(angle_of(&art, start)) - fabs(angle_of(&art, ends[e])));
                ck_assert_double_eq_tol(by, NW_PAIR_OVERLAP * SMALL_MM, 0.01);
                over++;
            }
        }
    }
    ck_assert_uint_eq(met, 4);
    ck_assert_uint_eq(over, 4);
    art_free(&art);
}
END_TEST

/* The disc that touches both arcs has its centre on the middle line, as far from an arc's centre as
 * its radius leaves; the disc that rolls is 0.0025 mm smaller in radius than the bit. Chords leave
 * the arcs by the flatness, which moves its feet along them by more. */
START_TEST(pieces_end_where_the_disc_touches)
{
    cut_art art = art_cut(NW_CUT_INSIDE);
    double r = LARGE_MM / 2 - 0.0025, way = LENS_R - r;
    double up = sqrt(way * way - LENS_C * LENS_C);
    size_t ends = 0;
    for (size_t p = 0; p < art.pieces[0].count; p++) {
        const nw_path *path = &art.pieces[0].paths[p];
        nw_point both[2] = {path->start, end_of(path)};
        for (int k = 0; k < 2 && !path->closed; k++, ends++) {
            double x = fabs(both[k].x - art.middle.x), y = fabs(both[k].y - art.middle.y);
            ck_assert_double_eq_tol(x, LENS_C * (LENS_R / way - 1), FOOT_MM);
            ck_assert_double_eq_tol(y, up * LENS_R / way, FOOT_MM);
        }
    }
    ck_assert_uint_eq(ends, 4);
    art_free(&art);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {pieces_keep_the_curves, a_whole_outline_stays_as_it_is,
                                  small_pieces_overlap_large_ones,
                                  pieces_end_where_the_disc_touches};
    return TESTS_RUN("choose_pair_pieces", tests);
}
