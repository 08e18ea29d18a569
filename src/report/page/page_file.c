/*
 * page_file: the art as one HTML file that works from disk and carries the engine, as the
 * WebAssembly that the folder page is compiled to. This file writes the data into it: the art's own
 * file, or its outlines in doubles as they are, and everything that was asked. Where the compiler
 * for WebAssembly was missing when narrows was built, there is no page.
 */
#include <report/files/json_text.h>
#include <report/page/page_parts.h>
#include <report/parts.h>

#include <stdlib.h>
#include <string.h>

/* Bytes of the drawing for browsers without scripts. */
#define STILL_MOST 25000
#define STILL_DECIMALS 2 /* of a millimetre on a screen */

bool nw_page_built(void)
{
    return report_page_parts[0].length > 0;
}

/* ---- numbers that must arrive to the last bit ------------------------------------------------ */

static void numbers_write(nw_json *j, const char *key, nw_page_numbers *list)
{
    nw_text text = {0};
    nw_report_base64_doubles(&text, list->items, list->count);
    nw_json_string(j, key, nw_text_string(&text));
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

/* The bits, and as numbers: shape, diameter, flute, tip, angle, feed of each. */
static void rack_write(nw_json *j, const nw_rack *rack)
{
    nw_page_numbers list = {0};
    nw_json_open(j, "rack", '[');
    for (size_t i = 0; i < rack->count; i++) {
        const nw_bit *bit = &rack->bits[i];
        double values[] = {bit->shape, bit->diameter,  bit->flute,
                           bit->tip,   bit->angle_deg, bit->feed};
        nw_json_open(j, NULL, '{');
        nw_json_string(j, "name", bit->name);
        nw_json_close(j, '}');
        nw_page_numbers_add(&list, values, sizeof values / sizeof *values);
    }
    nw_json_close(j, ']');
    numbers_write(j, "rackNumbers", &list);
}

static void options_write(nw_json *j, const nw_page *page)
{
    nw_json_open(j, "options", '[');
    for (size_t i = 0; i < page->option_count; i++) {
        nw_json_open(j, NULL, '[');
        nw_json_string(j, NULL, page->options[i].name);
        nw_json_string(j, NULL, page->options[i].value ? page->options[i].value : "");
        nw_json_close(j, ']');
    }
    nw_json_close(j, ']');
}

/* For each piece of the drawing the number that it has in the art, and for what it was taken. */
static void pieces_write(nw_json *j, const nw_report *report)
{
    nw_page_numbers list = {0};
    nw_page_numbers_pieces(&list, report->drawing, report->pieces);
    nw_json_open(j, "numbers", '[');
    for (size_t i = 0; i < list.count; i++)
        nw_json_count(j, NULL, (size_t)list.items[i]);
    nw_json_close(j, ']');
    j->text->failed = j->text->failed || list.failed;
    free(list.items);
}

/* What lies behind the drawing, by its type; null where it is the file itself, or where there is
 * none. */
static void picture_write(nw_json *j, const nw_page_picture *picture)
{
    nw_page_numbers place = {0};
    nw_affine m = picture->place;
    nw_page_numbers_add(&place, (double[]){m.a, m.b, m.c, m.d, m.e, m.f}, 6);
    numbers_write(j, "place", &place);
    nw_json_number(j, "width", picture->width);
    nw_json_number(j, "height", picture->height);
    nw_json_string(j, "behind", picture->whole ? NULL : picture->type);
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
    nw_json_count(j, NULL, unread->rules);
    nw_json_count(j, NULL, unread->shades);
    nw_json_close(j, ']');
}

static void notes_write(nw_json *j, const nw_page *page)
{
    nw_json_open(j, "notes", '[');
    for (size_t i = 0; i < page->note_count; i++) {
        nw_json_open(j, NULL, '[');
        nw_json_count(j, NULL, (size_t)page->weights[i]);
        nw_json_string(j, NULL, page->notes[i]);
        nw_json_close(j, ']');
    }
    nw_json_close(j, ']');
}

static void data_write(nw_json *j, const nw_page *page)
{
    const nw_report *art = page->art;
    nw_page_numbers ppi = {0};
    nw_page_numbers_add(&ppi, &page->ppi, 1);
    nw_json_open(j, NULL, '{');
    nw_json_string(j, "art", art->art ? art->art : "");
    nw_json_string(j, "widened", page->widened);
    options_write(j, page);
    rack_write(j, page->rack);
    numbers_write(j, "ppi", &ppi);
    nw_json_string(j, "file", page->picture->whole ? page->picture->type : NULL);
    nw_json_count(j, "bytes", page->picture->bytes.length);
    if (!page->picture->same) {
        size_write(j, art->drawing);
        doubts_write(j, art);
        pieces_write(j, art);
        notes_write(j, page);
        picture_write(j, page->picture);
    }
    nw_json_close(j, '}');
}

/* Pictures of most types are packed already: packed once more they become no smaller. */
static bool is_packed(const char *type)
{
    return type && strcmp(type, "image/bmp") != 0 && strcmp(type, "image/svg+xml") != 0;
}

/* The file's bytes follow the JSON and its NUL, and then the outlines' numbers, where they are
 * wanted, the lowest byte of each first. */
static void data_add(nw_text *html, const nw_page *page)
{
    nw_text data = {0};
    nw_page_numbers list = {0};
    data_write(&(nw_json){.text = &data}, page);
    nw_text_add_bytes(&data, "", 1);
    size_t from = data.length;
    nw_text_add_bytes(&data, page->picture->bytes.data, page->picture->bytes.length);
    size_t to = is_packed(page->picture->type) ? data.length : from;
    if (!page->picture->same)
        nw_page_numbers_drawing(&list, page->art->drawing);
    for (size_t i = 0; i < list.count; i++) {
        uint64_t bits;
        char bytes[sizeof bits];
        memcpy(&bits, &list.items[i], sizeof bits);
        for (size_t b = 0; b < sizeof bytes; b++)
            bytes[b] = (char)(bits >> 8 * b);
        nw_text_add_bytes(&data, bytes, sizeof bytes);
    }
    data.failed = data.failed || list.failed;
    if (!data.failed)
        nw_report_packed(html, data.data, data.length, from, to);
    html->failed = html->failed || data.failed;
    free(list.items);
    nw_text_free(&data);
}

static void escaped_add(nw_text *html, nw_text *words)
{
    nw_text_escaped(html, nw_text_string(words));
    html->failed = html->failed || words->failed;
    nw_text_free(words);
}

/* Digits of its paths that no screen shows are left out. */
static void still_drawing_add(nw_text *still, const char *svg)
{
    bool path = false, counted = false;
    int decimals = 0;
    for (; *svg; svg++) {
        path = *svg == '"' ? !path && svg[-1] == '=' && svg[-2] == 'd' && svg[-3] == ' ' : path;
        counted = *svg == '.' || (counted && *svg >= '0' && *svg <= '9');
        decimals = counted && *svg != '.' ? decimals + 1 : 0;
        if (!path || decimals <= STILL_DECIMALS)
            nw_text_add_bytes(still, svg, 1);
    }
}

/* What shows the result where no script runs: the ways out and a drawing, without the declaration
 * that only files of their own begin with. Text in it is escaped. */
static void still_add(nw_text *html, const nw_page *page)
{
    nw_text still = {0};
    for (size_t i = 0; i < 2 && !still.length; i++) {
        const nw_text *one = page->drawings[i];
        if (one && one->data && one->length <= 2 * STILL_MOST)
            still_drawing_add(&still, strstr(one->data, "<svg"));
        if (still.length > STILL_MOST)
            nw_text_free(&still);
    }
    nw_text_add(html, page->way_count ? "<ol>\n" : "");
    for (size_t i = 0; i < page->way_count; i++) {
        nw_text_add(html, "<li>");
        nw_text_escaped(html, page->ways[i].text.data ? page->ways[i].text.data : "");
        nw_text_add(html, "</li>\n");
    }
    nw_text_add(html, page->way_count ? "</ol>\n<div>" : "<div>");
    nw_text_add(html, nw_text_string(&still));
    nw_text_add(html, "</div>\n");
    html->failed = html->failed || still.failed;
    nw_text_free(&still);
}

static void fill_add(nw_text *html, report_page_fill fill, const nw_page *page)
{
    nw_text words = {0};
    switch (fill) {
    case REPORT_PAGE_TITLE:
        nw_report_art_name(&words, page->art->art);
        nw_text_add(&words, ": narrows");
        break;
    case REPORT_PAGE_VERDICT:
        nw_report_verdict(&words, page->report);
        break;
    case REPORT_PAGE_DATA:
        data_add(html, page);
        return;
    case REPORT_PAGE_STILL:
        still_add(html, page);
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
    for (size_t i = 0; i < report_page_part_count; i++) {
        nw_text_add_bytes(html, report_page_parts[i].text, report_page_parts[i].length);
        fill_add(html, report_page_parts[i].fill, page);
    }
    return nw_report_finish(html, "the page", error);
}

const char *nw_page_missing(void)
{
    return "no page.html: this narrows was built without clang, lld and wasi-libc";
}
