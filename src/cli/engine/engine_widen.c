/*
 * engine_widen: the last fit's spots widened as the command does it; then what is widened is the
 * art, whose outlines page_outlines gives, rounded as the written file is.
 */
#include <cli/engine/engine_calls.h>
#include <solid/solid.h>

/* From the lower left corner of what is widened, y down. */
static void shape_write(nw_text *text, const nw_drawing *drawing, nw_point at)
{
    nw_report_path_data(text, drawing->paths, drawing->count,
                        (report_frame){.left = at.x, .top = at.y, .scale = 1});
}

static nw_status texts_write(page *p, const nw_change_report *change, const cli_hold *hold)
{
    nw_point corner = change->widened->corner;
    cli_layers layers;
    nw_report_change_words(&p->change[CHANGE_WORDS], change);
    shape_write(&p->change[CHANGE_BEFORE], change->before, corner);
    shape_write(&p->change[CHANGE_ADDED], change->added, corner);
    shape_write(&p->change[CHANGE_REMOVED], change->removed, corner);
    nw_status status = layers_make(&p->request, &change->widened->drawing, &change->widened->after,
                                   hold, &layers, &p->error);
    if (status == NW_OK) {
        status = layers_write_both(&layers, &p->request, change->art, &p->change[FIXED_SVG],
                                   &p->change[FIXED_DXF], &p->error);
    }
    layers_free(&layers);
    return status;
}

/* What is widened becomes the art as its file would. */
static nw_status change_tell(page *p, const nw_widen_options *options, nw_widened *widened,
                             cli_hold *hold)
{
    nw_art_options as_written = nw_art_defaults();
    nw_drawing added = {0}, removed = {0};
    nw_change_report change = {.art = nw_text_string(&p->name),
                               .before = &p->kept,
                               .options = options,
                               .widened = widened,
                               .added = &added,
                               .removed = &removed,
                               .left_before = p->left,
                               .inch = p->request.inch};
    nw_status status = nw_drawing_compare(&p->kept, &widened->drawing, &added, &removed,
                                          &change.area_added, &change.area_removed, &p->error);
    nw_art_free(&p->loaded);
    if (status == NW_OK) {
        status = nw_art_of_widened(widened, &hold->hold.bridged, &options->fit, &as_written,
                                   &p->loaded, &p->error);
    }
    cli_talk quiet = {.quiet = true};
    if (status == NW_OK)
        status =
            hold_tabs(&p->request, &p->loaded.region, &widened->after, &quiet, hold, &p->error);
    if (status == NW_OK)
        status = texts_write(p, &change, hold);
    talk_forget(&quiet);
    nw_drawing_free(&added);
    nw_drawing_free(&removed);
    return status;
}

/* Widened is the art without its bridges, which come after; so are the spots that are chosen. */
static nw_status bare_fit(page *p)
{
    if (!p->bridged.count)
        return NW_OK;
    nw_fit_options options = p->fit.options;
    nw_fit_free(&p->fit);
    nw_status status = nw_fit_run(&p->region, &options, &p->fit, &p->error);
    return status == NW_OK ? engine_choose(p) : status;
}

int page_widen(page *p)
{
    const cli_request *request = &p->request;
    nw_widen_options options = nw_widen_defaults();
    options.fit = p->fit.options;
    options.ease = request->ease > 0 ? request->ease : options.ease;
    options.stubs = request->stubs;
    options.misses = request->misses;
    for (int i = 0; i < CHANGES; i++)
        nw_text_free(&p->change[i]);
    nw_widened widened;
    cli_hold hold = {.origin = {0, 0}};
    nw_status status = bare_fit(p);
    if (status != NW_OK)
        return (int)status;
    options.remedies = p->remedies;
    options.remedy_count = p->fit.spot_count;
    status = advice_add(nw_drawing_widen(&p->kept, &options, &widened, &p->error), &p->error);
    if (status != NW_OK)
        return (int)status;
    status = nw_hold_bridge(&request->job, &widened.drawing, &hold.hold, &p->error);
    if (status == NW_OK)
        status = change_tell(p, &options, &widened, &hold);
    nw_widened_free(&widened);
    nw_hold_free(&hold.hold);
    return (int)status;
}

const char *page_change(const page *p, int which)
{
    return nw_text_string(&p->change[which]);
}
