/*
 * replay: runs a fuzz target on its corpus without a fuzzer: every file that is named as it is, cut
 * short at several places, and with single bytes changed, the same on every run. Prints how many
 * inputs there were. A broken promise or a crash ends the process, with the file's name before it.
 */
#include "fuzz.h"

#include <base/base.h>

#include <stdio.h>
#include <string.h>

#define LARGEST_FILE 100000
#define CUTS 12
#define CHANGES 48

/* The linear congruential generator of ISO C's example, for the same changes everywhere. */
static uint32_t random_next(uint32_t *state)
{
    *state = *state * 1103515245u + 12345u;
    return *state >> 8;
}

/* A copy of just this length, so that a reader beyond its end is found out. */
static void input_run(const uint8_t *data, size_t length, size_t place, uint8_t value)
{
    uint8_t *copy = malloc(length ? length : 1);
    if (!copy)
        return;
    memcpy(copy, data, length);
    if (place < length)
        copy[place] = value;
    LLVMFuzzerTestOneInput(copy, length);
    free(copy);
}

static size_t file_run(const nw_bytes *bytes)
{
    uint32_t state = (uint32_t)bytes->length;
    input_run(bytes->data, bytes->length, SIZE_MAX, 0);
    for (size_t i = 0; i < CUTS; i++)
        input_run(bytes->data, bytes->length * i / CUTS, SIZE_MAX, 0);
    for (size_t i = 0; i < CHANGES && bytes->length; i++) {
        size_t place = random_next(&state) % bytes->length;
        uint8_t value = (uint8_t)(bytes->data[place] ^ (1u << (i % 8)));
        input_run(bytes->data, bytes->length, place, value);
    }
    return 1 + CUTS + (bytes->length ? CHANGES : 0);
}

int main(int count, char **names)
{
    size_t inputs = 0;
    for (int i = 1; i < count; i++) {
        nw_bytes bytes;
        nw_error error;
        if (nw_file_read(names[i], &(nw_read){.limit = LARGEST_FILE}, &bytes, &error) != NW_OK) {
            fprintf(stderr, "%s\n", error.message);
            return 1;
        }
        fprintf(stderr, "%s\n", names[i]);
        inputs += file_run(&bytes);
        nw_bytes_free(&bytes);
    }
    printf("%zu inputs\n", inputs);
    return inputs ? 0 : 1;
}
