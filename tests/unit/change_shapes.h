/* What the tests of changes draw, and count. */
#ifndef NARROWS_TEST_CHANGE_SHAPES_H
#define NARROWS_TEST_CHANGE_SHAPES_H

#include <change/change.h>

#include "../tests.h"

/* Lines from the last of the points round to it. */
static inline void round_add(nw_drawing *drawing, const nw_point *points, size_t count, bool hole,
                             size_t piece)
{
    nw_path path = {.start = points[count - 1], .closed = true, .hole = hole, .piece = piece};
    for (size_t i = 0; i < count; i++)
        ck_assert(nw_path_line(&path, points[i]));
    ck_assert(nw_drawing_add(drawing, &path));
}

static inline size_t pinch_count(const nw_fit *fit)
{
    size_t count = 0;
    for (size_t i = 0; i < fit->spot_count; i++)
        count += fit->spots[i].form == NW_PINCH;
    return count;
}

#endif
