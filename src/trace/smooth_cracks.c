/*
 * smooth_cracks: a run of cracks between ink and paper pixels -> where the smoothest outline passes
 * them.
 *
 * A shape that was cut into pixels by their middles passes every crack between the middles of the
 * two pixels beside it: within half a pixel of the crack. Of all curves that do, the smoothest is
 * taken: the squares of its third differences across the outline have the least sum, so lines,
 * circles and parabolas stay what they are. Where the limits have to push with force, there is a
 * corner.
 *
 * The shifts solve a quadratic problem with bounds, by the alternating direction method of
 * multipliers (Boyd, Parikh, Chu, Peleato and Eckstein, Foundations and Trends in Machine Learning
 * 3(1), 2011, section 5.2), with penalties that fall from stage to stage, since long waves settle
 * late. The equations have a band of ORDER places to either side.
 */
#include <trace/pixel_steps.h>

#include <math.h>
#include <stdlib.h>

#define ORDER 3
#define STAGES 5
#define ROUNDS 8 /* in each stage */

static const double PULL = 1e-4;         /* towards the cracks' middles */
static const double FIRST_PENALTY = 0.1; /* for leaving the bounds */
static const double PENALTY_FALLS = 0.2; /* to this part from stage to stage */
static const double CLOSEST_PX = 0.3;    /* between places along the outline */
static const double BEYOND = 1.1;     /* the bounds, at most, where the rounds have not settled */
static const double LINE_REACH = 1.2; /* bounds, since the nearest line is not the best one */
static const double LINE_STEEP = 0.3; /* of a crack's own direction across its line, at least */

/* Row i holds the entries of columns i, i - 1 … i - ORDER. */
typedef double band_row[ORDER + 1];

typedef struct {
    size_t count;
    double penalty;
    band_row *matrix, *factor;
    double *right;     /* the right side */
    double *x, *z, *v; /* free shifts, shifts within bounds, and how hard the bounds push */
    double *along;     /* how far along the outline each place is */
} problem;

static double along_between(const nw_crack *a, const nw_crack *b)
{
    nw_point n = nw_plus(a->normal, b->normal, 1);
    double length = nw_length(n), step = fabs(nw_cross(nw_minus(b->at, a->at), n));
    return length > 0 ? fmax(step / length, CLOSEST_PX) : CLOSEST_PX;
}

/* Weights of the divided difference over ORDER + 1 places. */
static void weights_of(const double *along, double weights[ORDER + 1])
{
    for (int k = 0; k <= ORDER; k++) {
        weights[k] = 6;
        for (int j = 0; j <= ORDER; j++)
            weights[k] /= j == k ? 1 : along[k] - along[j];
    }
}

/* Adds the square of the difference over the places from i on, across the outline. */
static void difference_add(problem *p, const nw_crack *cracks, size_t i)
{
    double weights[ORDER + 1], factor[ORDER + 1], still = 0;
    nw_point n = {0, 0};
    weights_of(p->along + i, weights);
    for (int k = 0; k <= ORDER; k++)
        n = nw_plus(n, cracks[i + k].normal, 1);
    double length = fmax(nw_length(n), CLOSEST_PX);
    n = (nw_point){n.x / length, n.y / length};
    for (int k = 0; k <= ORDER; k++) {
        const nw_crack *c = &cracks[i + k];
        still += weights[k] * nw_dot(c->at, n);
        factor[k] = weights[k] * (c->upright ? n.x : n.y);
    }
    for (int k = 0; k <= ORDER; k++) {
        p->right[i + k] -= factor[k] * still;
        for (int j = 0; j <= k; j++)
            p->matrix[i + k][k - j] += factor[k] * factor[j];
    }
}

/* Cholesky's factor of the matrix with the penalty on its diagonal. */
static void factor_make(problem *p)
{
    for (size_t i = 0; i < p->count; i++) {
        for (size_t d = (i < ORDER ? i : ORDER) + 1; d-- > 0;) {
            double sum = p->matrix[i][d] + (d == 0 ? p->penalty : 0);
            for (size_t k = 1; k + d <= ORDER && k + d <= i; k++)
                sum -= p->factor[i][d + k] * p->factor[i - d][k];
            p->factor[i][d] = d ? sum / p->factor[i - d][0] : sqrt(sum);
        }
    }
}

/* The free shifts for the present ones within bounds. */
static void solve(problem *p)
{
    for (size_t i = 0; i < p->count; i++) {
        double sum = p->penalty * (p->z[i] - p->v[i]) + p->right[i];
        for (size_t d = 1; d <= ORDER && d <= i; d++)
            sum -= p->factor[i][d] * p->x[i - d];
        p->x[i] = sum / p->factor[i][0];
    }
    for (size_t i = p->count; i-- > 0;) {
        double sum = p->x[i];
        for (size_t d = 1; d <= ORDER && i + d < p->count; d++)
            sum -= p->factor[i + d][d] * p->x[i + d];
        p->x[i] = sum / p->factor[i][0];
    }
}

static double bounded(double value, double limit)
{
    return fmax(-limit, fmin(limit, value));
}

static void run_stage(problem *p, const nw_crack *cracks, double penalty)
{
    for (size_t i = 0; i < p->count; i++)
        p->v[i] *= p->penalty / penalty;
    p->penalty = penalty;
    factor_make(p);
    for (int round = 0; round < ROUNDS; round++) {
        solve(p);
        for (size_t i = 0; i < p->count; i++) {
            double wanted = p->x[i] + p->v[i];
            p->z[i] = bounded(wanted, cracks[i].most);
            p->v[i] = wanted - p->z[i];
        }
    }
}

static void problem_free(problem *p)
{
    free(p->matrix);
    free(p->factor);
    free(p->right);
}

static bool problem_make(problem *p, const nw_crack *cracks, size_t count)
{
    *p = (problem){.count = count,
                   .matrix = nw_alloc(count, sizeof *p->matrix),
                   .factor = nw_alloc(count, sizeof *p->factor),
                   .right = nw_alloc(count, 5 * sizeof *p->right)};
    if (!p->matrix || !p->factor || !p->right)
        return false;
    p->x = p->right + count;
    p->z = p->x + count;
    p->v = p->z + count;
    p->along = p->v + count;
    for (size_t i = 0; i < count; i++) {
        p->along[i] = i ? p->along[i - 1] + along_between(&cracks[i - 1], &cracks[i]) : 0;
        p->matrix[i][0] = PULL;
    }
    for (size_t i = 0; i + ORDER < count; i++)
        difference_add(p, cracks, i);
    return true;
}

bool nw_cracks_smooth(nw_crack *cracks, size_t count)
{
    problem p;
    bool done = problem_make(&p, cracks, count);
    double penalty = FIRST_PENALTY;
    for (int stage = 0; done && stage < STAGES; stage++) {
        run_stage(&p, cracks, penalty);
        penalty *= PENALTY_FALLS;
    }
    for (size_t i = 0; done && i < count; i++) {
        cracks[i].shift = bounded(p.x[i], BEYOND * cracks[i].most);
        cracks[i].force = p.penalty * fabs(p.v[i]);
    }
    problem_free(&p);
    return done;
}

bool nw_cracks_straighten(nw_crack *cracks, size_t count)
{
    nw_line_sum sum = {0};
    for (size_t i = 0; i < count; i++)
        nw_line_add(&sum, cracks[i].at);
    nw_point centre, way;
    nw_line_fit(&sum, &centre, &way);
    nw_point n = nw_left(way);
    for (int pass = 0; pass < 2; pass++) {
        for (size_t i = 0; i < count; i++) {
            nw_crack *c = &cracks[i];
            double off = nw_dot(nw_minus(c->at, centre), n);
            double across = c->upright ? n.x : n.y;
            if (fabs(across) < LINE_STEEP || fabs(off / across) > LINE_REACH * c->most)
                return false;
            c->shift = pass ? -off / across : c->shift;
            c->force = pass ? 0 : c->force;
        }
    }
    return true;
}
