/* lines: art that is drawn as thick lines: said, and replaced as --lines asks. */
#include <cli/art.h>

nw_status lines_replace(const cli_request *request, cli_art *art, nw_error *error)
{
    nw_status status = nw_drawing_lines(&art->drawing, request->lines.mode, &art->lines, error);
    art->origin.x += art->lines.origin.x;
    art->origin.y += art->lines.origin.y;
    return status;
}

nw_status lines_check(const cli_request *request, nw_error *error)
{
    if (request->lines.mode != NW_LINES_MIDDLE) {
        return NW_OK;
    }
    return nw_fail(error, NW_BAD_REQUEST,
                   "--lines middle gives curves without area, for engraving, which no bit can be "
                   "checked against; 'narrows outline' writes them, alone");
}

/* What has become of the lines, or what could. */
static const char *outcome(const cli_request *request)
{
    static const char *const taken[] = {
        [NW_LINES_AS_DRAWN] = "both edges are kept, as asked",
        [NW_LINES_OUTER] = "only the outer edge is kept, filled",
        [NW_LINES_INNER] = "only the inner edges are kept, filled",
        [NW_LINES_MIDDLE] = "only the middle is kept, as curves without area",
    };
    return request->lines.given
               ? taken[request->lines.mode]
               : "each line has two edges; --lines outer fills the whole, --lines inner what the "
                 "lines enclose, and 'narrows outline --lines middle' gives curves to engrave";
}

/* What stays as it was drawn though something else was asked for. */
static void add_unchanged(nw_text *line, const cli_request *request, const nw_line_notes *notes)
{
    bool edges = request->lines.mode == NW_LINES_OUTER || request->lines.mode == NW_LINES_INNER;
    if (edges && notes->open) {
        nw_text_format(line, "; %zu of the lines enclose%s nothing and stay%s as drawn",
                       notes->open, notes->open == 1 ? "s" : "", notes->open == 1 ? "s" : "");
    }
    if (notes->wide) {
        nw_text_format(line, "; %zu part%s of them %s too wide for a line and keep%s %s edges",
                       notes->wide, notes->wide == 1 ? "" : "s", notes->wide == 1 ? "is" : "are",
                       notes->wide == 1 ? "s" : "", notes->wide == 1 ? "its" : "their");
    }
    if (notes->others && request->lines.mode != NW_LINES_AS_DRAWN) {
        nw_text_format(line, "; %zu other piece%s no line%s", notes->others,
                       notes->others == 1 ? " is" : "s are", notes->others == 1 ? "" : "s");
        nw_text_add(line, edges ? "" : " and keep");
        nw_text_add(line, edges ? "" : notes->others == 1 ? "s its edges" : " their edges");
    }
}

nw_status lines_note(const cli_request *request, cli_talk *talk, cli_art *art, nw_error *error)
{
    nw_text line = {0};
    size_t count = art->lines.pieces;
    if (count == 0 && request->lines.mode != NW_LINES_AS_DRAWN) {
        nw_text_add(&line, "--lines does nothing here: no piece is drawn as a line");
    } else if (count) {
        nw_text_format(&line, "%zu piece%s drawn as lines about ", count,
                       count == 1 ? " is" : "s are");
        if (art->sized) {
            nw_write_length(&line, art->lines.width * art->unit_mm, request->inch);
        } else {
            nw_text_number(&line, art->lines.width, 2);
            nw_text_add(&line, " px");
        }
        nw_text_add(&line, " wide: ");
        nw_text_add(&line, outcome(request));
        add_unchanged(&line, request, &art->lines);
    } else {
        return NW_OK;
    }
    return talk_note(talk, &art->notes, &line, error);
}
