/* Pictures enlarged from smaller ones in black and white are known by their edges' places. */
#include <picture/picture.h>

#include "../tests.h"

#include <math.h>

#define SOURCE 150 /* pixels a side of the smaller picture */
#define MOST 900   /* of the larger one */

typedef double (*cover)(double x, double y); /* 0 paper, 1 ink; in the smaller picture's pixels */

/* A flower with a hole in it, all curves. */
static double flower(double x, double y)
{
    double far = hypot(x - 74.3, y - 75.8), turn = atan2(y - 75.8, x - 74.3);
    return far < 55 + 13 * sin(5 * turn + 0.4) && hypot(x - 70.1, y - 80.3) > 17.6;
}

static double flower_in_pixels(double x, double y)
{
    return flower(floor(x) + 0.5, floor(y) + 0.5);
}

/* Straight between the middles of the smaller picture's pixels. */
static double flower_smooth(double x, double y)
{
    double left = floor(x - 0.5) + 0.5, top = floor(y - 0.5) + 0.5, u = x - left, v = y - top;
    return (1 - v) * ((1 - u) * flower(left, top) + u * flower(left + 1, top)) +
           v * ((1 - u) * flower(left, top + 1) + u * flower(left + 1, top + 1));
}

/* How much of a pixel of the smaller picture is in the flower: such a picture tells where in it an
 * edge runs. */
static double flower_covers(int column, int row)
{
    double sum = 0;
    for (int k = 0; k < 64; k++)
        sum += flower(column + (k % 8 + 0.5) / 8, row + (k / 8 + 0.5) / 8);
    return sum / 64;
}

/* Keys' cubic convolution (R. G. Keys, Cubic convolution interpolation for digital image
 * processing, 1981). */
static double cubic_share(double away)
{
    double far = fabs(away);
    if (far < 1)
        return (1.5 * far - 2.5) * far * far + 1;
    return far < 2 ? ((-0.5 * far + 2.5) * far - 4) * far + 2 : 0;
}

static double flower_in_greys(double x, double y)
{
    static double covers[SOURCE + 4][SOURCE + 4];
    double sum = 0;
    if (covers[SOURCE / 4][SOURCE / 2] == 0)
        for (int k = 0; k < (SOURCE + 4) * (SOURCE + 4); k++)
            covers[k / (SOURCE + 4)][k % (SOURCE + 4)] =
                flower_covers(k % (SOURCE + 4) - 2, k / (SOURCE + 4) - 2);
    int left = (int)floor(x - 0.5) - 1, top = (int)floor(y - 0.5) - 1;
    for (int k = 0; k < 16; k++) {
        int column = left + k % 4, row = top + k / 4;
        sum += covers[row + 2][column + 2] * cubic_share(x - 0.5 - column) *
               cubic_share(y - 0.5 - row);
    }
    return fmin(fmax(sum, 0), 1);
}

/* 100 rows of 100 round holes. */
static double holes(double x, double y)
{
    return hypot(x - 1.5 * floor(x / 1.5) - 0.75, y - 1.5 * floor(y / 1.5) - 0.75) > 0.5;
}

static double squares(double x, double y)
{
    return ((int)(x / 1.5) + (int)(y / 1.5)) % 2;
}

/* Straight edges along the rows and columns, at every third of its pixels and more. */
static double skyline(double x, double y)
{
    int house = (int)(x / 3);
    return x < 147 && y < 147 && y > 20 + 3 * (house * house * 7 % 31);
}

static double lattice_of(cover of, double by)
{
    static uint8_t density[MOST * MOST];
    uint32_t side = (uint32_t)(SOURCE * by + 0.5);
    ck_assert_uint_le(side, MOST);
    for (uint32_t k = 0; k < side * side; k++)
        density[k] = (uint8_t)(255 * of((k % side + 0.5) / by, (k / side + 0.5) / by) + 0.5);
    nw_picture picture = {.width = side, .height = side, .density = density};
    nw_ink ink;
    ck_assert_int_eq(nw_ink_from_picture(&picture, &ink, NULL), NW_OK);
    double found;
    ck_assert_int_eq(nw_ink_lattice(&ink, &found, NULL), NW_OK);
    nw_ink_free(&ink);
    return found;
}

START_TEST(an_enlargement_has_its_sources_pixels)
{
    const double sharp[] = {2, 3, 3.4, 6}, smooth[] = {2.3, 3.3, 4.6};
    for (int k = 0; k < 4; k++)
        ck_assert_double_eq_tol(lattice_of(flower_in_pixels, sharp[k]), sharp[k], 0.01);
    for (int k = 0; k < 3; k++)
        ck_assert_double_eq_tol(lattice_of(flower_smooth, smooth[k]), smooth[k], 0.01);
}
END_TEST

START_TEST(art_of_its_own_has_none)
{
    const cover own[] = {flower, holes, squares, skyline};
    for (int k = 0; k < 4; k++)
        for (double by = 1; by <= 6; by += 1)
            ck_assert_msg(lattice_of(own[k], by) == 0, "art %d, %g times", k, by);
}
END_TEST

START_TEST(an_enlargement_of_greys_tells_more_than_its_sources_pixels)
{
    for (double by = 2; by <= 6; by += 0.5)
        ck_assert_msg(lattice_of(flower_in_greys, by) == 0, "%g times: %g", by,
                      lattice_of(flower_in_greys, by));
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {an_enlargement_has_its_sources_pixels,
                                  an_enlargement_of_greys_tells_more_than_its_sources_pixels,
                                  art_of_its_own_has_none};
    return TESTS_RUN("picture_lattice", tests);
}
