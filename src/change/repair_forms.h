/* Sums of squares under conditions, and their solution. Internal. (repair_forms.c, repair_solve.c)
 */
#ifndef NARROWS_CHANGE_REPAIR_FORMS_H
#define NARROWS_CHANGE_REPAIR_FORMS_H

#include <change/widen.h>

#define NW_HELD UINT32_MAX /* stands for an unknown that stays 0 */

typedef struct {
    uint32_t unknown;
    double by;
} nw_term;

/* A linear form of the unknowns. As energy: weight (form - target)² is to be small. As a condition:
 * the form is to be target or more, and may push with a force up to weight. */
typedef struct {
    size_t first, count; /* terms */
    double weight, target;
} nw_form_row;

typedef struct {
    nw_term *terms;
    size_t term_count, term_capacity;
    nw_form_row *rows;
    size_t count, capacity;
    bool failed; /* memory ran out */
} nw_forms;

void nw_forms_free(nw_forms *forms);

/* Begins a form; terms of held unknowns are left out. */
void nw_forms_row(nw_forms *forms, double weight, double target);
void nw_forms_term(nw_forms *forms, uint32_t unknown, double by);

/* Appends forms of another sum, from the given row on. */
void nw_forms_join(nw_forms *forms, const nw_forms *more, size_t first);

/* The form's value. */
double nw_forms_value(const nw_forms *forms, size_t row, const double *x);

/* The symmetric matrix of some forms, in blocks of two by two: unknowns 2 k and 2 k + 1 are block
 * k. place[k] is its row and column. Of column j, below the diagonal, the blocks in
 * rows[start[j]...] may be other than 0. values: four of each diagonal block, row by row, then of
 * each of these. */
#define NW_NO_BLOCK UINT32_MAX
typedef struct {
    size_t blocks;
    uint32_t *place;
    size_t *start;
    uint32_t *rows;
    size_t row_count;
    double *values;
    size_t value_count;
    double work; /* products that its solutions have taken */
} nw_matrix;

/* Where in a matrix the forms of a sum enter: of form i, from blocks[first[i]] on, where the values
 * of a block begin, by two runs of its terms; a run's terms follow one another and are of one
 * block. NW_NO_BLOCK stands above the diagonal. Forms with the unknowns of the one before share
 * what that has. */
typedef struct {
    size_t *first;
    uint32_t *blocks;
} nw_entries;

/* Room for what both kinds of forms can enter. */
nw_status nw_matrix_make(const nw_forms *energy, const nw_forms *conditions, size_t unknowns,
                         nw_matrix *matrix, nw_error *error);
void nw_matrix_free(nw_matrix *matrix);

/* False when memory runs out; what there is has to be freed all the same. */
bool nw_entries_make(const nw_matrix *matrix, const nw_forms *forms, nw_entries *entries);
void nw_entries_free(nw_entries *entries);

/* Adds what a form of these, times the weight, has of the sum of squares. */
void nw_matrix_add(nw_matrix *matrix, const nw_forms *forms, const nw_entries *entries, size_t row,
                   double weight);

/* Unknowns that no form has get a diagonal of 1, the others a hair more. */
void nw_matrix_firm(nw_matrix *matrix);

/* Cholesky in place, then x for the right side b, both in the blocks' places; NW_INTERNAL where the
 * matrix is not positive. */
nw_status nw_matrix_solve(nw_matrix *matrix, double *b, nw_error *error);

/* The order in which to eliminate: fills in the matrix's place, start and rows. lists: blocks
 * beside block a from first[a] on, which are used up. (repair_order.c) */
bool nw_matrix_order(nw_matrix *matrix, const size_t *first, uint32_t *lists);

/* The x of least energy under the conditions, from the given x on, until none of the first `points`
 * unknowns moves by more than a hair, or roughly, once the work is spent; begun: the given x nearly
 * meets them already. Adds the products that it took to what is done. */
nw_status nw_forms_solve(const nw_forms *energy, const nw_forms *conditions, size_t unknowns,
                         size_t points, bool begun, double *x, nw_work *spent, nw_error *error);

#endif
