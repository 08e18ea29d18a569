/* drawing: an SVG drawing's shapes to a drawing at its real size, and what was left out of it. */
#include <art/loading.h>
#include <solid/solid.h>

#include <math.h>

#define SEAM_OF_SIZE 2e-5

static nw_status note_left_out(nw_loading *loading)
{
    const nw_svg_notes *svg = &loading->art->svg;
    const nw_art_options *options = loading->options;
    const nw_note rows[] = {
        {.code = options->skip_hairlines ? NW_NOTE_HAIRLINES_OUT : NW_NOTE_HAIRLINES,
         .count = svg->hairlines,
         .number = svg->only_hairlines},
        {.code = NW_NOTE_UNSCALED, .count = svg->unscaled},
        {.code = NW_NOTE_BESIDE, .count = svg->beside},
        {.code = NW_NOTE_RINGS, .count = svg->rings, .number = svg->gaps},
        {.code = NW_NOTE_TEXTS, .count = svg->unread.texts},
        {.code = NW_NOTE_IMAGES, .count = svg->unread.images},
        {.code = NW_NOTE_MARKS, .count = svg->unread.marks},
        {.code = NW_NOTE_EFFECTS, .count = svg->unread.effects},
        {.code = NW_NOTE_RULES, .count = svg->unread.rules},
        {.code = NW_NOTE_SHADES, .count = svg->unread.shades},
        {.code = NW_NOTE_OFF_PAGE, .count = svg->off_page},
        {.code = NW_NOTE_COLOURS, .count = svg->several},
        {.code = NW_NOTE_LIGHT, .count = svg->light},
        /* What asks for pixels may be meant for another file. */
        {.code = NW_NOTE_INK_UNUSED, .count = options->picture.ink != NW_INK_AUTO},
        {.code = NW_NOTE_LEVEL_UNUSED, .count = options->picture.level_kind != NW_LEVEL_AUTO},
        {.code = NW_NOTE_SMOOTH_UNUSED, .count = options->smooth > 0},
    };
    nw_status status = NW_OK;
    for (size_t i = 0; i < sizeof rows / sizeof *rows && status == NW_OK; i++)
        status = nw_art_note_count(loading, rows[i]);
    return status;
}

/* The area as read under which a piece is dirt; by default none is, for somebody drew it. */
static nw_status dirt_area(nw_loading *loading, double *area)
{
    const nw_art_options *options = loading->options;
    const nw_drawing *drawing = &loading->art->drawing;
    *area = 0;
    if (options->fill != NW_DIRT_USUAL) {
        return nw_fail_advised(loading->error, NW_BAD_REQUEST, NW_ADVICE_FILL,
                               "the holes of an SVG drawing stay as they were drawn");
    }
    if (options->dirt == NW_DIRT_PX) {
        return nw_fail_advised(loading->error, NW_BAD_REQUEST, NW_ADVICE_DIRT,
                               "an SVG drawing has no pixels; give square millimetres, as in "
                               "0.5mm2");
    }
    double factor = 1;
    nw_status status = options->dirt == NW_DIRT_MM2
                           ? nw_art_factor(loading, drawing->width, drawing->height, true, &factor)
                           : NW_OK;
    if (status == NW_OK && options->dirt == NW_DIRT_MM2)
        *area = options->dirt_area / (factor * factor);
    return status;
}

static nw_status pieces_find(nw_loading *loading)
{
    nw_art *art = loading->art;
    double area;
    nw_status status = dirt_area(loading, &area);
    if (status == NW_OK)
        status = nw_drawing_pieces(&art->drawing, area, &art->pieces, loading->error);
    for (size_t i = 0; status == NW_OK && i < art->pieces.count; i++)
        art->pieces.items[i].kept = art->pieces.items[i].guess != NW_PIECE_SPECK;
    for (size_t i = 0; i < art->drawing.count; i++)
        art->drawing.paths[i].number = art->drawing.paths[i].piece + 1;
    return status == NW_OK ? nw_art_choose(loading) : status;
}

/* Copies what was dropped out of the whole drawing. */
static nw_status rest_copy(nw_loading *loading)
{
    nw_art *art = loading->art;
    nw_status status = nw_drawing_copy(&art->drawing, &art->rest, loading->error);
    if (status == NW_OK) {
        nw_pieces_swap(&art->pieces);
        status = nw_drawing_keep(&art->rest, &art->pieces, loading->error);
        nw_pieces_swap(&art->pieces);
    }
    return status;
}

/* A share of the art's size, whatever that will be: it tells as many digits as drawings are kept
 * in, and art closed at one size is closed at each. */
static nw_status seams_close(nw_loading *loading)
{
    nw_drawing *drawing = &loading->art->drawing;
    nw_note note = {.code = NW_NOTE_SEAMS,
                    .value = SEAM_OF_SIZE * fmax(drawing->width, drawing->height)};
    nw_status status =
        note.value > 0 ? nw_drawing_close_seams(drawing, note.value, &note.count, loading->error)
                       : NW_OK;
    if (status == NW_OK && note.count)
        nw_drawing_settle(drawing);
    return status == NW_OK ? nw_art_note_count(loading, note) : status;
}

/* From the drawing as read. */
static nw_status drawing_finish(nw_loading *loading)
{
    nw_art *art = loading->art;
    nw_status status = seams_close(loading);
    if (status == NW_OK)
        status = pieces_find(loading);
    bool rest = nw_art_has_rest(loading);
    if (status == NW_OK && rest)
        status = rest_copy(loading);
    if (status == NW_OK)
        status = nw_drawing_keep(&art->drawing, &art->pieces, loading->error);
    if (status == NW_OK) {
        status =
            nw_drawing_lines(&art->drawing, loading->options->lines, &art->lines, loading->error);
    }
    if (status == NW_OK)
        status = nw_art_place(loading, loading->options->need_size);
    return status == NW_OK && rest ? nw_art_place_rest(loading) : status;
}

nw_status nw_art_from_svg(nw_loading *loading)
{
    if (!loading->options->skip_unread)
        loading->art->unread = loading->art->svg.unread;
    nw_status status = note_left_out(loading);
    return status == NW_OK ? drawing_finish(loading) : status;
}

static double rounded(double place)
{
    double whole = trunc(place);
    return whole + round((place - whole) * NW_WRITTEN_PER_MM) / NW_WRITTEN_PER_MM;
}

static nw_point point_rounded(nw_point p, nw_point corner)
{
    return (nw_point){rounded(p.x - corner.x), rounded(p.y - corner.y)};
}

/* As a file holds it: places rounded, from the upper left corner of the page, and lines that come
 * to nothing left out. */
static void path_round(nw_path *path, nw_point corner)
{
    size_t count = 0;
    nw_point from = path->start, at = point_rounded(from, corner);
    path->start = at;
    for (size_t i = 0; i < path->count; i++) {
        nw_step step = path->steps[i];
        bool closing = path->closed && i + 1 == path->count;
        nw_point to = point_rounded(step.to, corner);
        bool nothing = closing ? to.x == at.x && to.y == at.y
                               : nw_distance(from, step.to) * NW_WRITTEN_PER_MM < 1;
        if (step.kind == NW_LINE && nothing)
            continue;
        from = step.to;
        at = to;
        path->steps[count++] = (nw_step){.kind = step.kind,
                                         .a = point_rounded(step.a, corner),
                                         .b = point_rounded(step.b, corner),
                                         .to = to};
    }
    path->count = count;
}

nw_status nw_art_from_drawing(nw_loading *loading, const nw_drawing *drawing)
{
    nw_art *art = loading->art;
    nw_status status = nw_drawing_copy(drawing, &art->drawing, loading->error);
    nw_box box = nw_drawing_box(drawing);
    nw_point corner = {fmin(box.min.x, 0), fmax(box.max.y, drawing->height)};
    for (size_t i = 0; i < art->drawing.count; i++)
        path_round(&art->drawing.paths[i], corner);
    art->svg.sized = true;
    if (status == NW_OK)
        status = nw_drawing_unite(&art->drawing, &art->drawing, loading->error);
    if (status != NW_OK)
        return status;
    art->drawing.placed = drawing->placed;
    art->drawing.placed.e -= corner.x;
    art->drawing.placed.f -= corner.y;
    nw_drawing_settle(&art->drawing);
    return drawing_finish(loading);
}
