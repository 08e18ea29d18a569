/*
 * lengths: lengths, places and areas as readers see them, in millimetres or inches. Files for
 * programs never come through here: they stay in millimetres.
 *
 * Inches have four decimals and the nearest 64th, the finest division of a common inch rule, and
 * sentences say how far off that is: "0.0787 in (5/64 + 0.0006)".
 */
#include <report/parts.h>

#include <math.h>
#include <stdlib.h>

#define READER_DECIMALS 2 /* what a caliper shows; the lists carry more */
#define BIT_DECIMALS 5    /* 1/16 in is 1.5875 mm */
#define INCH_DECIMALS 4
#define INCH_STEPS 1e4
#define PARTS 64 /* of an inch */
#define HAIR 1e-6

/* So many 64ths of an inch in lowest terms: "5/64", "1 1/2", "3". */
static void add_fraction(nw_text *text, long parts)
{
    long whole = parts / PARTS, rest = parts % PARTS, of = PARTS;
    while (rest && rest % 2 == 0) {
        rest /= 2;
        of /= 2;
    }
    if (whole || !rest)
        nw_text_format(text, rest ? "%ld " : "%ld", whole);
    if (rest)
        nw_text_format(text, "%ld/%ld", rest, of);
}

/* What the fraction lacks or has too much of the decimals; nothing where they agree. */
static void add_difference(nw_text *text, double inches, long parts)
{
    double off = inches - (double)parts / PARTS;
    if (fabs(off) >= 0.5 / INCH_STEPS) {
        nw_text_add(text, off > 0 ? " + " : " - ");
        nw_text_fixed(text, fabs(off), INCH_DECIMALS);
    }
}

typedef enum { BARE, WITH_UNIT, WITH_DIFFERENCE } inch_form;

/* In a column an inch and more has fewer decimals, for its fraction takes the room. */
static int inch_decimals(double inches, inch_form form)
{
    return form != BARE || inches < 1 ? INCH_DECIMALS : inches < 10 ? 3 : 1;
}

/* Nothing shorter than half a 64th has a fraction. */
static void add_inches(nw_text *text, double mm, inch_form form, bool up)
{
    double inches = mm / NW_MM_PER_INCH;
    int decimals = inch_decimals(inches, form);
    double steps = nw_power(10, decimals),
           shown = up ? ceil(inches * steps - HAIR) / steps : inches;
    nw_text_fixed(text, shown, decimals);
    nw_text_add(text, form == BARE ? "" : " in");
    long parts = up ? (long)ceil(inches * PARTS - HAIR) : lround(inches * PARTS);
    if (parts < 1)
        return;
    nw_text_add(text, " (");
    add_fraction(text, parts);
    if (form == WITH_DIFFERENCE)
        add_difference(text, shown, parts);
    nw_text_add(text, ")");
}

static double rounded_up(double mm)
{
    return ceil(mm * 100 - HAIR) / 100;
}

void nw_report_length(nw_text *text, double mm, bool inch)
{
    if (inch) {
        add_inches(text, mm, WITH_DIFFERENCE, false);
        return;
    }
    nw_text_fixed(text, mm, READER_DECIMALS);
    nw_text_add(text, " mm");
}

void nw_report_bit(nw_text *text, double mm, bool inch)
{
    if (inch) {
        add_inches(text, mm, WITH_UNIT, false);
        return;
    }
    nw_text_number(text, mm, BIT_DECIMALS);
    nw_text_add(text, " mm");
}

void nw_report_bit_exactly(nw_text *text, double mm, bool inch)
{
    if (inch)
        nw_report_length(text, mm, inch);
    else
        nw_report_bit(text, mm, inch);
}

void nw_report_widen(nw_text *text, double mm, bool inch)
{
    if (inch) {
        add_inches(text, mm, WITH_DIFFERENCE, true);
        return;
    }
    nw_text_fixed(text, rounded_up(mm), READER_DECIMALS);
    nw_text_add(text, " mm");
}

void nw_report_length_cell(nw_text *text, double mm, bool inch)
{
    if (inch)
        add_inches(text, mm, BARE, false);
    else
        nw_text_fixed(text, mm, READER_DECIMALS);
}

void nw_report_widen_cell(nw_text *text, double mm, bool inch)
{
    if (inch)
        add_inches(text, mm, BARE, true);
    else
        nw_text_fixed(text, rounded_up(mm), READER_DECIMALS);
}

void nw_report_length_short(nw_text *text, double mm, bool inch)
{
    nw_text_fixed(text, inch ? mm / NW_MM_PER_INCH : mm, inch ? INCH_DECIMALS : READER_DECIMALS);
}

void nw_report_widen_short(nw_text *text, double mm, bool inch)
{
    double inches = ceil(mm / NW_MM_PER_INCH * INCH_STEPS - HAIR) / INCH_STEPS;
    nw_text_fixed(text, inch ? inches : rounded_up(mm), inch ? INCH_DECIMALS : READER_DECIMALS);
}

void nw_report_place(nw_text *text, double mm, int decimals, bool inch)
{
    nw_text_fixed(text, inch ? mm / NW_MM_PER_INCH : mm, decimals + inch);
}

void nw_report_round(nw_text *text, double mm, bool inch)
{
    nw_text_number(text, inch ? mm / NW_MM_PER_INCH : mm, READER_DECIMALS);
    nw_text_format(text, " %s", nw_report_unit(inch));
}

void nw_report_size(nw_text *text, double width, double height, bool inch)
{
    if (inch)
        nw_report_length(text, width, true);
    else
        nw_text_fixed(text, width, READER_DECIMALS);
    nw_text_add(text, " x ");
    nw_report_length(text, height, inch);
}

/* Whole square millimetres and four figures are as much as anybody measures. */
static int area_decimals(double square_mm, int decimals)
{
    double figures = square_mm > 1 ? 3 - nw_decade(square_mm) : decimals;
    return (int)fmax(0, fmin(decimals, figures));
}

void nw_report_area(nw_text *text, double square_mm, int decimals, bool inch)
{
    nw_text_number(text, inch ? square_mm / (NW_MM_PER_INCH * NW_MM_PER_INCH) : square_mm,
                   inch ? INCH_DECIMALS : area_decimals(square_mm, decimals));
    nw_text_add(text, inch ? " in²" : " mm²");
}

void nw_report_area_cell(nw_text *text, double square_mm, bool inch)
{
    nw_text_fixed(text, inch ? square_mm / (NW_MM_PER_INCH * NW_MM_PER_INCH) : square_mm,
                  inch ? INCH_DECIMALS : READER_DECIMALS);
}

#define NO_SHARE 1e-9 /* what sums of areas leave of nothing */

/* A share as it is shown: a part of something that comes out as none of it, or as all, is under or
 * over what is shown next to that. */
typedef struct {
    bool under, over;
    double percent;
} shown_share;

static shown_share share_shown(double share, int decimals)
{
    double percent = 100 * share, digit = nw_power(10, -decimals);
    if (share > NO_SHARE && percent < digit / 2)
        return (shown_share){true, false, digit};
    if (share < 1 - NO_SHARE && percent >= 100 - digit / 2)
        return (shown_share){false, true, 100 - digit};
    return (shown_share){false, false, percent};
}

void nw_report_share(nw_text *text, double share, int decimals)
{
    shown_share shown = share_shown(share, decimals);
    nw_text_add(text, shown.under ? "under " : shown.over ? "over " : "");
    nw_text_number(text, shown.percent, decimals);
    nw_text_add(text, " %");
}

void nw_report_share_cell(nw_text *text, double share, int decimals, int width)
{
    nw_text cell = {0};
    shown_share shown = share_shown(share, decimals);
    nw_text_add(&cell, shown.under ? "<" : shown.over ? ">" : "");
    nw_text_fixed(&cell, shown.percent, decimals);
    nw_text_take(text, &cell, width);
}

const char *nw_report_unit(bool inch)
{
    return inch ? "in" : "mm";
}

const char *nw_report_units(bool inch)
{
    return inch ? "Inches (nearest 64th)" : "Millimetres";
}

void nw_write_length(nw_text *text, double mm, bool inch)
{
    nw_report_length(text, mm, inch);
}

void nw_write_sheet_least(nw_text *text, double width, double height, bool inch)
{
    if (inch) {
        add_inches(text, width, WITH_DIFFERENCE, true);
        nw_text_add(text, " x ");
        add_inches(text, height, WITH_DIFFERENCE, true);
        return;
    }
    nw_text_number(text, rounded_up(width), READER_DECIMALS);
    nw_text_add(text, " x ");
    nw_text_number(text, rounded_up(height), READER_DECIMALS);
    nw_text_add(text, " mm");
}

void nw_write_area(nw_text *text, double square_mm, bool inch)
{
    nw_report_area(text, square_mm, 1, inch);
}

void nw_write_place(nw_text *text, nw_point place, bool inch)
{
    nw_report_place(text, place.x, 1, inch);
    nw_text_add(text, ", ");
    nw_report_place(text, place.y, 1, inch);
}
