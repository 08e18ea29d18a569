/* SVG files that are malformed, hostile or absurd: refused in one clear line, or read rightly;
 * never a crash, never more than 1 GiB of memory. The mutated ones come from a fixed seed. */
#include <svg/svg.h>

#include "../tests.h"

#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>

#define OPEN                                                                                       \
    "<svg xmlns='http://www.w3.org/2000/svg' width='90mm' height='90mm' viewBox='0 0 90 90'>"
#define SQUARE "<rect width='9' height='9'/>"

static void expect_small_memory(void)
{
#ifndef __SANITIZE_ADDRESS__
    struct rusage usage;
    ck_assert_int_eq(getrusage(RUSAGE_SELF, &usage), 0);
    ck_assert_int_lt(usage.ru_maxrss, 1 << 20); /* KiB */
#endif
}

/* Reads, checks what every outcome owes, and gives the area; negative when refused. */
static double read_any(const char *text, size_t length, nw_error *error)
{
    nw_drawing drawing;
    nw_svg_notes notes;
    *error = (nw_error){0};
    nw_status status = nw_drawing_read_svg((const uint8_t *)text, length, &drawing, &notes, error);
    if (status) {
        ck_assert_msg(status == NW_BAD_INPUT, "status %d: %s", status, error->message);
        ck_assert_uint_gt(strlen(error->message), 10);
        ck_assert_ptr_null(strchr(error->message, '\n'));
        ck_assert_uint_eq(drawing.count, 0);
        return -1;
    }
    nw_region region;
    ck_assert_int_eq(nw_drawing_flatten(&drawing, NW_FLATNESS_MM, &region, error), NW_OK);
    double area = nw_region_area(&region);
    ck_assert(isfinite(area) && area >= 0);
    ck_assert(area <= drawing.width * drawing.height * 1.0001 + 1e-6);
    nw_region_free(&region);
    nw_drawing_free(&drawing);
    return area;
}

static void expect_refused(const char *text, const char *words)
{
    nw_error error;
    double area = read_any(text, strlen(text), &error);
    ck_assert_msg(area < 0, "read as %.3f mm2: %.200s", area, text);
    ck_assert_msg(strstr(error.message, words), "%.200s: %s", text, error.message);
    expect_small_memory();
}

static void expect_area(const char *text, double expected)
{
    nw_error error;
    double area = read_any(text, strlen(text), &error);
    ck_assert_msg(fabs(area - expected) < 0.01, "%.3f: %.200s: %s", area, text, error.message);
}

START_TEST(not_an_svg)
{
    const char *texts[] = {"",
                           " ",
                           "svg",
                           "<",
                           "<svg",
                           "\x89PNG\r\n\x1a\n",
                           "<html/>",
                           "<svg:g/>",
                           OPEN,
                           OPEN "<g></svg>",
                           OPEN SQUARE "</svg",
                           "<svg a=1/>",
                           OPEN "\x01</svg>",
                           "<svg xmlns='http://www.w3.org/1999/xhtml'/>",
                           OPEN "\xff\xfe</svg>"};
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++)
        expect_refused(texts[i], "XML");
    expect_refused(OPEN "</svg>", "no shape");
}
END_TEST

START_TEST(every_truncation)
{
    const char *whole = "<?xml version='1.0'?><!DOCTYPE svg [<!ENTITY a 'fill:black'>]>" OPEN
                        "<style>rect{fill:none}</style><g transform='scale(2)'><rect id='r' "
                        "style='&a;' width='9' height='9'/></g></svg>";
    expect_area(whole, 324);
    for (size_t length = 0; length + 1 < strlen(whole); length++) {
        nw_error error;
        ck_assert_msg(read_any(whole, length, &error) < 0, "%zu bytes", length);
    }
}
END_TEST

START_TEST(entities)
{
    nw_text bomb = {0};
    nw_text_add(&bomb, "<!DOCTYPE svg [<!ENTITY a0 'ha'>");
    for (int i = 1; i < 30; i++)
        nw_text_format(&bomb, "<!ENTITY a%d '&a%d;&a%d;&a%d;'>", i, i - 1, i - 1, i - 1);
    nw_text_add(&bomb, "]>" OPEN "<g id='&a29;'/><text>&a29;</text></svg>");
    expect_refused(bomb.data, "entity");
    nw_text_free(&bomb);

    nw_text blowup = {0};
    nw_text_add(&blowup, "<!DOCTYPE svg [<!ENTITY a '");
    for (int i = 0; i < 4000; i++)
        nw_text_add(&blowup, "h");
    nw_text_add(&blowup, "'>]>" OPEN);
    for (int i = 0; i < 100; i++) {
        nw_text_add(&blowup, "<g id='");
        for (int k = 0; k < 100; k++)
            nw_text_add(&blowup, "&a;");
        nw_text_add(&blowup, "'/>");
    }
    nw_text_add(&blowup, "</svg>");
    expect_refused(blowup.data, "entit");
    nw_text_free(&blowup);

    expect_refused("<!DOCTYPE svg [<!ENTITY a SYSTEM 'file:///etc/passwd'>]>" OPEN "&a;</svg>",
                   "entity");
    expect_refused("<!DOCTYPE svg [<!ENTITY % a SYSTEM 'http://localhost/a'> %a;]>" OPEN "</svg>",
                   "entity");
    expect_refused("<!DOCTYPE svg [<!ENTITY a '<rect/>'>]>" OPEN "&a;</svg>", "entity");
    expect_refused(OPEN "&undeclared;</svg>", "ntity");
    expect_area("<!DOCTYPE svg SYSTEM 'http://localhost/x.dtd'>" OPEN SQUARE "</svg>", 81);
}
END_TEST

static char *nested(const char *before, const char *open, const char *middle, const char *close,
                    int depth)
{
    nw_text text = {0};
    nw_text_add(&text, before);
    for (int i = 0; i < depth; i++)
        nw_text_add(&text, open);
    nw_text_add(&text, middle);
    for (int i = 0; i < depth; i++)
        nw_text_add(&text, close);
    nw_text_add(&text, "</svg>");
    ck_assert(!text.failed);
    return text.data;
}

START_TEST(deep_nesting)
{
    char *text = nested(OPEN, "<g transform='rotate(0)'>", SQUARE, "</g>", 190);
    expect_area(text, 81);
    free(text);
    int depths[] = {201, 255, 300, 100000};
    for (size_t i = 0; i < sizeof depths / sizeof *depths; i++) {
        text = nested(OPEN, "<g>", SQUARE, "</g>", depths[i]);
        expect_refused(text, "line");
        free(text);
    }
}
END_TEST

START_TEST(references)
{
    nw_text bomb = {0};
    nw_text_add(&bomb, OPEN "<g id='u0'>" SQUARE "</g>");
    for (int i = 1; i < 30; i++) {
        nw_text_format(&bomb, "<g id='u%d'><use href='#u%d'/><use href='#u%d'/></g>", i, i - 1,
                       i - 1);
    }
    nw_text_add(&bomb, "</svg>");
    expect_refused(bomb.data, "elements");
    nw_text_free(&bomb);

    /* Few enough elements and curves, but too many points for so small a file. */
    nw_text copies = {0};
    nw_text_add(&copies, OPEN "<g id='u0'><circle cx='45' cy='45' r='40'/></g>");
    for (int i = 1; i < 14; i++) {
        nw_text_format(&copies, "<g id='u%d'><use href='#u%d'/><use x='.%d' href='#u%d'/></g>", i,
                       i - 1, i, i - 1);
    }
    nw_text_add(&copies, "</svg>");
    expect_refused(copies.data, "complicated");
    nw_text_free(&copies);

    expect_refused(OPEN "<use id='a' href='#a'/></svg>", "itself");
    expect_refused(OPEN "<use id='a' href='#b'/><use id='b' href='#a'/></svg>", "itself");
    expect_refused(OPEN "<symbol id='a'><use href='#a'/></symbol><use href='#a'/></svg>", "itself");
    expect_refused(OPEN "<clipPath id='a' clip-path='url(#a)'/><rect width='9' height='9' "
                        "clip-path='url(#a)'/></svg>",
                   "itself");
    expect_area(OPEN "<linearGradient id='a' href='#b'/><linearGradient id='b' href='#a'/>"
                     "<rect width='9' height='9' fill='url(#a)'/><rect x='20' width='5' "
                     "height='5'/></svg>",
                25);
    expect_area(OPEN "<use href='other.svg#a'/><use href='#none'/><use/>" SQUARE "</svg>", 81);
}
END_TEST

START_TEST(numbers)
{
    expect_area(OPEN SQUARE "<path d='M20 20H30V30H20zM40 40 L NaN 5z'/></svg>", 181);
    expect_area(OPEN SQUARE "<path d='M20 20H30V30H20zM40 40 L 1e999 5z'/></svg>", 181);
    expect_refused(OPEN SQUARE "<path d='M20 20H30V30H20zM40 40 L 1e30 5z'/></svg>", "beyond");
    expect_refused(OPEN "<g transform='scale(1e200) scale(1e200)'>" SQUARE "</g></svg>", "finite");
    expect_refused(OPEN "<path d='M0 0A1e300 1e300 0 0 0 1e9 1e9z'/></svg>", "beyond");
    expect_refused(OPEN "<g transform='scale(nan)'>" SQUARE "</g></svg>", "malformed");
    expect_area(OPEN SQUARE "<rect width='nan' height='9'/><circle r='inf'/></svg>", 81);
    expect_area(OPEN "<path d='M0 0A1e-300 1e-300 0 0 0 0 9V9H9z'/></svg>", 40.5);
    expect_refused("<svg width='1e9mm' height='1' >" SQUARE "</svg>", "width");
    expect_refused("<svg width='0' height='9'>" SQUARE "</svg>", "width");
    expect_refused("<svg width='-9' height='9'>" SQUARE "</svg>", "width");
    expect_refused("<svg viewBox='0 0 0 0'>" SQUARE "</svg>", "viewBox");
    expect_area("<svg viewBox='0 0 nan 9' width='254' height='96'>" SQUARE "</svg>",
                81 * 25.4 * 25.4 / 96 / 96);
}
END_TEST

START_TEST(outlines_that_cross_or_stay_open)
{
    expect_area(OPEN "<path d='M0 0H9V9'/></svg>", 40.5);
    expect_area(OPEN "<path d='M0 0L10 10V0L0 10z'/></svg>", 50);
    expect_area(OPEN "<path d='M0 0H9V9H0zM0 0H9V9H0z'/></svg>", 81);
    expect_refused(OPEN "<path fill-rule='evenodd' d='M0 0H9V9H0zM0 0H9V9H0z'/></svg>", "no shape");
    expect_area(OPEN "<path d='M0 0H9V9H0zM9 9H18V18H9z'/></svg>", 162);
    expect_area(OPEN "<path d='M0 0H9V9H5V20H5V9H0z'/></svg>", 81);
    expect_refused(OPEN "<path d='M0 0H9H0z'/></svg>", "no shape");
    expect_refused(OPEN "<path d='M5 5z'/><path d='M1 1 1 1 1 1z'/></svg>", "no shape");
    /* A loop that a cubic makes by itself. */
    expect_area(
        OPEN "<path d='M0 0C40 40-20 40 20 0z'/></svg>",
        read_any(OPEN "<path fill-rule='evenodd' d='M0 0C40 40-20 40 20 0z'/></svg>",
                 strlen(OPEN "<path fill-rule='evenodd' d='M0 0C40 40-20 40 20 0z'/></svg>"),
                 &(nw_error){0}));
}
END_TEST

START_TEST(style_sheets)
{
    nw_text rules = {0};
    nw_text_add(&rules, OPEN "<style>");
    for (int i = 0; i < 5000; i++)
        nw_text_format(&rules, ".c%d{fill:none}", i);
    nw_text_add(&rules, "</style>" SQUARE "</svg>");
    expect_refused(rules.data, "rules");
    nw_text_free(&rules);
    const char *sheets[] = {"{",
                            "}",
                            "rect{",
                            "rect{fill",
                            "rect{fill:;;:}",
                            "/*",
                            "@media{",
                            "@",
                            ",,{}",
                            "> {fill:none}",
                            "g >{fill:none}",
                            "[{fill:none}",
                            "[x=]{}",
                            "#{fill:none}",
                            ".{fill:none}",
                            "<!-- -->",
                            "rect:{fill:none}"};
    for (size_t i = 0; i < sizeof sheets / sizeof *sheets; i++) {
        char text[300];
        snprintf(text, sizeof text, OPEN "<style><![CDATA[%s]]></style>" SQUARE "</svg>",
                 sheets[i]);
        expect_area(text, 81);
    }
    char *text = nested(OPEN "<style>* * * * * * * * * * * * * * * #no{fill:none}</style>", "<g>",
                        SQUARE, "</g>", 190);
    expect_area(text, 81);
    free(text);
}
END_TEST

/* ---- mutation ------------------------------------------------------------------------------ */

static const char *const seeds[] = {
    OPEN "<style>.a > rect{fill:none}#b .c,path{fill:#123;fill-rule:evenodd}</style><g class='a' "
         "id='b' transform='translate(5,5) rotate(10 5 5)'><rect x='1' y='2' width='9' height='8' "
         "rx='2'/><path class='c' d='M10 10c5-5 10 5 20 0s9 9 0 20q-5 5-10 0t-10 0z m4 4h3v3h-3z'/>"
         "</g><circle cx='60' cy='60' r='9' fill='white'/></svg>",
    OPEN
    "<defs><symbol id='s' viewBox='0 0 9 9' preserveAspectRatio='xMinYMax slice'><ellipse "
    "cx='4' cy='4' rx='3' ry='2'/></symbol><clipPath id='k'><circle cx='20' cy='20' r='15'/>"
    "</clipPath><linearGradient id='l'><stop stop-color='red'/></linearGradient></defs><use "
    "href='#s' width='40' height='30'/><g clip-path='url(#k)' fill='url(#l) #fff' opacity='.9'>"
    "<polygon points='5,5 40,9 20,40'/><path d='M9 9A5 7 20 1 0 30 30L5,40a1 1 0 0012 2z'/></g>"
    "</svg>",
    "<?xml version='1.0'?><!DOCTYPE svg [<!ENTITY f 'fill:black'><!ENTITY g 'stroke:red'>]><svg "
    "xmlns='http://www.w3.org/2000/svg' width='3in' height='200pt' viewBox='-10 -10 100 90'><svg "
    "x='10%' y='1em' width='50%' height='50%' overflow='visible'><rect style='&f;&g;' width='80' "
    "height='70'/></svg><switch><g systemLanguage='en'><polyline points='0 0 50 0 50 50'/></g>"
    "</switch></svg>",
};

static uint64_t random_next(uint64_t *state)
{
    *state = *state * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
    return *state >> 33;
}

/* One small change of the text, which has room for 64 more bytes. */
static size_t mutate(char *text, size_t length, uint64_t *state)
{
    static const char *const tokens[] = {"0",    "-", "1e9",  "nan",   "'",      "<g>",
                                         "</g>", "z", "M",    "%",     "#s",     "url(#k)",
                                         "&f;",  ".", "1e-9", "99999", "evenodd"};
    size_t at = random_next(state) % (length + 1);
    size_t span = random_next(state) % 12;
    span = span < length - at ? span : length - at;
    const char *token = tokens[random_next(state) % (sizeof tokens / sizeof *tokens)];
    switch (random_next(state) % 4) {
    case 0: /* one byte */
        if (at < length) {
            text[at] = (char)(random_next(state) % 4 ? 32 + random_next(state) % 95
                                                     : random_next(state) % 256);
        }
        return length;
    case 1: /* something lost */
        memmove(text + at, text + at + span, length - at - span);
        return length - span;
    case 2: /* something twice */
        memmove(text + at + span, text + at, length - at);
        return length + span;
    default: /* something put in */
        memmove(text + at + strlen(token), text + at, length - at);
        memcpy(text + at, token, strlen(token));
        return length + strlen(token);
    }
}

START_TEST(mutated)
{
    uint64_t state = 20111;
    size_t read = 0;
    for (int round = 0; round < 3000; round++) {
        const char *seed = seeds[(size_t)round % (sizeof seeds / sizeof *seeds)];
        char text[2000];
        size_t length = strlen(seed);
        memcpy(text, seed, length);
        for (uint64_t change = random_next(&state) % 3 + 1; change > 0; change--)
            length = mutate(text, length, &state);
        nw_error error;
        read += read_any(text, length, &error) >= 0;
    }
    /* Some must get past the XML, or nothing was tested. */
    ck_assert_uint_gt(read, 500);
    expect_small_memory();
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {
        not_an_svg,
        every_truncation,
        entities,
        deep_nesting,
        references,
        numbers,
        outlines_that_cross_or_stay_open,
        style_sheets,
        mutated,
    };
    return TESTS_RUN("bad svg", tests);
}
