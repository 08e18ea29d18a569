/*
 * contour: ink and its grey levels -> closed rings of places on its boundary, better than a pixel.
 *
 * The boundary between ink and paper pixels is followed crack by crack, ink on the left; pixels
 * that touch at a corner hang together. Across each crack that the outline passes steeply the
 * densities are summed: a straight edge that covers pixels by their area passes, on average over
 * the row (or column), exactly where the sum of what is covered says, whatever its slope. That
 * holds for any symmetric blur as well, as far as the sum reaches. Where edges are softer than
 * that, by smoothing against noise or by enlargement, the place is where the densities pass the
 * half: straight between two pixels they are exact enough there. Cracks along which the outline
 * runs are left out. Where it runs aslant, rows and columns take turns, and beside a soft edge the
 * place of a row may come before that of the column before it: places are put in the order in which
 * the outline passes them.
 */
#include <trace/contour.h>

#include <math.h>
#include <stdlib.h>

static const int REACH_PX = 3;         /* pixels looked at on either side of a crack */
static const int SLACK = 2;            /* grey levels that count as none */
static const double MOST_SHIFT = 1.5;  /* px from the crack */
static const double SOFT_PX = 0.9;     /* deviation of blur from which on sums reach too short */
static const double SHARP_SHARE = 0.1; /* of the outline: so much sharper, and it is not soft */
static const double BEHIND_PX = 2;     /* farther apart, places are on two sides of something */
static const size_t LEAST_ORDERED = 8; /* places of a ring: fewer tell no way */

typedef struct {
    const nw_levels *of;
    uint64_t *seen; /* one bit for the left side of each pixel, as the ink's words */
    nw_contours *out;
} follower;

static bool ring_begin(nw_contours *c, size_t pixel)
{
    if (!nw_grow(&c->starts, &c->start_capacity, c->count + 2, sizeof *c->starts) ||
        !nw_grow(&c->pixels, &c->pixel_capacity, c->count + 1, sizeof *c->pixels))
        return false;
    c->pixels[c->count] = pixel;
    c->starts[c->count++] = c->point_count;
    c->starts[c->count] = c->point_count;
    return true;
}

static bool place_add(nw_contours *c, nw_point point)
{
    bool good = nw_push(&c->points, &c->point_count, &c->point_capacity, &point, sizeof *c->points);
    c->starts[c->count] = c->point_count;
    return good;
}

/* Directions: 0 right, 1 up, 2 left, 3 down. */
static const int AHEAD_X[] = {1, 0, -1, 0}, AHEAD_Y[] = {0, 1, 0, -1};

/* From a corner of pixels, the pixel to the left and to the right of the way ahead. */
static const int LEFT_X[] = {0, -1, -1, 0}, LEFT_Y[] = {0, 0, -1, -1};
static const int RIGHT_X[] = {0, 0, -1, -1}, RIGHT_Y[] = {-1, 0, 0, -1};

int nw_density_at(const nw_levels *of, long x, long y)
{
    const nw_picture *picture = of->picture;
    if (!picture)
        return nw_ink_at(of->ink, x, y) ? 255 : 0;
    if (x < 0 || y < 0 || x >= (long)picture->width || y >= (long)picture->height)
        return 0;
    return picture->density[(picture->height - 1 - (size_t)y) * picture->width + (size_t)x];
}

/* How much of one side of a crack is covered (or, for the ink's side, is not), in pixels: from the
 * pixel (x, y) on, in steps of (dx, dy), while it fades. */
static double fade(const follower *f, long x, long y, int dx, int dy, bool ink_side)
{
    int sum = 0, last = 255;
    for (int k = 0; k < REACH_PX; k++) {
        int value = nw_density_at(f->of, x + k * dx, y + k * dy);
        value = ink_side ? 255 - value : value;
        if (value > last + SLACK)
            return (sum - last * 0.5) / 255; /* the next edge begins: share the valley with it */
        sum += value;
        last = value;
        if (value <= SLACK)
            break;
    }
    return sum / 255.0;
}

/* Where the density between an ink pixel's middle and a paper pixel's passes the half, from the
 * crack between them on. */
static double half_way(const follower *f, long ix, long iy, long ox, long oy)
{
    double ink = nw_density_at(f->of, ix, iy), paper = nw_density_at(f->of, ox, oy);
    return (ink - 127.5) / (ink - paper) - 0.5;
}

/* Whether the outline crosses the row through pixels (x, y) and (x - 1, y), or the column through
 * (x, y) and (x, y - 1) if level, at more than about 35 degrees: from the slopes of the density in
 * three rows of four pixels. */
static bool crosses_steeply(const follower *f, long x, long y, bool level)
{
    int across = 0, along = 0;
    for (long k = -2; k <= 1; k++) {
        int before =
            level ? nw_density_at(f->of, x - 1, y + k) : nw_density_at(f->of, x + k, y - 1);
        int middle = level ? nw_density_at(f->of, x, y + k) : nw_density_at(f->of, x + k, y);
        int after = level ? nw_density_at(f->of, x + 1, y + k) : nw_density_at(f->of, x + k, y + 1);
        along += after - before;
        across += (k < 0 ? -1 : 1) * (before + middle + after);
    }
    /* across stands for twelve slopes, along for eight. */
    return abs(across) >= abs(along);
}

/* The place on the boundary that the crack ahead of corner (x, y) stands for. */
static bool add_crack(follower *f, long x, long y, int way)
{
    bool level = way == 0 || way == 2;
    long px = x + (way == 2 ? -1 : 0), py = y + (way == 3 ? -1 : 0);
    nw_point middle = {(double)x + AHEAD_X[way] * 0.5, (double)y + AHEAD_Y[way] * 0.5};
    if (!f->of->picture)
        return place_add(f->out, middle);
    if (!crosses_steeply(f, px, py, level))
        return true;
    long ix = x + LEFT_X[way], iy = y + LEFT_Y[way], ox = x + RIGHT_X[way], oy = y + RIGHT_Y[way];
    int dx = (int)(ox - ix), dy = (int)(oy - iy);
    double shift = f->of->soft ? half_way(f, ix, iy, ox, oy)
                               : fade(f, ox, oy, dx, dy, false) - fade(f, ix, iy, -dx, -dy, true);
    shift = fmin(MOST_SHIFT, fmax(-MOST_SHIFT, shift));
    return place_add(f->out, (nw_point){middle.x + shift * dx, middle.y + shift * dy});
}

static void mark_seen(follower *f, long x, long y, int way)
{
    if (way == 0 || way == 2 || (size_t)x / 64 >= f->of->ink->stride)
        return;
    size_t row = f->of->ink->height - 1 - (size_t)(way == 1 ? y : y - 1);
    f->seen[row * f->of->ink->stride + (size_t)x / 64] |= 1ull << (63 - x % 64);
}

/* The way on from corner (x, y), which was reached going `way`. */
static int turn(const follower *f, long x, long y, int way)
{
    if (nw_ink_at(f->of->ink, x + RIGHT_X[way], y + RIGHT_Y[way]))
        return (way + 3) % 4;
    return nw_ink_at(f->of->ink, x + LEFT_X[way], y + LEFT_Y[way]) ? way : (way + 1) % 4;
}

/* Whether place k + 1 of a ring lies behind place k, by the way from the one before to the one
 * after them. */
static bool lies_behind(const nw_point *ring, size_t count, size_t k)
{
    nw_point from = ring[k % count], to = ring[(k + 1) % count];
    nw_point way = nw_minus(ring[(k + 2) % count], ring[(k + count - 1) % count]);
    return nw_dot(nw_minus(to, from), way) < 0 && nw_distance(from, to) < BEHIND_PX;
}

/* Places first to last of a ring, by insertion along the way from the one before to the one after.
 */
static void places_order(nw_point *ring, size_t count, size_t first, size_t last)
{
    nw_point way = nw_minus(ring[(last + 1) % count], ring[(first + count - 1) % count]);
    for (size_t k = first + 1; k <= last; k++) {
        nw_point moved = ring[k % count];
        size_t at = k;
        for (; at > first && nw_dot(nw_minus(moved, ring[(at - 1) % count]), way) < 0; at--)
            ring[at % count] = ring[(at - 1) % count];
        ring[at % count] = moved;
    }
}

/* The last ring's. Which lie behind is seen before any is moved, so that a mirror image has its
 * places in the mirrored order. */
static bool ring_order(nw_contours *c)
{
    size_t first = c->starts[c->count - 1], count = c->point_count - first, start = 0;
    nw_point *ring = c->points + first;
    if (count < LEAST_ORDERED)
        return true;
    bool *behind = nw_alloc(count, sizeof *behind);
    if (!behind)
        return false;
    for (size_t k = 0; k < count; k++)
        behind[k] = lies_behind(ring, count, k);
    while (start < count && behind[start])
        start++;
    /* Where all lie behind, none tells the way. */
    for (size_t k = start; start < count && k < start + count; k++) {
        size_t end = k;
        while (end < start + count && behind[end % count])
            end++;
        if (end > k)
            places_order(ring, count, k, end);
        k = end;
    }
    free(behind);
    return true;
}

/* Follows the ring from corner (x, y), downward if ink is to the right, else upward. */
static bool follow(follower *f, long x, long y, bool down)
{
    int way = down ? 3 : 1, start_way = way;
    long start_x = x, start_y = y;
    const nw_ink *ink = f->of->ink;
    size_t row = (size_t)(ink->height - 1 - (y + LEFT_Y[way]));
    if (!ring_begin(f->out, row * ink->width + (size_t)(x + LEFT_X[way])))
        return false;
    do {
        mark_seen(f, x, y, way);
        if (!add_crack(f, x, y, way))
            return false;
        x += AHEAD_X[way];
        y += AHEAD_Y[way];
        way = turn(f, x, y, way);
    } while (x != start_x || y != start_y || way != start_way);
    return !f->of->picture || ring_order(f->out);
}

static bool follow_row(follower *f, size_t row)
{
    const uint64_t *words = f->of->ink->words + row * f->of->ink->stride;
    const uint64_t *seen = f->seen + row * f->of->ink->stride;
    uint64_t last = 0;
    for (size_t i = 0; i < f->of->ink->stride; i++) {
        uint64_t sides = words[i] ^ (words[i] >> 1 | last << 63), left;
        last = words[i];
        while ((left = sides & ~seen[i])) {
            long bit = 63;
            for (uint64_t w = left; w >>= 1;)
                bit--;
            long x = (long)(64 * i) + bit, y = (long)(f->of->ink->height - 1 - row);
            bool down = nw_ink_at(f->of->ink, x, y);
            if (!follow(f, x, y + down, down))
                return false;
        }
    }
    return true;
}

/* The slope of the densities between a pixel and the one to its left, in levels a pixel. */
static nw_point slope_at(const uint8_t *at, size_t width)
{
    const uint8_t *above = at - width, *below = at + width;
    return (nw_point){at[0] - at[-1], (below[0] + below[-1] - above[0] - above[-1]) / 4.0};
}

/* Where an edge under a Gaussian crosses the half, densities change by 255 over sqrt(2 pi)
 * deviations a pixel. */
bool nw_levels_soft(const nw_picture *picture)
{
    if (!picture || picture->sigma > 0)
        return picture != NULL;
    const double steepest = 255 / sqrt(2 * NW_PI) / SOFT_PX;
    size_t width = picture->width, edges = 0, sharp = 0;
    for (size_t y = 1; y + 1 < picture->height; y++) {
        const uint8_t *row = picture->density + y * width;
        for (size_t x = 1; x < width;) {
            if (x + NW_PLAIN <= width && nw_are_on_side(row + x, NW_PLAIN, row[x - 1])) {
                x += NW_PLAIN;
                continue;
            }
            size_t end = x + NW_PLAIN < width ? x + NW_PLAIN : width;
            for (; x < end; x++) {
                bool edge = (row[x] ^ row[x - 1]) >> 7;
                edges += edge;
                sharp += edge && nw_length(slope_at(row + x, width)) > steepest;
            }
        }
    }
    return edges && (double)sharp < SHARP_SHARE * (double)edges;
}

nw_status nw_contours_find(const nw_levels *of, nw_contours *out, nw_error *error)
{
    *out = (nw_contours){0};
    const nw_ink *ink = of->ink;
    follower f = {
        .of = of, .seen = nw_alloc(ink->stride * ink->height, sizeof(uint64_t)), .out = out};
    bool done = f.seen != NULL;
    for (size_t row = 0; done && row < ink->height; row++)
        done = follow_row(&f, row);
    free(f.seen);
    if (!done) {
        nw_contours_free(out);
        return nw_fail_memory(error, "the picture's boundary");
    }
    return NW_OK;
}

void nw_contours_free(nw_contours *c)
{
    free(c->points);
    free(c->starts);
    free(c->pixels);
    *c = (nw_contours){0};
}
