/* job: what is cut, with which bit, from which sheet, as a fit's options and the stock needed. */
#include <art/job.h>

#define NO_TIPS 1e-9 /* no tip is shallow enough to be a corner */

nw_job nw_job_defaults(void)
{
    return (nw_job){.cut = NW_CUT_INSIDE, .blunt = NW_NONE};
}

bool nw_job_neck_from_stock(const nw_job *job)
{
    return !(job->neck > 0) && job->stock > job->bit;
}

double nw_job_beyond(const nw_job *job)
{
    return job->margin + (job->cut == NW_CUT_OUTSIDE ? job->bit : 0);
}

nw_fit_options nw_job_fit_options(const nw_job *job)
{
    nw_fit_options options = nw_fit_defaults();
    double beyond = nw_job_beyond(job);
    options.cut = job->cut;
    options.bit = job->bit;
    options.neck = job->neck;
    options.neck = nw_bit_neck(&options, job->bit, job->stock);
    if (job->blunt >= 0)
        options.blunt = job->blunt > 0 ? job->blunt : NO_TIPS;
    options.with_shapes = true;
    options.has_stock = job->sheet_width > 0;
    options.stock =
        (nw_box){{-beyond, -beyond}, {job->sheet_width - beyond, job->sheet_height - beyond}};
    options.threads = job->threads;
    return options;
}

nw_point nw_job_need(const nw_job *job, const nw_drawing *drawing)
{
    double beyond = nw_job_beyond(job);
    return (nw_point){drawing->width + 2 * beyond, drawing->height + 2 * beyond};
}

bool nw_job_sheet_holds(const nw_job *job, nw_point need)
{
    return need.x <= job->sheet_width + NW_SHEET_SLACK_MM &&
           need.y <= job->sheet_height + NW_SHEET_SLACK_MM;
}
