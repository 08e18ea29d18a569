/*
 * least_squares: sums over places -> the line or parabola nearest to them; small systems of
 * equations.
 */
#include <geom/least_squares.h>

#define NOTHING 1e-9 /* a pivot that tells nothing */

bool nw_equations_solve(int count, double m[NW_UNKNOWNS][NW_UNKNOWNS + 1], double x[NW_UNKNOWNS])
{
    for (int c = 0; c < count; c++) {
        int best = c;
        for (int r = c + 1; r < count; r++)
            best = fabs(m[r][c]) > fabs(m[best][c]) ? r : best;
        if (fabs(m[best][c]) < NOTHING)
            return false;
        for (int k = 0; k <= NW_UNKNOWNS; k++) {
            double keep = m[c][k];
            m[c][k] = m[best][k];
            m[best][k] = keep;
        }
        for (int r = c + 1; r < count; r++) {
            double factor = m[r][c] / m[c][c];
            for (int k = c; k <= NW_UNKNOWNS; k++)
                m[r][k] -= factor * m[c][k];
        }
    }
    for (int r = count - 1; r >= 0; r--) {
        double sum = m[r][NW_UNKNOWNS];
        for (int k = r + 1; k < count; k++)
            sum -= m[r][k] * x[k];
        x[r] = sum / m[r][r];
    }
    return true;
}

bool nw_pair_solve(double m[2][3], double x[2])
{
    bool swap = fabs(m[1][0]) > fabs(m[0][0]);
    const double *top = m[swap], *low = m[!swap];
    if (fabs(top[0]) < NOTHING)
        return false;
    double factor = low[0] / top[0], pivot = low[1] - factor * top[1];
    if (fabs(pivot) < NOTHING)
        return false;
    x[1] = (low[2] - factor * top[2]) / pivot;
    x[0] = (top[2] - top[1] * x[1]) / top[0];
    return true;
}

void nw_line_add(nw_line_sum *s, nw_point p)
{
    if (s->n == 0)
        s->first = p;
    s->last = p;
    nw_point d = nw_minus(p, s->first);
    s->n++;
    s->x += d.x, s->y += d.y;
    s->xx += d.x * d.x, s->xy += d.x * d.y, s->yy += d.y * d.y;
}

void nw_line_fit(const nw_line_sum *s, nw_point *middle, nw_point *way)
{
    double x = s->x / s->n, y = s->y / s->n;
    double xx = s->xx / s->n - x * x, xy = s->xy / s->n - x * y, yy = s->yy / s->n - y * y;
    double angle = nw_atan2(2 * xy, xx - yy) / 2;
    *middle = (nw_point){s->first.x + x, s->first.y + y};
    *way = (nw_point){nw_cos(angle), nw_sin(angle)};
    if (nw_dot(*way, nw_minus(s->last, s->first)) < 0)
        *way = nw_back(*way);
}

void nw_parabola_add(nw_parabola_sum *s, double x, double y)
{
    double power = 1;
    for (int k = 0; k < 5; k++, power *= x) {
        s->x[k] += power;
        if (k < 3)
            s->y[k] += power * y;
    }
}

/* Cramer's rule. */
bool nw_parabola_fit(const nw_parabola_sum *sum, double least, double c[3])
{
    const double *s = sum->x, *r = sum->y;
    double d = s[0] * (s[2] * s[4] - s[3] * s[3]) - s[1] * (s[1] * s[4] - s[2] * s[3]) +
               s[2] * (s[1] * s[3] - s[2] * s[2]);
    if (!(fabs(d) > least))
        return false;
    c[0] = (r[0] * (s[2] * s[4] - s[3] * s[3]) - s[1] * (r[1] * s[4] - s[3] * r[2]) +
            s[2] * (r[1] * s[3] - s[2] * r[2])) /
           d;
    c[1] = (s[0] * (r[1] * s[4] - r[2] * s[3]) - r[0] * (s[1] * s[4] - s[2] * s[3]) +
            s[2] * (s[1] * r[2] - s[2] * r[1])) /
           d;
    c[2] = (s[0] * (s[2] * r[2] - s[3] * r[1]) - s[1] * (s[1] * r[2] - s[2] * r[1]) +
            r[0] * (s[1] * s[3] - s[2] * s[2])) /
           d;
    return true;
}
