/*
 * gif: the bytes of a GIF -> the rows of its first frame, by giflib. What the frame leaves of its
 * canvas is transparent.
 *
 * Format: GIF89a specification (CompuServe, 1990); the four passes of its interlace are in
 * appendix E.
 */
#include <picture/raster.h>

#include <gif_lib.h>
#include <stdlib.h>
#include <string.h>

#define PIXELS_PER_BYTE 4096 /* at most: a code of the longest string */

typedef struct {
    const uint8_t *data;
    size_t length, at;
    const raster_sink *sink;
    nw_error *error;
    GifFileType *gif;
    int transparent; /* colour index, or NO_TRANSPARENT_COLOR */
    uint8_t *row;    /* of the canvas, red green blue alpha */
    GifPixelType *indices;
} reader;

static int on_read(GifFileType *gif, GifByteType *to, int count)
{
    reader *r = gif->UserData;
    size_t left = r->length - r->at, take = (size_t)count < left ? (size_t)count : left;
    memcpy(to, r->data + r->at, take);
    r->at += take;
    return (int)take;
}

static nw_status damaged(const reader *r, int code)
{
    const char *why = GifErrorString(code);
    return nw_fail(r->error, NW_BAD_INPUT, "this GIF picture is damaged: %s" NW_SAVE_AGAIN,
                   why ? why : "it ends too early");
}

/* Reads on to the first frame, remembering the transparent colour that goes with it. */
static nw_status find_frame(reader *r)
{
    GifRecordType kind;
    r->transparent = NO_TRANSPARENT_COLOR;
    while (DGifGetRecordType(r->gif, &kind) == GIF_OK) {
        if (kind == IMAGE_DESC_RECORD_TYPE)
            return DGifGetImageDesc(r->gif) == GIF_OK ? NW_OK : damaged(r, r->gif->Error);
        if (kind == TERMINATE_RECORD_TYPE)
            return nw_fail(r->error, NW_BAD_INPUT, "this GIF holds no picture" NW_SAVE_AGAIN);
        int code;
        GifByteType *block;
        int good = DGifGetExtension(r->gif, &code, &block);
        while (good == GIF_OK && block) {
            GraphicsControlBlock control;
            if (code == GRAPHICS_EXT_FUNC_CODE &&
                DGifExtensionToGCB(block[0], block + 1, &control) == GIF_OK)
                r->transparent = control.TransparentColor;
            good = DGifGetExtensionNext(r->gif, &block);
        }
        if (good != GIF_OK)
            break;
    }
    return damaged(r, r->gif->Error);
}

static nw_status colour_row(reader *r, const ColorMapObject *map)
{
    const GifImageDesc *frame = &r->gif->Image;
    uint8_t *to = r->row + 4 * (size_t)frame->Left;
    for (int x = 0; x < frame->Width; x++, to += 4) {
        int index = r->indices[x];
        if (index == r->transparent) {
            memset(to, 0, 4);
        } else if (index >= map->ColorCount) {
            return nw_fail(
                r->error, NW_BAD_INPUT,
                "this GIF picture is damaged: a pixel lies beyond its palette" NW_SAVE_AGAIN);
        } else {
            GifColorType c = map->Colors[index];
            memcpy(to, (uint8_t[4]){c.Red, c.Green, c.Blue, 255}, 4);
        }
    }
    return NW_OK;
}

/* One pass: the frame's rows first, first + step ... */
static nw_status read_pass(reader *r, const ColorMapObject *map, int first, int step)
{
    const GifImageDesc *frame = &r->gif->Image;
    nw_status status = NW_OK;
    for (int y = first; y < frame->Height && status == NW_OK; y += step) {
        if (DGifGetLine(r->gif, r->indices, frame->Width) != GIF_OK)
            return damaged(r, r->gif->Error);
        status = colour_row(r, map);
        if (status == NW_OK) {
            r->sink->row(r->sink->context, (uint32_t)(frame->Top + y), 0, 1,
                         (uint32_t)r->gif->SWidth, r->row, 4);
        }
    }
    return status;
}

static void clear_rows(reader *r, int from, int to)
{
    for (int y = from; y < to; y++)
        r->sink->row(r->sink->context, (uint32_t)y, 0, 1, (uint32_t)r->gif->SWidth, r->row, 4);
}

static nw_status read_frame(reader *r, const ColorMapObject *map)
{
    static const int first[] = {0, 4, 2, 1}, step[] = {8, 8, 4, 2};
    const GifImageDesc *frame = &r->gif->Image;
    clear_rows(r, 0, frame->Top);
    clear_rows(r, frame->Top + frame->Height, r->gif->SHeight);
    if (!frame->Interlace)
        return read_pass(r, map, 0, 1);
    nw_status status = NW_OK;
    for (int pass = 0; pass < 4 && status == NW_OK; pass++)
        status = read_pass(r, map, first[pass], step[pass]);
    return status;
}

static nw_status read_all(reader *r)
{
    raster_header header = {(uint32_t)r->gif->SWidth, (uint32_t)r->gif->SHeight, 1, 0};
    nw_status status = find_frame(r);
    if (status != NW_OK)
        return status;
    const GifImageDesc *frame = &r->gif->Image;
    const ColorMapObject *map = frame->ColorMap ? frame->ColorMap : r->gif->SColorMap;
    if (!map || frame->Width < 1 || frame->Height < 1 ||
        frame->Left + frame->Width > r->gif->SWidth ||
        frame->Top + frame->Height > r->gif->SHeight) {
        return nw_fail(r->error, NW_BAD_INPUT,
                       "this GIF picture is damaged: its first frame has no colours or lies "
                       "outside" NW_SAVE_AGAIN);
    }
    if ((uint64_t)frame->Width * (uint64_t)frame->Height / PIXELS_PER_BYTE > r->length)
        return nw_fail_claim(r->error, "GIF", header.width, header.height);
    status = r->sink->begin(r->sink->context, &header, r->error);
    if (status != NW_OK)
        return status;
    r->row = nw_alloc(header.width, 4);
    r->indices = nw_alloc((size_t)frame->Width, sizeof *r->indices);
    return r->row && r->indices ? read_frame(r, map)
                                : nw_fail_memory(r->error, "a row of the picture");
}

nw_status nw_gif_read(const uint8_t *data, size_t length, const raster_sink *sink, nw_error *error)
{
    reader r = {.data = data, .length = length, .sink = sink, .error = error};
    int code = 0;
    r.gif = DGifOpen(&r, on_read, &code);
    if (!r.gif)
        return damaged(&r, code);
    nw_status status = read_all(&r);
    DGifCloseFile(r.gif, &code);
    free(r.row);
    free(r.indices);
    return status;
}
