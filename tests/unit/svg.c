/* SVG drawings read as one clean region: shapes, paths, units, styles, paint order, clips. Areas
 * and sizes are plane geometry; what the elements mean is SVG 1.1 (W3C, second edition, 2011). */
#include <pieces/pieces.h>
#include <svg/svg.h>

#include "../tests.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MM                                                                                         \
    "<svg xmlns='http://www.w3.org/2000/svg' xmlns:xlink='http://www.w3.org/1999/xlink' "          \
    "width='100mm' height='100mm' viewBox='0 0 100 100'>"

typedef struct {
    nw_status status;
    double area, width, height;
    size_t paths, steps, pieces;
    nw_svg_notes notes;
    nw_error error;
} outcome;

static outcome read_text(const char *text)
{
    outcome o = {0};
    nw_drawing drawing;
    const uint8_t *data = (const uint8_t *)text;
    o.status = nw_drawing_read_svg(data, strlen(text), &drawing, &o.notes, &o.error);
    nw_region region = {0};
    if (!o.status)
        ck_assert_int_eq(nw_drawing_flatten(&drawing, 0.0002, &region, NULL), NW_OK);
    o.area = o.status ? 0 : nw_region_area(&region);
    o.width = drawing.width;
    o.height = drawing.height;
    o.paths = drawing.count;
    for (size_t i = 0; i < drawing.count; i++) {
        o.steps += drawing.paths[i].count;
        o.pieces = drawing.paths[i].piece + 1 > o.pieces ? drawing.paths[i].piece + 1 : o.pieces;
    }
    nw_region_free(&region);
    nw_drawing_free(&drawing);
    return o;
}

/* The body within a page of 100 mm, one user unit a millimetre. */
static outcome read_body(const char *body)
{
    char *text = malloc(strlen(body) + 400);
    ck_assert_ptr_nonnull(text);
    sprintf(text, MM "%s</svg>", body);
    outcome o = read_text(text);
    free(text);
    return o;
}

static void expect_area(const char *body, double area)
{
    outcome o = read_body(body);
    ck_assert_msg(o.status == NW_OK, "%s: %s", body, o.error.message);
    ck_assert_msg(fabs(o.area - area) <= 1e-4 * area + 1e-3, "%s: %.6f, not %.6f", body, o.area,
                  area);
}

static void expect_refused(const char *body, const char *words)
{
    outcome o = read_body(body);
    ck_assert_msg(o.status == NW_BAD_INPUT, "%s: status %d %s", body, o.status, o.error.message);
    ck_assert_msg(strstr(o.error.message, words), "%s: %s", body, o.error.message);
    ck_assert_ptr_null(strchr(o.error.message, '\n'));
    ck_assert_uint_eq(o.paths, 0);
}

START_TEST(basic_shapes)
{
    expect_area("<rect x='10' y='10' width='30' height='20'/>", 600);
    expect_area("<rect x='10' y='10' width='30' height='20' rx='5'/>", 600 - (4 - M_PI) * 25);
    expect_area("<rect x='10' y='10' width='30' height='20' rx='50' ry='4'/>",
                600 - (4 - M_PI) * 15 * 4);
    expect_area("<circle cx='50' cy='50' r='20'/>", M_PI * 400);
    expect_area("<ellipse cx='50' cy='50' rx='20' ry='10'/>", M_PI * 200);
    expect_area("<polygon points='10,10 40,10 40,50'/>", 600);
    expect_area("<polyline points='10,10,40,10,40,50'/>", 600);
}
END_TEST

START_TEST(path_commands)
{
    expect_area("<path d='M10 10h30v20H10z'/>", 600);
    expect_area("<path d='m10,10 30,0 0,20 -30,0'/>", 600);
    expect_area("<path d='M10 10L40 10 40 30 10 30zm10 30h10v10h-10z'/>", 700);
    /* A parabola's segment: two thirds of its box (Archimedes). */
    expect_area("<path d='M10 10q15 40 30 0z'/>", 2.0 / 3 * 30 * 20);
    expect_area("<path d='M10 50Q20 30 30 50T50 50V90H10z'/>", 1600);
    expect_area("<path d='M10 50C10 30 30 30 30 50S50 70 50 50V90H10z'/>", 1600);
    expect_area("<path d='M30 50A20 20 0 1 1 70 50 20 20 0 0 1 30 50z'/>", M_PI * 400);
    expect_area("<path d='M30,50a20,20,0,1170,0'/>", M_PI / 2 * 35 * 35);
    /* Half an ellipse turned by 30 degrees. */
    expect_area("<path d='M32.679 40a20 10 30 0 0 34.64102 20z'/>", M_PI * 100);
    expect_area("<path d='M10 10h1.5.5-.5.5v2h-2z'/>", 4);
}
END_TEST

START_TEST(path_errors_end_the_drawing)
{
    expect_area("<path d='M10 10H40V30H10ZM50 50H60V60L'/>", 650);
    expect_area("<path d='M10 10H40V30H10Z L'/>", 600);
    expect_area("<path d='M10 10H40V30H10Z X 4'/>", 600);
    expect_area("<path d='M10 10H40V30H10Z M50 50 A 5 5 0 2 1 60 60'/>", 600);
    expect_area("<polygon points='10,10 40,10 40,50 7'/>", 600);
    expect_refused("<path d='L10 10H40V30z'/>", "no shape");
    expect_refused("<rect width='-5' height='5'/><circle r='-1'/><path/>", "no shape");
}
END_TEST

START_TEST(fill_rules)
{
    const char *star = "<path %s d='M50 10L73.511 82.361 11.958 37.639H88.042L26.489 82.361z'/>";
    char body[300];
    /* The pentagram of circumradius 40: its pentagon has circumradius 40 / phi^2. */
    double r = 40 / (1.5 + sqrt(1.25)), pentagon = 2.5 * r * r * sin(0.4 * M_PI);
    double points = 5 * 40 * r * sin(0.2 * M_PI) - pentagon;
    snprintf(body, sizeof body, star, "");
    expect_area(body, points + pentagon);
    snprintf(body, sizeof body, star, "fill-rule='evenodd'");
    expect_area(body, points);
    expect_area("<path d='M10 10H60V60H10zM20 20V40H40V20z'/>", 2100);
    expect_area("<path d='M10 10H60V60H10zM20 20H40V40H20z'/>", 2500);
    expect_area("<path fill-rule='evenodd' d='M10 10H60V60H10zM20 20H40V40H20z'/>", 2100);
}
END_TEST

START_TEST(transforms)
{
    const char *square = "<g transform='%s'><rect width='10' height='10'/></g>";
    struct {
        const char *transform;
        double area, width;
    } cases[] = {{"translate(20)", 100, 10},
                 {"translate(20,30) scale(2 3)", 600, 20},
                 {"translate(50 50)rotate(45)", 100, 14.1421356},
                 {"rotate(90,20,20)", 100, 10},
                 {"translate(30,10),skewX(45)", 100, 20},
                 {"skewY(45)", 100, 10},
                 {"matrix(2 0 0 2 5 5)", 400, 20},
                 {"scale(-1 1) translate(-40 0)", 100, 10}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char body[200];
        snprintf(body, sizeof body, square, cases[i].transform);
        expect_area(body, cases[i].area);
        ck_assert_double_eq_tol(read_body(body).width, cases[i].width, 1e-5);
    }
    expect_refused("<g transform='rotate(1 2)'><rect width='9' height='9'/></g>", "rotate(1 2)");
    expect_refused("<g transform='scale(0)'><rect width='9' height='9'/></g>", "no shape");
}
END_TEST

static void expect_size(const char *page, double width, double height)
{
    char text[500];
    snprintf(text, sizeof text,
             "<svg xmlns='http://www.w3.org/2000/svg' %s><rect width='1000' height='1000'/></svg>",
             page);
    outcome o = read_text(text);
    ck_assert_msg(o.status == NW_OK, "%s: %s", page, o.error.message);
    ck_assert_msg(fabs(o.width - width) < 1e-4 && fabs(o.height - height) < 1e-4, "%s: %.5f x %.5f",
                  page, o.width, o.height);
}

START_TEST(pages_and_units)
{
    /* CSS 2.1, 4.3.2: 1 in is 96 px, 2.54 cm, 72 pt, 6 pc. */
    expect_size("width='96' height='48px'", 25.4, 12.7);
    expect_size("width='1in' height='2.54cm'", 25.4, 25.4);
    expect_size("width='72pt' height='6pc'", 25.4, 25.4);
    expect_size("width='50mm' height='20mm' viewBox='0 0 1000 1000' preserveAspectRatio='none'", 50,
                20);
    expect_size("width='50mm' height='20mm' viewBox='0 0 1000 1000'", 20, 20);
    expect_size("width='50mm' height='20mm' viewBox='0 0 1000 1000' "
                "preserveAspectRatio='xMidYMid slice'",
                50, 20);
    expect_size("viewBox='0 0 960 480'", 254, 127);
    expect_size("width='100%' height='100%' viewBox='0 0 960 480'", 254, 127);
    expect_size("width='50mm' viewBox='0 0 1000 2000'", 50, 50);
    expect_size("", 1000 * 25.4 / 96, 1000 * 25.4 / 96);
    ck_assert(read_body("<rect width='9' height='9'/>").notes.sized);
}
END_TEST

START_TEST(use_symbol_and_nested_svg)
{
    expect_area("<defs><rect id='r' width='10' height='10'/></defs><use xlink:href='#r' x='5'/>"
                "<use href='#r' transform='translate(40 0) scale(2)'/>",
                500);
    expect_area("<symbol id='s' viewBox='0 0 10 10'><rect width='20' height='10'/></symbol>"
                "<use href='#s' width='50' height='50'/>",
                2500);
    expect_area("<svg x='10' y='10' width='40' height='20' viewBox='0 0 10 10'>"
                "<rect width='10' height='10'/></svg>",
                400);
    expect_area("<svg width='40' height='20'><rect width='100%' height='100'/></svg>", 800);
    expect_area("<svg width='40' height='20' overflow='visible'>"
                "<rect width='100%' height='100'/></svg>",
                4000);
    expect_refused("<g id='a'><use href='#a'/></g>", "refers to itself");
    expect_refused("<g id='a'><use href='#b'/></g><g id='b'><use href='#a'/></g>", "itself");
}
END_TEST

START_TEST(styles)
{
    const char *two = "<style>%s</style><g class='wing left' id='w'><rect id='r' class='a b' "
                      "width='10' height='10'/></g><rect x='50' width='20' height='10'/>";
    struct {
        const char *sheet;
        double area;
        size_t unread;
    } cases[] = {{"rect{fill:none} .a{fill:black}", 100, 0},
                 {"rect{fill:none} #r{fill:black} .b{fill:none}", 100, 0},
                 {".wing rect{display:none}", 200, 0},
                 {".left > .b{visibility:hidden}", 200, 0},
                 {"svg > rect{fill:white}", 100, 0},
                 {"*{fill:none} rect.a.b{fill:#123}", 100, 0},
                 {"/* rect{} */ @media print{rect{fill:none}} g rect,.none{fill:none}", 200, 1},
                 {"rect{fill:none!important} #r{fill:red}", 0, 0},
                 {"rect:hover{fill:none} a|rect{fill:none}", 300, 1},
                 {"rect[class~=b]{fill-opacity:0}", 200, 0},
                 {"rect[id|=r]{fill:none}", 200, 0},
                 {"rect[class|=a], rect[class|='a b c']{fill:none}", 300, 0},
                 {"g + rect{fill:none}", 100, 0},
                 {"style+g + rect[x='50']{fill:none}", 100, 0},
                 {"style + rect, g > rect + rect, + rect, g +, g ~ rect{fill:none}", 300, 1},
                 {"g ~ circle, ~ rect, g ~, rect::after, rect:focus{fill:none}", 300, 0},
                 {"g ~ rect, rect ~ rect{cursor:pointer} :root > rect{fill:none}", 100, 0},
                 {"rect:not(.a, .c){fill:none} rect:nth-child( 2n + 1 ){fill:none}", 300, 2},
                 {"rect[x^='5'], rect[x='50' i]{fill:none} [y^='5']{fill:none}", 300, 2},
                 {"svg > :is(g > b, i) rect, #w:not(.x) > rect, r\\ct{fill:none}", 300, 3},
                 {"@import url(a.css); @font-face{fill:none} @charset 'a';", 300, 1},
                 {"rect:first-child{fill:none}", 200, 0},
                 {"svg > g + rect:first-child, rect~first-child{fill:none}", 300, 0},
                 {":first-child{fill:none} .b{fill:black} .b:first-child{fill:none}", 200, 0},
                 {"<![CDATA[ #w rect { fill : rgb(100%,100%,100%) ; } ]]>", 200, 0}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char body[500];
        snprintf(body, sizeof body, two, cases[i].sheet);
        if (cases[i].area > 0)
            expect_area(body, cases[i].area);
        else
            expect_refused(body, "no shape");
        ck_assert_msg(read_body(body).notes.unread.rules == cases[i].unread, "%s", cases[i].sheet);
    }
    expect_area("<g fill='none'><rect style='fill:black' width='9' height='9'/></g>", 81);
    expect_area("<g style='fill:none;'><rect fill='inherit' width='9' height='9'/>"
                "<circle cx='50' cy='50' fill='#000' r='10'/></g>",
                M_PI * 100);
    expect_area("<g color='#fff'><rect fill='currentColor' width='9' height='9'/></g>"
                "<rect x='20' width='5' height='5'/>",
                25);
}
END_TEST

START_TEST(paint_order)
{
    expect_area("<rect width='50' height='50'/><rect x='10' width='10' height='60' fill='white'/>",
                2000);
    expect_area("<rect width='50' height='50'/><circle cx='25' cy='25' r='10' fill='#fefefe'/>"
                "<circle cx='25' cy='25' r='5' fill='navy'/>",
                2500 - M_PI * 75);
    expect_area("<rect x='10' width='10' height='60' fill='white'/><rect width='50' height='50'/>",
                2500);
    expect_area("<rect width='50' height='50'/><rect width='9' height='9' opacity='.5' "
                "fill='white'/>",
                2500);
    expect_area("<rect width='50' height='50' fill='#ffffc0'/>", 2500);
    expect_area("<rect width='50' height='50'/><rect x='60' width='9' height='9' opacity='.05'/>",
                2500);
    outcome one = read_body("<rect width='50' height='50'/><circle r='9'/>"),
            two = read_body("<rect width='50' height='50'/><circle r='9' fill='red'/>");
    outcome apart = read_body("<rect x='20' width='30' height='50'/><circle r='9' fill='red'/>");
    ck_assert(!one.notes.several && two.notes.several && !apart.notes.several);
    outcome light = read_body("<circle cx='50' cy='50' r='10' fill='#fff'/>");
    ck_assert(light.notes.light);
    ck_assert_double_eq_tol(light.area, M_PI * 100, 0.05);
    expect_area("<defs><linearGradient id='g'><stop stop-color='white'/><stop offset='1' "
                "stop-color='red'/></linearGradient></defs>"
                "<rect width='50' height='50' fill='url(#g)'/>",
                2500);
}
END_TEST

START_TEST(clips)
{
    expect_area("<clipPath id='c'><circle cx='20' cy='20' r='10'/></clipPath>"
                "<rect width='20' height='50' clip-path='url(#c)'/>",
                M_PI * 50);
    expect_area("<clipPath id='c' clipPathUnits='objectBoundingBox'><rect width='.5' height='1'/>"
                "</clipPath><rect x='10' width='20' height='50' clip-path='url(#c)'/>",
                500);
    expect_area("<clipPath id='d'><rect width='30' height='9'/></clipPath>"
                "<clipPath id='c' clip-path='url(#d)'><rect width='10' height='99'/></clipPath>"
                "<g clip-path='url(#c)'><rect width='50' height='50'/></g>",
                90);
    expect_area("<rect x='90' y='90' width='50' height='50'/>", 100);
    outcome away = read_body("<rect x='200' width='5' height='5'/><rect width='9' height='9'/>");
    ck_assert_uint_eq(away.notes.off_page, 1);
    ck_assert_double_eq_tol(away.area, 81, 1e-6);
    expect_refused("<clipPath id='c'><rect width='9' height='9' clip-path='url(#c)'/></clipPath>"
                   "<rect width='9' height='9' clip-path='url(#c)'/>",
                   "itself");
}
END_TEST

/* Closed forms for what a pen covers (SVG 1.1, 11.4). */
START_TEST(strokes_are_area)
{
    const double pi = 3.14159265358979323846;
    expect_area("<line x1='10' y1='10' x2='50' y2='10' stroke='#000' stroke-width='4'/>", 160);
    expect_area("<line x1='10' y1='10' x2='50' y2='10' stroke='#000' stroke-width='4' "
                "stroke-linecap='square'/>",
                176);
    expect_area("<line x1='10' y1='10' x2='50' y2='10' stroke='#000' stroke-width='4' "
                "stroke-linecap='round'/>",
                160 + 4 * pi);
    /* A frame: its corners are mitred, rounded or cut off. */
    expect_area("<rect x='10' y='10' width='40' height='20' fill='none' stroke='#000' "
                "stroke-width='4'/>",
                44 * 24 - 36 * 16);
    expect_area("<rect x='10' y='10' width='40' height='20' fill='none' stroke='#000' "
                "stroke-width='4' stroke-linejoin='round'/>",
                44 * 24 - 36 * 16 - (16 - 4 * pi));
    expect_area("<rect x='10' y='10' width='40' height='20' fill='none' stroke='#000' "
                "stroke-width='4' stroke-linejoin='bevel'/>",
                44 * 24 - 36 * 16 - 8);
    expect_area("<circle cx='50' cy='50' r='20' stroke='#000' stroke-width='2'/>", 441 * pi);
    expect_area("<circle cx='50' cy='50' r='20' fill='none' stroke='#000' stroke-width='2'/>",
                80 * pi);
    /* Open and closed ways differ in their last corner. */
    expect_area("<path d='M10 10H40V40H10z' fill='none' stroke='#000' stroke-width='2'/>",
                32 * 32 - 28 * 28);
    expect_area("<polyline points='10,10 40,10 40,40 10,40' fill='none' stroke='#000' "
                "stroke-width='2'/>",
                31 * 32 - 29 * 28);
    /* A point is a dot where ends are round, and nothing where they are not. */
    expect_area("<path d='M20 20z' stroke='#000' stroke-width='6' stroke-linecap='round'/>",
                9 * pi);
    expect_area("<g><path d='M20 20z' stroke='#000' stroke-width='6'/><path d='M0 0h3v3h-3z'/></g>",
                9);
    /* Dashes, an odd list counted twice, begun within. */
    expect_area("<path d='M10 10H70' stroke='#000' stroke-width='2' stroke-dasharray='10 5'/>", 80);
    expect_area("<path d='M10 10H70' stroke='#000' stroke-width='2' stroke-dasharray='10' "
                "stroke-dashoffset='-5'/>",
                60);
    /* The pen goes through the transforms, but where it is not to. */
    expect_area("<g transform='scale(2 1)'><path d='M10 10V40' stroke='#000' stroke-width='4'/>"
                "</g>",
                240);
    expect_area("<g transform='scale(2 1)'><path d='M10 10V40' stroke='#000' "
                "stroke-width='3.7795275590551' vector-effect='non-scaling-stroke'/></g>",
                30);
    /* Paper's colour takes away, and what is drawn on top counts. */
    expect_area("<rect x='10' y='10' width='40' height='20' stroke='#fff' stroke-width='4'/>",
                36 * 16);
    /* A white veil takes pale ink away and dark ink not; faint veils add up. */
    expect_area("<rect width='9' height='9' fill='#ddd'/><rect width='5' height='9' fill='#fff' "
                "opacity='.6'/>",
                4 * 9);
    expect_area("<rect width='9' height='9'/><rect width='5' height='9' fill='#fff' "
                "opacity='.6'/>",
                9 * 9);
    expect_area("<rect width='9' height='9' opacity='.06'/><rect x='4' width='9' height='9' "
                "opacity='.06'/>",
                5 * 9);
}
END_TEST

START_TEST(what_is_left_out_is_noted)
{
    outcome o = read_body("<rect width='9' height='9' stroke='red' stroke-width='.05'/>"
                          "<path d='M0 0L9 9' stroke='#000' vector-effect='non-scaling-stroke'/>"
                          "<line x2='30' stroke='black' marker-end='url(#tip)'/><text>Row</text>"
                          "<image width='9' height='9' xlink:href='a.png'/>");
    ck_assert_int_eq(o.status, NW_OK);
    ck_assert_uint_eq(o.notes.hairlines, 1);
    ck_assert_uint_eq(o.notes.unscaled, 1);
    ck_assert_uint_eq(o.notes.unread.marks, 1);
    ck_assert_uint_eq(o.notes.unread.texts, 1);
    ck_assert_uint_eq(o.notes.unread.images, 1);
    expect_refused("<path d='M0 0H9V9z' fill='none' stroke='none'/>", "no shape");
    expect_refused("<text>Row</text>", "only text");
    expect_refused("<image width='9' height='9' xlink:href='a.png'/>", "only a picture");
    /* One text, whatever it is made of; and none that nobody would see. */
    o = read_body(
        "<rect width='9' height='9'/><text>R<tspan>o</tspan><tspan>w</tspan></text>"
        "<text> <tspan>club</tspan></text><text> <tspan/></text><text fill='none'>a</text>"
        "<text opacity='0'>b</text><g display='none'><text>c</text></g>"
        "<text visibility='hidden'>d</text><rect width='9' height='9' mask='url(#m)'/>");
    ck_assert_uint_eq(o.notes.unread.texts, 2);
    ck_assert_uint_eq(o.notes.unread.effects, 1);
    ck_assert_uint_eq(nw_unread_count(&o.notes.unread), 3);
}
END_TEST

#define FADE                                                                                       \
    "<linearGradient id='f'><stop stop-color='#000'/><stop offset='1' stop-color='#000' "          \
    "stop-opacity='0'/></linearGradient><linearGradient id='p'><stop stop-color='#000'/>"          \
    "<stop offset='1' stop-color='#fff'/></linearGradient><linearGradient id='d'>"                 \
    "<stop stop-color='#000'/><stop offset='1' stop-color='#555'/></linearGradient>"               \
    "<linearGradient id='g'><stop stop-color='#fff'/><stop offset='1' stop-color='#fff' "          \
    "stop-opacity='0'/></linearGradient><linearGradient id='h'><stop stop-color='#fff' "           \
    "stop-opacity='.8'/><stop offset='1' stop-color='#00f' stop-opacity='0'/></linearGradient>"    \
    "<linearGradient id='v'><stop stop-color='#fff' stop-opacity='.8'/><stop offset='1' "          \
    "stop-color='#fff' stop-opacity='0'/></linearGradient>"

START_TEST(shapes_that_fade_are_noted_where_it_matters)
{
    const struct {
        const char *body;
        size_t shades;
    } cases[] = {
        {FADE "<rect width='9' height='9' fill='url(#f)'/>", 1},
        {FADE "<rect width='9' height='9' fill='none' stroke='url(#p)'/>", 1},
        {FADE "<rect width='9' height='9' fill='url(#d)'/>", 0},
        {FADE "<rect width='9' height='9'/><rect x='2' width='5' height='5' fill='url(#f)'/>", 0},
        {FADE "<rect width='9' height='9'/><rect x='2' width='5' height='5' fill='url(#p)'/>", 1},
        {FADE "<rect width='9' height='9'/><rect x='2' width='8' height='5' fill='url(#f)'/>", 1},
        {FADE "<rect width='5' height='5' fill='url(#p)'/><rect width='9' height='9'/>", 0},
        {FADE "<rect width='9' height='9'/><rect width='5' height='5' fill='url(#g)'/>", 1},
        {FADE "<rect width='9' height='9'/><rect x='9' width='5' height='5' fill='url(#g)'/>", 0},
        {FADE "<rect width='9' height='9'/><rect x='9' width='5' height='5' fill='url(#h)'/>", 1},
        {FADE "<rect width='9' height='9'/><rect x='9' width='5' height='5' fill='url(#v)'/>", 0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        outcome o = read_body(cases[i].body);
        ck_assert_int_eq(o.status, NW_OK);
        ck_assert_uint_eq(o.notes.unread.shades, cases[i].shades);
        ck_assert_uint_eq(nw_unread_count(&o.notes.unread), cases[i].shades);
    }
}
END_TEST

START_TEST(untouched_curves_stay)
{
    /* A circle is eight curves; two apart are sixteen, and where they meet two are split. */
    outcome apart = read_body("<circle cx='20' cy='20' r='10'/><circle cx='60' cy='20' r='10'/>");
    ck_assert_uint_eq(apart.steps, 16);
    outcome joined = read_body("<circle cx='20' cy='20' r='10'/><circle cx='33' cy='20' r='10'/>");
    ck_assert_uint_eq(joined.paths, 1);
    ck_assert_uint_le(joined.steps, 16);
    double half = 6.5, r = 10,
           lens = 2 * (r * r * acos(half / r) - half * sqrt(r * r - half * half));
    ck_assert_double_eq_tol(joined.area, 2 * M_PI * r * r - lens, 0.02); /* chords */
    outcome twice = read_body("<circle cx='20' cy='20' r='10'/><circle cx='20' cy='20' r='10'/>");
    ck_assert_uint_eq(twice.steps, 8);
}
END_TEST

START_TEST(hundreds_of_rings_nest)
{
    /* Rings in rings, twenty deep, side by side: pieces are counted by parity. */
    nw_text text = {0};
    nw_text_add(&text, MM "<path fill-rule='evenodd' d='");
    for (int i = 0; i < 20; i++)
        nw_text_format(&text, "M%d %dH%dV%dH%dz", 10 + i, 10 + i, 90 - i, 90 - i, 10 + i);
    nw_text_add(&text, "'/></svg>");
    outcome o = read_text(text.data);
    nw_text_free(&text);
    ck_assert_int_eq(o.status, NW_OK);
    ck_assert_uint_eq(o.pieces, 10);
    ck_assert_uint_eq(o.paths, 20);
}
END_TEST

START_TEST(svg_is_told_by_content)
{
    const char *known[] = {
        "<svg/>", "\xEF\xBB\xBF<?xml version='1.0'?>\n<!-- > <x> -->\n<svg:svg xmlns:svg=''>",
        "<!DOCTYPE svg [ <!ENTITY a '<b>]'> ] >\n<svg width='3'>"};
    const char *unknown[] = {"", "svg", "<html><svg/></html>", "<svgx/>", "\x89PNG", "<?xml"};
    for (size_t i = 0; i < sizeof known / sizeof *known; i++)
        ck_assert_msg(nw_svg_known((const uint8_t *)known[i], strlen(known[i])), "%s", known[i]);
    for (size_t i = 0; i < sizeof unknown / sizeof *unknown; i++) {
        ck_assert_msg(!nw_svg_known((const uint8_t *)unknown[i], strlen(unknown[i])), "%s",
                      unknown[i]);
    }
    ck_assert(nw_svg_known((const uint8_t *)"\xFF\xFE<\0s\0v\0g\0>\0", 12));
}
END_TEST

START_TEST(pieces_are_kept_or_dropped)
{
    const char *text = MM "<rect x='50' y='50' width='20' height='20'/><path d='M0 0H9V9H0zM2 2V5H5"
                          "V2z'/></svg>";
    nw_drawing drawing;
    nw_pieces pieces;
    nw_error error;
    const uint8_t *data = (const uint8_t *)text;
    ck_assert_int_eq(nw_drawing_read_svg(data, strlen(text), &drawing, NULL, &error), NW_OK);
    ck_assert_int_eq(nw_drawing_pieces(&drawing, 0.1, &pieces, &error), NW_OK);
    ck_assert_uint_eq(pieces.count, 2);
    ck_assert_double_eq_tol(pieces.items[0].area, 400, 1e-4);
    ck_assert_double_eq_tol(pieces.items[1].area, 72, 1e-4);
    ck_assert_uint_eq(pieces.items[1].holes, 1);
    pieces.items[0].kept = false;
    ck_assert_int_eq(nw_drawing_keep(&drawing, &pieces, &error), NW_OK);
    ck_assert_uint_eq(drawing.count, 2);
    ck_assert_uint_eq(drawing.paths[0].piece, 0);
    ck_assert_double_eq_tol(drawing.width, 9, 1e-5);
    nw_pieces_free(&pieces);
    nw_drawing_free(&drawing);
}
END_TEST

static nw_piece_guess guess_of_first(const char *text)
{
    nw_drawing drawing;
    nw_pieces pieces;
    const uint8_t *data = (const uint8_t *)text;
    ck_assert_int_eq(nw_drawing_read_svg(data, strlen(text), &drawing, NULL, NULL), NW_OK);
    ck_assert_int_eq(nw_drawing_pieces(&drawing, 0.1, &pieces, NULL), NW_OK);
    ck_assert_uint_eq(pieces.count, 2);
    nw_piece_guess guess = pieces.items[0].guess;
    nw_pieces_free(&pieces);
    nw_drawing_free(&drawing);
    return guess;
}

/* What a frame goes round lies in its hole; a bracket with an eye in its corner only reaches round.
 */
START_TEST(a_bracket_round_other_art_is_no_frame)
{
    const char *frame = MM "<path d='M0 0H90V90H0zM3 3V87H87V3z'/>"
                           "<path d='M30 30H60V60H30z'/></svg>";
    const char *bracket = MM "<path d='M0 0H90V4H6V86H90V90H0zM2 2V3H3V2z'/>"
                             "<path d='M30 30H60V60H30z'/></svg>";
    ck_assert_int_eq(guess_of_first(frame), NW_PIECE_FRAME);
    ck_assert_int_eq(guess_of_first(bracket), NW_PIECE_ART);
}
END_TEST

/* A coast drawn as a line, with a lake in it or an island in its bay: both lie within its box, and
 * within its hole's, and a coast is no frame. A sign's triangle is one. */
START_TEST(a_coast_round_a_lake_is_no_frame)
{
    const char *triangle = MM "<path d='M0 0H90L45 80zM4 2L45 76L86 2z'/>"
                              "<path d='M35 10H55V30H35z'/></svg>";
    const char *lake = MM "<path d='M0 0H90V30H40V60H90V90H0zM1 1V89H89V61H39V29H89V1z'/>"
                          "<path d='M5 40H15V50H5z'/></svg>";
    const char *island = MM "<path d='M0 0H90V30H40V60H90V90H0zM1 1V89H89V61H39V29H89V1z'/>"
                            "<path d='M60 40H70V50H60z'/></svg>";
    ck_assert_int_eq(guess_of_first(triangle), NW_PIECE_FRAME);
    ck_assert_int_eq(guess_of_first(lake), NW_PIECE_ART);
    ck_assert_int_eq(guess_of_first(island), NW_PIECE_ART);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {a_bracket_round_other_art_is_no_frame,
                                  a_coast_round_a_lake_is_no_frame,
                                  basic_shapes,
                                  path_commands,
                                  path_errors_end_the_drawing,
                                  fill_rules,
                                  transforms,
                                  pages_and_units,
                                  use_symbol_and_nested_svg,
                                  styles,
                                  paint_order,
                                  clips,
                                  strokes_are_area,
                                  what_is_left_out_is_noted,
                                  shapes_that_fade_are_noted_where_it_matters,
                                  untouched_curves_stay,
                                  hundreds_of_rings_nest,
                                  svg_is_told_by_content,
                                  pieces_are_kept_or_dropped};
    return TESTS_RUN("svg", tests);
}
