/*
 * sorting: by merging, so that what compares alike keeps its order, and the result is the same with
 * every C library, whose qsort need not do so. Where there is no memory to merge in, parts are
 * turned round each other until they fit the stack (as Kim & Kutzner, Stable minimum storage
 * merging by symmetric comparisons, 2004): the same result, a few times slower.
 */
#include <base/base.h>

#include <stdlib.h>
#include <string.h>

#define OWN_ROOM 4096 /* bytes */

typedef struct {
    size_t size;
    int (*compare)(const void *a, const void *b);
    char *room;
    size_t room_items;
} sorting;

static void turned_round(char *from, char *to, size_t size)
{
    for (to -= size; from < to; from += size, to -= size)
        for (size_t i = 0; i < size; i++) {
            char kept = from[i];
            from[i] = to[i];
            to[i] = kept;
        }
}

/* The left part waits in the room, and both move to where they belong. */
static void room_merge(const sorting *s, char *to, size_t left, const char *right, const char *end)
{
    const char *held = s->room, *held_end = held + left * s->size;
    memcpy(s->room, to, left * s->size);
    for (; held < held_end && right < end; to += s->size) {
        const char **from = s->compare(right, held) < 0 ? &right : &held;
        memcpy(to, *from, s->size);
        *from += s->size;
    }
    memcpy(to, held, (size_t)(held_end - held));
}

/* Sorted runs of these lengths, one behind the other, become one. */
static void merge(const sorting *s, char *from, size_t left, size_t right)
{
    char *middle = from + left * s->size, *end = middle + right * s->size;
    if (!left || !right || s->compare(middle - s->size, middle) <= 0)
        return;
    if (left <= s->room_items) {
        room_merge(s, from, left, middle, end);
        return;
    }
    char *half = from + left / 2 * s->size;
    size_t less = 0; /* of the right, before what stands at half */
    for (size_t beyond = right; less < beyond;) {
        size_t at = less + (beyond - less) / 2;
        if (s->compare(middle + at * s->size, half) < 0)
            less = at + 1;
        else
            beyond = at;
    }
    char *cut = middle + less * s->size;
    turned_round(half, middle, s->size);
    turned_round(middle, cut, s->size);
    turned_round(half, cut, s->size);
    merge(s, from, left / 2, less);
    merge(s, half + less * s->size, left - left / 2, right - less);
}

static void run_sort(const sorting *s, char *from, size_t count)
{
    if (count < 2)
        return;
    size_t left = count / 2;
    run_sort(s, from, left);
    run_sort(s, from + left * s->size, count - left);
    merge(s, from, left, count - left);
}

void nw_sort(void *items, size_t count, size_t size, int (*compare)(const void *, const void *))
{
    char own[OWN_ROOM];
    sorting s = {size, compare, own, OWN_ROOM / size};
    char *more = count / 2 > s.room_items ? malloc(count / 2 * size) : NULL;
    if (more) {
        s.room = more;
        s.room_items = count / 2;
    }
    run_sort(&s, items, count);
    free(more);
}

static int by_size(const void *a, const void *b)
{
    const nw_ranked *p = a, *q = b;
    return p->size != q->size ? nw_order(q->size, p->size) : nw_order(p->index, q->index);
}

void nw_ranked_sort(nw_ranked *items, size_t count)
{
    nw_sort(items, count, sizeof *items, by_size);
}

/* C. A. R. Hoare, Algorithm 65: Find, Communications of the ACM 4(7):321-322, 1961. */
double nw_number_at(double *numbers, size_t count, size_t at)
{
    ptrdiff_t first = 0, last = (ptrdiff_t)count - 1, wanted = (ptrdiff_t)at;
    while (first < last) {
        double pivot = numbers[wanted];
        ptrdiff_t low = first, high = last;
        while (low <= high) {
            while (numbers[low] < pivot)
                low++;
            while (numbers[high] > pivot)
                high--;
            if (low > high)
                break;
            double held = numbers[low];
            numbers[low++] = numbers[high];
            numbers[high--] = held;
        }
        first = high < wanted ? low : first;
        last = wanted < low ? high : last;
    }
    return numbers[wanted];
}
