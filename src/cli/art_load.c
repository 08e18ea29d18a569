/*
 * art: from ART to a drawing at its real size, the way that every command goes: read, tell the
 * kind, find ink or shapes, choose the pieces, trace, place, flatten.
 */
#include <cli/art.h>
#include <svg/svg.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LARGEST_FILE ((size_t)2000000000)
#define SMALLEST_ART_MM 0.1 /* nothing of that size is cut; points would fall together */

void art_free(cli_art *art)
{
    nw_pieces_free(&art->pieces);
    nw_drawing_free(&art->drawing);
    nw_drawing_free(&art->rest);
    nw_region_free(&art->region);
    nw_page_picture_free(&art->behind);
    free(art->numbers);
    notes_free(&art->notes);
    *art = (cli_art){0};
}

/* Says which file is bad, in front of what is bad about it. */
static nw_status name_input(const char *path, nw_error *error)
{
    nw_error inner = *error;
    bool standard = strcmp(path, "-") == 0;
    return nw_fail(error, inner.code, standard ? "standard input: %s%s" : "'%s': %s",
                   standard ? "" : path, inner.message);
}

static nw_status shapes_read(const char *path, const cli_request *request, art_wants wants,
                             cli_talk *talk, cli_art *art, nw_error *error)
{
    nw_bytes bytes;
    nw_status status = nw_file_read(path, LARGEST_FILE, &bytes, error);
    if (status != NW_OK) {
        return status;
    }
    if (nw_svg_known(bytes.data, bytes.length)) {
        status = art_from_svg(&bytes, request, wants, talk, art, error);
    } else {
        status = art_from_picture(&bytes, request, wants, talk, art, error);
    }
    nw_bytes_free(&bytes);
    return status == NW_BAD_INPUT ? name_input(path, error) : status;
}

/* Refuses art of no size to speak of, which would seem to fit any bit. */
static nw_status size_check(const cli_art *art, nw_error *error)
{
    if (art->sized && fmax(art->drawing.width, art->drawing.height) < SMALLEST_ART_MM) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "at that size the art is smaller than a tenth of a millimetre; is the unit "
                       "right?");
    }
    return NW_OK;
}

nw_status art_load(const char *path, const cli_request *request, art_wants wants, cli_talk *talk,
                   cli_art *art, nw_error *error)
{
    *art = (cli_art){0};
    nw_status status = wants.region ? lines_check(request, error) : NW_OK;
    if (status != NW_OK) {
        return status;
    }
    status = shapes_read(path, request, wants, talk, art, error);
    if (status == NW_OK) {
        status = size_check(art, error);
    }
    if (status == NW_OK) {
        status = size_note(request, talk, art, error);
    }
    if (status == NW_OK) {
        status = lines_note(request, talk, art, error);
    }
    if (status == NW_OK && wants.region) {
        status = nw_drawing_flatten(&art->drawing, NW_FLATNESS_MM, &art->region, error);
    }
    if (status != NW_OK) {
        art_free(art);
    }
    return status;
}
