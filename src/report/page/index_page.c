/*
 * index_page: what came of many arts, as one HTML page: the outlines side by side, what needs work
 * first, each with its verdict, the cheapest way out and links. Nothing of a file's name gets in
 * unescaped.
 */
#include <report/parts.h>

#include <stdlib.h>

static const char head[] =
    "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
    "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
    "<title>";
static const char style[] =
    "</title>\n<style>\n"
    ":root { color-scheme: light dark; font: 16px/1.4 sans-serif }\n"
    "body { margin: 1.5rem }\n"
    "ul { display: grid; grid-template-columns: repeat(auto-fill, minmax(17rem, 1fr)); gap: 1rem;"
    " list-style: none; padding: 0 }\n"
    "li { border: 1px solid #8888; border-radius: .5rem; padding: .75rem; overflow-wrap: anywhere"
    " }\n"
    "img { display: block; width: 100%; height: 14rem; object-fit: contain; background: white;"
    " margin-bottom: .5rem; padding: .5rem; box-sizing: border-box }\n"
    "p { margin: .2rem 0 }\n"
    ".fits { color: #0a7a35 } .spots { color: #c0392b } .failed { color: #a06000 }\n"
    "@media (prefers-color-scheme: dark) { .fits { color: #5fd38d } .spots { color: #ff8a7a }"
    " .failed { color: #f0b860 } }\n"
    "</style>\n</head>\n<body>\n";

/* A name as part of an address (RFC 3986, section 2.3: what needs no percent sign). */
static void add_address(nw_text *html, const char *name)
{
    for (const unsigned char *c = (const unsigned char *)name; *c; c++) {
        bool plain = (*c >= 'a' && *c <= 'z') || (*c >= 'A' && *c <= 'Z') ||
                     (*c >= '0' && *c <= '9') || *c == '-' || *c == '.' || *c == '_' || *c == '~';
        if (plain)
            nw_text_add_bytes(html, (const char *)c, 1);
        else
            nw_text_format(html, "%%%02X", *c);
    }
}

/* A link to a file of the art's folder, after a dot unless it is the first. */
static void add_link(nw_text *html, const nw_many_row *row, bool first, const char *file,
                     const char *words)
{
    nw_text_add(html, first ? "<p><a href=\"./" : " · <a href=\"./");
    add_address(html, row->folder);
    nw_text_format(html, "/%s\">%s</a>", file, words);
}

static void add_links(nw_text *html, const nw_many_row *row)
{
    if (row->page)
        add_link(html, row, true, "page.html", "page");
    add_link(html, row, !row->page, "marked.svg", "marked drawing");
    if (row->pdf)
        add_link(html, row, false, "marked.pdf", "print");
    add_link(html, row, false, "spots.csv", "list");
    add_link(html, row, false, "outline.svg", "SVG");
    add_link(html, row, false, "outline.dxf", "DXF");
    nw_text_add(html, "</p>\n");
}

static void add_spots(nw_text *html, size_t count, double narrowest, bool inch, const char *name)
{
    if (count == 0)
        return;
    nw_text_format(html, "<p>%zu %s%s", count, name, count == 1 ? "" : "s");
    if (narrowest >= 0) {
        nw_text_add(html, ", the least ");
        nw_report_length(html, narrowest, inch);
        nw_text_add(html, " wide");
    }
    nw_text_add(html, "</p>\n");
}

static void add_checked(nw_text *html, const nw_many_row *row, bool inch)
{
    nw_text_add(html, "<a href=\"./");
    add_address(html, row->folder);
    nw_text_add(html, row->page ? "/page.html\">" : "/marked.svg\">");
    nw_text_add(html, "<img loading=\"lazy\" alt=\"the outlines\" src=\"./");
    add_address(html, row->folder);
    nw_text_add(html, "/outline.svg\"></a>\n<strong><bdi>");
    nw_text_escaped(html, row->art);
    nw_text_format(html, "</bdi></strong>\n<p class=\"%s\">%s</p>\n<p>",
                   row->fits && !row->unread ? "fits" : "spots",
                   !row->fits    ? "Does not fit"
                   : row->unread ? "Fits, but not all was judged"
                                 : "Fits");
    nw_report_size(html, row->width, row->height, inch);
    nw_text_add(html, "</p>\n");
    add_spots(html, row->gaps, row->narrowest_gap, inch, "gap");
    add_spots(html, row->necks, row->narrowest_neck, inch, "neck");
    nw_text_add(html, *row->way ? "<p class=\"way\">" : "");
    nw_text_escaped(html, row->way);
    nw_text_add(html, *row->way ? "</p>\n" : "");
    add_links(html, row);
}

static void add_failed(nw_text *html, const nw_many_row *row)
{
    nw_text_add(html, "<strong><bdi>");
    nw_text_escaped(html, row->art);
    nw_text_add(html, "</bdi></strong>\n<p class=\"failed\">Not checked</p>\n<p>");
    nw_text_escaped(html, row->failure ? row->failure : "");
    nw_text_add(html, "</p>\n");
}

/* What could not be checked, then what does not fit, by its spots, what was not judged whole, and
 * what fits; equals as they were given. NULL when memory runs out. */
static nw_ranked *rows_rank(const nw_many *many)
{
    nw_ranked *order = nw_alloc(many->count, sizeof *order);
    for (size_t i = 0; order && i < many->count; i++) {
        const nw_many_row *row = &many->rows[i];
        order[i].index = (uint32_t)i;
        order[i].size = row->failure ? UINT64_MAX
                        : !row->fits ? 1 + row->gaps + row->necks
                                     : row->unread > 0;
    }
    if (order)
        nw_ranked_sort(order, many->count);
    return order;
}

nw_status nw_write_many_index(const nw_many *many, nw_text *html, nw_error *error)
{
    nw_text sum = {0}, question = {0};
    *html = (nw_text){0};
    nw_report_many_sum(&sum, many);
    nw_report_many_question(&question, many);
    nw_text_add(html, head);
    nw_text_add(html, nw_text_string(&sum));
    nw_text_add(html, style);
    nw_text_format(html, "<h1>%s</h1>\n<p>%s</p>\n<ul>\n", nw_text_string(&sum),
                   nw_text_string(&question));
    html->failed = html->failed || sum.failed || question.failed;
    nw_text_free(&sum);
    nw_text_free(&question);
    nw_ranked *order = rows_rank(many);
    html->failed = html->failed || !order;
    for (size_t i = 0; order && i < many->count; i++) {
        const nw_many_row *row = &many->rows[order[i].index];
        nw_text_add(html, "<li>");
        if (row->failure || !row->folder)
            add_failed(html, row);
        else
            add_checked(html, row, many->inch);
        nw_text_add(html, "</li>\n");
    }
    free(order);
    nw_text_add(html, "</ul>\n<p>");
    nw_text_escaped(html, nw_report_caution());
    nw_text_add(html, "</p>\n</body>\n</html>\n");
    return nw_report_finish(html, "the index", error);
}
