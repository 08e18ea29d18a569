/*
 * expand: the page's engine as it travels -> as it is. LZMA, a ninth shorter than what browsers
 * unpack by themselves: the method of the LZMA specification (Pavlov, 2015) for lc 3, lp 0 and pb
 * 0, up to the mark that ends it. A module of its own, a kilobyte long and without a C library, for
 * in JavaScript it took as long as all else that a page begins with.
 */
#include <stdbool.h>
#include <stdint.h>

#define ODDS_BITS 11
#define ODDS_STEP 5
#define RANGE_LEAST (1U << 24)
#define STATES 12
#define AFTER_MATCH 7 /* the states from here on */
#define LITERAL_ODDS 768
#define SLOTS 64
#define ALIGN_BITS 4
#define END UINT32_MAX

typedef struct {
    uint16_t longer, longest, few[8], more[8], many[256];
} lengths;

/* How likely a 0 is, of each kind of bit. All the same at first, which `odds_begin` relies on. */
static struct {
    uint16_t match[STATES], again[STATES], not_last[STATES], not_second[STATES], not_third[STATES];
    uint16_t several[STATES], slot[4][SLOTS], special[115], align[1 << ALIGN_BITS];
    lengths length, length_again;
    uint16_t literal[8][LITERAL_ODDS];
} odds;

static const uint8_t *in, *in_end;
static uint8_t *out;
static uint32_t range, code, size, most, reps[4];
static int state;
static bool failed;

static void odds_begin(void)
{
    uint16_t *all = (uint16_t *)&odds;
    for (uint32_t k = 0; k < sizeof odds / sizeof *all; k++)
        all[k] = 1 << (ODDS_BITS - 1);
}

static uint32_t byte_next(void)
{
    failed |= in == in_end;
    return in == in_end ? 0 : *in++;
}

static void settle(void)
{
    if (range < RANGE_LEAST) {
        range <<= 8;
        code = code << 8 | byte_next();
    }
}

static uint32_t bit(uint16_t *odd)
{
    uint32_t bound = (range >> ODDS_BITS) * *odd, one = code >= bound;
    if (one) {
        range -= bound;
        code -= bound;
        *odd -= *odd >> ODDS_STEP;
    } else {
        range = bound;
        *odd += ((1 << ODDS_BITS) - *odd) >> ODDS_STEP;
    }
    settle();
    return one;
}

static uint32_t tree(uint16_t *base, int bits)
{
    uint32_t m = 1;
    for (int k = 0; k < bits; k++)
        m = m << 1 | bit(&base[m]);
    return m - (1U << bits);
}

static uint32_t lowest_first(uint16_t *base, int bits)
{
    uint32_t m = 1, value = 0;
    for (int k = 0; k < bits; k++) {
        uint32_t next = bit(&base[m]);
        m = m << 1 | next;
        value |= next << k;
    }
    return value;
}

/* Bits that are 0 as often as 1. */
static uint32_t even(int bits)
{
    uint32_t value = 0;
    for (; bits > 0; bits--) {
        range >>= 1;
        uint32_t one = code >= range;
        code -= one ? range : 0;
        value = value << 1 | one;
        settle();
    }
    return value;
}

static uint32_t length_next(lengths *l)
{
    if (!bit(&l->longer))
        return 2 + tree(l->few, 3);
    return bit(&l->longest) ? 18 + tree(l->many, 8) : 10 + tree(l->more, 3);
}

static uint32_t distance_next(uint32_t length)
{
    uint32_t slot = tree(odds.slot[length < 5 ? length - 2 : 3], 6);
    if (slot < 4)
        return slot;
    int more = (int)(slot >> 1) - 1;
    uint32_t from = (2 | (slot & 1)) << more;
    if (slot < 14)
        return from + lowest_first(odds.special + from - slot, more);
    return from + (even(more - ALIGN_BITS) << ALIGN_BITS) + lowest_first(odds.align, ALIGN_BITS);
}

static void put(uint32_t byte)
{
    failed |= size == most;
    if (!failed)
        out[size++] = (uint8_t)byte;
}

/* Where what came before ended, what would have come next guides it as far as it is the same. */
static void literal_next(void)
{
    uint16_t *base = odds.literal[size ? out[size - 1] >> 5 : 0];
    uint32_t m = 1, guide = state < AFTER_MATCH ? 0 : 256 | out[size - reps[0] - 1];
    while (m < 256) {
        uint32_t guess = guide >> 7 & 1,
                 next = bit(guide ? &base[((1 + guess) << 8) + m] : &base[m]);
        guide = guide && next == guess ? 256 | (guide << 1 & 255) : 0;
        m = m << 1 | next;
    }
    put(m & 255);
    state = state < 4 ? 0 : state < 10 ? state - 3 : state - 6;
}

/* The distance that counts becomes the last of four. */
static void rep_first(int which, uint32_t distance)
{
    for (; which > 0; which--)
        reps[which] = reps[which - 1];
    reps[0] = distance;
}

/* The length of what is there already, reps[0] and one before. */
static uint32_t match_next(void)
{
    int late = state < AFTER_MATCH ? 0 : 3;
    if (!bit(&odds.again[state])) {
        uint32_t length = length_next(&odds.length);
        state = AFTER_MATCH + late;
        rep_first(3, distance_next(length));
        return length;
    }
    if (!bit(&odds.not_last[state])) {
        if (!bit(&odds.several[state])) {
            state = late ? 11 : 9;
            return 1;
        }
    } else {
        int which = !bit(&odds.not_second[state]) ? 1 : !bit(&odds.not_third[state]) ? 2 : 3;
        rep_first(which, reps[which]);
    }
    state = 8 + late;
    return length_next(&odds.length_again);
}

/* Expands to where the data ends, up to `room` bytes; returns how many there are, 0 when the data
 * is damaged. */
__attribute__((export_name("expand"))) uint32_t expand(const uint8_t *data, uint32_t length,
                                                       uint32_t room)
{
    odds_begin();
    in = data;
    in_end = data + length;
    out = (uint8_t *)in_end;
    most = room;
    range = UINT32_MAX;
    size = code = reps[0] = reps[1] = reps[2] = reps[3] = 0;
    state = 0;
    failed = false;
    for (int k = 0; k < 5; k++)
        code = code << 8 | byte_next();
    while (!failed) {
        if (!bit(&odds.match[state])) {
            literal_next();
            continue;
        }
        uint32_t count = match_next();
        if (reps[0] == END)
            return failed ? 0 : size;
        failed |= reps[0] >= size;
        for (; count > 0 && !failed; count--)
            put(out[size - reps[0] - 1]);
    }
    return 0;
}
