/*
 * page_file: the result as one HTML file that works from disk and carries the fit itself, as the
 * WebAssembly that the folder page is compiled to. This file writes the data into it: the
 * outlines, in doubles as they are, and everything that was asked. Where the compiler for
 * WebAssembly was missing when narrows was built, there is no page.
 */
#include <report/files/json_text.h>
#include <report/page/page_parts.h>
#include <report/parts.h>

#include <stdlib.h>
#include <string.h>

/* Bytes of the marked drawing, as it stands in the page for browsers without scripts. */
#define STILL_MOST 60000

bool nw_page_built(void)
{
    return report_page_parts[0].length > 0;
}

/* ---- numbers that must arrive to the last bit ------------------------------------------------ */

static void numbers_write(nw_json *j, const char *key, nw_page_numbers *list)
{
    nw_text text = {0};
    nw_report_base64_doubles(&text, list->items, list->count);
    nw_json_string(j, key, text.data ? text.data : "");
    j->text->failed = j->text->failed || list->failed || text.failed;
    free(list->items);
    nw_text_free(&text);
}

static void size_write(nw_json *j, const nw_drawing *drawing)
{
    nw_page_numbers list = {0};
    nw_page_numbers_add(&list, (double[]){drawing->width, drawing->height}, 2);
    numbers_write(j, "size", &list);
}

/* ---- the data -------------------------------------------------------------------------------- */

static void rack_write(nw_json *j, const nw_rack *rack, double stock)
{
    nw_json_open(j, "rack", '[');
    for (size_t i = 0; rack && i < rack->count; i++) {
        nw_json_open(j, NULL, '{');
        nw_json_string(j, "name", rack->bits[i].name);
        nw_json_number(j, "diameter", nw_bit_at_top(&rack->bits[i], stock));
        nw_json_close(j, '}');
    }
    nw_json_close(j, ']');
    /* The bits as they are, for the ways out: shape, diameter, flute, tip, angle, feed of each. */
    nw_page_numbers list = {0};
    for (size_t i = 0; rack && i < rack->count; i++) {
        const nw_bit *bit = &rack->bits[i];
        double values[] = {bit->shape, bit->diameter,  bit->flute,
                           bit->tip,   bit->angle_deg, bit->feed};
        nw_page_numbers_add(&list, values, sizeof values / sizeof *values);
    }
    numbers_write(j, "rackNumbers", &list);
}

static void words_write(nw_json *j, const char *key, const nw_page_words *words, size_t count)
{
    nw_json_open(j, key, '[');
    for (size_t i = 0; i < count; i++) {
        nw_json_open(j, NULL, '[');
        nw_json_string(j, NULL, words[i].words ? words[i].words : "");
        nw_json_string(j, NULL, words[i].more);
        nw_json_close(j, ']');
    }
    nw_json_close(j, ']');
}

/* For each piece of the drawing the number that it has in the art, and for what it was taken. */
static void pieces_write(nw_json *j, const nw_page *page)
{
    nw_page_numbers list = {0};
    nw_page_numbers_pieces(&list, page->drawing, page->report->pieces);
    nw_json_open(j, "pieces", '[');
    for (size_t i = 0; i < list.count; i++)
        nw_json_count(j, NULL, (size_t)list.items[i]);
    nw_json_close(j, ']');
    j->text->failed = j->text->failed || list.failed;
    free(list.items);
}

static void picture_write(nw_json *j, const nw_page_picture *picture)
{
    if (!picture || !picture->uri.data) {
        nw_json_string(j, "picture", NULL);
        return;
    }
    nw_page_numbers place = {0};
    nw_affine m = picture->place;
    nw_page_numbers_add(&place, (double[]){m.a, m.b, m.c, m.d, m.e, m.f}, 6);
    nw_json_open(j, "picture", '{');
    nw_json_string(j, "uri", picture->uri.data);
    nw_json_number(j, "width", picture->width);
    nw_json_number(j, "height", picture->height);
    numbers_write(j, "place", &place);
    nw_json_close(j, '}');
}

/* Takes over the text. */
static void text_write(nw_json *j, const char *key, nw_text *text)
{
    nw_json_string(j, key, text->data ? text->data : "");
    j->text->failed = j->text->failed || text->failed;
    nw_text_free(text);
}

static void shape_write(nw_json *j, const char *key, const nw_drawing *drawing, nw_point at)
{
    nw_text data = {0};
    report_frame frame = {.left = at.x, .top = at.y, .scale = 1};
    nw_report_path_data(&data, drawing->paths, drawing->count, frame);
    text_write(j, key, &data);
}

/* What widening did, in words and as path data, y down; null: nothing was widened. */
static void change_write(nw_json *j, const nw_page *page)
{
    const nw_change_report *change = page->change;
    if (!change) {
        nw_json_string(j, "change", NULL);
        return;
    }
    nw_text words = {0};
    nw_report_change_words(&words, change);
    nw_json_open(j, "change", '{');
    text_write(j, "words", &words);
    shape_write(j, "before", change->before, change->widened->corner);
    shape_write(j, "added", change->added, change->widened->corner);
    shape_write(j, "removed", change->removed, change->widened->corner);
    nw_json_close(j, '}');
}

static void doubts_write(nw_json *j, const nw_report *report)
{
    const nw_unread *unread = &report->unread;
    nw_json_open(j, "doubts", '[');
    nw_json_number(j, NULL, report->sure);
    nw_json_count(j, NULL, unread->texts);
    nw_json_count(j, NULL, unread->images);
    nw_json_count(j, NULL, unread->marks);
    nw_json_count(j, NULL, unread->effects);
    nw_json_count(j, NULL, unread->shades);
    nw_json_close(j, ']');
}

static void data_write(nw_json *j, const nw_page *page)
{
    const nw_report *report = page->report;
    nw_json_open(j, NULL, '{');
    nw_json_string(j, "art", report->art ? report->art : "");
    size_write(j, page->drawing);
    doubts_write(j, report);
    pieces_write(j, page);
    rack_write(j, page->rack, page->stock);
    nw_json_string(j, "command", page->command);
    words_write(j, "options", page->options, page->option_count);
    words_write(j, "ways", page->ways, page->way_count);
    nw_json_open(j, "notes", '[');
    for (size_t i = 0; i < page->note_count; i++) {
        nw_json_open(j, NULL, '[');
        nw_json_count(j, NULL, (size_t)page->weights[i]);
        nw_json_string(j, NULL, page->notes[i]);
        nw_json_close(j, ']');
    }
    nw_json_close(j, ']');
    nw_json_string(j, "caution", nw_report_caution());
    picture_write(j, page->picture);
    change_write(j, page);
    nw_json_close(j, '}');
}

/* The outlines' numbers follow the JSON and its NUL, the lowest byte of each first. */
static void data_add(nw_text *html, nw_text *json, const nw_drawing *drawing)
{
    nw_page_numbers list = {0};
    nw_page_numbers_drawing(&list, drawing);
    nw_text_add_bytes(json, "", 1);
    for (size_t i = 0; i < list.count; i++) {
        uint64_t bits;
        char bytes[sizeof bits];
        memcpy(&bits, &list.items[i], sizeof bits);
        for (size_t b = 0; b < sizeof bytes; b++)
            bytes[b] = (char)(bits >> 8 * b);
        nw_text_add_bytes(json, bytes, sizeof bytes);
    }
    json->failed = json->failed || list.failed;
    if (!json->failed)
        nw_report_packed(html, json->data, json->length);
    html->failed = html->failed || json->failed;
    free(list.items);
}

static void escaped_add(nw_text *html, nw_text *words)
{
    nw_text_escaped(html, words->data ? words->data : "");
    html->failed = html->failed || words->failed;
    nw_text_free(words);
}

/* The marked drawing without the declaration that only files of their own begin with; of no length
 * where it is too large for a page. */
static nw_status marked_make(const nw_page *page, nw_text *marked, nw_error *error)
{
    nw_text svg;
    *marked = (nw_text){0};
    nw_status status = nw_write_marked(page->report, &svg, NULL, error);
    if (status == NW_OK && svg.length <= STILL_MOST)
        nw_text_add(marked, strstr(svg.data, "<svg"));
    nw_text_free(&svg);
    return status;
}

/* What shows the result where no script runs: the ways out, and the marked drawing or, where that
 * is too large, the outlines alone. Text in it is escaped. */
static nw_status still_make(const nw_page *page, const nw_text *marked, nw_text *still,
                            nw_error *error)
{
    const nw_report *report = page->report;
    nw_layer layer = {.name = "outline", .drawing = report->drawing, .filled = true};
    nw_text svg = {0};
    bool outlines = !marked->length;
    nw_status status = outlines ? nw_write_svg(&layer, 1, report->art, &svg, error) : NW_OK;
    *still = (nw_text){0};
    if (status != NW_OK)
        return status;
    nw_text_add(still, page->way_count ? "<ol>\n" : "");
    for (size_t i = 0; i < page->way_count; i++) {
        nw_text_add(still, "<li>");
        nw_text_escaped(still, page->ways[i].words);
        nw_text_add(still, "</li>\n");
    }
    nw_text_add(still, page->way_count ? "</ol>\n<div>" : "<div>");
    nw_text_add(still, outlines ? strstr(svg.data, "<svg") : marked->data);
    nw_text_add(still, "</div>\n");
    nw_text_free(&svg);
    return NW_OK;
}

static void fill_add(nw_text *html, report_page_fill fill, const nw_page *page, nw_text *json,
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
        data_add(html, json, page->drawing);
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
    if (!nw_page_built())
        return nw_fail(error, NW_BAD_REQUEST, "%s", nw_page_missing());
    nw_status status = nw_report_check(page->report, error);
    if (status != NW_OK)
        return status;
    nw_text json = {0}, still = {0}, marked;
    status = marked_make(page, &marked, error);
    if (status == NW_OK)
        status = still_make(page, &marked, &still, error);
    if (status != NW_OK) {
        nw_text_free(&marked);
        return status;
    }
    data_write(&(nw_json){.text = &json}, page);
    for (size_t i = 0; i < report_page_part_count; i++) {
        nw_text_add_bytes(html, report_page_parts[i].text, report_page_parts[i].length);
        fill_add(html, report_page_parts[i].fill, page, &json, &still);
    }
    html->failed = html->failed || still.failed || marked.failed;
    nw_text_free(&json);
    nw_text_free(&still);
    nw_text_free(&marked);
    return nw_report_finish(html, "the page", error);
}

const char *nw_page_missing(void)
{
    return "no page.html: this narrows was built without clang, lld and wasi-libc";
}
