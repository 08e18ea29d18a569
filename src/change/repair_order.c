/*
 * Who is next to whom -> the order in which pairs of unknowns are eliminated, and the columns of
 * the factor that this gives. Next is always one with the fewest neighbours; what was next to it is
 * then next to each other. That is kept as an element: a list of all of them, which takes in the
 * elements that were beside it (George and Liu, SIAM Review 31, 1989), with a bound for how many
 * neighbours are left (Amestoy, Davis and Duff, SIAM J. Matrix Anal. Appl. 17, 1996). Outlines are
 * chains with rungs where they face each other: little comes to be next to anything.
 */
#include <change/repair_forms.h>

#include <stdlib.h>

typedef struct {
    nw_matrix *m;
    uint32_t *lists;       /* of each block: blocks beside it, then elements */
    const size_t *first;   /* where its list begins */
    uint32_t *beside, *in; /* how many blocks, and how many elements */
    uint32_t *degree;
    uint32_t *heads, *after, *before; /* those of one degree */
    uint32_t *out;                    /* of an element: its blocks without the newest element's */
    uint32_t *mark;  /* of a block or element: the newest element that has met it, counted from 1 */
    bool *gone;      /* elements: taken in by others */
    uint32_t *place; /* of a block: when it was eliminated, else none; its element has its name */
    size_t capacity; /* of the matrix's rows */
} elimination;

static void degree_take_out(elimination *e, uint32_t a)
{
    uint32_t before = e->before[a], after = e->after[a];
    *(before == NW_NO_BLOCK ? &e->heads[e->degree[a]] : &e->after[before]) = after;
    if (after != NW_NO_BLOCK)
        e->before[after] = before;
}

static void degree_put(elimination *e, uint32_t a, size_t degree)
{
    e->degree[a] = (uint32_t)(degree < e->m->blocks ? degree : e->m->blocks - 1);
    uint32_t *head = &e->heads[e->degree[a]];
    e->before[a] = NW_NO_BLOCK;
    e->after[a] = *head;
    if (*head != NW_NO_BLOCK)
        e->before[*head] = a;
    *head = a;
}

static bool row_add(elimination *e, uint32_t a, uint32_t stamp)
{
    if (e->mark[a] == stamp || e->place[a] != NW_NO_BLOCK)
        return true;
    e->mark[a] = stamp;
    return nw_push(&e->m->rows, &e->m->row_count, &e->capacity, &a, sizeof a);
}

/* All that is next to p, straight or by an element, which then is taken in. */
static bool column_make(elimination *e, uint32_t p, uint32_t stamp)
{
    const uint32_t *list = e->lists + e->first[p];
    bool good = true;
    for (uint32_t k = 0; k < e->beside[p] && good; k++)
        good = row_add(e, list[k], stamp);
    for (uint32_t k = e->beside[p]; k < e->beside[p] + e->in[p] && good; k++) {
        uint32_t old = e->place[list[k]];
        for (size_t j = e->m->start[old]; j < e->m->start[old + 1] && good; j++)
            good = row_add(e, e->m->rows[j], stamp);
        e->gone[list[k]] = true;
    }
    return good;
}

/* How many blocks each element has that the newest one has not. */
static void outsides_count(elimination *e, size_t from, size_t end, uint32_t stamp)
{
    for (size_t k = from; k < end; k++) {
        uint32_t a = e->m->rows[k];
        const uint32_t *in = e->lists + e->first[a] + e->beside[a];
        for (uint32_t j = 0; j < e->in[a]; j++) {
            uint32_t old = in[j];
            if (e->gone[old])
                continue;
            if (e->mark[old] != stamp) {
                e->mark[old] = stamp;
                size_t at = e->place[old];
                e->out[old] = (uint32_t)(e->m->start[at + 1] - e->m->start[at]);
            }
            e->out[old]--;
        }
    }
}

/* The list of a block of the newest element p, which stands for what it joins. */
static void list_renew(elimination *e, uint32_t a, uint32_t p, size_t others, uint32_t stamp)
{
    uint32_t *list = e->lists + e->first[a];
    uint32_t kept = 0, elements = 0;
    size_t degree = others;
    for (uint32_t k = 0; k < e->beside[a]; k++)
        if (list[k] != p && e->mark[list[k]] != stamp)
            list[kept++] = list[k];
    for (uint32_t k = e->beside[a]; k < e->beside[a] + e->in[a]; k++) {
        uint32_t old = list[k];
        e->gone[old] = e->gone[old] || e->out[old] == 0;
        if (!e->gone[old]) {
            list[kept + elements++] = old;
            degree += e->out[old];
        }
    }
    list[kept + elements++] = p;
    e->beside[a] = kept;
    e->in[a] = elements;
    degree_take_out(e, a);
    degree_put(e, a, degree + kept);
}

static bool eliminate_all(elimination *e)
{
    size_t least = 0;
    bool good = true;
    for (uint32_t k = 0; k < e->m->blocks && good; k++) {
        while (e->heads[least] == NW_NO_BLOCK)
            least++;
        uint32_t p = e->heads[least];
        size_t from = e->m->row_count;
        degree_take_out(e, p);
        e->m->start[k] = from;
        e->place[p] = k;
        good = column_make(e, p, k + 1);
        size_t end = e->m->row_count;
        e->m->start[k + 1] = end;
        if (!good)
            break;
        outsides_count(e, from, end, k + 1);
        for (size_t j = from; j < end; j++) {
            uint32_t a = e->m->rows[j];
            list_renew(e, a, p, end - from - 1, k + 1);
            least = e->degree[a] < least ? e->degree[a] : least;
        }
    }
    return good;
}

static void lists_begin(elimination *e)
{
    for (size_t a = 0; a < e->m->blocks; a++)
        e->place[a] = e->heads[a] = NW_NO_BLOCK;
    for (uint32_t a = (uint32_t)e->m->blocks; a-- > 0;) {
        e->beside[a] = (uint32_t)(e->first[a + 1] - e->first[a]);
        degree_put(e, a, e->beside[a]);
    }
}

static int by_number(const void *p, const void *q)
{
    uint32_t a = *(const uint32_t *)p, b = *(const uint32_t *)q;
    return (a > b) - (a < b);
}

static void rows_order(const elimination *e)
{
    nw_matrix *m = e->m;
    for (size_t k = 0; k < m->row_count; k++)
        m->rows[k] = e->place[m->rows[k]];
    for (size_t k = 0; k < e->m->blocks; k++)
        nw_sort(m->rows + m->start[k], m->start[k + 1] - m->start[k], sizeof *m->rows, by_number);
}

bool nw_matrix_order(nw_matrix *m, const size_t *first, uint32_t *lists)
{
    size_t blocks = m->blocks;
    elimination e = {.m = m, .lists = lists, .first = first, .place = m->place};
    uint32_t *room = nw_alloc(8 * blocks, sizeof *room);
    e.gone = nw_alloc(blocks, sizeof *e.gone);
    m->start = nw_alloc(blocks + 1, sizeof *m->start);
    bool good = room && e.gone && m->start;
    if (good) {
        e.beside = room;
        e.in = room + blocks;
        e.degree = room + 2 * blocks;
        e.heads = room + 3 * blocks;
        e.after = room + 4 * blocks;
        e.before = room + 5 * blocks;
        e.out = room + 6 * blocks;
        e.mark = room + 7 * blocks;
        lists_begin(&e);
        good = eliminate_all(&e);
    }
    if (good)
        rows_order(&e);
    free(room);
    free(e.gone);
    return good;
}
