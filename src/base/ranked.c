/*
 * ranked: things by their size, the largest first.
 */
#include <base/base.h>

#include <stdlib.h>

static int compare(const void *a, const void *b)
{
    const nw_ranked *p = a, *q = b;
    if (p->size != q->size) {
        return p->size > q->size ? -1 : 1;
    }
    return p->index < q->index ? -1 : p->index > q->index;
}

void nw_ranked_sort(nw_ranked *items, size_t count)
{
    qsort(items, count, sizeof *items, compare);
}
