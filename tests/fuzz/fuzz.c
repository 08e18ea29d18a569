/* fuzz: the promises that several targets hold their readers to. */
#include "fuzz.h"

#include <math.h>
#include <string.h>

#define MOST_STEPS 20000 /* larger drawings are read, but not flattened: it takes too long here */

void fuzz_hold_status(nw_status status, const nw_error *error)
{
    if (status != NW_OK) {
        fuzz_hold(error->code == status);
        fuzz_hold(error->message[0] && strlen(error->message) < sizeof error->message);
        fuzz_hold(!strchr(error->message, '\n'));
    }
}

static bool is_place(nw_point p)
{
    return isfinite(p.x) && isfinite(p.y);
}

/* How many steps its paths have, each of which must be sound. */
static size_t steps_hold(const nw_drawing *drawing)
{
    size_t count = 0;
    for (size_t i = 0; i < drawing->count; i++) {
        const nw_path *path = &drawing->paths[i];
        fuzz_hold(is_place(path->start));
        for (size_t k = 0; k < path->count; k++)
            fuzz_hold(is_place(path->steps[k].to));
        count += path->count;
    }
    return count;
}

void fuzz_hold_drawing(const nw_drawing *drawing)
{
    fuzz_hold(isfinite(drawing->width) && isfinite(drawing->height));
    double largest = fmax(drawing->width, drawing->height);
    if (steps_hold(drawing) > MOST_STEPS || largest > 1e4)
        return;
    nw_region region;
    nw_error error;
    nw_status status =
        nw_drawing_flatten(drawing, fmax(NW_FLATNESS_MM, largest / 1e4), &region, &error);
    fuzz_hold_status(status, &error);
    if (status == NW_OK) {
        fuzz_hold(isfinite(nw_region_area(&region)));
        nw_region_free(&region);
    }
}
