/*
 * What the page hands to its engine: options of any bytes, then an SVG drawing's elements or a
 * picture's pixels as the browser gives them, then what a first look asks. One engine takes one
 * input after another, as it does in the page.
 */
#include "fuzz.h"

#include <cli/engine/engine_calls.h>

#include <math.h>
#include <string.h>

#define SIDE_MOST 48
#define POINTS_MOST 2000 /* so that an input takes little time */
#define HEAD 20          /* numbers before the pieces, two for each of which follow */
#define PIECES (HEAD - 1)

/* What the page hands back: the outlines that it got. */
static bool loaded(page *p)
{
    size_t count = page_result_length(p);
    double *numbers = malloc(count * sizeof *numbers);
    fuzz_hold(numbers && count >= HEAD);
    memcpy(numbers, page_result(p), count * sizeof *numbers);
    size_t skip = HEAD + 2 * (size_t)numbers[PIECES];
    fuzz_hold(skip <= count);
    int status = page_load(p, "art", numbers[0], numbers[1], numbers + skip, count - skip);
    free(numbers);
    return status == NW_OK;
}

static void shown(page *p, double factor)
{
    if (page_shape(p, factor, (const uint8_t *)"", 0) != NW_OK ||
        p->region.starts[p->region.count] > POINTS_MOST || page_fit(p, 0) != NW_OK)
        return;
    for (size_t i = 0; i < page_result_length(p); i++)
        fuzz_hold(!isnan(page_result(p)[i]) || i > 2);
    page_fit(p, 1);
    page_disc(p, p->kept.width / 2, p->kept.height / 2, 10);
}

/* Where the options end: at the first line's end. */
static size_t words_end(const uint8_t *data, size_t length)
{
    const uint8_t *end = length ? memchr(data, '\n', length) : NULL;
    return end ? (size_t)(end - data) : 0;
}

static struct {
    uint32_t width, height;
    uint8_t rgba[4 * SIDE_MOST * SIDE_MOST];
} picture;

void page_progress(double share)
{
    (void)share;
}

void page_row(uint8_t *into, uint32_t y)
{
    fuzz_hold(y < picture.height);
    memcpy(into, picture.rgba + (size_t)4 * y * picture.width, (size_t)4 * picture.width);
}

static int art_take(page *p, const uint8_t *data, size_t length)
{
    if (length > 2 && data[0] & 1) {
        uint32_t width = 1 + data[1] % SIDE_MOST, height = 1 + data[2] % SIDE_MOST;
        size_t given = length - 3, room = (size_t)4 * width * height;
        memset(&picture, 0, sizeof picture);
        picture.width = width;
        picture.height = height;
        memcpy(picture.rgba, data + 3, given < room ? given : room);
        return page_picture(p, width, height, data[0] & 2 ? 300 : 0, data[0] & 4, data + 3,
                            data[0] & 8 ? given : 0);
    }
    char *texts = malloc(length + 1);
    fuzz_hold(texts != NULL);
    if (length)
        memcpy(texts, data, length);
    texts[length] = '\0';
    int status = page_svg(p, texts, length + 1, length);
    free(texts);
    return status;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t length)
{
    static page *p;
    p = p ? p : page_new();
    fuzz_hold(p != NULL);
    size_t words = words_end(data, length), skip = words + (words < length);
    if (page_request(p, (const char *)data, words) == NW_OK &&
        art_take(p, data + skip, length - skip) == NW_OK && page_art_notes(p) == NW_OK &&
        page_outlines(p) == NW_OK && loaded(p))
        shown(p, 1);
    return 0;
}
