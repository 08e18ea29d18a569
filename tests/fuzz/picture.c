/* A picture's bytes: read, its ink, its pieces, and where it is small its outlines. */
#include "fuzz.h"

#include <pieces/pieces.h>
#include <trace/trace.h>
#include <pieces/pieces.h>

#define MOST_PIXELS 1000000
#define TRACED_PIXELS 40000

static void ink_hold(const nw_picture *picture)
{
    nw_ink ink;
    nw_error error;
    nw_status status = nw_ink_from_picture(picture, &ink, &error);
    fuzz_hold_status(status, &error);
    if (status != NW_OK)
        return;
    nw_pieces pieces;
    status = nw_pieces_find(&ink, 8, &pieces, &error);
    fuzz_hold_status(status, &error);
    nw_drawing drawing;
    nw_trace_options options = nw_trace_defaults();
    if (status == NW_OK && (uint64_t)picture->width * picture->height <= TRACED_PIXELS) {
        status = nw_drawing_trace(&ink, picture, &options, &drawing, NULL, &error);
        fuzz_hold_status(status, &error);
        if (status == NW_OK) {
            fuzz_hold_drawing(&drawing);
            nw_drawing_free(&drawing);
        }
    }
    nw_pieces_free(&pieces);
    nw_ink_free(&ink);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t length)
{
    nw_picture picture;
    nw_error error;
    nw_picture_options options = nw_picture_defaults();
    options.max_pixels = MOST_PIXELS;
    nw_status status = nw_picture_read(data, length, &options, &picture, &error);
    fuzz_hold_status(status, &error);
    fuzz_hold((status == NW_OK) == (picture.density != NULL));
    if (status == NW_OK) {
        fuzz_hold((uint64_t)picture.width * picture.height <= MOST_PIXELS);
        ink_hold(&picture);
    }
    nw_picture_free(&picture);
    return 0;
}
