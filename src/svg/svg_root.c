/*
 * svg_root: the outermost svg element -> the page, its size in millimetres, and what is on it
 * (SVG 1.1, chapter 7).
 */
#include <svg/svg_internal.h>

#include <string.h>

#define MM_PER_PX (NW_MM_PER_INCH / 96)

typedef struct {
    double width, height; /* user units outside the viewBox; 0: not stated */
    bool has_view;
    nw_box view;
} page_size;

/* One side of the page; 0 when it is missing, or a share of something unknown. */
static nw_status side_read(nw_svg_reader *reader, const nw_svg_element *root, const char *name,
                           nw_svg_frame view, nw_svg_direction direction, double *side)
{
    const char *text = nw_svg_attribute_of(root, name);
    bool real = false;
    *side = 0;
    if (!text || strcmp(nw_svg_skip_space(text), "auto") == 0)
        return NW_OK;
    if (!nw_svg_length_read(text, view, direction, side, &real) || *side < 0 ||
        *side * MM_PER_PX > SVG_FARTHEST_MM) {
        return nw_fail(reader->error, NW_BAD_INPUT, "%s%s=\"%.40s\" is not a size",
                       nw_svg_line(root->line).words, name, text);
    }
    if (*side == 0 && !strchr(text, '%')) {
        return nw_fail(reader->error, NW_BAD_INPUT, "%sthe page has no %s",
                       nw_svg_line(root->line).words, name);
    }
    reader->notes.sized |= real;
    return NW_OK;
}

static nw_status page_read(nw_svg_reader *reader, const nw_svg_element *root, page_size *page)
{
    *page = (page_size){0};
    const char *view = nw_svg_attribute_of(root, "viewBox");
    nw_affine unused;
    page->has_view = view && nw_svg_view_box_read(view, NULL, 1, 1, &unused, &page->view);
    double view_width = nw_box_width(page->view);
    double view_height = nw_box_height(page->view);
    nw_svg_frame frame = {view_width, view_height, 16};
    nw_status status = side_read(reader, root, "width", frame, ALONG_X, &page->width);
    status = status ? status : side_read(reader, root, "height", frame, ALONG_Y, &page->height);
    if (status || !page->has_view)
        return status;
    if (!(view_width > 0) || !(view_height > 0))
        return nw_fail(reader->error, NW_BAD_INPUT, "%sthe viewBox is empty",
                       nw_svg_line(root->line).words);
    if (page->width == 0)
        page->width = page->height > 0 ? page->height * view_width / view_height : view_width;
    if (page->height == 0)
        page->height = page->width * view_height / view_width;
    return NW_OK;
}

nw_status nw_svg_root_draw(nw_svg_reader *reader)
{
    const nw_svg_element *root = reader->tree->root;
    page_size page;
    if (!root)
        return nw_fail(reader->error, NW_BAD_INPUT, "the drawing has no elements");
    if (nw_svg_list_has(nw_svg_attribute_of(root, "class"), NW_SVG_SHEET, strlen(NW_SVG_SHEET))) {
        return nw_fail(
            reader->error, NW_BAD_INPUT,
            "this drawing of narrows is to look at; outline.svg or fixed.svg beside it is "
            "the art");
    }
    nw_status status = page_read(reader, root, &page);
    if (status)
        return status;
    nw_svg_style initial = nw_svg_style_initial(), style = nw_svg_style_of(reader, root, &initial);
    nw_svg_place place = {.matrix = {MM_PER_PX, 0, 0, -MM_PER_PX, 0, 0}, .opacity = style.opacity};
    place.frame = (nw_svg_frame){page.width, page.height, style.font_size};
    reader->painting.page = (nw_box){{1, 0}, {0, 0}};
    if (page.width > 0 && page.height > 0) {
        nw_box box = {{0, 0}, {page.width, page.height}};
        status = nw_svg_clip_rectangle(reader, &place, box);
        reader->page_clip = place.clip;
        reader->painting.page =
            (nw_box){{0, -page.height * MM_PER_PX}, {page.width * MM_PER_PX, 0}};
    }
    if (!status && page.has_view) {
        nw_affine matrix;
        nw_svg_view_box_read(nw_svg_attribute_of(root, "viewBox"),
                             nw_svg_attribute_of(root, "preserveAspectRatio"), page.width,
                             page.height, &matrix, &page.view);
        place.matrix = nw_affine_after(place.matrix, matrix);
        place.frame.width = nw_box_width(page.view);
        place.frame.height = nw_box_height(page.view);
    }
    status = status ? status : nw_svg_place_enter(reader, root, &place);
    status = status ? status : nw_svg_clip_enter(reader, root, &style, &place);
    if (status || !style.displayed)
        return status;
    place.depth = 1;
    for (const nw_svg_element *n = nw_svg_first_child(root); n && !status; n = nw_svg_next(n))
        status = nw_svg_element_draw(reader, n, &style, place);
    return status;
}
