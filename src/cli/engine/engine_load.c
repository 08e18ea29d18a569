/*
 * engine_load: art that the browser has decoded or parsed -> outlines, as the command makes them of
 * the same file.
 *
 * An SVG drawing in: its elements in order, as texts one after the other, each with its NUL; the
 * first byte says what a text is: 'l' the line of the next element, 0 where it is not known, '<' an
 * element of SVG's begins, '{' one of another namespace, 'a' an attribute's name, 'f' that of one
 * with a namespace, 'v' its value, 't' the words of a style sheet or a text, '>' the element ends.
 *
 * Outlines out: width, height; picture (1) or drawing (0); pixels per inch stated; the size is
 * known; the place of the picture, a to f; its width and height; the doubts, as page_doubts takes
 * them; the pieces; then for each its number and what it was taken for; then the outlines as
 * page_load takes them.
 */
#include <cli/engine/engine_calls.h>

#include <stdlib.h>
#include <string.h>

/* So a picture stands once in the browser's memory, beside the engine's and not in it too. */
static const uint8_t *row_fetch(void *context, uint32_t y)
{
    page_row(context, y);
    return context;
}

int page_picture(page *p, uint32_t width, uint32_t height, double ppi, int coarse_colour,
                 const uint8_t *exif, size_t exif_length)
{
    uint8_t *row = nw_alloc(width, 4);
    nw_pixels pixels = {NULL, row_fetch, row, width, height, ppi, coarse_colour, exif, exif_length};
    nw_art_free(&p->loaded);
    nw_status status = row ? nw_art_of_pixels(&pixels, &p->request.art, &p->loaded, &p->error)
                           : nw_fail_memory(&p->error, "the picture");
    free(row);
    return (int)advice_add(status, &p->error);
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
    const char *end = texts + length, *name = "a"; /* of no letters until one comes */
    long line = 0;
    for (const char *at = texts, *next; at < end; at = next) {
        next = at + strlen(at) + 1;
        if (*at == 'l') {
            line = strtol(at + 1, NULL, 10);
        } else if (*at == '<' || *at == '{') {
            nw_svg_element_begin(tree, at + 1, *at == '{', line);
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
        status = nw_art_of_elements(&tree, bytes, &p->request.art, &p->loaded, &p->error);
    nw_svg_elements_free(&tree);
    return (int)advice_add(status, &p->error);
}

/* ---- out ------------------------------------------------------------------------------------ */

int page_outlines(page *p)
{
    const nw_art *art = &p->loaded;
    nw_affine m = nw_placed_from_top(art->drawing.placed, art->picture.height);
    nw_page_numbers pieces = {0};
    nw_page_numbers_pieces(&pieces, &art->drawing, &art->pieces);
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
                     (double)art->unread.rules,
                     (double)art->unread.shades,
                     (double)pieces.count / 2};
    p->numbers.count = 0;
    p->numbers.failed = pieces.failed;
    nw_page_numbers_add(&p->numbers, head, sizeof head / sizeof *head);
    nw_page_numbers_add(&p->numbers, pieces.items, pieces.count);
    nw_page_numbers_drawing(&p->numbers, &art->drawing);
    free(pieces.items);
    return p->numbers.failed ? (int)nw_fail_memory(&p->error, "the outlines") : NW_OK;
}

/* What was decided on the way to the art, as notes on what is shown. */
int page_art_notes(page *p)
{
    talk_forget(&p->talk);
    return (int)talk_art(&p->talk, &p->request, &p->loaded, &p->error);
}
