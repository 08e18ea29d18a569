/*
 * pinholes: ink -> the same with small holes filled.
 */
#include <pieces/pieces.h>
#include <pieces/runs.h>

#include <string.h>

/* Holes only: what touches the picture's edge is the ground. */
static bool is_pinhole(const nw_run_region *region, const nw_ink *ink, double least_px)
{
    return (double)region->area < least_px && region->x0 > 0 && region->y0 > 0 &&
           region->x1 < ink->width && region->y1 < ink->height;
}

static void fill(const struct nw_run *run, nw_ink *ink, nw_picture *picture)
{
    for (uint32_t x = run->x0; x < run->x1; x++)
        nw_ink_put(ink, x, run->y);
    if (picture) {
        memset(picture->density + (size_t)run->y * picture->width + run->x0, 255,
               run->x1 - run->x0);
    }
}

nw_status nw_ink_fill_pinholes(nw_ink *ink, nw_picture *picture, double least_px, size_t *filled,
                               nw_error *error)
{
    *filled = 0;
    nw_runs runs;
    nw_status status = nw_runs_find(ink, true, &runs, error);
    if (status != NW_OK)
        return status;
    for (size_t k = 0; k < runs.run_count; k++)
        if (is_pinhole(&runs.regions[runs.runs[k].region], ink, least_px))
            fill(&runs.runs[k], ink, picture);
    for (size_t k = 0; k < runs.region_count; k++)
        *filled += is_pinhole(&runs.regions[k], ink, least_px);
    nw_runs_free(&runs);
    return NW_OK;
}
