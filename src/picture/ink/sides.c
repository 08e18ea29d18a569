/*
 * sides: of a picture, or of the sheet in it: what its rim is; and those along which the outermost
 * row, or column, is lighter than what lies behind it, and what of that would be ink.
 *
 * A picture that was cut out between two pixels, or that stands a little off its page, has mixtures
 * with the page's white along some of its sides. Light ink that touches such a side would hang
 * together with them, and have a strip of a pixel's width there. Where all sides are white a line
 * is drawn round the picture: that stays.
 */
#include <picture/ink/ink_choice.h>

#include <stdlib.h>

#define SEPARATES 0.001  /* of the pixels must be clear, and as many opaque */
#define SHEET_FILLS 0.95 /* of their box opaque: a sheet with trimmed corners */
#define STRIP_MOST 1.5   /* px that it is wide */
#define STRIP_LEAST 0.2  /* of the way to white in the first */
#define DARK_LEAST 40    /* levels from white, to tell what is behind it from the page */
#define EVEN_MOST 16     /* levels that this may change by from one row to the next */
#define SIDE_SHARE 0.95  /* of the places that tell are a strip's */
#define TOLD_SHARE 0.1   /* of a side's places must tell, */
#define TOLD_LEAST 10    /* and so many */
#define DRAWN_LEAST 0.95 /* px: a line, if it is all round */

bool nw_find_ground(const raster *r)
{
    double pixels = (double)r->pixels;
    return (double)r->clear >= SEPARATES * pixels && (double)r->opaque >= SEPARATES * pixels;
}

bool nw_find_sheet(const raster *r)
{
    double wide = 1.0 + r->sheet[1] - r->sheet[0], high = 1.0 + r->sheet[3] - r->sheet[2];
    return nw_find_ground(r) && (double)r->opaque > SHEET_FILLS * wide * high;
}

nw_side nw_rim_side(const raster *r, int k)
{
    const uint32_t all[4] = {0, r->width - 1, 0, r->height - 1};
    const uint32_t *s = nw_find_sheet(r) ? r->sheet : all;
    ptrdiff_t width = r->width, inward = k < 2 ? 1 : width;
    return (nw_side){.first = r->values + s[k == 1] + width * s[k == 3 ? 3 : 2],
                     .along = k < 2 ? width : 1,
                     .inward = k % 2 ? -inward : inward,
                     .count = (k < 2 ? s[3] - s[2] : s[1] - s[0]) + 1u};
}

void nw_rim_count(const raster *r, uint64_t histogram[256])
{
    for (int k = 0; k < 4; k++) {
        nw_side side = nw_rim_side(r, k);
        const uint8_t *at = side.first + (r->cropped[k] ? NW_CROPPED_PX * side.inward : 0);
        for (size_t i = 0; i < side.count; i++)
            histogram[at[(ptrdiff_t)i * side.along]]++;
    }
}

double nw_rim_dark(const raster *r, int level)
{
    uint64_t rim[256] = {0};
    nw_rim_count(r, rim);
    return nw_levels_sum(rim, 0, level) / nw_levels_sum(rim, 0, 255);
}

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
        nw_side side = nw_rim_side(r, k), across = nw_rim_side(r, (k + 2) % 4);
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
        nw_side side = nw_rim_side(r, k);
        for (size_t i = 0; r->cropped[k] && i < side.count; i++) {
            uint8_t *at = side.first + (ptrdiff_t)i * side.along;
            uint8_t behind = at[NW_CROPPED_PX * side.inward];
            for (int row = 0; row < NW_CROPPED_PX; row++, at += side.inward)
                *at = behind < *at ? behind : *at;
        }
    }
}
