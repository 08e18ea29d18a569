/*
 * The suggestions against the check that they will meet, on real outlines: words of type, clip art
 * where Debian's openclipart-svg is installed, and the repository's own samples, traced. The
 * argument names their folder.
 *
 *   - The suggested size passes, and one 1 % smaller does not.
 *   - Of a fine list of bits the largest that fits is the suggested one: it passes, the next larger
 *     does not; and the critical bit lies between the two.
 *   - What the ways out claim holds: the bit fits, the whole size fits, what only tips lose is
 * accepted by the --blunt that is named, and as many places as are counted can be widened; where it
 * fits already, the smaller size that is named does too.
 *   - Stems of type close at the widths that their fonts publish (StdHW, StdVW; Adobe Type 1 Font
 *     Format, 1990, section 5): there the critical bit is.
 */
#include "drawings.h"
#include "glyphs.h"
#include "outlines.h"
#include "second.h"
#include "shapes.h"
#include "../critical.h"

#include <choose/choose.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define BIT_MM 3.175
#define LIST_STEP_MM 0.02
#define MM_PER_UNIT 0.1
#define EXACT_MM 0.005

static int tests, failures;

static void told(bool good, const char *what, const char *name)
{
    failures += !good;
    printf("%s %d %s: %s\n", good ? "ok" : "not ok", ++tests, what, name);
}

static bool fits(const nw_region *region, nw_fit_options options)
{
    nw_fit fit;
    nw_error error;
    if (nw_fit_run(region, &options, &fit, &error) != NW_OK) {
        printf("# %s\n", error.message);
        exit(1);
    }
    bool good = fit.fits;
    nw_fit_free(&fit);
    return good;
}

static bool fits_scaled(const nw_drawing *drawing, nw_fit_options options, double factor)
{
    nw_drawing copy;
    nw_region region;
    nw_error error;
    if (nw_drawing_copy(drawing, &copy, &error) != NW_OK ||
        nw_drawing_place(&copy, factor, 0, false, &error) != NW_OK ||
        nw_drawing_flatten(&copy, NW_FLATNESS_MM, &region, &error) != NW_OK) {
        printf("# %s\n", error.message);
        exit(1);
    }
    bool good = fits(&region, options);
    nw_region_free(&region);
    nw_drawing_free(&copy);
    return good;
}

/* Whether outlines touch, by less than chords may be off: so that scaled chords go on touching, and
 * those that are drawn anew for another size may overlap or stand apart. */
static bool touches(const nw_region *region, nw_fit_options options)
{
    nw_fit fit;
    if (nw_fit_run(region, &options, &fit, NULL) != NW_OK)
        return false;
    bool found = false;
    for (size_t i = 0; i < fit.spot_count; i++)
        found = found || (fit.spots[i].form == NW_PINCH && fit.spots[i].width < NW_FLATNESS_MM);
    nw_fit_free(&fit);
    return found;
}

/* A size is there for most; how many, so that the test cannot pass by finding none. */
static int size_test(const nw_drawing *drawing, const nw_region *region, const char *name)
{
    nw_fit_options options = nw_fit_defaults();
    nw_error error;
    double factor = 0;
    options.bit = BIT_MM;
    nw_status status = nw_size_critical(drawing, region, &options, &factor, &error);
    int found = status == NW_OK && factor > 0;
    if (found) {
        told(fits_scaled(drawing, options, factor), "the suggested size passes", name);
        told(!fits_scaled(drawing, options, factor / 1.01), "1 % smaller does not", name);
    } else {
        told(status == NW_OK && (!fits_scaled(drawing, options, 20) || touches(region, options)),
             "no size does, or only chords tell", name);
    }
    return found;
}

static nw_rack fine_rack(double around)
{
    nw_text text = {0};
    nw_rack rack;
    double first = fmax(around - 10 * LIST_STEP_MM, 0.1);
    for (int i = 0; i < 20; i++) {
        nw_text_format(&text, "bit %d, ", i);
        nw_text_number(&text, first + i * LIST_STEP_MM, 6);
        nw_text_add(&text, "mm\n");
    }
    if (nw_rack_read(text.data, text.length, "list", &rack, NULL) != NW_OK)
        exit(1);
    nw_text_free(&text);
    return rack;
}

static int bit_test(const nw_region *region, const char *name)
{
    nw_fit_options options = nw_fit_defaults();
    nw_error error;
    nw_bits bits;
    double critical = 0;
    if (critical_bit(region, &options, 0, &critical, &error) != NW_OK) {
        told(false, error.message, name);
        return 0;
    }
    if (!(critical > 0.3) || isinf(critical))
        return 0;
    nw_rack rack = fine_rack(critical);
    if (nw_bits_compare(region, &options, &rack, 0, &bits, &error) != NW_OK) {
        told(false, error.message, name);
        return 0;
    }
    size_t k = bits.largest;
    bool there = k > 0 && k < bits.count;
    told(there, "the list holds the largest bit that fits", name);
    if (there) {
        options.bit = bits.results[k].diameter;
        told(fits(region, options), "the suggested bit passes", name);
        told(critical > options.bit - LIST_STEP_MM && critical < options.bit + LIST_STEP_MM,
             "the critical bit is no step away", name);
        options.bit = bits.results[k - 1].diameter;
        told(!fits(region, options), "the next larger does not", name);
    }
    nw_bits_free(&bits);
    nw_rack_free(&rack);
    return there;
}

typedef struct {
    int outlines, sizes, bits;
    int bit_ways, size_ways, tip_ways, rooms;
} tally;

/* The least neck goes along with the bit. */
static void claims_test(const nw_drawing *drawing, const nw_region *region, double bit,
                        const char *name, tally *sum)
{
    nw_fit_options options = nw_fit_defaults();
    nw_rack rack;
    nw_fit fit;
    nw_ways ways;
    options.bit = bit;
    if (nw_rack_common(&rack, NULL) != NW_OK || nw_fit_run(region, &options, &fit, NULL) != NW_OK ||
        nw_ways_find(drawing, region, &options, &fit, &rack, 0, &ways, NULL) != NW_OK) {
        told(false, "the ways out are found", name);
        return;
    }
    size_t places = 0, crumbs = 0;
    for (size_t k = 0; k < fit.spot_count; k++)
        if (nw_spot_is_crumb(&fit.spots[k], fit.options.bit))
            crumbs++;
        else
            places += fit.spots[k].widen >= 0;
    bool good = ways.fits == fit.fits && ways.places == places && ways.crumbs == crumbs;
    if (ways.bit < rack.count) {
        options.bit = ways.bit_diameter;
        good = good && fits(region, options);
        options.bit = bit;
        sum->bit_ways++;
    }
    if (!ways.fits && ways.factor == 0)
        good = good && !fits_scaled(drawing, options, NW_SIZE_WORTH);
    if (ways.factor > 0 && ways.factor != 1) {
        good = good && fits_scaled(drawing, options, ways.factor) &&
               fabs(ways.width * 10 - nearbyint(ways.width * 10)) < 1e-6;
        ++*(ways.fits ? &sum->rooms : &sum->size_ways);
    }
    if (ways.blunt > 0) {
        options.blunt = ways.blunt;
        good = good && fits(region, options) && ways.tips == fit.spot_count;
        sum->tip_ways++;
    }
    told(good, "what the ways out claim holds", name);
    nw_fit_free(&fit);
    nw_rack_free(&rack);
}

static void drawing_test(const nw_drawing *drawing, const char *name, tally *sum)
{
    nw_region region;
    if (nw_drawing_flatten(drawing, NW_FLATNESS_MM, &region, NULL) != NW_OK) {
        told(false, "the outlines can be flattened", name);
        return;
    }
    sum->outlines++;
    sum->sizes += size_test(drawing, &region, name);
    sum->bits += bit_test(&region, name);
    claims_test(drawing, &region, BIT_MM, name, sum);
    claims_test(drawing, &region, 1.0, name, sum);
    nw_region_free(&region);
}

static void art_test(size_t words, size_t clips, tally *sum)
{
    real_drawings art = drawings_read(words, clips, 80, 700);
    for (size_t i = 0; i < art.count; i++)
        drawing_test(&art.items[i].drawing, art.items[i].name, sum);
    if (art.words < words)
        puts("# fonts-urw-base35, fonts-dejavu-core, lmodern or tex-gyre are missing");
    drawings_free(&art);
}

static void samples_test(const char *folder, tally *sum)
{
    real_drawings samples = drawings_read_samples(folder, 200);
    told(samples.count == DRAWINGS_SAMPLES, "the samples can be read", folder);
    for (size_t i = 0; i < samples.count; i++)
        drawing_test(&samples.items[i].drawing, samples.items[i].name, sum);
    drawings_free(&samples);
}

/* With everything at least 60 outlines, unless art is missing on this machine. */
static void real_test(const char *samples)
{
    tally sum = {0};
    bool all = outlines_all();
    art_test(all ? 60 : 18, all ? 200 : 14, &sum);
    if (samples)
        samples_test(samples, &sum);
    printf("# %d outlines, %d with a size, %d with a bit\n", sum.outlines, sum.sizes, sum.bits);
    printf("# ways out: %d bits, %d sizes, %d with tips; %d with room\n", sum.bit_ways,
           sum.size_ways, sum.tip_ways, sum.rooms);
    told(sum.bit_ways && sum.size_ways && sum.tip_ways && sum.rooms, "each way is met", "all");
    told(3 * sum.sizes >= sum.outlines && 3 * sum.bits >= sum.outlines,
         "enough of them have an answer", "all");
}

static void stem_test(FT_Library library, const char *font, unsigned long character, double units)
{
    FT_Face face = glyph_face(library, font);
    nw_region region;
    if (!face || !glyph_region(face, character, 0.01, &region)) {
        printf("ok %d # SKIP %s is missing\n", ++tests, font);
        return;
    }
    FT_Done_Face(face);
    nw_region scaled = shape_moved(&region, shape_move_similar(MM_PER_UNIT, 0, false, 0, 0));
    nw_fit_options options = nw_fit_defaults();
    nw_error error;
    double critical = 0;
    options.neck = 0.1;
    options.blunt = 30; /* the bars' own corners are no matter here */
    bool good = critical_bit(&scaled, &options, 0, &critical, &error) == NW_OK;
    printf("# published %.2f mm, found %.4f\n", units * MM_PER_UNIT, critical);
    told(good && fabs(critical - units * MM_PER_UNIT) <= EXACT_MM, "the published stem width",
         font);
    nw_region_free(&scaled);
    nw_region_free(&region);
}

int main(int count, char **arguments)
{
    second_start();
    FT_Library library;
    if (FT_Init_FreeType(&library))
        return 1;
    stem_test(library, "/usr/share/texmf/fonts/type1/public/lm/lmss9.pfb", 'H', 65);
    stem_test(library, "/usr/share/texmf/fonts/type1/public/lm/lmss9.pfb", 'I', 96);
    stem_test(library, "/usr/share/texmf/fonts/type1/public/lm/lmss12.pfb", 'H', 60);
    stem_test(library, "/usr/share/texmf/fonts/type1/public/tex-gyre/qagr.pfb", 'I', 74);
    stem_test(library, "/usr/share/fonts/type1/urw-base35/NimbusMonoPS-Bold.t1", '=', 103);
    FT_Done_FreeType(library);
    real_test(count > 1 ? arguments[1] : NULL);
    printf("1..%d\n", tests);
    return failures > 0;
}
