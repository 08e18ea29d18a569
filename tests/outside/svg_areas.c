/* Areas of SVG drawings against librsvg's renderings of the same files, equal within 5e-4 of the
 * area: every fill made black and no stroke; then every stroke made black, as wide, dashed, capped
 * and joined as the file says, and no fill. Text, images and markers are left out on both sides.
 *
 * Files: the W3C's SVG 1.1 tests in librsvg2-tests, and a fixed selection of openclipart-svg. Given
 * file names, it prints a line for each of them instead. Exit status 77 where there is nothing to
 * test with. */
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
#define STYLE(paints)                                                                              \
    "<style xmlns='http://www.w3.org/2000/svg' type='text/css'>*{" paints                          \
    "opacity:1!important;fill-opacity:1!important;stroke-opacity:1!important;"                     \
    "filter:none!important;marker:none!important;mask:none!important} "                            \
    "text,image,flowRoot{display:none!important}</style>"
#define FILLS STYLE("stroke:none!important;fill:black!important;")
#define STROKES STYLE("stroke:black!important;fill:none!important;")

/* Where a pen is wider than a curve's circle of curvature, librsvg leaves out of its area what lies
 * beyond the circle's middle, which SVG 1.1 (11.4) does not say: an ellipse of 2.9 x 2.3 under a
 * pen of 12.5 comes out with 0.57 of the area that the pen covers. All strokes of these files are
 * made black, so such pens and others that nobody ever saw occur in many. What differs is listed;
 * so many must be the same: of all files, and of every third, which take a third of the time. */
#define THIRD 3
static const size_t strokes_same_w3c[] = {88, 31}, strokes_same_art[] = {31, 10};

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

static nw_status area_of(const nw_text *svg, double *area, nw_error *error)
{
    nw_drawing drawing;
    nw_region region = {0};
    nw_status status =
        nw_drawing_read_svg((const uint8_t *)svg->data, svg->length, &drawing, NULL, error);
    if (!status) {
        status = nw_drawing_flatten(&drawing, 0.0005, &region, error);
        *area = nw_region_area(&region);
    }
    nw_region_free(&region);
    nw_drawing_free(&drawing);
    return status;
}

/* What the rendering's pixels add up to. */
typedef struct {
    double covered;
    double last; /* covered in the last row and column, which may lie partly beyond the page */
} pixel_sums;

static pixel_sums pixels_add(const uint8_t *data, size_t width, size_t height)
{
    pixel_sums sums = {0};
    for (size_t y = 0; y < height; y++) {
        for (size_t x = 0; x < width; x++) {
            uint8_t alpha = data[2 * (y * width + x) + 1];
            sums.covered += alpha / 255.0;
            sums.last += x + 1 == width || y + 1 == height ? alpha / 255.0 : 0;
        }
    }
    return sums;
}

static bool picture_add(const char *path, pixel_sums *sums)
{
    png_image image = {.version = PNG_IMAGE_VERSION};
    if (!png_image_begin_read_from_file(&image, path))
        return false;
    size_t width = image.width, height = image.height;
    image.format = PNG_FORMAT_GA;
    uint8_t *data = width * height < MOST_PIXELS ? malloc(PNG_IMAGE_SIZE(image)) : NULL;
    bool read = data && png_image_finish_read(&image, NULL, data, 0, NULL);
    if (read)
        *sums = pixels_add(data, width, height);
    png_image_free(&image);
    free(data);
    return read;
}

/* librsvg's picture at 10 * fineness pixels to the millimetre. */
static bool render(const char *source, int fineness, pixel_sums *sums)
{
    static const char *const zooms[] = {"2.645833333333333", "5.291666666666667", "7.9375"};
    char command[200], target[60];
    snprintf(target, sizeof target, "%s.png", source);
    snprintf(command, sizeof command,
             "timeout 600 rsvg-convert -d 96 -p 96 -z %s %s -o %s >%s.log 2>&1",
             zooms[fineness - 1], source, target, target);
    bool rendered = system(command) == 0 && picture_add(target, sums);
    unlink(target);
    snprintf(command, sizeof command, "%s.log", target);
    unlink(command);
    return rendered;
}

/* Where edges of two fills coincide a pixel's cover is wrong by a share of it, so the error falls
 * with the pixel's size: two finer renderings tell what the area tends to. */
static verdict rendering_compare(const char *source, double ours, char why[300])
{
    pixel_sums sums, finer;
    if (!render(source, 1, &sums))
        return NOT_TESTED;
    double theirs = sums.covered / 100, tolerance = RELATIVE * theirs + 0.01;
    bool same = ours <= theirs + tolerance && ours >= theirs - tolerance - sums.last / 100;
    double coarse = theirs;
    for (int fineness = 2; !same && fineness <= 3 && render(source, fineness, &finer); fineness++) {
        double fine = finer.covered / (100 * fineness * fineness);
        theirs = fineness * fine - (fineness - 1) * coarse;
        coarse = fine;
        same = fabs(ours - theirs) <= tolerance + sums.last / 100;
    }
    snprintf(why, 300, "%.4f mm2, librsvg %.4f mm2, %+.5f %%", ours, theirs,
             100 * (ours / theirs - 1));
    return same ? SAME : DIFFERENT;
}

static verdict compare(const char *path, const char *style, char why[300])
{
    nw_error error = {0};
    nw_bytes file;
    snprintf(why, 300, "no rendering");
    if (nw_file_read(path, &(nw_read){.limit = 1 << 26}, &file, &error))
        return NOT_TESTED;
    nw_text svg = with_elements(&file, style);
    nw_bytes_free(&file);
    double ours;
    verdict result = NOT_TESTED;
    char source[] = "/tmp/narrows-svg-XXXXXX";
    int copy = mkstemp(source);
    if (svg.data && area_of(&svg, &ours, &error)) {
        result = REFUSED;
        snprintf(why, 300, "%.290s", error.message);
    } else if (svg.data && copy >= 0 && write(copy, svg.data, svg.length) == (ssize_t)svg.length) {
        result = rendering_compare(source, ours, why);
    }
    if (copy >= 0) {
        close(copy);
        unlink(source);
    }
    nw_text_free(&svg);
    return result;
}

/* Tests in which librsvg or this reader does by design something else than the other. */
static bool out_of_scope(const char *path)
{
    static const char *const names[] = {
        "painting-marker",     /* markers are drawn by strokes' ends: left out here */
        "ignore-",             /* librsvg's own list of tests that it does not pass */
        "struct-cond-overview" /* chooses by the user's language */
    };
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        if (strstr(path, names[i]))
            return true;
    return false;
}

static void pattern_compare(const char *pattern, size_t every, const char *style, size_t counts[4])
{
    glob_t found;
    if (glob(pattern, 0, NULL, &found) == 0) {
        for (size_t i = 0; i < found.gl_pathc; i += every) {
            char why[300];
            const char *path = found.gl_pathv[i];
            if (out_of_scope(path))
                continue;
            verdict v = compare(path, style, why);
            counts[v]++;
            if (v == DIFFERENT)
                printf("# different: %s: %s\n", path, why);
        }
        globfree(&found);
    }
}

/* least: how many must be the same; where it is 0, all. */
static bool report(const char *what, const size_t counts[4], size_t least, int number)
{
    bool wrong = least ? counts[SAME] < least : counts[DIFFERENT] > 0;
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
    static const char *const styles[] = {FILLS, STROKES};
    static const char *const names[] = {"fills", "strokes"};
    for (int i = 1; i < argc; i++) {
        for (int k = 0; k < 2; k++) {
            char why[300];
            verdict v = compare(argv[i], styles[k], why);
            printf("%s\t%s\t%s\t%s\n", verdict_names[v], argv[i], names[k], why);
            fflush(stdout);
        }
    }
    if (argc > 1)
        return 0;
    bool wrong = false, all = getenv("NARROWS_TEST_ALL") != NULL;
    printf("1..4\n");
    for (int k = 0; k < 2; k++) {
        size_t w3c[4] = {0}, art[4] = {0};
        char what[80];
        size_t every = k && !all ? THIRD : 1;
        pattern_compare(W3C "*.svg", every, styles[k], w3c);
        snprintf(what, sizeof what, "areas of %s in the W3C's SVG 1.1 tests", names[k]);
        wrong |= report(what, w3c, k ? strokes_same_w3c[!all] : 0, 2 * k + 1);
        pattern_compare(CLIP_ART "animals/*/contour*.svg", every, styles[k], art);
        pattern_compare(CLIP_ART "animals/*.svg", 3 * every, styles[k], art);
        pattern_compare(CLIP_ART "transportation/boating/*.svg", 2 * every, styles[k], art);
        snprintf(what, sizeof what, "areas of %s in clip art", names[k]);
        wrong |= report(what, art, k ? strokes_same_art[!all] : 0, 2 * k + 2);
    }
    return wrong;
}
