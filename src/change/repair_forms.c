/*
 * Linear forms -> their symmetric matrix, its Cholesky factor and the solution of an equation. The
 * unknowns go in pairs; only blocks of two by two that are not 0, in the matrix or its factor, are
 * kept, by columns (Davis, Direct Methods for Sparse Linear Systems, 2006), in an order that leaves
 * few of them (repair_order.c).
 */
#include <change/repair_forms.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LINK_WORK 400 /* of one, as products */
#define BLOCK ((size_t)4)
#define TAKE_WORK 48                  /* of one block in the factor, as products */
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

/* Is the term of the same block as the one before it? */
static bool same_block(const nw_term *terms, size_t k)
{
    return k && terms[k].unknown / 2 == terms[k - 1].unknown / 2;
}

static bool links_of(const nw_forms *forms, links *l)
{
    bool good = true;
    for (size_t i = 0; i < forms->count; i++) {
        const nw_term *terms = forms->terms + forms->rows[i].first;
        size_t n = same_unknowns(forms, i) ? 0 : forms->rows[i].count;
        for (size_t p = 0; p < n; p++) {
            for (size_t q = 0; q < p && !same_block(terms, p); q++) {
                uint32_t a = terms[p].unknown / 2, b = terms[q].unknown / 2;
                good = good && (a == b || same_block(terms, q) || link_add(l, a, b));
            }
        }
    }
    return good;
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
    }
    start[blocks] = kept;
    bool good = at && sorted;
    free(at);
    *next = sorted;
    return good;
}

/* ---- the matrix ------------------------------------------------------------------------------ */

void nw_matrix_free(nw_matrix *matrix)
{
    free(matrix->place);
    free(matrix->start);
    free(matrix->rows);
    free(matrix->values);
    *matrix = (nw_matrix){0};
}

nw_status nw_matrix_make(const nw_forms *energy, const nw_forms *conditions, size_t unknowns,
                         nw_matrix *matrix, nw_error *error)
{
    size_t blocks = (unknowns + 1) / 2;
    *matrix = (nw_matrix){.blocks = blocks};
    matrix->place = nw_alloc(blocks, sizeof *matrix->place);
    links l = {0};
    size_t *first = nw_alloc(blocks + 1, sizeof *first);
    uint32_t *seen = nw_alloc(blocks, sizeof *seen), *next = NULL;
    bool good = matrix->place && first && seen && links_of(energy, &l) &&
                links_of(conditions, &l) && links_sort(&l, blocks, first, seen, &next) &&
                nw_matrix_order(matrix, first, next);
    matrix->work = LINK_WORK * (double)l.count;
    matrix->value_count = BLOCK * (blocks + matrix->row_count);
    if (good && matrix->value_count <= MOST_VALUES)
        matrix->values = nw_alloc(matrix->value_count, sizeof *matrix->values);
    free(l.items);
    free(next);
    free(first);
    free(seen);
    if (matrix->values)
        return NW_OK;
    nw_matrix_free(matrix);
    return nw_fail_memory(error, "the walls' equations");
}

/* Those of the block in this row, which the column has. */
static double *block_of(const nw_matrix *m, uint32_t row, uint32_t column)
{
    if (row == column)
        return m->values + BLOCK * (size_t)row;
    size_t low = m->start[column], high = m->start[column + 1];
    while (low + 1 < high) {
        size_t middle = (low + high) / 2;
        *(m->rows[middle] > row ? &high : &low) = middle;
    }
    return m->values + BLOCK * (m->blocks + low);
}

/* The end of the run of terms of one block that begins at k. */
static size_t run_end(const nw_term *terms, size_t count, size_t k)
{
    for (k++; k < count && same_block(terms, k); k++) {
    }
    return k;
}

static size_t run_count(const nw_term *terms, size_t count)
{
    size_t runs = 0;
    for (size_t k = 0; k < count; k = run_end(terms, count, k))
        runs++;
    return runs;
}

/* Where in the values the blocks of a form begin, by two of its runs; returns their end. */
static uint32_t *blocks_find(const nw_matrix *m, const nw_term *terms, size_t count,
                             uint32_t *blocks)
{
    for (size_t p = 0; p < count; p = run_end(terms, count, p)) {
        uint32_t i = m->place[terms[p].unknown / 2];
        for (size_t q = 0; q < count; q = run_end(terms, count, q)) {
            uint32_t j = m->place[terms[q].unknown / 2];
            *blocks++ = j > i ? NW_NO_BLOCK : (uint32_t)(block_of(m, i, j) - m->values);
        }
    }
    return blocks;
}

void nw_entries_free(nw_entries *entries)
{
    free(entries->first);
    free(entries->blocks);
    *entries = (nw_entries){0};
}

bool nw_entries_make(const nw_matrix *m, const nw_forms *forms, nw_entries *entries)
{
    entries->first = nw_alloc(forms->count, sizeof *entries->first);
    size_t count = 0;
    for (size_t i = 0; entries->first && i < forms->count; i++) {
        const nw_form_row *r = &forms->rows[i];
        size_t runs = run_count(forms->terms + r->first, r->count);
        bool same = same_unknowns(forms, i);
        entries->first[i] = same ? entries->first[i - 1] : count;
        count += same ? 0 : runs * runs;
    }
    entries->blocks = nw_alloc(count, sizeof *entries->blocks);
    if (!entries->first || !entries->blocks)
        return false;
    uint32_t *end = entries->blocks;
    for (size_t i = 0; i < forms->count; i++)
        if (!same_unknowns(forms, i))
            end = blocks_find(m, forms->terms + forms->rows[i].first, forms->rows[i].count, end);
    return true;
}

void nw_matrix_add(nw_matrix *m, const nw_forms *forms, const nw_entries *entries, size_t row,
                   double weight)
{
    const nw_form_row *r = &forms->rows[row];
    const nw_term *terms = forms->terms + r->first;
    const uint32_t *block = entries->blocks + entries->first[row];
    for (size_t p = 0, p_end; p < r->count; p = p_end) {
        p_end = run_end(terms, r->count, p);
        for (size_t q = 0, q_end; q < r->count; q = q_end, block++) {
            q_end = run_end(terms, r->count, q);
            for (size_t k = p; k < p_end && *block != NW_NO_BLOCK; k++) {
                double *to = m->values + *block + 2 * (terms[k].unknown % 2);
                for (size_t l = q; l < q_end; l++)
                    to[terms[l].unknown % 2] += weight * terms[k].by * terms[l].by;
            }
        }
    }
}

void nw_matrix_firm(nw_matrix *m)
{
    for (size_t k = 0; k < m->blocks; k++) {
        for (size_t axis = 0; axis < 2; axis++) {
            double *diagonal = &m->values[BLOCK * k + 3 * axis];
            *diagonal += *diagonal > 0 ? 1e-12 * *diagonal : 1;
        }
    }
}

/* What a factorisation has to know of the columns that are done. */
typedef struct {
    uint32_t *heads, *after; /* those whose next row is this */
    size_t *next;            /* where in a column that row is */
    size_t *at;              /* of a row: its place in the column in hand */
} progress;

static void column_wait(const nw_matrix *m, progress *p, uint32_t column)
{
    if (p->next[column] < m->start[column + 1]) {
        uint32_t row = m->rows[p->next[column]];
        p->after[column] = p->heads[row];
        p->heads[row] = column;
    }
}

/* Takes from column j what the column k, which has the row j at `from`, makes of it. Blocks are
 * read whole before one is written: for all that the compiler knows, they may overlap. */
static void column_take(nw_matrix *m, const progress *p, uint32_t k, double *diagonal)
{
    const double *values = m->values + BLOCK * m->blocks, *b = values + BLOCK * p->next[k];
    const double b00 = b[0], b01 = b[1], b10 = b[2], b11 = b[3];
    diagonal[0] -= b00 * b00 + b01 * b01;
    diagonal[2] -= b10 * b00 + b11 * b01;
    diagonal[3] -= b10 * b10 + b11 * b11;
    size_t end = m->start[k + 1];
    m->work += TAKE_WORK * (double)(end - p->next[k]);
    for (size_t q = p->next[k] + 1; q < end; q++) {
        const double *a = values + BLOCK * q;
        const double a00 = a[0], a01 = a[1], a10 = a[2], a11 = a[3];
        double *to = m->values + BLOCK * (m->blocks + p->at[m->rows[q]]);
        const double t00 = to[0] - (a00 * b00 + a01 * b01), t01 = to[1] - (a00 * b10 + a01 * b11);
        const double t10 = to[2] - (a10 * b00 + a11 * b01), t11 = to[3] - (a10 * b10 + a11 * b11);
        to[0] = t00;
        to[1] = t01;
        to[2] = t10;
        to[3] = t11;
    }
}

/* Divides the column by its diagonal block, of which it makes the factor; false where that has
 * none. */
static bool column_finish(nw_matrix *m, uint32_t j, double *diagonal)
{
    if (!(diagonal[0] > 0))
        return false;
    diagonal[0] = sqrt(diagonal[0]);
    diagonal[2] /= diagonal[0];
    double left = diagonal[3] - diagonal[2] * diagonal[2];
    if (!(left > 0))
        return false;
    diagonal[3] = sqrt(left);
    for (size_t q = m->start[j]; q < m->start[j + 1]; q++) {
        double *a = m->values + BLOCK * (m->blocks + q);
        for (int row = 0; row < 2; row++) {
            a[2 * row] /= diagonal[0];
            a[2 * row + 1] = (a[2 * row + 1] - a[2 * row] * diagonal[2]) / diagonal[3];
        }
    }
    return true;
}

static bool factorise(nw_matrix *m, progress *p)
{
    for (uint32_t j = 0; j < m->blocks; j++)
        p->heads[j] = NW_NO_BLOCK;
    for (uint32_t j = 0; j < m->blocks; j++) {
        double *diagonal = m->values + BLOCK * (size_t)j;
        for (size_t q = m->start[j]; q < m->start[j + 1]; q++)
            p->at[m->rows[q]] = q;
        for (uint32_t k = p->heads[j], after; k != NW_NO_BLOCK; k = after) {
            after = p->after[k];
            column_take(m, p, k, diagonal);
            p->next[k]++;
            column_wait(m, p, k);
        }
        if (!column_finish(m, j, diagonal))
            return false;
        p->next[j] = m->start[j];
        column_wait(m, p, j);
    }
    return true;
}

/* b by the factor, then by what it is turned round. */
static void factor_solve(const nw_matrix *m, double *b)
{
    const double *values = m->values + BLOCK * m->blocks;
    for (size_t j = 0; j < m->blocks; j++) {
        const double *diagonal = m->values + BLOCK * j;
        double x = b[2 * j] / diagonal[0], y = (b[2 * j + 1] - diagonal[2] * x) / diagonal[3];
        b[2 * j] = x;
        b[2 * j + 1] = y;
        for (size_t q = m->start[j]; q < m->start[j + 1]; q++) {
            double *to = b + 2 * (size_t)m->rows[q];
            to[0] -= values[BLOCK * q] * x + values[BLOCK * q + 1] * y;
            to[1] -= values[BLOCK * q + 2] * x + values[BLOCK * q + 3] * y;
        }
    }
    for (size_t j = m->blocks; j-- > 0;) {
        const double *diagonal = m->values + BLOCK * j;
        double x = b[2 * j], y = b[2 * j + 1];
        for (size_t q = m->start[j]; q < m->start[j + 1]; q++) {
            const double *from = b + 2 * (size_t)m->rows[q];
            x -= values[BLOCK * q] * from[0] + values[BLOCK * q + 2] * from[1];
            y -= values[BLOCK * q + 1] * from[0] + values[BLOCK * q + 3] * from[1];
        }
        b[2 * j + 1] = y / diagonal[3];
        b[2 * j] = (x - diagonal[2] * b[2 * j + 1]) / diagonal[0];
    }
}

nw_status nw_matrix_solve(nw_matrix *m, double *b, nw_error *error)
{
    uint32_t *lists = nw_alloc(2 * m->blocks, sizeof *lists);
    size_t *places = nw_alloc(2 * m->blocks, sizeof *places);
    progress p = {lists, lists + m->blocks, places, places + m->blocks};
    nw_status status = lists && places ? NW_OK : nw_fail_memory(error, "the walls' equations");
    if (status == NW_OK && !factorise(m, &p))
        status = nw_fail(error, NW_INTERNAL, "the walls' equations have no solution");
    if (status == NW_OK)
        factor_solve(m, b);
    free(lists);
    free(places);
    return status;
}
