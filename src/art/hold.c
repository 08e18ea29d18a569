/* hold: what comes loose when the art is cut, and the bridges and tabs that hold it. */
#include <art/job.h>

nw_status nw_hold_loose(const nw_job *job, const nw_region *region, nw_hold *hold, nw_error *error)
{
    return job->cut == NW_CUT_POCKET ? NW_OK : nw_loose_find(region, job->cut, &hold->loose, error);
}

nw_status nw_hold_bridge(const nw_job *job, nw_drawing *drawing, nw_hold *hold, nw_error *error)
{
    if (!(job->bridge > 0))
        return NW_OK;
    nw_fit_options options = nw_job_fit_options(job);
    nw_bridged *bridged = &hold->bridged;
    nw_status status = nw_drawing_bridge(drawing, &options, job->bridge, job->bridge_count,
                                         &job->bridge_at, bridged, error);
    if (status == NW_OK) {
        bridged->drawing.placed = drawing->placed;
        nw_drawing_free(drawing);
        *drawing = bridged->drawing;
        bridged->drawing = (nw_drawing){0};
    }
    return status;
}

nw_status nw_hold_tabs(const nw_job *job, const nw_region *region, const nw_fit *fit, nw_hold *hold,
                       nw_error *error)
{
    if (!job->tabs)
        return NW_OK;
    nw_status status =
        job->tab_at.count
            ? nw_tabs_at(region, fit, &job->tab_at, job->tab_width, &hold->tabs, error)
            : nw_tabs_find(region, fit, job->tab_count, job->tab_width, &hold->tabs, error);
    return status == NW_OK ? nw_tabs_lines(&hold->tabs, fit->options.bit, &hold->tab_lines, error)
                           : status;
}

void nw_hold_free(nw_hold *hold)
{
    nw_loose_free(&hold->loose);
    nw_bridged_free(&hold->bridged);
    nw_tabs_free(&hold->tabs);
    nw_drawing_free(&hold->tab_lines);
}
