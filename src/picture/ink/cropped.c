/*
 * cropped: sides of a picture along which its outermost row, or column, is lighter than what lies
 * behind it, and what of it would be ink.
 *
 * A picture that was cut out between two pixels, or that stands a little off its page, has mixtures
 * with the page's white along some of its sides. Light ink that touches such a side would hang
 * together with them, and have a strip of a pixel's width there. Where all sides are white a line
 * is drawn round the picture: that stays.
 */
#include <picture/ink/ink_choice.h>

#include <stdlib.h>

#define STRIP_MOST 1.5   /* px that it is wide */
#define STRIP_LEAST 0.2  /* of the way to white in the first */
#define DARK_LEAST 40    /* levels from white, to tell what is behind it from the page */
#define EVEN_MOST 16     /* levels that this may change by from one row to the next */
#define SIDE_SHARE 0.95  /* of the places that tell are a strip's */
#define TOLD_SHARE 0.1   /* of a side's places must tell, */
#define TOLD_LEAST 10    /* and so many */
#define DRAWN_LEAST 0.95 /* px: a line, if it is all round */

static double strip_at(const uint8_t *at, ptrdiff_t inward)
{
    double dark = 255 - at[(NW_CROPPED_PX + 1) * inward];
    double first = *at + dark - 255, second = at[inward] + dark - 255;
    return first >= STRIP_LEAST * dark && first + second <= STRIP_MOST * dark
               ? (first + second) / dark
               : 0;
}

/* The mean width of the strip along a side; 0 where there is none. */
static double strip_width(const nw_side *side)
{
    const ptrdiff_t behind = NW_CROPPED_PX * side->inward, next = behind + side->inward;
    size_t told = 0, strips = 0;
    double sum = 0;
    for (size_t i = NW_CROPPED_PX; i + NW_CROPPED_PX < side->count; i++) {
        const uint8_t *at = side->first + (ptrdiff_t)i * side->along;
        if (at[next] > 255 - DARK_LEAST || abs(at[behind] - at[next]) > EVEN_MOST)
            continue;
        double width = strip_at(at, side->inward);
        told++;
        strips += width > 0;
        sum += width;
    }
    bool all = told >= TOLD_LEAST && (double)told >= TOLD_SHARE * (double)side->count &&
               (double)strips >= SIDE_SHARE * (double)told;
    return all ? sum / (double)strips : 0;
}

void nw_cropped_find(raster *r)
{
    size_t drawn = 0;
    r->sides_known = true;
    if (nw_find_ground(r) && !nw_find_sheet(r))
        return;
    for (int k = 0; k < 4; k++) {
        nw_side side = nw_side_of(r, k), across = nw_side_of(r, (k + 2) % 4);
        double width = across.count > TOLD_LEAST ? strip_width(&side) : 0;
        r->cropped[k] = width > 0;
        drawn += width >= DRAWN_LEAST;
    }
    for (int k = 0; k < 4 && drawn == 4; k++)
        r->cropped[k] = false;
}

/* What is ink there, but not behind it, is none. */
void nw_cropped_take(raster *r)
{
    for (int k = 0; k < 4; k++) {
        nw_side side = nw_side_of(r, k);
        for (size_t i = 0; r->cropped[k] && i < side.count; i++) {
            uint8_t *at = side.first + (ptrdiff_t)i * side.along;
            uint8_t behind = at[NW_CROPPED_PX * side.inward];
            for (int row = 0; row < NW_CROPPED_PX; row++, at += side.inward)
                *at = behind < *at ? behind : *at;
        }
    }
}
