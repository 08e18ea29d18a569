/*
 * sorting: by merging, so that what compares alike keeps its order, and the result is the same with
 * every C library, whose qsort need not do so. Without memory for a copy of one half it sorts by
 * insertion, to the same result.
 */
#include <base/base.h>

#include <stdlib.h>
#include <string.h>

typedef struct {
    size_t size;
    int (*compare)(const void *a, const void *b);
    char *spare; /* half of the items */
} sorting;

static void items_swap(char *a, char *b, size_t size)
{
    for (size_t i = 0; i < size; i++) {
        char held = a[i];
        a[i] = b[i];
        b[i] = held;
    }
}

static void insertion_sort(const sorting *s, char *items, size_t count)
{
    for (size_t i = 1; i < count; i++)
        for (char *at = items + i * s->size; at > items && s->compare(at - s->size, at) > 0;
             at -= s->size)
            items_swap(at - s->size, at, s->size);
}

static void halves_merge(const sorting *s, char *items, size_t first, size_t count)
{
    char *left = s->spare, *left_end = left + first * s->size;
    char *right = items + first * s->size, *right_end = items + count * s->size;
    memcpy(left, items, first * s->size);
    for (char *to = items; left < left_end; to += s->size) {
        char **from = right < right_end && s->compare(left, right) > 0 ? &right : &left;
        memcpy(to, *from, s->size);
        *from += s->size;
    }
}

static void merge_sort(const sorting *s, char *items, size_t count)
{
    if (count < 2)
        return;
    size_t first = count / 2;
    char *middle = items + first * s->size;
    merge_sort(s, items, first);
    merge_sort(s, middle, count - first);
    if (s->compare(middle - s->size, middle) > 0)
        halves_merge(s, items, first, count);
}

void nw_sort(void *items, size_t count, size_t size, int (*compare)(const void *, const void *))
{
    sorting s = {size, compare, count > 1 ? malloc(count / 2 * size) : NULL};
    if (s.spare)
        merge_sort(&s, items, count);
    else
        insertion_sort(&s, items, count);
    free(s.spare);
}
