/*
 * elementary: sine, arc tangent and their kin, and the exponential, from the operations that IEEE
 * 754 rounds alike everywhere. C libraries differ in the last bits of these, and one picks another
 * way for another processor; with those bits a solver goes another way, and the same drawing gives
 * other outlines.
 *
 * Arguments are brought near zero by constants in parts, so that nothing is lost (Cody and Waite,
 * Software Manual for the Elementary Functions, 1980); there the Taylor series is summed. Within
 * two units in the last place for angles up to a million.
 */
#include <base/base.h>

#include <math.h>

/* Half of pi in parts of 33 bits, whose products with small whole numbers are exact. */
#define QUARTER_HIGH 1.5707963267341256
#define QUARTER_MIDDLE 6.077100506303966e-11
#define QUARTER_LOW 2.0222662487959506e-21
#define QUARTER (QUARTER_HIGH + QUARTER_MIDDLE)
#define QUARTERS 0.6366197723675814 /* in one radian */

#define DOUBLING_HIGH 0.6931471804855391 /* ln 2 */
#define DOUBLING_LOW 7.440617110012397e-11
#define DOUBLINGS 1.4426950408889634

/* ((last * x + ...) * x + first), for as many terms as there are. */
static double sum(const double *terms, int count, double x)
{
    double y = terms[count - 1];
    for (int i = count - 2; i >= 0; i--)
        y = y * x + terms[i];
    return y;
}

/* The quarter turn that x lies in, the nearest; what it is off by comes out in *rest. */
static int quarter_of(double x, double *rest)
{
    double n = nearbyint(x * QUARTERS);
    *rest = x - n * QUARTER_HIGH - n * QUARTER_MIDDLE - n * QUARTER_LOW;
    return (int)fmod(n, 4) & 3;
}

static double sine_near(double x)
{
    static const double terms[] = {
        -1.0 / 6,        1.0 / 120,        -1.0 / 5040,          1.0 / 362880,
        -1.0 / 39916800, 1.0 / 6227020800, -1.0 / 1307674368000, 1.0 / 355687428096000};
    return x + x * x * x * sum(terms, 8, x * x);
}

static double cosine_near(double x)
{
    static const double terms[] = {
        1.0 / 24,        -1.0 / 720,         1.0 / 40320,         -1.0 / 3628800,
        1.0 / 479001600, -1.0 / 87178291200, 1.0 / 20922789888000};
    double square = x * x, half = square / 2, whole = 1 - half;
    return whole + ((1 - whole - half) + square * square * sum(terms, 7, square));
}

/* The sine of so many quarter turns more. */
static double sine_on(double x, int quarters)
{
    double rest;
    int quarter = quarter_of(x, &rest) + quarters;
    double y = quarter & 1 ? cosine_near(rest) : sine_near(rest);
    return quarter & 2 ? -y : y;
}

double nw_sin(double x)
{
    return sine_on(x, 0);
}

double nw_cos(double x)
{
    return sine_on(x, 1);
}

double nw_tan(double x)
{
    return nw_sin(x) / nw_cos(x);
}

/* Of 0 to 1, from the next of five places whose arc tangents are known. */
static double atan_of_share(double x)
{
    static const double known[] = {0, 0.24497866312686414, 0.4636476090008061, 0.6435011087932844,
                                   0.7853981633974483};
    static const double terms[] = {-1.0 / 3,  1.0 / 5,  -1.0 / 7,  1.0 / 9,
                                   -1.0 / 11, 1.0 / 13, -1.0 / 15, 1.0 / 17};
    int k = x > 0 ? (int)(4 * x + 0.5) : 0; /* of what is no number too */
    double at = k / 4.0, t = (x - at) / (1 + x * at);
    return known[k] + (t + t * t * t * sum(terms, 8, t * t));
}

double nw_atan2(double y, double x)
{
    double across = fabs(y), along = fabs(x);
    if (across + along == 0)
        return 0;
    double angle =
        across <= along ? atan_of_share(across / along) : QUARTER - atan_of_share(along / across);
    return copysign(x < 0 ? 2 * QUARTER - angle : angle, y);
}

double nw_atan(double x)
{
    return nw_atan2(x, 1);
}

double nw_acos(double x)
{
    return nw_atan2(sqrt((1 - x) * (1 + x)), x);
}

double nw_exp(double x)
{
    static const double terms[] = {1,
                                   1,
                                   1.0 / 2,
                                   1.0 / 6,
                                   1.0 / 24,
                                   1.0 / 120,
                                   1.0 / 720,
                                   1.0 / 5040,
                                   1.0 / 40320,
                                   1.0 / 362880,
                                   1.0 / 3628800,
                                   1.0 / 39916800,
                                   1.0 / 479001600,
                                   1.0 / 6227020800};
    double n = nearbyint(fmax(-2000, fmin(2000, x)) * DOUBLINGS);
    return ldexp(sum(terms, 14, x - n * DOUBLING_HIGH - n * DOUBLING_LOW), (int)n);
}

double nw_power(double x, int exponent)
{
    double power = 1;
    for (int n = exponent < 0 ? -exponent : exponent; n; n /= 2, x *= x)
        power = n % 2 ? power * x : power;
    return exponent < 0 ? 1 / power : power;
}

int nw_decade(double x)
{
    int n = 0;
    for (; x >= 10 && isfinite(x); x /= 10)
        n++;
    for (; x < 1 && x > 0; x *= 10)
        n--;
    return n;
}
