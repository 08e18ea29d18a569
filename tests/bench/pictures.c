/* pictures: what the benchmarks look at, see pictures.h. Noise comes from a hash of the place
 * (Wang, integer hash functions, 1997; from memory), so no state and no order matter. */
#include "pictures.h"
#include "shapes.h"

#include <pieces/pieces.h>
#include <trace/trace.h>
#include <pieces/pieces.h>
#include <math.h>
#include <png.h>
#include <stdio.h>
#include <stdlib.h>

#define SPECK_PX 8
#define FILE_MOST (1u << 26)

/* -1 to 1 */
static double noise_at(uint32_t x, uint32_t y)
{
    uint32_t h = x * 374761393u + y * 668265263u;
    h = (h ^ (h >> 13)) * 1274126177u;
    h ^= h >> 16;
    return (double)h / 2147483648.0 - 1;
}

/* How far (u, v), each -1 to 1, lies inside the art: positive inside, about in units of the side.
 */
static double art_at(double u, double v)
{
    double ring = 0.12 - fabs(hypot(u, v) - 0.75);
    double t = atan2(v, u), leaf = 0.12 * cos(9 * t) + 0.3 - hypot(u, v);
    double spokes = 0.012 - fabs(sin(4.5 * t)) * hypot(u, v) / 4.5;
    double slat = fabs(u + v) < 0.9 && fabs(u - v) < 0.9
                      ? 0.004 - fabs(fmod(fabs(u + 0.3 * v) + 0.05, 0.1) - 0.05)
                      : -1;
    double inside = fmax(ring, fmax(leaf, hypot(u, v) < 0.8 ? spokes : -1));
    return fmax(inside, slat) + 0.004 * sin(40 * u) * sin(40 * v);
}

uint8_t *picture_make(uint32_t side, double noise)
{
    uint8_t *grey = nw_alloc(side, side);
    for (uint32_t y = 0; grey && y < side; y++) {
        for (uint32_t x = 0; x < side; x++) {
            double u = 2 * ((double)x + 0.5) / side - 1, v = 2 * ((double)y + 0.5) / side - 1;
            double pixels = art_at(u, v) * side / 2 + noise * 2.5 * noise_at(x, y);
            bool dust = noise > 0 && noise_at(x / 2, y / 2 + 77777) > 1 - 0.001 * noise;
            double ink = dust ? 1 : fmin(1, fmax(0, pixels + 0.5));
            grey[(size_t)y * side + x] = (uint8_t)lrint(250 - 235 * ink);
        }
    }
    return grey;
}

bool picture_write(const char *path, const uint8_t *grey, uint32_t side)
{
    png_image image = {.version = PNG_IMAGE_VERSION, .width = side, .height = side};
    image.format = PNG_FORMAT_GRAY;
    return png_image_write_to_file(&image, path, 0, grey, (png_int_32)side, NULL) != 0;
}

/* Traces the picture, specks of less than so many pixels aside, to outlines wide mm wide. */
static bool trace(nw_picture *picture, double specks, double wide, nw_drawing *drawing)
{
    nw_ink ink = {0};
    nw_pieces pieces = {0};
    nw_error error = {0};
    nw_trace_options options = nw_trace_defaults();
    bool good = nw_ink_from_picture(picture, &ink, &error) == NW_OK &&
                nw_pieces_find(&ink, specks, &pieces, &error) == NW_OK;
    if (good) {
        nw_pieces_clear_dropped(&pieces, &ink, picture);
        good = nw_drawing_trace(&ink, picture, &options, drawing, NULL, &error) == NW_OK &&
               nw_drawing_place(drawing, wide / drawing->width, 0, false, &error) == NW_OK;
    }
    if (!good)
        fprintf(stderr, "cannot trace: %s\n", error.message);
    nw_pieces_free(&pieces);
    nw_ink_free(&ink);
    return good;
}

bool picture_drawing(const uint8_t *grey, uint32_t side, double wide, nw_drawing *drawing)
{
    uint8_t *density = nw_alloc(side, side);
    for (size_t i = 0; density && i < (size_t)side * side; i++)
        density[i] = 255 - grey[i];
    nw_picture picture = {.width = side, .height = side, .density = density};
    *drawing = (nw_drawing){0};
    bool good = density && trace(&picture, 0, wide, drawing);
    free(density);
    return good;
}

bool picture_file_drawing(const char *path, double wide, nw_drawing *drawing)
{
    nw_bytes bytes = {0};
    nw_picture picture = {0};
    nw_picture_options options = nw_picture_defaults();
    *drawing = (nw_drawing){0};
    bool good = nw_file_read(path, &(nw_read){.limit = FILE_MOST}, &bytes, NULL) == NW_OK &&
                nw_picture_read(bytes.data, bytes.length, &options, &picture, NULL) == NW_OK &&
                trace(&picture, SPECK_PX, wide, drawing);
    nw_picture_free(&picture);
    nw_bytes_free(&bytes);
    return good;
}

bool picture_region(const uint8_t *grey, uint32_t side, double wide, nw_region *region)
{
    nw_drawing drawing;
    bool good = picture_drawing(grey, side, wide, &drawing) &&
                nw_drawing_flatten(&drawing, NW_FLATNESS_MM, region, NULL) == NW_OK;
    nw_drawing_free(&drawing);
    return good;
}

void picture_ring(size_t count, double rough, nw_region *region)
{
    nw_point *points = nw_alloc(count, sizeof *points);
    size_t outer = count / 2, holes = 4, inner = (count - outer) / holes;
    *region = (nw_region){0};
    for (size_t i = 0; i < outer; i++) {
        double t = 2 * PI * (double)i / (double)outer;
        double r = 35 + 4 * cos(5 * t) + 1.5 * cos(23 * t) + rough * noise_at((uint32_t)i, 1);
        points[i] = (nw_point){40 + r * cos(t), 40 + r * sin(t)};
    }
    shape_ring(region, points, outer, false, 0);
    for (size_t k = 0; k < holes; k++) {
        double at = PI / 2 * (double)k + 0.4;
        for (size_t i = 0; i < inner; i++) {
            double t = 2 * PI * (double)i / (double)inner;
            double r = 8.5 + 2 * cos(3 * t) + rough * noise_at((uint32_t)i, (uint32_t)k + 2);
            points[i] = (nw_point){40 + 15 * cos(at) + r * cos(t), 40 + 15 * sin(at) + r * sin(t)};
        }
        shape_ring(region, points, inner, true, 0);
    }
    free(points);
}

static bool add_piece(nw_drawing *drawing, nw_point middle, uint32_t x, uint32_t y)
{
    double r = 0.31 + 0.11 * noise_at(x, y), turn = PI * noise_at(x, y + 99999);
    size_t corners = 3 + (x * 7 + y * 5) % 6;
    nw_path path = {.closed = true};
    bool good = true;
    for (size_t i = 0; i <= corners; i++) {
        double t = turn + 2 * PI * (double)(i % corners) / (double)corners;
        nw_point p = {middle.x + r * cos(t), middle.y + r * sin(t)};
        if (i == 0)
            path.start = p;
        else
            good = good && nw_path_line(&path, p);
    }
    good = good && nw_drawing_add(drawing, &path);
    if (!good)
        nw_path_free(&path);
    return good;
}

bool picture_pieces(size_t count, nw_drawing *drawing)
{
    size_t side = (size_t)ceil(sqrt((double)count));
    *drawing = (nw_drawing){.width = (double)side, .height = (double)side};
    bool good = true;
    for (size_t i = 0; good && i < count; i++) {
        size_t cell = i * 7919 % (side * side); /* a prime, so that every cell comes once */
        uint32_t x = (uint32_t)(cell % side), y = (uint32_t)(cell / side);
        good = add_piece(drawing, (nw_point){x + 0.5, y + 0.5}, x, y);
    }
    return good;
}
