/* Sine and its kin against the C library's in long double, and sorting that keeps what is alike,
 * with and without memory: the linker leads the library's calls of malloc here. */
#include <base/base.h>

#include "../tests.h"
#include <float.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define TRIES 20000

void *__real_malloc(size_t size);
void *__wrap_malloc(size_t size);

static bool no_memory;

void *__wrap_malloc(size_t size)
{
    return no_memory ? NULL : __real_malloc(size);
}

typedef double function(double x);
typedef long double exact(long double x);

/* In units in the last place; of nothing, in those of the least that counts. */
static double error_of(double got, long double want)
{
    int power;
    frexpl(fmaxl(fabsl(want), 1e-300L), &power);
    return (double)(fabsl(got - want) / ldexpl(1, power - DBL_MANT_DIG));
}

static void expect_near(const char *name, function *f, exact *g, double from, double to,
                        double most)
{
    double worst = 0, at = 0;
    for (int i = 0; i <= TRIES; i++) {
        double x = from + (to - from) * i / TRIES, error = error_of(f(x), g(x));
        if (error > worst) {
            worst = error;
            at = x;
        }
    }
    ck_assert_msg(worst <= most, "%s(%.17g): off by %.2f", name, at, worst);
}

START_TEST(functions_are_right_to_the_last_bits)
{
    expect_near("sin", nw_sin, sinl, -8, 8, 1.5);
    expect_near("cos", nw_cos, cosl, -8, 8, 1.5);
    expect_near("sin", nw_sin, sinl, -1e6, 1e6, 2);
    expect_near("cos", nw_cos, cosl, -1e6, 1e6, 2);
    expect_near("tan", nw_tan, tanl, -1.5, 1.5, 3);
    expect_near("atan", nw_atan, atanl, -3, 3, 2);
    expect_near("atan", nw_atan, atanl, -1e5, 1e5, 2);
    expect_near("acos", nw_acos, acosl, -1, 1, 2);
    expect_near("exp", nw_exp, expl, -700, 700, 2);
}
END_TEST

START_TEST(angles_of_all_quarters)
{
    for (int i = 0; i < 360; i++) {
        double angle = (i - 179) * 3.14159265358979323846 / 180;
        double x = 7 * cos(angle), y = 7 * sin(angle);
        ck_assert_double_le(error_of(nw_atan2(y, x), atan2l(y, x)), 2);
    }
    ck_assert_double_eq(nw_atan2(0, 0), 0);
    ck_assert_double_eq(nw_atan2(0, -1), 3.14159265358979323846);
    ck_assert_double_eq(nw_atan2(-1, 0), -3.14159265358979323846 / 2);
}
END_TEST

START_TEST(powers)
{
    ck_assert_double_eq(nw_power(10, 22), 1e22);
    ck_assert_double_eq(nw_power(2, -3), 0.125);
    ck_assert_double_eq(nw_power(1.1, 0), 1);
    const double decades[] = {0.001, 0.01, 0.1, 1, 10, 100, 1000, 1e6};
    const int wanted[] = {-3, -2, -1, 0, 1, 2, 3, 6};
    for (int i = 0; i < 8; i++) {
        ck_assert_int_eq(nw_decade(decades[i]), wanted[i]);
        ck_assert_int_eq(nw_decade(decades[i] * 9.9), wanted[i]);
    }
}
END_TEST

START_TEST(what_is_no_number_stays_so)
{
    ck_assert(isnan(nw_atan2(NAN, 1)) && isnan(nw_atan2(1, NAN)) && isnan(nw_acos(2)));
    ck_assert(isnan(nw_sin(NAN)) && isnan(nw_cos(INFINITY)));
}
END_TEST

/* ---- sorting -------------------------------------------------------------------------------- */

typedef struct {
    int key, place;
    char more[40]; /* so that many do not fit the stack */
} item;

static int by_key(const void *a, const void *b)
{
    const item *p = a, *q = b;
    return nw_order(p->key, q->key);
}

static void expect_sorted(int count, int keys, bool memory)
{
    uint32_t seed = 7;
    item *items = __real_malloc((size_t)(count + 1) * sizeof *items);
    long long sum = 0;
    for (int i = 0; i < count; i++) {
        seed = seed * 1664525u + 1013904223u;
        items[i] = (item){(int)(seed >> 8) % keys, i, {0}};
        sum += items[i].key;
    }
    no_memory = !memory;
    nw_sort(items, (size_t)count, sizeof *items, by_key);
    no_memory = false;
    for (int i = 0; i < count; i++)
        sum -= items[i].key;
    ck_assert(sum == 0);
    for (int i = 1; i < count; i++) {
        ck_assert_int_le(items[i - 1].key, items[i].key);
        if (items[i - 1].key == items[i].key)
            ck_assert_int_lt(items[i - 1].place, items[i].place);
    }
    free(items);
}

START_TEST(what_is_alike_keeps_its_order)
{
    const int counts[] = {0, 1, 2, 3, 17, 100, 1000, 4096, 5001};
    for (int memory = 0; memory < 2; memory++) {
        for (size_t i = 0; i < sizeof counts / sizeof *counts; i++) {
            expect_sorted(counts[i], 1, memory);
            expect_sorted(counts[i], 5, memory);
            expect_sorted(counts[i], 1000000, memory);
        }
    }
}
END_TEST

/* Few numbers alike and many, sorted before and not. */
START_TEST(the_middle_number_is_that_of_a_sort)
{
    double numbers[300], sorted[300];
    for (size_t count = 1; count <= 300; count = 1 + count * 5 / 4) {
        for (uint32_t kinds = 1; kinds < 100000; kinds *= 7) {
            uint32_t seed = kinds;
            for (size_t i = 0; i < count; i++) {
                seed = seed * 1664525u + 1013904223u;
                sorted[i] = numbers[i] = (seed >> 8) % kinds;
            }
            nw_sort(sorted, count, sizeof *sorted, nw_by_number);
            ck_assert(nw_middle_number(numbers, count) == sorted[count / 2]);
            ck_assert(nw_middle_number(sorted, count) == sorted[count / 2]);
        }
    }
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {functions_are_right_to_the_last_bits,
                                  angles_of_all_quarters,
                                  powers,
                                  what_is_no_number_stays_so,
                                  what_is_alike_keeps_its_order,
                                  the_middle_number_is_that_of_a_sort};
    return TESTS_RUN("base_elementary", tests);
}
