/* pixel_near: a place of an outline -> a pixel of the ink that it goes round, and the piece of
 * that. */
#include <trace/tracing.h>

#include <math.h>

static const long NEAR_PX = 4;

/* Along the rows from the top; what smoothing leaves of the pixels' edges is within a few of them.
 */
size_t nw_pixel_near(const nw_ink *ink, nw_point p)
{
    for (long reach = 0; reach < NEAR_PX; reach++) {
        for (long y = (long)floor(p.y) - reach; y <= (long)floor(p.y) + reach; y++) {
            for (long x = (long)floor(p.x) - reach; x <= (long)floor(p.x) + reach; x++)
                if (nw_ink_at(ink, x, y))
                    return (ink->height - 1 - (size_t)y) * ink->width + (size_t)x + 1;
        }
    }
    return 0;
}

size_t nw_pixel_piece(const nw_ink *ink, const nw_pieces *pieces, size_t pixel)
{
    return pixel && pieces ? nw_pieces_number(pieces, (uint32_t)((pixel - 1) % ink->width),
                                              (uint32_t)((pixel - 1) / ink->width))
                           : 0;
}
