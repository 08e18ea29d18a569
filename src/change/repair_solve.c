/*
 * Forms and conditions -> the unknowns of least energy: what a condition lacks costs its square, at
 * a price that rises, but with no more force than the condition may have. Newton's method, which is
 * exact as long as the same conditions push, with a line search (Nocedal and Wright, Numerical
 * Optimization, 2006, chapters 3 and 17).
 */
#include "repair.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define STEPS 30    /* of Newton's method, at one price */
#define HALVINGS 12 /* of a step */
#define STILL_MM 1e-5

typedef struct {
    const nw_forms *energy, *conditions;
    size_t unknowns;
    double price; /* of the square of what is lacking */
    nw_matrix matrix;
    double *base; /* the energy's own matrix */
    double *x, *tried, *slope, *step;
} problem;

/* The force of a condition that lacks so much, and whether it is at its most. */
static double force_of(const problem *p, const nw_form_row *row, double lack, bool *most)
{
    double force = p->price * fmax(lack, 0);
    *most = force > row->weight;
    return *most ? row->weight : force;
}

static double cost(const problem *p, const double *x)
{
    double sum = 0;
    for (size_t i = 0; i < p->energy->count; i++) {
        double off = nw_forms_value(p->energy, i, x) - p->energy->rows[i].target;
        sum += p->energy->rows[i].weight * off * off / 2;
    }
    for (size_t i = 0; i < p->conditions->count; i++) {
        const nw_form_row *row = &p->conditions->rows[i];
        double lack = row->target - nw_forms_value(p->conditions, i, x);
        bool most;
        double force = force_of(p, row, lack, &most);
        sum += most ? force * (lack - force / p->price / 2) : force * lack / 2;
    }
    return sum;
}

static void slope_add(double *slope, const nw_forms *forms, size_t row, double by)
{
    const nw_form_row *r = &forms->rows[row];
    for (size_t k = r->first; k < r->first + r->count; k++) {
        slope[forms->terms[k].unknown] += by * forms->terms[k].by;
    }
}

/* Slope and matrix at x. */
static void expand(problem *p)
{
    memset(p->slope, 0, p->matrix.count * sizeof *p->slope);
    memcpy(p->matrix.values, p->base, p->matrix.value_count * sizeof *p->base);
    for (size_t i = 0; i < p->energy->count; i++) {
        const nw_form_row *row = &p->energy->rows[i];
        slope_add(p->slope, p->energy, i,
                  row->weight * (nw_forms_value(p->energy, i, p->x) - row->target));
    }
    for (size_t i = 0; i < p->conditions->count; i++) {
        const nw_form_row *row = &p->conditions->rows[i];
        double lack = row->target - nw_forms_value(p->conditions, i, p->x);
        bool most;
        double force = force_of(p, row, lack, &most);
        if (force > 0) {
            slope_add(p->slope, p->conditions, i, -force);
        }
        if (force > 0 && !most) {
            nw_matrix_add(&p->matrix, p->conditions, i, p->price);
        }
    }
}

/* Takes the step as far as it helps; returns the largest move. */
static double step_take(problem *p)
{
    double start = cost(p, p->x), down = 0;
    for (size_t i = 0; i < p->unknowns; i++) {
        down += p->slope[i] * p->step[i];
    }
    double share = 1, most = 0;
    for (int k = 0; k <= HALVINGS; k++, share /= 2) {
        for (size_t i = 0; i < p->unknowns; i++) {
            p->tried[i] = p->x[i] + share * p->step[i];
        }
        if (cost(p, p->tried) <= start + 1e-4 * share * down) {
            for (size_t i = 0; i < p->unknowns; i++) {
                most = fmax(most, fabs(p->tried[i] - p->x[i]));
                p->x[i] = p->tried[i];
            }
            return most;
        }
    }
    return 0;
}

static bool descend(problem *p)
{
    double moved = INFINITY;
    for (int k = 0; k < STEPS && moved > STILL_MM; k++) {
        expand(p);
        for (size_t i = 0; i < p->matrix.count; i++) {
            p->tried[p->matrix.place[i]] = i < p->unknowns ? -p->slope[i] : 0;
        }
        if (!nw_matrix_solve(&p->matrix, p->tried)) {
            return false;
        }
        for (size_t i = 0; i < p->unknowns; i++) {
            p->step[i] = p->tried[p->matrix.place[i]];
        }
        moved = step_take(p);
    }
    return true;
}

static nw_status problem_solve(problem *p, nw_error *error)
{
    size_t n = p->matrix.count;
    p->base = nw_alloc(p->matrix.value_count, sizeof *p->base);
    p->tried = nw_alloc(n, sizeof *p->tried);
    p->slope = nw_alloc(n, sizeof *p->slope);
    p->step = nw_alloc(n, sizeof *p->step);
    if (!p->base || !p->tried || !p->slope || !p->step) {
        return nw_fail_memory(error, "the walls' equations");
    }
    for (size_t i = 0; i < p->energy->count; i++) {
        nw_matrix_add(&p->matrix, p->energy, i, p->energy->rows[i].weight);
    }
    for (size_t i = 0; i < n; i++) { /* unknowns that no form has */
        double *diagonal = &p->matrix.values[p->matrix.start[i] + i - p->matrix.first[i]];
        *diagonal += *diagonal > 0 ? 1e-12 * *diagonal : 1;
    }
    memcpy(p->base, p->matrix.values, p->matrix.value_count * sizeof *p->base);
    static const double prices[] = {3, 100, 3000};
    for (size_t k = 0; k < sizeof prices / sizeof *prices; k++) {
        p->price = prices[k];
        if (!descend(p)) {
            return nw_fail(error, NW_INTERNAL, "the walls' equations have no solution");
        }
    }
    return NW_OK;
}

nw_status nw_forms_solve(const nw_forms *energy, const nw_forms *conditions, size_t unknowns,
                         double *x, nw_error *error)
{
    problem p = {.energy = energy, .conditions = conditions, .unknowns = unknowns, .x = x};
    if (energy->failed || conditions->failed) {
        return nw_fail_memory(error, "the walls' equations");
    }
    nw_status status = nw_matrix_make(energy, conditions, unknowns, &p.matrix, error);
    if (status == NW_OK) {
        status = problem_solve(&p, error);
    }
    nw_matrix_free(&p.matrix);
    free(p.base);
    free(p.tried);
    free(p.slope);
    free(p.step);
    return status;
}
