/*
 * svg_drawing: the bytes of an SVG drawing -> outlines in millimetres, y up, as one clean drawing.
 *
 * What counts as ink: every area painted by a fill that shows on a white page (any of red, green
 * and blue below nine tenths, opacity counted in); gradients and patterns too unless all their
 * colours are paper's. A fill that would turn black into paper takes away what was painted before
 * it, so a white shape over a black one is a hole. When nothing at all is darker than paper, white
 * art for a dark ground, every fill is ink. Strokes, lettering and images are left out and noted.
 * Lengths follow CSS: 96 px to the inch. What lies beyond the page is not seen, so it is cut off.
 */
#include <svg/svg_internal.h>

#include <stdlib.h>
#include <string.h>

/* ---- telling an SVG by its first bytes ----------------------------------------------------- */

#define MOST_PROLOGUE 65536

/* The prologue's characters as plain bytes; a UTF-16 text gives its low bytes. */
static size_t prologue_copy(const uint8_t *data, size_t length, char *text, size_t size)
{
    size_t step = 1, at = 0;
    if (length >= 4 && ((data[0] == 0xFF && data[1] == 0xFE) || (data[0] == '<' && !data[1]))) {
        step = 2;
    } else if (length >= 4 &&
               ((data[0] == 0xFE && data[1] == 0xFF) || (!data[0] && data[1] == '<'))) {
        step = 2;
        at = 1;
    }
    size_t count = 0;
    for (; at < length && count + 1 < size; at += step)
        text[count++] = data[at] ? (char)data[at] : ' ';
    text[count] = '\0';
    return count;
}

/* Behind a document type at s, its internal subset in square brackets included. */
static const char *doctype_end(const char *s)
{
    s += strcspn(s, "[>");
    if (*s == '[') {
        const char *close = strstr(s, "]");
        while (close && *nw_svg_skip_space(close + 1) != '>')
            close = strstr(close + 1, "]");
        s = close ? nw_svg_skip_space(close + 1) : s + strlen(s);
    }
    return *s ? s + 1 : s;
}

static const char *behind(const char *s, const char *mark)
{
    const char *found = strstr(s, mark);
    return found ? found + strlen(mark) : s + strlen(s);
}

bool nw_svg_known(const uint8_t *data, size_t length)
{
    char *text = nw_alloc(MOST_PROLOGUE, 1);
    if (!text)
        return length && *data == '<'; /* the reader will tell */
    prologue_copy(data, length, text, MOST_PROLOGUE);
    const char *s = text;
    s += strncmp(s, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;
    s += (*s & 0xFE) == 0xFE ? 1 : 0; /* the low byte of UTF-16's mark */
    for (;;) {
        s = nw_svg_skip_space(s);
        if (strncmp(s, "<?", 2) == 0)
            s = behind(s, "?>");
        else if (strncmp(s, "<!--", 4) == 0)
            s = behind(s, "-->");
        else if (strncmp(s, "<!", 2) == 0)
            s = doctype_end(s);
        else
            break;
    }
    bool known = false;
    if (*s == '<') {
        size_t name = strcspn(s + 1, " \t\r\n\f/>:");
        if (s[1 + name] == ':') {
            s += name + 1;
            name = strcspn(s + 1, " \t\r\n\f/>");
        }
        known = name == 3 && memcmp(s + 1, "svg", 3) == 0;
    }
    free(text);
    return known;
}

/* ---- reading ------------------------------------------------------------------------------- */

/* White art for a dark ground: nothing is ink, so all that is white becomes ink. */
static bool paper_becomes_ink(nw_painting *all)
{
    bool paper = false;
    for (size_t i = 0; i < all->shapes.count; i++) {
        nw_paint_kind paint = all->shapes.items[i].paint;
        paper = paper || paint == PAINT_PAPER;
        if (paint == PAINT_INK || paint == PAINT_FADES || paint == PAINT_PALES)
            return false;
    }
    for (size_t i = 0; i < all->shapes.count; i++) {
        nw_paint_shape *shape = &all->shapes.items[i];
        if (shape->paint == PAINT_PAPER) {
            shape->paint = PAINT_INK;
            memset(shape->colour, 0, sizeof shape->colour);
        }
    }
    return paper;
}

#define INKS_LOOKED_AT 500 /* shapes; of more it is not asked whether they meet */

/* Whether ink of two colours lies so near to one another that an edge between them may be lost, as
 * far as the boxes of their shapes tell. */
static bool has_several_inks(const nw_painting *all)
{
    nw_box boxes[INKS_LOOKED_AT];
    const double *colours[INKS_LOOKED_AT];
    size_t count = 0;
    bool several = false;
    for (size_t i = 0; i < all->shapes.count && !several; i++) {
        const nw_paint_shape *shape = &all->shapes.items[i];
        if (shape->paint != PAINT_INK)
            continue;
        nw_box box = nw_drawing_box(&shape->outline);
        for (size_t k = 0; k < count && !several; k++) {
            several = memcmp(shape->colour, colours[k], sizeof shape->colour) != 0 &&
                      (count == INKS_LOOKED_AT || nw_boxes_meet(box, boxes[k], 0));
        }
        if (count < INKS_LOOKED_AT) {
            boxes[count] = box;
            colours[count++] = shape->colour;
        }
    }
    return several;
}

static bool all_are_hairlines(const nw_svg_reader *reader)
{
    size_t inks = 0;
    for (size_t i = 0; i < reader->painting.shapes.count; i++)
        inks += reader->painting.shapes.items[i].paint != PAINT_PAPER;
    return reader->notes.hairlines > 0 && inks <= reader->notes.hairlines;
}

size_t nw_unread_count(const nw_unread *unread)
{
    return unread->texts + unread->images + unread->marks + unread->effects + unread->rules +
           unread->shades;
}

static nw_status nothing_left(const nw_svg_reader *reader, nw_error *error)
{
    const nw_unread *unread = &reader->notes.unread;
    if (unread->texts || unread->images) {
        return nw_fail(error, NW_BAD_INPUT, "the drawing has no shape, only %s",
                       !unread->images  ? "text: turn text into outlines first"
                       : !unread->texts ? "a picture"
                                        : "text and a picture");
    }
    if (reader->options.skip_hairlines && reader->notes.hairlines)
        return nw_fail(error, NW_BAD_INPUT,
                       "the drawing has no shape, only lines under 0.1 mm wide");
    if (reader->notes.beside) {
        return nw_fail(error, NW_BAD_INPUT,
                       "the drawing holds only lines without area, as narrows writes them to "
                       "engrave or to look at");
    }
    return nw_fail(error, NW_BAD_INPUT,
                   "the drawing has no shape that would show on paper; fill what is to be cut");
}

/* The text of all style elements, wherever they stand. */
static nw_status sheets_read(nw_svg_reader *reader)
{
    nw_status status = NW_OK;
    for (const nw_svg_element *e = reader->tree->root; e && !status; e = nw_svg_following(e)) {
        const char *type = nw_svg_attribute_of(e, "type");
        if (nw_svg_named(e, "style") && (!type || !*type || strcmp(type, "text/css") == 0))
            status =
                nw_svg_sheet_add(&reader->sheet, e->text, nw_svg_property_known, reader->error);
    }
    return status;
}

nw_status nw_drawing_read_elements(const nw_svg_elements *tree, size_t bytes,
                                   const nw_svg_options *options, nw_drawing *drawing,
                                   nw_svg_notes *notes, nw_error *error)
{
    *drawing = (nw_drawing){0};
    nw_svg_reader reader = {.tree = tree, .options = *options, .error = error};
    nw_status status = sheets_read(&reader);
    status = status ? status : nw_svg_root_draw(&reader);
    status = status ? status : nw_svg_lines_paint(&reader);
    if (!status) {
        reader.notes.only_hairlines = all_are_hairlines(&reader);
        reader.notes.several = has_several_inks(&reader.painting);
        reader.notes.light = paper_becomes_ink(&reader.painting);
        reader.painting.most_points = (size_t)((double)SVG_MOST_POINTS(bytes) * options->more);
        reader.painting.more = options->more;
        nw_paint_counts counts;
        status = nw_painting_unite(&reader.painting, drawing, &counts, error);
        reader.notes.off_page += counts.clipped_away;
        reader.notes.unread.shades = counts.fading;
    }
    reader.notes.unread.rules = nw_svg_sheet_unread(reader.sheet);
    if (!status && drawing->count == 0)
        status = nothing_left(&reader, error);
    if (status == NW_BAD_INPUT && error && error->advice == NW_ADVICE_NONE)
        error->advice = NW_ADVICE_RENDER;
    if (status) {
        nw_drawing_free(drawing);
    } else {
        drawing->placed = NW_UNMOVED;
        for (size_t i = 0; i < drawing->count; i++)
            drawing->paths[i].number = drawing->paths[i].piece + 1;
        nw_drawing_settle(drawing);
    }
    if (notes)
        *notes = reader.notes;
    nw_painting_free(&reader.painting);
    nw_drawing_free(&reader.lines);
    nw_svg_sheet_free(reader.sheet);
    return status;
}
