/*
 * engine_widen: the last fit's spots widened, as the command does it when nothing more is said;
 * then what is widened is the art, whose outlines page_outlines gives, rounded as the written file
 * is.
 */
#include <report/page/engine.h>
#include <report/parts.h>
#include <solid/solid.h>

enum { WORDS, BEFORE, ADDED, REMOVED, FIXED_SVG, FIXED_DXF, TEXTS };
_Static_assert(TEXTS == NW_PAGE_CHANGE_TEXTS, "one for each");

int EXPORT(page_widen)(page *p, int stubs, int misses);
const char *EXPORT(page_change)(const page *p, int which);

/* From the lower left corner of what is widened, y down. */
static void shape_write(nw_text *text, const nw_drawing *drawing, nw_point at)
{
    nw_report_path_data(text, drawing->paths, drawing->count,
                        (report_frame){.left = at.x, .top = at.y, .scale = 1});
}

static nw_status texts_write(page *p, const nw_change_report *change)
{
    nw_point corner = change->widened->corner;
    nw_layer layer = {.name = "outline", .drawing = &change->widened->drawing, .filled = true};
    nw_report_change_words(&p->change[WORDS], change);
    shape_write(&p->change[BEFORE], change->before, corner);
    shape_write(&p->change[ADDED], change->added, corner);
    shape_write(&p->change[REMOVED], change->removed, corner);
    nw_status status = nw_write_svg(&layer, 1, p->art, &p->change[FIXED_SVG], &p->error);
    return status == NW_OK ? nw_write_dxf(&layer, 1, &p->change[FIXED_DXF], &p->error) : status;
}

/* What is widened becomes the art as its file would. */
static nw_status change_tell(page *p, const nw_widen_options *options, nw_widened *widened)
{
    nw_art_options as_written = nw_art_defaults();
    as_written.need_region = false;
    nw_drawing added = {0}, removed = {0};
    nw_change_report change = {.art = p->art,
                               .before = &p->kept,
                               .options = options,
                               .widened = widened,
                               .added = &added,
                               .removed = &removed,
                               .inch = p->inch};
    nw_status status = nw_drawing_compare(&p->kept, &widened->drawing, &added, &removed,
                                          &change.area_added, &change.area_removed, &p->error);
    nw_art_free(&p->loaded);
    if (status == NW_OK)
        status =
            nw_art_of_widened(widened, NULL, &options->fit, &as_written, &p->loaded, &p->error);
    if (status == NW_OK)
        status = texts_write(p, &change);
    nw_drawing_free(&added);
    nw_drawing_free(&removed);
    return status;
}

/* stubs, misses: an nw_remedy each. */
int page_widen(page *p, int stubs, int misses)
{
    nw_widen_options options = nw_widen_defaults();
    options.fit = p->fit.options;
    options.stubs = (nw_remedy)stubs;
    options.misses = (nw_remedy)misses;
    for (int i = 0; i < TEXTS; i++)
        nw_text_free(&p->change[i]);
    nw_widened widened;
    nw_status status = nw_drawing_widen(&p->kept, &options, &widened, &p->error);
    if (status != NW_OK)
        return (int)status;
    status = change_tell(p, &options, &widened);
    nw_widened_free(&widened);
    return (int)status;
}

const char *page_change(const page *p, int which)
{
    const nw_text *text = &p->change[which];
    return text->failed || !text->data ? "" : text->data;
}
