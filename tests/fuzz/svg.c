/* An SVG drawing's bytes: read, and flattened where they give shapes. */
#include <svg/svg.h>
#include "fuzz.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t length)
{
    nw_drawing drawing;
    nw_svg_notes notes;
    nw_error error;
    (void)nw_svg_known(data, length);
    nw_status status = nw_drawing_read_svg(data, length, &drawing, &notes, &error);
    fuzz_hold_status(status, &error);
    fuzz_hold(status == NW_OK || drawing.count == 0);
    if (status == NW_OK)
        fuzz_hold_drawing(&drawing);
    nw_drawing_free(&drawing);
    return 0;
}
