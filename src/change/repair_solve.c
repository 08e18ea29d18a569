/*
 * Forms and conditions -> the unknowns of least energy: what a condition lacks costs its square, at
 * a price that rises, but with no more force than the condition may have. Newton's method, which is
 * exact as long as the same conditions push, with a line search (Nocedal and Wright, Numerical
 * Optimization, 2006, chapters 3 and 17); where a force is at its most, by a parabola from where it
 * is to where nothing lacks (weights anew each step: Holland and Welsch 1977).
 */
#include <change/repair_forms.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define STEPS 12    /* of Newton's method, at one price */
#define HASTE 2     /* the same once the work is spent */
#define NARROWING 8 /* of the place along a step where the cost is least */
#define STILL_MM 1e-3
#define CONDITION_WORK 250 /* of a condition in a step, as products */
#define ROUGHLY_MM 0.02    /* at prices that are not the last */

/* The share of its most force with which a condition pushes for what it lacks, all of it for one
 * over this; from moves that there are already on, the last alone. */
static const double prices[] = {0.75, 25, 750};
#define PRICES (sizeof prices / sizeof *prices)

/* Forms of one kind, with their values at x and how a whole step changes them. */
typedef struct {
    const nw_forms *forms;
    double *values, *changes;
    nw_entries entries;
} valued;

typedef struct {
    valued energy, conditions;
    size_t unknowns;
    size_t points; /* of them, the points' own: only they tell what still moves */
    bool begun;    /* x is the outcome of a solution already */
    double price;  /* of the square of what is lacking */
    nw_matrix matrix;
    double *base; /* the energy's own matrix */
    double *x, *slope, *step, *solution;
    double work; /* that it may take before it hastens */
} problem;

/* The force of a condition of this value. */
static double force_of(const problem *p, const nw_form_row *row, double value)
{
    return row->weight * fmin(p->price * fmax(row->target - value, 0), 1);
}

static void values_take(const valued *v, const double *x, double *values)
{
    for (size_t i = 0; i < v->forms->count; i++)
        values[i] = nw_forms_value(v->forms, i, x);
}

/* How the cost changes along the step, after a share of it. */
static double slope_along(const problem *p, double share)
{
    double sum = 0;
    const valued *e = &p->energy, *c = &p->conditions;
    for (size_t i = 0; i < e->forms->count; i++) {
        const nw_form_row *row = &e->forms->rows[i];
        sum += row->weight * (e->values[i] + share * e->changes[i] - row->target) * e->changes[i];
    }
    for (size_t i = 0; i < c->forms->count; i++) {
        double value = c->values[i] + share * c->changes[i];
        sum -= force_of(p, &c->forms->rows[i], value) * c->changes[i];
    }
    return sum;
}

static void slope_add(double *slope, const nw_forms *forms, size_t row, double by)
{
    const nw_form_row *r = &forms->rows[row];
    for (size_t k = r->first; k < r->first + r->count; k++)
        slope[forms->terms[k].unknown] += by * forms->terms[k].by;
}

/* Slope and matrix at x. */
static void expand(problem *p)
{
    const nw_forms *energy = p->energy.forms, *conditions = p->conditions.forms;
    memset(p->slope, 0, p->unknowns * sizeof *p->slope);
    memcpy(p->matrix.values, p->base, p->matrix.value_count * sizeof *p->base);
    for (size_t i = 0; i < energy->count; i++) {
        const nw_form_row *row = &energy->rows[i];
        slope_add(p->slope, energy, i, row->weight * (p->energy.values[i] - row->target));
    }
    for (size_t i = 0; i < conditions->count; i++) {
        const nw_form_row *row = &conditions->rows[i];
        double force = force_of(p, row, p->conditions.values[i]);
        /* At its most it is taken to give way too: without that, steps overshoot. */
        if (force > 0) {
            slope_add(p->slope, conditions, i, -force);
            nw_matrix_add(&p->matrix, conditions, &p->conditions.entries, i,
                          force / (row->target - p->conditions.values[i]));
        }
    }
}

/* The share of the step after which the cost, which is convex, is about least. */
static double share_find(const problem *p)
{
    double low = 0, high = 1, at_low = slope_along(p, 0), at_high = slope_along(p, 1);
    for (int k = 0; k < NARROWING && at_high > 0 && at_low < 0; k++) {
        double share = low + (high - low) * fmin(fmax(at_low / (at_low - at_high), 0.1), 0.9);
        double at = slope_along(p, share);
        *(at > 0 ? &high : &low) = share;
        *(at > 0 ? &at_high : &at_low) = at;
    }
    return at_high > 0 ? low > 0 ? low : high : 1;
}

/* Takes the step as far as it helps; returns the largest move. */
static double step_take(problem *p)
{
    values_take(&p->energy, p->step, p->energy.changes);
    values_take(&p->conditions, p->step, p->conditions.changes);
    double share = share_find(p), most = 0;
    for (size_t i = 0; i < p->unknowns; i++) {
        p->x[i] += share * p->step[i];
        most = i < p->points ? fmax(most, fabs(share * p->step[i])) : most;
    }
    values_take(&p->energy, p->x, p->energy.values);
    values_take(&p->conditions, p->x, p->conditions.values);
    return most;
}

static size_t place_of(const problem *p, size_t unknown)
{
    return 2 * (size_t)p->matrix.place[unknown / 2] + unknown % 2;
}

static nw_status descend(problem *p, nw_error *error)
{
    nw_status status = NW_OK;
    double moved = INFINITY;
    double still = p->price < prices[PRICES - 1] ? ROUGHLY_MM : STILL_MM;
    for (int k = 0; k < (p->matrix.work > p->work ? HASTE : STEPS) && moved > still; k++) {
        expand(p);
        for (size_t i = 0; i < p->unknowns; i++)
            p->solution[place_of(p, i)] = -p->slope[i];
        status = nw_matrix_solve(&p->matrix, p->solution, error);
        if (status != NW_OK)
            break;
        for (size_t i = 0; i < p->unknowns; i++)
            p->step[i] = p->solution[place_of(p, i)];
        moved = step_take(p);
        p->matrix.work += CONDITION_WORK * (double)p->conditions.forms->count;
    }
    return status;
}

static bool valued_make(valued *v, const nw_matrix *matrix)
{
    v->values = nw_alloc(v->forms->count, sizeof *v->values);
    v->changes = nw_alloc(v->forms->count, sizeof *v->changes);
    return v->values && v->changes && nw_entries_make(matrix, v->forms, &v->entries);
}

static void problem_free(problem *p)
{
    nw_matrix_free(&p->matrix);
    free(p->energy.values);
    free(p->energy.changes);
    free(p->conditions.values);
    free(p->conditions.changes);
    nw_entries_free(&p->energy.entries);
    nw_entries_free(&p->conditions.entries);
    free(p->base);
    free(p->slope);
    free(p->step);
    free(p->solution);
}

static nw_status problem_solve(problem *p, nw_error *error)
{
    bool warm = false;
    for (size_t i = 0; i < p->points; i++)
        warm = warm || (p->begun && p->x[i] != 0);
    size_t n = 2 * p->matrix.blocks;
    const nw_forms *energy = p->energy.forms;
    p->base = nw_alloc(p->matrix.value_count, sizeof *p->base);
    p->slope = nw_alloc(n, sizeof *p->slope);
    p->step = nw_alloc(n, sizeof *p->step);
    p->solution = nw_alloc(n, sizeof *p->solution);
    if (!p->base || !p->slope || !p->step || !p->solution || !valued_make(&p->energy, &p->matrix) ||
        !valued_make(&p->conditions, &p->matrix))
        return nw_fail_memory(error, "the walls' equations");
    values_take(&p->energy, p->x, p->energy.values);
    values_take(&p->conditions, p->x, p->conditions.values);
    for (size_t i = 0; i < energy->count; i++)
        nw_matrix_add(&p->matrix, energy, &p->energy.entries, i, energy->rows[i].weight);
    nw_matrix_firm(&p->matrix);
    memcpy(p->base, p->matrix.values, p->matrix.value_count * sizeof *p->base);
    nw_status status = NW_OK;
    for (size_t k = warm ? PRICES - 1 : 0; status == NW_OK && k < PRICES; k++) {
        p->price = prices[k];
        status = descend(p, error);
    }
    return status;
}

nw_status nw_forms_solve(const nw_forms *energy, const nw_forms *conditions, size_t unknowns,
                         size_t points, bool begun, double *x, nw_work *spent, nw_error *error)
{
    problem p = {.energy = {.forms = energy},
                 .conditions = {.forms = conditions},
                 .unknowns = unknowns,
                 .points = points,
                 .begun = begun,
                 .x = x,
                 .work = spent->most - spent->done};
    if (energy->failed || conditions->failed)
        return nw_fail_memory(error, "the walls' equations");
    nw_status status = nw_matrix_make(energy, conditions, unknowns, &p.matrix, error);
    if (status == NW_OK)
        status = problem_solve(&p, error);
    spent->done += p.matrix.work;
    problem_free(&p);
    return status;
}
