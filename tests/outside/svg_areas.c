/* Areas of SVG drawings against librsvg's renderings of the same files, equal within 5e-4 of the
 * area, in three ways: every fill made black and no stroke; every stroke made black, as wide,
 * dashed, capped and joined as the file says, and no fill; and as the file paints it, where a pixel
 * is ink if it is not near white. Text, images, markers, masks and filters are left out on both
 * sides.
 *
 * Files: the W3C's SVG 1.1 tests in librsvg2-tests, and a fixed selection of openclipart-svg. Given
 * file names, it prints a line for each of them and way instead. Exit status 77 where there is
 * nothing to test with. */
#include <svg/svg.h>

#include <glob.h>
#include <math.h>
#include <png.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define W3C "/usr/libexec/installed-tests/RSVG/fixtures/reftests/svg1.1/"
#define CLIP_ART "/usr/share/openclipart/svg/"
#define RELATIVE 5e-4
#define MOST_PIXELS 120000000u /* larger renderings are left out */
#define STYLE(paints, rendering)                                                                   \
    "<style xmlns='http://www.w3.org/2000/svg' type='text/css'>*{" paints                          \
    "filter:none!important;marker:none!important;mask:none!important;"                             \
    "shape-rendering:" rendering "!important} "                                                    \
    "text,image,flowRoot{display:none!important}</style>"
#define OPAQUE "opacity:1!important;fill-opacity:1!important;stroke-opacity:1!important;"

/* What of a file is compared, and how it is rendered: in pixels that give their cover, or that are
 * all that is at their middles. */
typedef struct {
    const char *name, *style;
    bool middles;
} way;

static const way ways[] = {
    {"fills", STYLE("stroke:none!important;fill:black!important;" OPAQUE, "auto"), false},
    {"strokes", STYLE("stroke:black!important;fill:none!important;" OPAQUE, "auto"), false},
    {"all", STYLE("", "crispEdges"), true}};
#define WAYS ((int)(sizeof ways / sizeof *ways))

typedef enum { SAME, DIFFERENT, NOT_TESTED, REFUSED } verdict;

static const char *const verdict_names[] = {"same", "DIFFERENT", "not tested", "refused"};

/* The file with more elements before its root's end. */
static nw_text with_elements(const nw_bytes *file, const char *elements)
{
    nw_text text = {0};
    size_t end = file->length;
    while (end > 0 && !(file->data[end - 1] == '<' && end < file->length && file->data[end] == '/'))
        end--;
    if (end > 0) {
        nw_text_add_bytes(&text, (const char *)file->data, end - 1);
        nw_text_add(&text, elements);
        nw_text_add_bytes(&text, (const char *)file->data + end - 1, file->length - end + 1);
    }
    return text;
}

/* What this reader finds in a file, in mm2 and mm. */
typedef struct {
    double area, length; /* length: of all outlines */
} measured;

static double length_of(const nw_region *region)
{
    double length = 0;
    for (size_t ring = 0; ring < region->count; ring++)
        length += nw_ring_length(region, ring);
    return length;
}

/* fades: some of it is partly ink in the rendering, and whole here, as is noted. */
static nw_status area_of(const nw_text *svg, measured *ours, bool *fades, nw_error *error)
{
    nw_drawing drawing;
    nw_region region = {0};
    nw_svg_notes notes;
    nw_status status =
        nw_drawing_read_svg((const uint8_t *)svg->data, svg->length, &drawing, &notes, error);
    *fades = notes.unread.shades > 0;
    if (!status) {
        status = nw_drawing_flatten(&drawing, 0.0005, &region, error);
        *ours = (measured){nw_region_area(&region), length_of(&region)};
    }
    nw_region_free(&region);
    nw_drawing_free(&drawing);
    return status;
}

/* What the rendering's pixels add up to. */
typedef struct {
    size_t width, height;
    double covered;
    double last; /* covered in the last row and column, which may lie partly beyond the page */
} pixel_sums;

#define PAPER 0.9 /* of white, in each channel */

/* Over white, as a browser paints it: libpng would mix light, not values. */
static bool is_ink(const uint8_t *rgba)
{
    double darkest = fmin(rgba[0], fmin(rgba[1], rgba[2])), alpha = rgba[3] / 255.0;
    return alpha * darkest + (1 - alpha) * 255 < PAPER * 255;
}

static void pixels_add(const uint8_t *data, size_t width, size_t height, bool middles,
                       pixel_sums *sums)
{
    *sums = (pixel_sums){.width = width, .height = height};
    for (size_t y = 0; y < height; y++) {
        for (size_t x = 0; x < width; x++, data += middles ? 4 : 2) {
            double ink = middles ? is_ink(data) : data[1] / 255.0;
            sums->covered += ink;
            sums->last += x + 1 == width || y + 1 == height ? ink : 0;
        }
    }
}

static bool picture_add(const char *path, bool middles, pixel_sums *sums)
{
    png_image image = {.version = PNG_IMAGE_VERSION};
    if (!png_image_begin_read_from_file(&image, path))
        return false;
    size_t width = image.width, height = image.height;
    image.format = middles ? PNG_FORMAT_RGBA : PNG_FORMAT_GA;
    uint8_t *data = width * height < MOST_PIXELS ? malloc(PNG_IMAGE_SIZE(image)) : NULL;
    bool read = data && png_image_finish_read(&image, NULL, data, 0, NULL);
    if (read)
        pixels_add(data, width, height, middles, sums);
    png_image_free(&image);
    free(data);
    return read;
}

/* The area in librsvg's picture of so many pixels to a user unit, and that at its edges, in mm2. */
static bool render(const char *source, double zoom, bool middles, pixel_sums *sums)
{
    char command[200], target[60];
    snprintf(target, sizeof target, "%s.png", source);
    snprintf(command, sizeof command,
             "timeout 600 rsvg-convert -d 96 -p 96 -z %g %s -o %s >%s.log 2>&1", zoom, source,
             target, target);
    bool rendered = system(command) == 0 && picture_add(target, middles, sums);
    unlink(target);
    snprintf(command, sizeof command, "%s.log", target);
    unlink(command);
    double side = 25.4 / 96 / zoom;
    sums->covered *= side * side;
    sums->last *= side * side;
    return rendered;
}

#define PIXELS 2e6 /* of the coarsest rendering, if the file is not larger */
#define RENDERINGS 8
#define LARGEST_STEP 0.005 /* from a rendering to what two tell */
#define ROWS_A_PIXEL 15    /* to which the renderer rounds edges */

/* What renderings so far tell. */
typedef struct {
    double area, off; /* mm2, and how far that may be wrong */
    double zoom, last, total, squares;
    int count;
} areas_told;

/* A pixel's cover is wrong where edges of two shapes lie within it; the error falls with the
 * pixel's size, and two renderings tell what the area tends to. Middles of pixels scatter: so does
 * the mean of renderings, the less the more there are. */
static bool areas_tell(areas_told *told, double area, double zoom, bool middles)
{
    double before = told->zoom, count = ++told->count;
    told->total += area;
    told->squares += area * area;
    double mean = told->total / count, scatter = sqrt(fmax(0, told->squares / count - mean * mean));
    double step = count > 1 ? before / (zoom - before) * (area - told->last) : 0;
    told->area = middles ? mean : area + step;
    told->off = RELATIVE * area + 0.01 + (middles ? 2 * scatter / sqrt(count) : 0);
    told->zoom = zoom;
    told->last = area;
    return middles || fabs(step) < LARGEST_STEP * area;
}

/* Edges at whole and half units should lie between pixels. Of lines so thin that what the renderer
 * rounds is more than what is asked for, nothing can be told. */
static verdict rendering_compare(const char *source, const way *w, measured all, char why[300])
{
    double ours = all.area;
    pixel_sums sums;
    if (!render(source, 1, w->middles, &sums))
        return NOT_TESTED;
    double first = fmax(1, sqrt(PIXELS / ((double)sums.width * (double)sums.height)));
    areas_told told = {0};
    bool same = false;
    for (int k = 0; k < RENDERINGS && !same; k++) {
        double zoom = first * pow(w->middles ? 1.25 : 1.7, k);
        zoom = zoom < 2 ? zoom : 2 * round(zoom / 2);
        if (zoom == told.zoom)
            continue;
        if (!render(source, zoom, w->middles, &sums))
            break;
        bool sure = areas_tell(&told, sums.covered, zoom, w->middles);
        same = sure && ours <= told.area + told.off && ours >= told.area - told.off - sums.last;
    }
    snprintf(why, 300, "%.4f mm2, librsvg %.4f mm2, %+.5f %%", ours, told.area,
             100 * (ours / told.area - 1));
    double rounded = all.length * 25.4 / 96 / told.zoom / ROWS_A_PIXEL;
    bool explained = fabs(ours - told.area) <= told.off + rounded;
    return same ? SAME : explained ? NOT_TESTED : DIFFERENT;
}

static verdict compare(const char *path, const way *w, char why[300])
{
    nw_error error = {0};
    nw_bytes file;
    snprintf(why, 300, "no rendering");
    if (nw_file_read(path, &(nw_read){.limit = 1 << 26}, &file, &error))
        return NOT_TESTED;
    nw_text svg = with_elements(&file, w->style);
    nw_bytes_free(&file);
    measured ours;
    bool fades = false;
    verdict result = NOT_TESTED;
    char source[] = "/tmp/narrows-svg-XXXXXX";
    int copy = mkstemp(source);
    if (svg.data && area_of(&svg, &ours, &fades, &error)) {
        result = REFUSED;
        snprintf(why, 300, "%.290s", error.message);
    } else if (fades) {
        snprintf(why, 300, "shapes fade into paper");
    } else if (svg.data && copy >= 0 && write(copy, svg.data, svg.length) == (ssize_t)svg.length) {
        result = rendering_compare(source, w, ours, why);
    }
    if (copy >= 0) {
        close(copy);
        unlink(source);
    }
    nw_text_free(&svg);
    return result;
}

/* What is left out: where librsvg or this reader does by design something else than the other, and
 * where the renderings cannot tell. */
static bool out_of_scope(const char *path, const way *w)
{
    static const struct {
        const char *name, *way; /* NULL: all ways */
    } left_out[] = {
        {"painting-marker", NULL},  /* markers are drawn by strokes' ends: left out here */
        {"struct-symbol-01", NULL}, /* librsvg does not clip what lies beyond a symbol's edges */
        {"ignore-", NULL},          /* librsvg's own list of tests that it does not pass */
        {"struct-cond-overview", NULL},     /* chooses by the user's language */
        {"coords-trans-05", "all"},         /* an edge 0.025 beside a whole unit, always on the */
        {"coords-trans-06", "all"},         /* same side of the pixels' middles */
        {"filters-comptran-01", "strokes"}, /* a stroke twice: edges' pixels are covered twice */
        {"lindworm_snake", "strokes"},      /* hollow in librsvg: rings thinner than their stroke */
    };
    for (size_t i = 0; i < sizeof left_out / sizeof *left_out; i++)
        if (strstr(path, left_out[i].name) &&
            (!left_out[i].way || strcmp(left_out[i].way, w->name) == 0))
            return true;
    return false;
}

static void pattern_compare(const char *pattern, size_t first, size_t every, const way *w,
                            size_t counts[4])
{
    glob_t found;
    if (glob(pattern, 0, NULL, &found) == 0) {
        for (size_t i = first; i < found.gl_pathc; i += every) {
            char why[300];
            const char *path = found.gl_pathv[i];
            if (out_of_scope(path, w))
                continue;
            verdict v = compare(path, w, why);
            counts[v]++;
            if (v == DIFFERENT)
                printf("# different: %s: %s\n", path, why);
        }
        globfree(&found);
    }
}

static bool report(const char *what, const size_t counts[4], int number)
{
    bool wrong = counts[DIFFERENT] > 0;
    size_t compared = counts[SAME] + counts[DIFFERENT];
    if (compared == 0) {
        printf("ok %d - %s # SKIP files or rsvg-convert missing\n", number, what);
        return false;
    }
    printf("%s %d - %s: %zu same, %zu different, %zu refused, %zu not tested\n",
           wrong ? "not ok" : "ok", number, what, counts[SAME], counts[DIFFERENT], counts[REFUSED],
           counts[NOT_TESTED]);
    return wrong;
}

int main(int argc, char **argv)
{
    for (int i = 1; i < argc; i++) {
        for (int k = 0; k < WAYS; k++) {
            char why[300];
            verdict v = compare(argv[i], &ways[k], why);
            printf("%s\t%s\t%s\t%s\n", verdict_names[v], argv[i], ways[k].name, why);
            fflush(stdout);
        }
    }
    if (argc > 1)
        return 0;
    bool wrong = false, everything = getenv("NARROWS_TEST_ALL") != NULL;
    size_t every = everything ? 1 : 10, part = everything ? 1 : WAYS;
    printf("1..6\n");
    for (int k = 0; k < WAYS; k++) {
        size_t w3c[4] = {0}, art[4] = {0};
        char what[80];
        /* Of the sample, each file in one of the ways. */
        size_t first = everything ? 0 : every * (size_t)k;
        pattern_compare(W3C "*.svg", first, part * every, &ways[k], w3c);
        snprintf(what, sizeof what, "areas of %s in the W3C's SVG 1.1 tests", ways[k].name);
        wrong |= report(what, w3c, 2 * k + 1);
        pattern_compare(CLIP_ART "animals/*/contour*.svg", 0, every, &ways[k], art);
        pattern_compare(CLIP_ART "animals/*.svg", 3 * first, 3 * part * every, &ways[k], art);
        pattern_compare(CLIP_ART "transportation/boating/*.svg", 0, 2 * every, &ways[k], art);
        snprintf(what, sizeof what, "areas of %s in clip art", ways[k].name);
        wrong |= report(what, art, 2 * k + 2);
    }
    return wrong;
}
