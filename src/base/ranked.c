/*
 * ranked: things by their size, the largest first.
 */
#include <base/base.h>

static int compare(const void *a, const void *b)
{
    const nw_ranked *p = a, *q = b;
    return p->size != q->size ? nw_order(q->size, p->size) : nw_order(p->index, q->index);
}

void nw_ranked_sort(nw_ranked *items, size_t count)
{
    nw_sort(items, count, sizeof *items, compare);
}
