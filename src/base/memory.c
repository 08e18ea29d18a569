/* memory: arrays that grow, with every size checked before it is multiplied; blocks of bytes. */
#define _DEFAULT_SOURCE
#include <base/base.h>

#include <stdlib.h>
#include <string.h>
#ifdef __linux__
#include <sys/mman.h>
#endif

#define LARGE ((size_t)8 << 20) /* bytes */

bool nw_grow(void *items, size_t *capacity, size_t needed, size_t item_size)
{
    if (needed <= *capacity)
        return true;
    size_t grown = *capacity ? *capacity : 16;
    while (grown < needed) {
        if (grown > SIZE_MAX / 2)
            return false;
        grown *= 2;
    }
    if (grown > PTRDIFF_MAX / item_size)
        return false;
    void *moved; /* all pointers to data look alike in memory */
    memcpy(&moved, items, sizeof moved);
    moved = realloc(moved, grown * item_size);
    if (!moved)
        return false;
    memcpy(items, &moved, sizeof moved);
    *capacity = grown;
    return true;
}

void *nw_alloc(size_t count, size_t size)
{
    if (size && count > PTRDIFF_MAX / size)
        return NULL;
    return calloc(count ? count : 1, size ? size : 1);
}

/* A large block comes in large pages where there are such: thousands of small ones, each zeroed
 * when it is first met, take longer than to fill them. Nothing depends on it. */
static void take_large_pages(void *block, size_t size)
{
#if defined __linux__ && defined MADV_HUGEPAGE
    const size_t page = (size_t)2 << 20;
    size_t aside = (page - (uintptr_t)block % page) % page;
    if (block && size >= LARGE)
        madvise((char *)block + aside, (size - aside) / page * page, MADV_HUGEPAGE);
#else
    (void)block;
    (void)size;
#endif
}

void *nw_alloc_raw(size_t count, size_t size)
{
    if (size && count > PTRDIFF_MAX / size)
        return NULL;
    size_t bytes = count && size ? count * size : 1;
    void *block = malloc(bytes);
    take_large_pages(block, bytes);
    return block;
}

void nw_bytes_free(nw_bytes *bytes)
{
    if (bytes) {
        free(bytes->data);
        *bytes = (nw_bytes){0};
    }
}
