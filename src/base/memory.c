/* memory: arrays that grow, with every size checked before it is multiplied; blocks of bytes. */
#include <base/base.h>

#include <stdlib.h>
#include <string.h>

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

void *nw_alloc_raw(size_t count, size_t size)
{
    if (size && count > PTRDIFF_MAX / size)
        return NULL;
    return malloc(count && size ? count * size : 1);
}

void nw_bytes_free(nw_bytes *bytes)
{
    if (bytes) {
        free(bytes->data);
        *bytes = (nw_bytes){0};
    }
}
