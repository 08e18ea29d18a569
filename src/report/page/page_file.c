/*
 * page_file: the result as one HTML file that works from disk and carries the fit itself, as the
 * WebAssembly that the folder page is compiled to. This file writes the data into it: the
 * outlines, in doubles as they are, and everything that was asked. Where the compiler for
 * WebAssembly was missing when narrows was built, there is no page.
 */
#include <report/files/json_values.h>
#include <report/page/page_parts.h>
#include <report/parts.h>

#include <stdlib.h>
#include <string.h>

#define STILL_MOST 4000000 /* bytes of the marked drawing; a page for a telephone */

bool nw_page_built(void)
{
    return report_page_parts[0].length > 0;
}

/* ---- numbers that must arrive to the last bit ------------------------------------------------ */

typedef struct {
    double *items;
    size_t count, capacity;
    bool failed;
} numbers;

static void add(numbers *list, const double *values, size_t count)
{
    list->failed = list->failed ||
                   !nw_grow(&list->items, &list->capacity, list->count + count, sizeof(double));
    if (!list->failed) {
        memcpy(list->items + list->count, values, count * sizeof *values);
        list->count += count;
    }
}

static struct json_object *numbers_string(report_json *b, numbers *list)
{
    nw_text text = {0};
    nw_report_base64_doubles(&text, list->items, list->count);
    bool failed = list->failed || text.failed;
    struct json_object *string = failed ? NULL : json_object_new_string(text.data ? text.data : "");
    free(list->items);
    nw_text_free(&text);
    return nw_report_json_made(b, string);
}

static struct json_object *number_string(report_json *b, double number)
{
    numbers list = {0};
    add(&list, &number, 1);
    return numbers_string(b, &list);
}

/* As engine.c in the folder page reads it. */
static struct json_object *drawing_string(report_json *b, const nw_drawing *drawing)
{
    numbers list = {0};
    for (size_t k = 0; k < drawing->count; k++) {
        const nw_path *path = &drawing->paths[k];
        double head[] = {(double)path->piece, path->hole, (double)path->count, path->start.x,
                         path->start.y};
        add(&list, head, sizeof head / sizeof *head);
        for (size_t i = 0; i < path->count; i++) {
            const nw_step *step = &path->steps[i];
            int kind = step->kind == NW_ARC ? 2 + step->clockwise : (int)step->kind;
            double values[] = {kind,      step->a.x,  step->a.y, step->b.x,
                               step->b.y, step->to.x, step->to.y};
            add(&list, values, sizeof values / sizeof *values);
        }
    }
    return numbers_string(b, &list);
}

static struct json_object *sizes_string(report_json *b, const nw_page *page)
{
    const nw_fit_options *options = &page->report->fit->options;
    const nw_job *job = page->job;
    numbers list = {0};
    double sizes[] = {page->report->drawing->width,
                      page->report->drawing->height,
                      options->bit,
                      options->neck,
                      job->blunt >= 0 ? options->blunt : 0,
                      job->stock,
                      job->sheet_width,
                      job->sheet_height,
                      job->margin};
    add(&list, sizes, sizeof sizes / sizeof *sizes);
    return numbers_string(b, &list);
}

/* ---- the data -------------------------------------------------------------------------------- */

static struct json_object *rack_array(report_json *b, const nw_rack *rack, double stock)
{
    struct json_object *array = nw_report_json_made(b, json_object_new_array());
    for (size_t i = 0; rack && i < rack->count && !b->failed; i++) {
        struct json_object *bit = nw_report_json_made(b, json_object_new_object());
        if (bit) {
            nw_report_json_put(b, bit, "name", nw_report_json_string(b, rack->bits[i].name));
            nw_report_json_put(b, bit, "diameter",
                               nw_report_json_number(b, nw_bit_at_top(&rack->bits[i], stock)));
            nw_report_json_append(b, array, bit);
        }
    }
    return array;
}

/* The bits as they are, for the ways out: shape, diameter, flute, tip, angle, feed of each. */
static struct json_object *rack_string(report_json *b, const nw_rack *rack)
{
    numbers list = {0};
    for (size_t i = 0; rack && i < rack->count; i++) {
        const nw_bit *bit = &rack->bits[i];
        double values[] = {bit->shape, bit->diameter,  bit->flute,
                           bit->tip,   bit->angle_deg, bit->feed};
        add(&list, values, sizeof values / sizeof *values);
    }
    return numbers_string(b, &list);
}

static struct json_object *pair_of_words(report_json *b, const char *one, const char *other)
{
    struct json_object *pair = nw_report_json_made(b, json_object_new_array());
    if (pair) {
        nw_report_json_append(b, pair, nw_report_json_string(b, one));
        nw_report_json_append(b, pair, other ? nw_report_json_string(b, other) : NULL);
    }
    return pair;
}

static struct json_object *words_array(report_json *b, const nw_page_words *words, size_t count)
{
    struct json_object *array = nw_report_json_made(b, json_object_new_array());
    for (size_t i = 0; i < count && !b->failed; i++) {
        nw_report_json_append(b, array, pair_of_words(b, words[i].words, words[i].more));
    }
    return array;
}

static struct json_object *notes_array(report_json *b, const nw_report *report)
{
    struct json_object *array = nw_report_json_made(b, json_object_new_array());
    for (size_t i = 0; i < report->note_count && !b->failed; i++) {
        nw_report_json_append(b, array, nw_report_json_string(b, report->notes[i]));
    }
    return array;
}

/* The number that each piece of the drawing has in the art. */
static struct json_object *pieces_array(report_json *b, const nw_drawing *drawing)
{
    struct json_object *array = nw_report_json_made(b, json_object_new_array());
    for (size_t i = 0; i < drawing->count && !b->failed; i++) {
        if (i == 0 || drawing->paths[i].piece != drawing->paths[i - 1].piece) {
            nw_report_json_append(
                b, array, nw_report_json_made(b, json_object_new_uint64(drawing->paths[i].number)));
        }
    }
    return array;
}

static struct json_object *picture_object(report_json *b, const nw_page_picture *picture)
{
    if (!picture || !picture->uri.data) {
        return NULL;
    }
    struct json_object *object = nw_report_json_made(b, json_object_new_object());
    if (object) {
        numbers place = {0};
        nw_affine m = picture->place;
        add(&place, (double[]){m.a, m.b, m.c, m.d, m.e, m.f}, 6);
        nw_report_json_put(b, object, "uri", nw_report_json_string(b, picture->uri.data));
        nw_report_json_put(b, object, "width", nw_report_json_number(b, picture->width));
        nw_report_json_put(b, object, "height", nw_report_json_number(b, picture->height));
        nw_report_json_put(b, object, "place", numbers_string(b, &place));
    }
    return object;
}

/* What was asked for of tabs; null: none. */
static struct json_object *tabs_object(report_json *b, const nw_page *page)
{
    struct json_object *object =
        page->job->tabs ? nw_report_json_made(b, json_object_new_object()) : NULL;
    if (object) {
        nw_report_json_put(b, object, "count",
                           nw_report_json_made(b, json_object_new_uint64(page->job->tab_count)));
        nw_report_json_put(b, object, "width", number_string(b, page->job->tab_width));
    }
    return object;
}

static struct json_object *shape_string(report_json *b, const nw_drawing *drawing, nw_point at)
{
    nw_text data = {0};
    report_frame frame = {.left = at.x, .top = at.y, .scale = 1};
    nw_report_path_data(&data, drawing->paths, drawing->count, frame);
    struct json_object *string =
        data.failed ? NULL : json_object_new_string(data.data ? data.data : "");
    nw_text_free(&data);
    return nw_report_json_made(b, string);
}

/* What widening did, in words and as path data, y down; null: nothing was widened. */
static struct json_object *change_object(report_json *b, const nw_page *page)
{
    const nw_change_report *change = page->change;
    struct json_object *object = change ? nw_report_json_made(b, json_object_new_object()) : NULL;
    if (object) {
        nw_text words = {0};
        size_t before = change->widened->before.spot_count;
        nw_text_format(&words, "Before widening: %zu spot%s, now %zu. ", before,
                       before == 1 ? "" : "s", change->widened->after.spot_count);
        nw_report_change_areas(&words, change);
        nw_report_change_counts(&words, change);
        nw_report_json_put(b, object, "words",
                           words.failed ? NULL : nw_report_json_string(b, words.data));
        b->failed = b->failed || words.failed;
        nw_text_free(&words);
        nw_report_json_put(b, object, "before", shape_string(b, change->before, page->change_at));
        nw_report_json_put(b, object, "added", shape_string(b, change->added, page->change_at));
        nw_report_json_put(b, object, "removed", shape_string(b, change->removed, page->change_at));
    }
    return object;
}

static void data_fill(report_json *b, struct json_object *root, const nw_page *page)
{
    const nw_report *report = page->report;
    nw_report_json_put(b, root, "art", nw_report_json_string(b, report->art));
    nw_report_json_put(b, root, "cut",
                       nw_report_json_string(b, nw_cut_name(report->fit->options.cut)));
    nw_report_json_put(b, root, "sizes", sizes_string(b, page));
    nw_report_json_put(b, root, "inch",
                       nw_report_json_made(b, json_object_new_boolean(report->inch)));
    nw_report_json_put(b, root, "neckGiven",
                       nw_report_json_made(b, json_object_new_boolean(page->job->neck > 0)));
    nw_report_json_put(b, root, "drawing", drawing_string(b, report->drawing));
    nw_report_json_put(b, root, "pieces", pieces_array(b, report->drawing));
    nw_report_json_put(b, root, "rack", rack_array(b, page->rack, page->job->stock));
    nw_report_json_put(b, root, "rackNumbers", rack_string(b, page->rack));
    nw_report_json_put(b, root, "command",
                       page->command ? nw_report_json_string(b, page->command) : NULL);
    nw_report_json_put(b, root, "options", words_array(b, page->options, page->option_count));
    nw_report_json_put(b, root, "ways", words_array(b, page->ways, page->way_count));
    nw_report_json_put(b, root, "tabs", tabs_object(b, page));
    nw_report_json_put(b, root, "notes", notes_array(b, report));
    nw_report_json_put(b, root, "caution", nw_report_json_string(b, nw_report_caution()));
    nw_report_json_put(b, root, "picture", picture_object(b, page->picture));
    nw_report_json_put(b, root, "change", change_object(b, page));
}

/* Within a script element "<" could end it, or begin a comment (HTML, Restrictions for contents of
 * script elements); JSON may write it otherwise. */
static void data_add(nw_text *html, const nw_text *json)
{
    size_t from = 0;
    for (size_t i = 0; i < json->length; i++) {
        if (json->data[i] == '<') {
            nw_text_add_bytes(html, json->data + from, i - from);
            nw_text_add(html, "\\u003c");
            from = i + 1;
        }
    }
    if (json->length > from) {
        nw_text_add_bytes(html, json->data + from, json->length - from);
    }
    html->failed = html->failed || json->failed;
}

static void escaped_add(nw_text *html, nw_text *words)
{
    nw_text_escaped(html, words->data ? words->data : "");
    html->failed = html->failed || words->failed;
    nw_text_free(words);
}

/* The marked drawing, or where that is too large the outlines alone. */
static nw_status still_draw(const nw_page *page, nw_text *svg, bool *marked, nw_error *error)
{
    const nw_report *report = page->report;
    nw_status status = nw_write_marked(report, svg, error);
    *marked = status == NW_OK && svg->length <= STILL_MOST;
    if (status != NW_OK || *marked) {
        return status;
    }
    nw_text_free(svg);
    nw_layer layer = {.name = "outline", .drawing = report->drawing, .filled = true};
    return nw_write_svg(&layer, 1, report->art, svg, error);
}

/* What shows the result where no script runs: the ways out and the marked drawing, without the
 * declaration that only files of their own begin with. Text in it is escaped. */
static nw_status still_make(const nw_page *page, nw_text *still, nw_error *error)
{
    nw_text svg;
    bool marked;
    *still = (nw_text){0};
    nw_status status = still_draw(page, &svg, &marked, error);
    if (status != NW_OK) {
        return status;
    }
    nw_text_add(still, page->way_count ? "<ol>\n" : "");
    for (size_t i = 0; i < page->way_count; i++) {
        nw_text_add(still, "<li>");
        nw_text_escaped(still, page->ways[i].words);
        nw_text_add(still, "</li>\n");
    }
    nw_text_add(still, page->way_count ? "</ol>\n" : "");
    const char *from = strstr(svg.data, "<svg");
    nw_text_add(still, marked ? "<div id=\"marked\">" : "<div>");
    nw_text_add(still, from ? from : "");
    nw_text_add(still, "</div>\n");
    nw_text_free(&svg);
    return NW_OK;
}

static void fill_add(nw_text *html, report_page_fill fill, const nw_page *page, const nw_text *json,
                     const nw_text *still)
{
    nw_text words = {0};
    switch (fill) {
    case REPORT_PAGE_TITLE:
        nw_report_art_name(&words, page->report->art);
        nw_text_add(&words, ": narrows");
        break;
    case REPORT_PAGE_VERDICT:
        nw_report_verdict(&words, page->report);
        break;
    case REPORT_PAGE_DATA:
        data_add(html, json);
        return;
    case REPORT_PAGE_STILL:
        nw_text_add(html, still->data ? still->data : "");
        return;
    case REPORT_PAGE_END:
        return;
    }
    escaped_add(html, &words);
}

nw_status nw_write_page(const nw_page *page, nw_text *html, nw_error *error)
{
    *html = (nw_text){0};
    if (!nw_page_built()) {
        return nw_fail(error, NW_BAD_REQUEST, "%s", nw_page_missing());
    }
    nw_status status = nw_report_check(page->report, error);
    if (status != NW_OK) {
        return status;
    }
    report_json b = {false};
    nw_text json = {0}, still;
    status = still_make(page, &still, error);
    if (status != NW_OK) {
        return status;
    }
    struct json_object *root = nw_report_json_made(&b, json_object_new_object());
    if (root) {
        data_fill(&b, root, page);
    }
    nw_report_json_write(&b, root, &json);
    for (size_t i = 0; i < report_page_part_count; i++) {
        nw_text_add_bytes(html, report_page_parts[i].text, report_page_parts[i].length);
        fill_add(html, report_page_parts[i].fill, page, &json, &still);
    }
    html->failed = html->failed || still.failed;
    nw_text_free(&json);
    nw_text_free(&still);
    return nw_report_finish(html, "the page", error);
}

const char *nw_page_missing(void)
{
    return "no page.html: this narrows was built without clang, lld and wasi-libc";
}
