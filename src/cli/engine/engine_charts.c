/* engine_charts: every bit and every size side by side, as the commands bits and sizes print them
 * with --json. */
#include <cli/engine/engine_calls.h>

/* The least neck follows the bit unless it was given. */
static nw_fit_options options_of(const page *p)
{
    nw_fit_options options = nw_job_fit_options(&p->request.job);
    options.neck = p->request.job.neck;
    return options;
}

const char *page_bits(page *p)
{
    const nw_job *job = &p->request.job;
    nw_fit_options options = options_of(p);
    nw_bits bits;
    nw_text_free(&p->text);
    nw_status status =
        nw_bits_compare(&p->region, &options, &p->found.rack, job->stock, &bits, &p->error);
    if (status != NW_OK)
        return "";
    nw_bits_report report = {.art = nw_text_string(&p->name),
                             .drawing = &p->kept,
                             .cut = job->cut,
                             .neck = job->neck,
                             .stock = job->stock,
                             .rack = &p->found.rack,
                             .rack_name = p->request.rack ? p->request.rack : "built-in",
                             .bits = &bits,
                             .unread = p->unread,
                             .inch = p->request.inch};
    status = nw_write_bits_json(&report, &p->text, &p->error);
    nw_bits_free(&bits);
    return status == NW_OK ? nw_text_string(&p->text) : "";
}

const char *page_sizes(page *p)
{
    nw_fit_options options = options_of(p);
    nw_sizes sizes;
    nw_text_free(&p->text);
    nw_status status =
        nw_sizes_compare(&p->kept, &p->region, &options, p->request.job.stock, &sizes, &p->error);
    if (status != NW_OK)
        return "";
    nw_sizes_report report = {nw_text_string(&p->name), &p->kept, &sizes, p->unread,
                              p->request.inch};
    status = nw_write_sizes_json(&report, &p->text, &p->error);
    nw_sizes_free(&sizes);
    return status == NW_OK ? nw_text_string(&p->text) : "";
}
