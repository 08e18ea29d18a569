/* engine_judged: what is judged, and what the reports are told of it. */
#include <cli/engine/engine.h>

const nw_drawing *engine_drawing(const page *p)
{
    return p->bridged.count ? &p->bridged : &p->kept;
}

const nw_region *engine_region(const page *p)
{
    return p->bridged.count ? &p->bridged_region : &p->region;
}

void engine_fitter_free(page *p)
{
    nw_fitter_free(p->fitter);
    nw_discs_free(p->discs);
    p->fitter = NULL;
    p->discs = NULL;
}

nw_report engine_report(const page *p)
{
    return (nw_report){.art = nw_text_string(&p->name),
                       .drawing = engine_drawing(p),
                       .fit = &p->fit,
                       .neck_from_stock = nw_job_neck_from_stock(&p->request.job),
                       .notes = (const char *const *)p->talk.notes.lines,
                       .note_count = p->talk.notes.plain,
                       .detail_count = p->talk.notes.count - p->talk.notes.plain,
                       .unread = p->unread,
                       .sure = p->sure * p->factor,
                       .inch = p->request.inch,
                       .held = &p->hold.held,
                       .left = p->left,
                       .pieces = &p->pieces};
}
