/*
 * Widths that somebody else published: the standard stem widths that Type 1 fonts carry in their
 * Private dictionary (StdHW, StdVW; Adobe Type 1 Font Format, 1990, section 5). A glyph whose
 * outline keeps that word closes, or vanishes, at exactly that diameter.
 *
 * Fonts: lmodern, tex-gyre and fonts-urw-base35 of Debian. FreeType gives StdHW as
 * standard_width[0] and StdVW as standard_height[0]. Scale: 1 unit is 0.1 mm, so 0.005 mm is a
 * twentieth of a unit.
 */
#include "glyphs.h"
#include "second.h"
#include "shapes.h"
#include "../tests.h"

#include FT_TYPE1_TABLES_H
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#define MM_PER_UNIT 0.1
#define TOLERANCE_MM 0.005

/* Inside the fit's band (docs/method.md): a passage of d is open, one narrower than d - 0.01 is
 * shut. The fit takes the middle of it, so that a place appears at its width plus this. */
#define MIDDLE_MM 0.005

#define LM "/usr/share/texmf/fonts/type1/public/lm/"
#define TG "/usr/share/texmf/fonts/type1/public/tex-gyre/"
#define URW "/usr/share/fonts/type1/urw-base35/"

typedef struct {
    const char *font;
    unsigned long character;
    bool horizontal; /* StdHW, else StdVW */
    nw_form form;    /* what happens to the glyph there */
    int units;       /* what is published */
} stem;

static const stem stems[] = {
    {LM "lmss9.pfb", 'H', true, NW_PINCH, 65},
    {LM "lmss9.pfb", 'I', false, NW_MISS, 96},
    {LM "lmss9.pfb", 0x2014, true, NW_MISS, 65},
    {LM "lmss12.pfb", 'H', true, NW_PINCH, 60},
    {LM "lmss12.pfb", 'I', false, NW_MISS, 86},
    {TG "qagr.pfb", 'H', true, NW_PINCH, 67},
    {TG "qagr.pfb", 'I', false, NW_MISS, 74},
    {URW "NimbusMonoPS-Bold.t1", 'H', true, NW_PINCH, 103},
    {URW "NimbusMonoPS-Bold.t1", '=', true, NW_MISS, 103},
};

#define STEMS (sizeof stems / sizeof *stems)

static FT_Library library;

static nw_region stem_region(const stem *s)
{
    FT_Face face = glyph_face(library, s->font);
    ck_assert_msg(face != NULL, "%s is missing: install lmodern, tex-gyre, fonts-urw-base35",
                  s->font);
    PS_PrivateRec private;
    ck_assert_int_eq(FT_Get_PS_Font_Private(face, &private), 0);
    int published = s->horizontal ? private.standard_width[0] : private.standard_height[0];
    ck_assert_int_eq(published, s->units);
    nw_region units;
    ck_assert(glyph_region(face, s->character, 0.01, &units));
    FT_Done_Face(face);
    nw_region region = shape_moved(&units, shape_move_similar(MM_PER_UNIT, 0, false, 0, 0));
    nw_region_free(&units);
    return region;
}

static void expect_width(const stem *s, const nw_fit *fit, double mm)
{
    double narrowest = INFINITY;
    for (size_t i = 0; i < fit->spot_count; i++)
        if (fit->spots[i].form == NW_PINCH)
            narrowest = fmin(narrowest, fit->spots[i].width);
    ck_assert_msg(fabs(narrowest - mm) < TOLERANCE_MM, "%s %lc: width %g, published %g", s->font,
                  (int)s->character, narrowest, mm);
}

/* As art that is cut out, and as a part that stays. */
static void expect_stem(const stem *s, nw_cut cut, nw_side side)
{
    nw_region region = stem_region(s);
    double mm = s->units * MM_PER_UNIT;
    double critical = shape_critical(&region, cut, side, s->form, mm - 0.05, mm + 0.05);
    ck_assert_msg(critical > 0, "%s U+%04lX: nothing at %g + 0.05", s->font, s->character, mm);
    ck_assert_msg(fabs(critical - MIDDLE_MM - mm) < TOLERANCE_MM,
                  "%s U+%04lX: closes at %g, published %g", s->font, s->character, critical, mm);
    if (s->form == NW_PINCH) {
        nw_fit_options options = nw_fit_defaults();
        options.cut = cut;
        options.bit = side == NW_GAP ? mm + 0.2 : mm / 4;
        options.neck = side == NW_NECK ? mm + 0.2 : mm / 4;
        nw_fit fit = shape_fit(&region, &options);
        expect_width(s, &fit, mm);
        nw_fit_free(&fit);
    }
    nw_region_free(&region);
}

START_TEST(stems_close_at_their_published_width)
{
    for (size_t i = 0; i < STEMS; i++)
        expect_stem(&stems[i], NW_CUT_INSIDE, NW_GAP);
}
END_TEST

START_TEST(stems_are_necks_of_their_published_width)
{
    for (size_t i = 0; i < STEMS; i++)
        expect_stem(&stems[i], NW_CUT_OUTSIDE, NW_NECK);
}
END_TEST

/* The area of this H is exact in its own font units: 155608 (two stems and a bar). */
START_TEST(the_area_of_a_glyph_is_exact)
{
    nw_region region = stem_region(&stems[0]);
    double area = nw_region_area(&region) / (MM_PER_UNIT * MM_PER_UNIT);
    ck_assert_double_eq_tol(area, 155608, 1e-3);
    nw_region_free(&region);
}
END_TEST

int main(void)
{
    second_start();
    if (FT_Init_FreeType(&library))
        return EXIT_FAILURE;
    if (access(LM "lmss9.pfb", R_OK) || access(TG "qagr.pfb", R_OK) ||
        access(URW "NimbusMonoPS-Bold.t1", R_OK)) {
        puts("1..0 # SKIP needs the fonts of lmodern, tex-gyre and fonts-urw-base35");
        return EXIT_SUCCESS;
    }
    const TTest *const tests[] = {stems_close_at_their_published_width,
                                  stems_are_necks_of_their_published_width,
                                  the_area_of_a_glyph_is_exact};
    return TESTS_RUN("stems", tests);
}
