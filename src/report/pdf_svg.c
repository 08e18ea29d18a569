/*
 * pdf_svg: a drawing as our own writers make it (marked.c, pen.c and their like) -> PDF's
 * operators. It knows the few elements and attributes of SVG that these use, and refuses any other
 * rather than leave it out. libxml2 reads (SAX, so that nothing large is kept); what was set is not
 * set again.
 */
#include <report/pdf_parts.h>

#include <libxml/parser.h>
#include <libxml/parserInternals.h>
#include <string.h>

#define DEPTH_MOST 8
#define ATTRIBUTES_MOST 16

/* The value of an attribute; start is NULL where it was not given. */
typedef struct {
    const char *start, *end;
} value;

/* An element's attributes as libxml2 gives them: five pointers for each, to its name, prefix,
 * namespace, value and its end. Those that nothing asked for are not known. */
typedef struct {
    const xmlChar **list;
    int count;
    bool asked[ATTRIBUTES_MOST];
} attributes;

/* A value that outlives its element. */
typedef char kept[32];

/* What an element inherits. */
typedef struct {
    kept dash, join;
} group;

/* What a content stream has set. */
typedef struct {
    kept fill, stroke, width, dash, join;
} ink;

typedef struct {
    report_pdf_drawing *drawing;
    nw_text *out;
    group groups[DEPTH_MOST];
    int depth;
    ink page, cell, *set;
    nw_text letters; /* of the text or title that is open */
    bool in_letters, bold;
    nw_point at;
    double size;
    char anchor;
    kept colour;
    char wrong[40]; /* what is not known; "" while all is well */
} reader;

/* ---- values --------------------------------------------------------------------------------- */

static value get(attributes *a, const char *name)
{
    for (int i = 0; i < a->count; i++) {
        if (strcmp((const char *)a->list[5 * i], name) == 0) {
            a->asked[i] = true;
            return (value){(const char *)a->list[5 * i + 3], (const char *)a->list[5 * i + 4]};
        }
    }
    return (value){NULL, NULL};
}

static double number_at(attributes *a, const char *name)
{
    value v = get(a, name);
    double number = 0;
    const char *end;
    return v.start && nw_number_read(v.start, &number, &end) && end <= v.end ? number : 0;
}

static bool is(value v, const char *word)
{
    return v.start && (size_t)(v.end - v.start) == strlen(word) &&
           memcmp(v.start, word, strlen(word)) == 0;
}

/* Cut short where it is longer than any that our writers make. */
static void keep(kept to, value v, const char *without)
{
    if (!v.start) {
        v = (value){without, without + strlen(without)};
    }
    size_t length = (size_t)(v.end - v.start);
    length = length < sizeof(kept) ? length : sizeof(kept) - 1;
    memcpy(to, v.start, length);
    to[length] = '\0';
}

static void refuse(reader *r, const char *what, const char *name)
{
    if (!r->wrong[0]) {
        strncat(r->wrong, what, sizeof r->wrong - 1);
        strncat(r->wrong, name, sizeof r->wrong - 1 - strlen(r->wrong));
    }
}

/* ---- what is set before anything is drawn ------------------------------------------------- */

/* True when it has changed; then it is kept. */
static bool changed(kept set, const kept now)
{
    if (strcmp(set, now) == 0) {
        return false;
    }
    memcpy(set, now, sizeof(kept));
    return true;
}

static int hex_digit(char c)
{
    return c >= 'a' && c <= 'f' ? c - 'a' + 10 : c >= '0' && c <= '9' ? c - '0' : -1;
}

/* "#rrggbb"; or "url(#name)", for which there is one pattern. */
static void colour_set(reader *r, const kept colour, bool fill)
{
    if (fill && strncmp(colour, "url(#", 5) == 0) {
        nw_text_add(r->out, "/Pattern cs /");
        nw_text_add_bytes(r->out, colour + 5, strcspn(colour + 5, ")"));
        nw_text_add(r->out, " scn\n");
        return;
    }
    double parts[3] = {0, 0, 0};
    for (int i = 0; i < 3 && strlen(colour) == 7; i++) {
        parts[i] = (hex_digit(colour[1 + 2 * i]) * 16 + hex_digit(colour[2 + 2 * i])) / 255.0;
    }
    if (colour[0] != '#' || strlen(colour) != 7) {
        refuse(r, "colour ", colour);
    }
    report_pdf_numbers(r->out, parts, 3, fill ? "rg" : "RG");
}

static void line_set(reader *r, attributes *a)
{
    kept stroke, width, dash, join;
    keep(stroke, get(a, "stroke"), "");
    keep(width, get(a, "stroke-width"), "1");
    keep(dash, get(a, "stroke-dasharray"), r->groups[r->depth].dash);
    keep(join, get(a, "stroke-linejoin"), r->groups[r->depth].join);
    if (changed(r->set->stroke, stroke)) {
        colour_set(r, stroke, false);
    }
    if (changed(r->set->width, width)) {
        nw_text_format(r->out, "%s w\n", width);
    }
    if (changed(r->set->dash, dash)) {
        nw_text_format(r->out, "[%s] 0 d\n", dash);
    }
    if (changed(r->set->join, join)) {
        nw_text_add(r->out, strcmp(join, "round") == 0 ? "1 j\n" : "0 j\n");
    }
}

static void fill_set(reader *r, value fill)
{
    kept colour;
    keep(colour, fill, "#000000");
    if (changed(r->set->fill, colour)) {
        colour_set(r, colour, true);
    }
}

static void paint_begin(reader *r, attributes *a)
{
    value fill = get(a, "fill");
    if (!is(fill, "none")) {
        fill_set(r, fill);
    }
    if (get(a, "stroke").start) {
        line_set(r, a);
    }
}

static void paint_end(reader *r, attributes *a)
{
    bool fill = !is(get(a, "fill"), "none"), stroke = get(a, "stroke").start;
    bool even_odd = is(get(a, "fill-rule"), "evenodd");
    nw_text_add(r->out, fill && stroke ? "B" : fill ? "f" : stroke ? "S" : "n");
    nw_text_add(r->out, fill && even_odd ? "*\n" : "\n");
}

/* ---- elements ------------------------------------------------------------------------------- */

static void draw_path(reader *r, attributes *a)
{
    paint_begin(r, a);
    value data = get(a, "d");
    if (!report_pdf_path(r->out, data.start, data.end)) {
        refuse(r, "path data", "");
    }
    paint_end(r, a);
}

static void draw_line(reader *r, attributes *a)
{
    line_set(r, a);
    double from[] = {number_at(a, "x1"), number_at(a, "y1")};
    double to[] = {number_at(a, "x2"), number_at(a, "y2")};
    report_pdf_numbers(r->out, from, 2, "m");
    report_pdf_numbers(r->out, to, 2, "l");
    nw_text_add(r->out, "S\n");
}

static void draw_circle(reader *r, attributes *a)
{
    paint_begin(r, a);
    report_pdf_circle(r->out, (nw_point){number_at(a, "cx"), number_at(a, "cy")},
                      number_at(a, "r"));
    paint_end(r, a);
}

static void draw_rect(reader *r, attributes *a)
{
    paint_begin(r, a);
    double box[] = {number_at(a, "x"), number_at(a, "y"), number_at(a, "width"),
                    number_at(a, "height")};
    report_pdf_numbers(r->out, box, 4, "re");
    paint_end(r, a);
}

static void open_text(reader *r, attributes *a)
{
    r->in_letters = true;
    r->at = (nw_point){number_at(a, "x"), number_at(a, "y")};
    r->size = number_at(a, "font-size");
    r->bold = is(get(a, "font-weight"), "bold");
    value anchor = get(a, "text-anchor");
    r->anchor = anchor.start ? *anchor.start : 's';
    keep(r->colour, get(a, "fill"), "#000000");
}

static void close_text(reader *r)
{
    const char *letters = r->letters.data ? r->letters.data : "";
    double width = r->anchor == 's' ? 0 : report_pdf_width(letters, r->size, r->bold);
    r->at.x -= r->anchor == 'm' ? width / 2 : width;
    fill_set(r, (value){r->colour, r->colour + strlen(r->colour)});
    report_pdf_letters(r->out, r->at, r->size, r->bold, letters);
}

static void open_title(reader *r, attributes *a)
{
    (void)a;
    r->in_letters = true;
}

static void close_title(reader *r)
{
    nw_text_add(&r->drawing->title, r->letters.data ? r->letters.data : "");
}

static void open_svg(reader *r, attributes *a)
{
    r->drawing->width = number_at(a, "width");
    r->drawing->height = number_at(a, "height");
    value box = get(a, "viewBox");
    if (!box.start || strncmp(box.start, "0 0 ", 4) != 0) {
        refuse(r, "viewBox", "");
    }
}

static void open_group(reader *r, attributes *a)
{
    const group *outer = &r->groups[r->depth];
    if (r->depth + 1 == DEPTH_MOST) {
        refuse(r, "depth", "");
        return;
    }
    group *inner = &r->groups[++r->depth];
    keep(inner->dash, get(a, "stroke-dasharray"), outer->dash);
    keep(inner->join, get(a, "stroke-linejoin"), outer->join);
}

static void close_group(reader *r)
{
    r->depth--;
}

static void open_pattern(reader *r, attributes *a)
{
    report_pdf_drawing *drawing = r->drawing;
    kept name, turn;
    keep(name, get(a, "id"), "");
    keep(turn, get(a, "patternTransform"), "");
    const char *end;
    if (drawing->pattern.data || strlen(name) >= sizeof drawing->pattern_name ||
        strncmp(turn, "rotate(", 7) != 0 || !nw_number_read(turn + 7, &drawing->turn_deg, &end)) {
        refuse(r, "pattern ", name);
        return;
    }
    strcpy(drawing->pattern_name, name);
    drawing->cell[0] = number_at(a, "width");
    drawing->cell[1] = number_at(a, "height");
    r->out = &drawing->pattern;
    r->set = &r->cell;
}

static void close_pattern(reader *r)
{
    r->out = &r->drawing->content;
    r->set = &r->page;
}

typedef struct {
    const char *name;
    void (*open)(reader *r, attributes *a);
    void (*close)(reader *r);
} element;

static const element *element_find(const char *name)
{
    static const element elements[] = {
        {"circle", draw_circle, NULL},   {"defs", NULL, NULL},
        {"g", open_group, close_group},  {"line", draw_line, NULL},
        {"path", draw_path, NULL},       {"pattern", open_pattern, close_pattern},
        {"rect", draw_rect, NULL},       {"svg", open_svg, NULL},
        {"text", open_text, close_text}, {"title", open_title, close_title},
    };
    for (size_t i = 0; i < sizeof elements / sizeof *elements; i++) {
        if (strcmp(elements[i].name, name) == 0) {
            return &elements[i];
        }
    }
    return NULL;
}

/* ---- reading -------------------------------------------------------------------------------- */

/* Attributes that change nothing here. */
static void pass_over(attributes *a)
{
    static const char *const names[] = {"fill", "font-family", "id", "patternUnits", "version"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        get(a, names[i]);
    }
}

static void on_open(void *context, const xmlChar *name, const xmlChar *prefix, const xmlChar *uri,
                    int namespace_count, const xmlChar **namespaces, int count, int defaulted,
                    const xmlChar **list)
{
    (void)prefix, (void)uri, (void)namespace_count, (void)namespaces, (void)defaulted;
    reader *r = context;
    attributes a = {.list = list, .count = count};
    const element *e = element_find((const char *)name);
    if (!e || count > ATTRIBUTES_MOST) {
        refuse(r, "element ", (const char *)name);
        return;
    }
    if (e->open && !r->wrong[0]) {
        e->open(r, &a);
    }
    pass_over(&a);
    for (int i = 0; i < count; i++) {
        if (!a.asked[i]) {
            refuse(r, "attribute ", (const char *)list[5 * i]);
        }
    }
}

static void on_close(void *context, const xmlChar *name, const xmlChar *prefix, const xmlChar *uri)
{
    (void)prefix, (void)uri;
    reader *r = context;
    const element *e = element_find((const char *)name);
    if (e && e->close && !r->wrong[0]) {
        e->close(r);
        nw_text_free(&r->letters);
        r->in_letters = false;
    }
}

static void on_letters(void *context, const xmlChar *letters, int length)
{
    reader *r = context;
    if (r->in_letters) {
        nw_text_add_bytes(&r->letters, (const char *)letters, (size_t)length);
    }
}

static bool parse(reader *r, const nw_text *svg)
{
    xmlSAXHandler handler = {.initialized = XML_SAX2_MAGIC,
                             .startElementNs = on_open,
                             .endElementNs = on_close,
                             .characters = on_letters};
    xmlParserCtxtPtr parser = xmlCreateMemoryParserCtxt(svg->data, (int)svg->length);
    if (!parser) {
        return false;
    }
    xmlSAXHandler *own = parser->sax;
    parser->sax = &handler;
    parser->userData = r;
    xmlCtxtUseOptions(parser,
                      XML_PARSE_NONET | XML_PARSE_HUGE | XML_PARSE_NOERROR | XML_PARSE_NOWARNING);
    xmlParseDocument(parser);
    bool good = parser->wellFormed;
    parser->sax = own;
    xmlFreeParserCtxt(parser);
    return good;
}

nw_status report_pdf_read(const nw_text *svg, report_pdf_drawing *drawing, nw_error *error)
{
    *drawing = (report_pdf_drawing){0};
    reader r = {.drawing = drawing, .out = &drawing->content, .set = &r.page};
    if (svg->length > INT32_MAX) {
        return nw_fail(error, NW_INTERNAL, "the drawing is too large for a PDF");
    }
    bool good = parse(&r, svg);
    bool failed = drawing->content.failed || drawing->pattern.failed || drawing->title.failed ||
                  r.letters.failed;
    nw_text_free(&r.letters);
    if (failed || (!good && !r.wrong[0])) {
        report_pdf_drawing_free(drawing);
        return nw_fail_memory(error, "the drawing as PDF");
    }
    if (r.wrong[0] || !(drawing->width > 0 && drawing->height > 0)) {
        report_pdf_drawing_free(drawing);
        return nw_fail(error, NW_INTERNAL, "the drawing cannot be made a PDF: %s",
                       r.wrong[0] ? r.wrong : "no size");
    }
    return NW_OK;
}

void report_pdf_drawing_free(report_pdf_drawing *drawing)
{
    if (drawing) {
        nw_text_free(&drawing->title);
        nw_text_free(&drawing->content);
        nw_text_free(&drawing->pattern);
    }
}
