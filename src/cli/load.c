/* load: reads ART as the request asks, and says what was decided on the way. */
#include <cli/load.h>

#include <string.h>

#define LARGEST_FILE ((size_t)2000000000)

/* What is done once a picture is decoded: its bytes are a large picture's memory, long before the
 * end. */
typedef struct {
    nw_bytes bytes;
    nw_page_picture *behind; /* NULL: not wanted */
} decoding;

static nw_status picture_take(void *context, const nw_picture *picture, nw_error *error)
{
    decoding *d = context;
    nw_status status =
        d->behind ? nw_page_picture_make(&d->bytes, picture, d->behind, error) : NW_OK;
    nw_bytes_free(&d->bytes);
    return status;
}

static nw_status art_known(void *context, const nw_bytes *first, nw_error *error)
{
    (void)context;
    return nw_art_known(first->data, first->length, error);
}

/* Says which file is bad, in front of what is bad about it. */
static nw_status name_input(const char *path, nw_error *error)
{
    nw_error inner = *error;
    bool standard = strcmp(path, "-") == 0;
    return nw_fail(error, inner.code, standard ? "standard input: %s%s" : "'%s': %s",
                   standard ? "" : path, inner.message);
}

nw_status art_notes(const cli_request *request, nw_status status, cli_talk *talk, cli_art *art,
                    nw_error *error)
{
    nw_status said = talk_art(talk, request, &art->art, status == NW_OK ? error : NULL);
    status = status == NW_OK ? said : status;
    if (status != NW_OK)
        art_free(art);
    return status;
}

nw_status art_load(const char *path, const cli_request *request, art_wants wants, cli_talk *talk,
                   cli_art *art, nw_error *error)
{
    *art = (cli_art){.behind = {.width = 0}};
    decoding d = {.behind = wants.page ? &art->behind : NULL};
    nw_art_options options = request->art;
    options.need_size = wants.size;
    options.need_region = wants.region;
    options.need_rest = wants.rest;
    options.decoded = picture_take;
    options.context = &d;
    options.picture.progress = talk_progress;
    options.picture.progress_context = talk;
    nw_status status =
        nw_file_read(path, &(nw_read){.limit = LARGEST_FILE, .known = art_known}, &d.bytes, error);
    if (status != NW_OK)
        return status == NW_BAD_INPUT ? name_input(path, error) : status;
    status =
        advice_add(nw_art_load(d.bytes.data, d.bytes.length, &options, &art->art, error), error);
    if (status == NW_OK && wants.page && !art->art.from_picture)
        status = nw_page_picture_drawn(d.bytes.data, d.bytes.length, &art->behind, error);
    nw_bytes_free(&d.bytes);
    art->behind.place = nw_placed_from_top(art->art.drawing.placed, art->art.picture.height);
    status = status == NW_BAD_INPUT ? name_input(path, error) : status;
    return art_notes(request, status, talk, art, error);
}

void art_free(cli_art *art)
{
    nw_art_free(&art->art);
    nw_page_picture_free(&art->behind);
}
