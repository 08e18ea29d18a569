/*
 * ink_bits: density -> one bit a pixel.
 */
#include <picture/ink/ink_levels.h>
#include <picture/picture.h>

#include <stdlib.h>
#include <string.h>

/* Eight at once, or sixteen where there are such registers. */
bool nw_are_plain(const uint8_t *pixels)
{
    uint64_t all = pixels[0] * UINT64_C(0x0101010101010101), other = 0;
    for (int k = 0; k < NW_PLAIN; k += 8)
        other |= nw_eight_bytes(pixels + k) ^ all;
    return other == 0;
}

bool nw_are_on_side(const uint8_t *pixels, int count, uint8_t other)
{
    uint64_t all = (other >> 7) * UINT64_MAX, sides = 0;
    for (int k = 0; k < count; k += 8)
        sides |= nw_eight_bytes(pixels + k) ^ all;
    return (sides & UINT64_C(0x8080808080808080)) == 0;
}

/* The top bits of eight bytes, the first one's highest. */
static uint64_t pack_eight(const uint8_t *d)
{
    uint64_t eight = 0;
    for (int i = 7; i >= 0; i--)
        eight = eight << 8 | d[i]; /* compilers make one load of it */
    if (!eight)                    /* paper, as most is */
        return 0;
    /* Byte i's bit goes to 63 - i; no two of the product's terms meet there. */
    return ((eight >> 7 & UINT64_C(0x0101010101010101)) * UINT64_C(0x8040201008040201)) >> 56;
}

static uint64_t pack(const uint8_t *density, uint32_t count)
{
    uint64_t word = 0;
    uint32_t i = 0;
    if (count == NW_PLAIN && nw_are_plain(density))
        return density[0] >> 7 ? ~word : word;
    for (; i + 8 <= count; i += 8)
        word |= pack_eight(density + i) << (56 - i);
    for (; i < count; i++)
        word |= (uint64_t)(density[i] >> 7) << (63 - i);
    return word;
}

nw_status nw_ink_from_picture(const nw_picture *picture, nw_ink *ink, nw_error *error)
{
    size_t stride = ((size_t)picture->width + 63) / 64;
    uint64_t *words = nw_alloc(stride * picture->height, sizeof *words);
    if (!words) {
        *ink = (nw_ink){0};
        return nw_fail_memory(error, "the ink");
    }
    *ink = (nw_ink){picture->width, picture->height, stride, words};
    for (uint32_t y = 0; y < picture->height; y++) {
        const uint8_t *row = picture->density + (size_t)y * picture->width;
        for (size_t k = 0; k < stride; k++) {
            uint32_t left = picture->width - (uint32_t)k * 64;
            words[y * stride + k] = pack(row + k * 64, left < 64 ? left : 64);
        }
    }
    return NW_OK;
}

uint64_t nw_ink_edges(const nw_ink *ink)
{
    uint64_t count = 0;
    for (uint32_t y = 0; y < ink->height; y++) {
        const uint64_t *row = ink->words + y * ink->stride;
        const uint64_t *above = y ? row - ink->stride : row;
        for (size_t k = 0; k < ink->stride; k++) {
            uint64_t before = k ? row[k - 1] << 63 : row[k] & UINT64_C(1) << 63;
            uint32_t left = ink->width - (uint32_t)k * 64; /* beyond the width there is neither */
            uint64_t within = left < 64 ? ~UINT64_C(0) << (64 - left) : ~UINT64_C(0);
            uint64_t along = (row[k] ^ (row[k] >> 1 | before)) & within, across = row[k] ^ above[k];
            if (along | across) /* mostly there are none */
                count += (uint64_t)(__builtin_popcountll(along) + __builtin_popcountll(across));
        }
    }
    return count;
}

void nw_ink_free(nw_ink *ink)
{
    if (ink) {
        free(ink->words);
        *ink = (nw_ink){0};
    }
}
