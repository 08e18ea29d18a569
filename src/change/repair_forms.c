/*
 * Linear forms -> their symmetric matrix, its Cholesky factor and the solution of an equation.
 *
 * Rows are kept from their first entry on (an envelope: Jennings, The Computer Journal 9, 1966),
 * with the unknowns in the order of Cuthill and McKee (1969) turned round (George 1971): outlines
 * are chains with rungs where they face each other, so what belongs together stays near.
 */
#include <change/repair.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LINK_WORK 50                  /* of one, as products */
#define MOST_VALUES ((size_t)1 << 26) /* half a gigabyte */

void nw_forms_free(nw_forms *forms)
{
    free(forms->terms);
    free(forms->rows);
    *forms = (nw_forms){0};
}

void nw_forms_row(nw_forms *forms, double weight, double target)
{
    nw_form_row row = {forms->term_count, 0, weight, target};
    if (!nw_push(&forms->rows, &forms->count, &forms->capacity, &row, sizeof row))
        forms->failed = true;
}

void nw_forms_term(nw_forms *forms, uint32_t unknown, double by)
{
    nw_term term = {unknown, by};
    if (unknown == NW_HELD || forms->failed)
        return;
    forms->failed =
        !nw_push(&forms->terms, &forms->term_count, &forms->term_capacity, &term, sizeof term);
    forms->rows[forms->count - 1].count += !forms->failed;
}

void nw_forms_join(nw_forms *forms, const nw_forms *more, size_t first)
{
    for (size_t i = first; i < more->count; i++) {
        const nw_form_row *row = &more->rows[i];
        nw_forms_row(forms, row->weight, row->target);
        for (size_t k = row->first; k < row->first + row->count; k++)
            nw_forms_term(forms, more->terms[k].unknown, more->terms[k].by);
    }
}

double nw_forms_value(const nw_forms *forms, size_t row, const double *x)
{
    const nw_form_row *r = &forms->rows[row];
    double value = 0;
    for (size_t k = r->first; k < r->first + r->count; k++)
        value += forms->terms[k].by * x[forms->terms[k].unknown];
    return value;
}

/* ---- who is next to whom --------------------------------------------------------------------- */

/* Pairs of blocks that a form joins, each both ways. Forms repeat them many times over. */
typedef struct {
    uint32_t from, to;
} link;

typedef struct {
    link *items;
    size_t count, capacity;
} links;

static bool link_add(links *l, uint32_t a, uint32_t b)
{
    if (!nw_grow(&l->items, &l->capacity, l->count + 2, sizeof *l->items))
        return false;
    l->items[l->count++] = (link){a, b};
    l->items[l->count++] = (link){b, a};
    return true;
}

static bool same_unknowns(const nw_forms *forms, size_t row)
{
    const nw_form_row *r = &forms->rows[row];
    if (!row || forms->rows[row - 1].count != r->count)
        return false;
    for (size_t k = 0; k < r->count; k++)
        if (forms->terms[r->first + k].unknown / 2 != forms->terms[r[-1].first + k].unknown / 2)
            return false;
    return true;
}

static bool links_of(const nw_forms *forms, links *l)
{
    bool good = true;
    for (size_t i = 0; i < forms->count; i++) {
        const nw_term *terms = forms->terms + forms->rows[i].first;
        size_t n = same_unknowns(forms, i) ? 0 : forms->rows[i].count;
        for (size_t p = 0; p < n; p++) {
            for (size_t q = 0; q < p; q++) {
                uint32_t a = terms[p].unknown / 2, b = terms[q].unknown / 2;
                good = good && (a == b || link_add(l, a, b));
            }
        }
    }
    return good;
}

static int by_number(const void *p, const void *q)
{
    uint32_t a = *(const uint32_t *)p, b = *(const uint32_t *)q;
    return (a > b) - (a < b);
}

/* By where they come from, then by where they go, each once: next[start[a]...] are those of a.
 * seen: of each block. */
static bool links_sort(const links *l, size_t blocks, size_t *start, uint32_t *seen,
                       uint32_t **next)
{
    uint32_t *sorted = nw_alloc(l->count, sizeof *sorted);
    size_t *at = nw_alloc(blocks + 1, sizeof *at);
    for (size_t k = 0; at && k < l->count; k++)
        at[l->items[k].from + 1]++;
    for (size_t a = 0; at && a < blocks; a++)
        at[a + 1] += at[a];
    for (size_t k = 0; at && sorted && k < l->count; k++)
        sorted[at[l->items[k].from]++] = l->items[k].to;
    size_t kept = 0;
    for (size_t a = 0, k = 0; at && sorted && a < blocks; a++) {
        start[a] = kept;
        for (; k < at[a]; k++) {
            if (seen[sorted[k]] != a + 1) {
                seen[sorted[k]] = (uint32_t)a + 1;
                sorted[kept++] = sorted[k];
            }
        }
        nw_sort(sorted + start[a], kept - start[a], sizeof *sorted, by_number);
    }
    start[blocks] = kept;
    bool good = at && sorted;
    free(at);
    *next = sorted;
    return good;
}

/* ---- the order ------------------------------------------------------------------------------- */

typedef struct {
    const uint32_t *next; /* blocks beside block a: from start[a] to start[a + 1] */
    const size_t *start;
    size_t blocks;
    uint32_t *queue;
    uint32_t *seen; /* the walk that has seen a block last */
    uint32_t walk;
} walker;

static size_t degree(const walker *w, uint32_t a)
{
    return w->start[a + 1] - w->start[a];
}

/* Neighbours of a that are new go to the end of the queue, those with few links first. */
static size_t queue_more(walker *w, uint32_t a, size_t end)
{
    size_t first = end;
    for (size_t k = w->start[a]; k < w->start[a + 1]; k++) {
        uint32_t b = w->next[k];
        if (w->seen[b] == w->walk)
            continue;
        w->seen[b] = w->walk;
        size_t at = end++;
        for (; at > first && degree(w, w->queue[at - 1]) > degree(w, b); at--)
            w->queue[at] = w->queue[at - 1];
        w->queue[at] = b;
    }
    return end;
}

/* Everything that hangs together with root, from `first` on in the queue; returns its end. */
static size_t walk_from(walker *w, uint32_t root, size_t first)
{
    size_t end = first;
    w->seen[root] = w->walk;
    w->queue[end++] = root;
    for (size_t k = first; k < end; k++)
        end = queue_more(w, w->queue[k], end);
    return end;
}

static void order_make(walker *w, uint32_t *place)
{
    size_t done = 0;
    for (uint32_t a = 0; a < w->blocks; a++)
        place[a] = NW_HELD;
    for (uint32_t a = 0; a < w->blocks; a++) {
        if (place[a] != NW_HELD)
            continue;
        uint32_t root = a;
        size_t end = done;
        for (int walk = 0; walk < 3; walk++) { /* twice to the far end */
            w->walk++;
            end = walk_from(w, root, done);
            root = w->queue[end - 1];
        }
        for (size_t k = done; k < end; k++)
            place[w->queue[k]] = (uint32_t)(w->blocks - 1 - k);
        done = end;
    }
}

/* ---- the matrix ------------------------------------------------------------------------------ */

void nw_matrix_free(nw_matrix *matrix)
{
    free(matrix->place);
    free(matrix->first);
    free(matrix->start);
    free(matrix->values);
    *matrix = (nw_matrix){0};
}

static void envelope_take(nw_matrix *m, const nw_forms *forms)
{
    for (size_t i = 0; i < forms->count; i++) {
        const nw_term *terms = forms->terms + forms->rows[i].first;
        uint32_t least = UINT32_MAX;
        for (size_t k = 0; k < forms->rows[i].count; k++) {
            uint32_t at = m->place[terms[k].unknown];
            least = at < least ? at : least;
        }
        for (size_t k = 0; k < forms->rows[i].count; k++) {
            uint32_t at = m->place[terms[k].unknown];
            m->first[at] = least < m->first[at] ? least : m->first[at];
        }
    }
}

static nw_status envelope_make(const nw_forms *energy, const nw_forms *conditions, nw_matrix *m,
                               nw_error *error)
{
    for (size_t i = 0; i < m->count; i++)
        m->first[i] = (uint32_t)i;
    envelope_take(m, energy);
    envelope_take(m, conditions);
    size_t total = 0;
    for (size_t i = 0; i < m->count; i++) {
        m->start[i] = total;
        total += i - m->first[i] + 1;
    }
    m->value_count = total;
    m->values = total <= MOST_VALUES ? nw_alloc(total, sizeof *m->values) : NULL;
    return m->values ? NW_OK : nw_fail_memory(error, "the walls' equations");
}

nw_status nw_matrix_make(const nw_forms *energy, const nw_forms *conditions, size_t unknowns,
                         nw_matrix *matrix, nw_error *error)
{
    size_t blocks = (unknowns + 1) / 2;
    *matrix = (nw_matrix){.count = 2 * blocks};
    matrix->place = nw_alloc(2 * blocks, sizeof *matrix->place);
    matrix->first = nw_alloc(2 * blocks, sizeof *matrix->first);
    matrix->start = nw_alloc(2 * blocks, sizeof *matrix->start);
    links l = {0};
    size_t *start = nw_alloc(blocks + 1, sizeof *start);
    uint32_t *queue = nw_alloc(blocks, sizeof *queue), *seen = nw_alloc(blocks, sizeof *seen);
    uint32_t *order = nw_alloc(blocks, sizeof *order), *next = NULL;
    bool good = matrix->place && matrix->first && matrix->start && start && queue && seen &&
                order && links_of(energy, &l) && links_of(conditions, &l) &&
                links_sort(&l, blocks, start, seen, &next);
    nw_status status = good ? NW_OK : nw_fail_memory(error, "the walls' equations");
    if (good) {
        matrix->work = LINK_WORK * (double)l.count;
        memset(seen, 0, blocks * sizeof *seen);
        walker w = {.next = next, .start = start, .blocks = blocks, .queue = queue, .seen = seen};
        order_make(&w, order);
        for (size_t i = 0; i < 2 * blocks; i++)
            matrix->place[i] = 2 * order[i / 2] + (uint32_t)(i % 2);
        status = envelope_make(energy, conditions, matrix, error);
    }
    free(l.items);
    free(next);
    free(start);
    free(queue);
    free(seen);
    free(order);
    if (status != NW_OK)
        nw_matrix_free(matrix);
    return status;
}

void nw_matrix_add(nw_matrix *m, const nw_forms *forms, size_t row, double weight)
{
    const nw_form_row *r = &forms->rows[row];
    const nw_term *terms = forms->terms + r->first;
    for (size_t p = 0; p < r->count; p++) {
        uint32_t i = m->place[terms[p].unknown];
        double *values = m->values + m->start[i] - m->first[i];
        for (size_t q = 0; q < r->count; q++) {
            uint32_t j = m->place[terms[q].unknown];
            if (j <= i)
                values[j] += weight * terms[p].by * terms[q].by;
        }
    }
}

static double inner(const double *a, const double *b, size_t count)
{
    double sum[4] = {0}; /* added up in a set order, and yet side by side */
    size_t k = 0;
    for (; k + 4 <= count; k += 4)
        for (int j = 0; j < 4; j++)
            sum[j] += a[k + (size_t)j] * b[k + (size_t)j];
    for (; k < count; k++)
        sum[0] += a[k] * b[k];
    return (sum[0] + sum[1]) + (sum[2] + sum[3]);
}

static bool factorise(nw_matrix *m)
{
    for (size_t i = 0; i < m->count; i++) {
        double *row = m->values + m->start[i];
        size_t from = m->first[i];
        for (size_t j = from; j < i; j++) {
            const double *other = m->values + m->start[j];
            size_t common = m->first[j] > from ? m->first[j] : from;
            double sum = inner(row + (common - from), other + (common - m->first[j]), j - common);
            row[j - from] = (row[j - from] - sum) / other[j - m->first[j]];
        }
        double left = row[i - from] - inner(row, row, i - from);
        m->work += (double)(i - from) * (double)(i - from) / 2;
        if (!(left > 0))
            return false;
        row[i - from] = sqrt(left);
    }
    return true;
}

bool nw_matrix_solve(nw_matrix *m, double *b)
{
    if (!factorise(m))
        return false;
    for (size_t i = 0; i < m->count; i++) {
        const double *row = m->values + m->start[i];
        size_t n = i - m->first[i];
        b[i] = (b[i] - inner(row, b + m->first[i], n)) / row[n];
    }
    for (size_t i = m->count; i-- > 0;) {
        const double *row = m->values + m->start[i];
        size_t n = i - m->first[i];
        b[i] /= row[n];
        for (size_t j = 0; j < n; j++)
            b[m->first[i] + j] -= row[j] * b[i];
    }
    return true;
}
