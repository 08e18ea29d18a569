/*
 * engine_load: art that the browser has decoded or parsed -> outlines, as the command makes them of
 * the same file.
 *
 * Options in: ink, its red, green and blue; kind of level, level; kind of dirt,
 * its area; lines; smooth; width, height, ppi; turn, mirror: all as in nw_art_options.
 *
 * An SVG drawing in: its elements in order, as texts one after the other, each with its NUL; the
 * first byte says what a text is: '<' an element of SVG's begins, '{' one of another namespace,
 * 'a' an attribute's name, 'f' that of one with a namespace, 'v' its value, 't' the words of a
 * style sheet or a text, '>' the element ends.
 *
 * Outlines out: width, height; picture (1) or drawing (0); pixels per inch stated; the size is
 * known; the place of the picture, a to f; its width and height; the doubts, as page_doubts takes
 * them; notes; the pieces; then for each its number; then the outlines as page_load takes them.
 */
#include <report/page/engine.h>

#include <stdlib.h>
#include <string.h>

void EXPORT(page_options)(page *p, const double *n, const char *keep, const char *drop);
int EXPORT(page_picture)(page *p, const uint8_t *rgba, uint32_t width, uint32_t height, double ppi,
                         int coarse_colour);
int EXPORT(page_svg)(page *p, const char *texts, size_t length, size_t bytes);
int EXPORT(page_outlines)(page *p);
int EXPORT(page_rack_common)(page *p, double stock);
const char *EXPORT(page_note)(page *p, size_t note, int inch);
const char *EXPORT(page_bit_name)(const page *p, size_t bit);

static const char *words_take(nw_text *to, const char *words)
{
    nw_text_free(to);
    if (!*words)
        return NULL;
    nw_text_add(to, words);
    return to->data;
}

/* keep, drop: "" where nothing was said. */
void page_options(page *p, const double *n, const char *keep, const char *drop)
{
    nw_art_options o = nw_art_defaults();
    o.picture.ink = (nw_ink_kind)n[0];
    for (int i = 0; i < 3; i++)
        o.picture.colour[i] = (uint8_t)n[1 + i];
    o.picture.level_kind = (nw_level_kind)n[4];
    o.picture.level = (int)n[5];
    o.dirt = (nw_dirt)n[6];
    o.dirt_area = n[7];
    o.lines = (nw_lines)n[8];
    o.smooth = n[9];
    o.wide = n[10];
    o.high = n[11];
    o.ppi = n[12];
    o.turn_deg = n[13];
    o.mirror = n[14] != 0;
    o.need_region = false;
    o.keep = words_take(&p->keep, keep);
    o.drop = words_take(&p->drop, drop);
    p->options = o;
}

int page_picture(page *p, const uint8_t *rgba, uint32_t width, uint32_t height, double ppi,
                 int coarse_colour)
{
    nw_pixels pixels = {rgba, width, height, ppi, coarse_colour};
    nw_art_free(&p->loaded);
    return (int)nw_art_of_pixels(&pixels, &p->options, &p->loaded, &p->error);
}

/* ---- SVG ------------------------------------------------------------------------------------ */

/* The attributes that follow on an element's beginning. */
static size_t attributes_count(const char *at, const char *end)
{
    size_t count = 0;
    for (; at < end && strchr("afv", *at); at += strlen(at) + 1)
        count += *at != 'v';
    return count;
}

static void elements_build(nw_svg_elements *tree, const char *texts, size_t length)
{
    const char *end = texts + length, *name = "";
    for (const char *at = texts, *next; at < end; at = next) {
        next = at + strlen(at) + 1;
        if (*at == '<' || *at == '{') {
            nw_svg_element_begin(tree, at + 1, *at == '{', 0);
            nw_svg_attributes_expect(tree, attributes_count(next, end));
        } else if (*at == 'a' || *at == 'f') {
            name = at;
        } else if (*at == 'v') {
            nw_svg_attribute_add(tree, name + 1, at + 1, *name == 'f');
        } else if (*at == 't') {
            nw_svg_text_set(tree, at + 1);
        } else {
            nw_svg_element_end(tree);
        }
    }
    nw_svg_elements_index(tree);
}

/* bytes: the length of the drawing's file. */
int page_svg(page *p, const char *texts, size_t length, size_t bytes)
{
    nw_svg_elements tree = {0};
    nw_art_free(&p->loaded);
    elements_build(&tree, texts, length);
    nw_status status = tree.failed ? nw_fail_memory(&p->error, "the drawing") : NW_OK;
    if (status == NW_OK)
        status = nw_art_of_elements(&tree, bytes, &p->options, &p->loaded, &p->error);
    nw_svg_elements_free(&tree);
    return (int)status;
}

/* ---- out ------------------------------------------------------------------------------------ */

int page_outlines(page *p)
{
    const nw_art *art = &p->loaded;
    nw_affine m = nw_placed_from_top(art->drawing.placed, art->picture.height);
    nw_page_numbers pieces = {0};
    nw_page_numbers_pieces(&pieces, &art->drawing);
    double head[] = {art->drawing.width,
                     art->drawing.height,
                     art->from_picture,
                     art->own_ppi,
                     art->sized,
                     m.a,
                     m.b,
                     m.c,
                     m.d,
                     m.e,
                     m.f,
                     art->picture.width,
                     art->picture.height,
                     art->sure,
                     (double)art->unread.texts,
                     (double)art->unread.images,
                     (double)art->unread.marks,
                     (double)art->unread.effects,
                     (double)art->unread.shades,
                     (double)art->note_count,
                     (double)pieces.count};
    p->numbers.count = 0;
    p->numbers.failed = pieces.failed;
    nw_page_numbers_add(&p->numbers, head, sizeof head / sizeof *head);
    nw_page_numbers_add(&p->numbers, pieces.items, pieces.count);
    nw_page_numbers_drawing(&p->numbers, &art->drawing);
    free(pieces.items);
    return p->numbers.failed ? (int)nw_fail_memory(&p->error, "the outlines") : NW_OK;
}

/* A note on what was decided, as a line; "" for what is of use to few. */
const char *page_note(page *p, size_t note, int inch)
{
    nw_note_report report = {.art = &p->loaded, .options = &p->options, .inch = inch};
    nw_text_free(&p->text);
    if (note < p->loaded.note_count &&
        nw_write_note(&report, &p->loaded.notes[note], &p->text) == NW_WEIGHT_DETAIL)
        nw_text_free(&p->text);
    return p->text.failed || !p->text.data ? "" : p->text.data;
}

/* The rack that narrows knows; in numbers (7 each) as page_rack takes them, and how wide each cuts
 * at the top of stock this thick. */
int page_rack_common(page *p, double stock)
{
    nw_rack_free(&p->rack);
    nw_status status = nw_rack_common(&p->rack, &p->error);
    p->numbers.count = 0;
    p->numbers.failed = false;
    for (size_t i = 0; status == NW_OK && i < p->rack.count; i++) {
        const nw_bit *bit = &p->rack.bits[i];
        double values[] = {bit->shape,
                           bit->diameter,
                           bit->flute,
                           bit->tip,
                           bit->angle_deg,
                           bit->feed,
                           nw_bit_at_top(bit, stock)};
        nw_page_numbers_add(&p->numbers, values, sizeof values / sizeof *values);
    }
    return (int)status;
}

const char *page_bit_name(const page *p, size_t bit)
{
    return p->rack.bits[bit].name;
}
