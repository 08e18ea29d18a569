/* A small picture's pixels, traced with options of all kinds. */
#include "fuzz.h"

#include <trace/trace.h>

#include <string.h>

#define SIDE_MOST 64

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t length)
{
    if (length < 4)
        return 0;
    uint32_t width = 1 + data[0] % SIDE_MOST, height = 1 + data[1] % SIDE_MOST;
    uint8_t density[SIDE_MOST * SIDE_MOST] = {0};
    size_t count = (size_t)width * height, given = length - 4;
    /* Two levels for each bit, or a byte for each pixel. */
    for (size_t i = 0; i < count; i++)
        if (data[2] & 1)
            density[i] = i / 8 < given && data[4 + i / 8] >> i % 8 & 1 ? 255 : 0;
        else
            density[i] = i < given ? data[4 + i] : 0;
    nw_picture picture = {.width = width, .height = height, .density = density, .squares = 1};
    nw_trace_options options = nw_trace_defaults();
    options.grey = data[2] & 2;
    options.bounded = data[2] & 4;
    options.smooth_px = data[3] / 32.0;
    options.least_px = data[2] & 8 ? 1.5 : 0;
    nw_ink ink;
    nw_drawing drawing;
    nw_trace_notes notes;
    nw_error error;
    nw_status status = nw_ink_from_picture(&picture, &ink, &error);
    fuzz_hold_status(status, &error);
    if (status != NW_OK)
        return 0;
    status =
        nw_drawing_trace(&ink, data[2] & 16 ? NULL : &picture, &options, &drawing, &notes, &error);
    fuzz_hold_status(status, &error);
    if (status == NW_OK)
        fuzz_hold_drawing(&drawing);
    nw_drawing_free(&drawing);
    nw_ink_free(&ink);
    return 0;
}
