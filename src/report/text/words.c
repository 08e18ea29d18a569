/*
 * words: the sentences that the table and the marked drawing share.
 */
#include <report/parts.h>

#include <math.h>
#include <string.h>

void nw_report_line(nw_text *text, const char *string)
{
    nw_text clean = {0};
    nw_text_clean(&clean, string);
    nw_text_one_line(&clean);
    nw_text_add(text, nw_text_string(&clean));
    text->failed = text->failed || clean.failed;
    nw_text_free(&clean);
}

void nw_report_bit_named(nw_text *text, const char *name, double mm, bool inch)
{
    nw_text size = {0};
    nw_report_bit(&size, mm, inch);
    nw_text_add(text, "'");
    nw_report_line(text, name);
    nw_text_add(text, "'");
    if (size.data && strcmp(size.data, name) != 0)
        nw_text_format(text, ", %s", size.data);
    text->failed = text->failed || size.failed;
    nw_text_free(&size);
}

bool nw_report_left(const nw_report *report, size_t spot)
{
    return report->left && report->left[spot];
}

size_t nw_report_left_count(const nw_report *report)
{
    size_t count = 0;
    for (size_t i = 0; i < report->fit->spot_count; i++)
        count += nw_report_left(report, i);
    return count;
}

static size_t count_side(const nw_report *report, nw_side side)
{
    size_t count = 0;
    for (size_t i = 0; i < report->fit->spot_count; i++)
        count += report->fit->spots[i].side == side && !nw_report_left(report, i);
    return count;
}

static void add_gaps(nw_text *text, const nw_report *report, size_t gaps)
{
    nw_text_format(text, "%zu gap%s too narrow for the ", gaps, gaps == 1 ? " is" : "s are");
    nw_report_bit(text, report->fit->options.bit, report->inch);
    nw_text_add(text, " bit");
}

void nw_report_unread(nw_text *text, const nw_unread *unread, const char *before)
{
    const struct {
        size_t count;
        const char *one, *several;
    } kinds[] = {{unread->texts, "lettering", "letterings"},
                 {unread->images, "picture", "pictures"},
                 {unread->marks, "line's marks", "lines' marks"},
                 {unread->effects, "mask or filter", "masks or filters"},
                 {unread->rules, "style rule", "style rules"},
                 {unread->shades, "shading", "shadings"}};
    size_t all = nw_unread_count(unread), left = 0;
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
        left += kinds[i].count > 0;
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
        if (kinds[i].count) {
            nw_text_format(text, "%s%zu %s", before, kinds[i].count,
                           kinds[i].count == 1 ? kinds[i].one : kinds[i].several);
            before = --left == 1 ? " and " : ", ";
        }
    }
    if (all)
        nw_text_add(text, all == 1 && !unread->marks ? " was not judged" : " were not judged");
}

bool nw_report_rest_fits(const nw_report *report)
{
    const nw_fit *fit = report->fit;
    return fit->fits || (!fit->unpaired && fit->spot_count == nw_report_left_count(report));
}

bool nw_report_fits(const nw_report *report)
{
    return nw_report_rest_fits(report) && !nw_unread_count(&report->unread);
}

void nw_report_left_write(nw_text *text, const nw_report *report, const char *before)
{
    size_t left = nw_report_left_count(report);
    if (left)
        nw_text_format(text, "%s%zu spot%s left as %s by choice", before, left,
                       left == 1 ? " is" : "s are", left == 1 ? "it is" : "they are");
}

static void fits_write(nw_text *text, const nw_report *report)
{
    const nw_fit *fit = report->fit;
    bool all = !nw_unread_count(&report->unread);
    nw_text_add(text, "Fits");
    nw_report_unread(text, &report->unread, ", but ");
    nw_report_left_write(text, report, all ? ", but " : "; ");
    all = all && fit->fits;
    if (fit->corners.tips) {
        nw_text_format(text, "; %zu tip%s blunter, by ", fit->corners.tips,
                       fit->corners.tips == 1 ? " comes out" : "s come out");
        nw_report_length(text, fit->corners.deepest, report->inch);
        nw_text_add(text, " at most");
    } else if (all) {
        nw_text_add(text, ": no gap is too narrow for the ");
        nw_report_bit(text, fit->options.bit, report->inch);
        nw_text_add(text, " bit, no neck is thinner than ");
        nw_report_bit(text, fit->options.neck, report->inch);
    }
}

void nw_report_verdict(nw_text *text, const nw_report *report)
{
    const nw_fit *fit = report->fit;
    size_t gaps = count_side(report, NW_GAP), necks = count_side(report, NW_NECK);
    if (!gaps && !necks && !nw_report_rest_fits(report)) {
        nw_text_add(text, "Not sure: no spot was found, but not every place could be judged");
        nw_report_unread(text, &report->unread, "; ");
        return;
    }
    if (nw_report_rest_fits(report)) {
        fits_write(text, report);
        return;
    }
    nw_text_add(text, gaps ? "Does not fit: " : "Too thin: ");
    if (gaps)
        add_gaps(text, report, gaps);
    if (necks) {
        nw_text_format(text, "%s%zu neck%s thinner than ", gaps ? ", " : "", necks,
                       necks == 1 ? " is" : "s are");
        nw_report_bit(text, fit->options.neck, report->inch);
    }
    nw_report_left_write(text, report, "; ");
    nw_report_unread(text, &report->unread, "; ");
}

void nw_report_art_name(nw_text *text, const char *art)
{
    const char *folder_end = strrchr(art, '/');
    const char *name = folder_end && folder_end[1] ? folder_end + 1 : art;
    nw_report_line(text, strcmp(name, "-") ? name : "standard input");
}

void nw_report_subject(nw_text *text, const nw_report *report)
{
    const nw_fit_options *options = &report->fit->options;
    nw_report_art_name(text, report->art);
    nw_text_add(text, ", ");
    nw_report_size(text, report->drawing->width, report->drawing->height, report->inch);
    nw_text_format(text, ", cut %s, bit ", nw_cut_name(options->cut));
    nw_report_bit_exactly(text, options->bit, report->inch);
    nw_text_add(text, ", least neck ");
    nw_report_bit_exactly(text, options->neck, report->inch);
    if (report->neck_from_stock)
        nw_text_add(text, " (as thick as the stock)");
    else if (options->neck == options->bit)
        nw_text_add(text, " (as wide as the bit)");
}

void nw_report_spot(nw_text *text, const nw_spot *spot, bool inch)
{
    nw_text_add(text, nw_side_name(spot->side));
    if (spot->form == NW_PINCH) {
        nw_text_add(text, " that closes to ");
        nw_report_length(text, spot->width, inch);
    } else if (spot->form == NW_STUB) {
        nw_text_add(text, spot->side == NW_GAP ? " that stays uncut for its last "
                                               : " that is too thin for its last ");
        nw_report_length(text, spot->depth, inch);
    } else {
        nw_text_add(text, " that is lost as a whole");
    }
    if (spot->widen >= 0) {
        nw_text_add(text, "; it must become ");
        nw_report_widen(text, spot->widen, inch);
        nw_text_add(text, " wider");
    }
}

static void add_unreached(nw_text *text, const nw_fit *fit, bool inch)
{
    nw_text_add(text, "Left uncut: ");
    nw_report_area(text, fit->area_unreached, 2, inch);
    nw_text_add(text, " of ");
    nw_report_area(text, fit->area_cut, 1, inch);
}

#define NO_WIDTH_MM 0.005 /* less is printed as none */

static void add_lifts(nw_text *text, const nw_fit *fit, bool inch)
{
    double least = fit->lifts[0].width;
    for (size_t i = 1; i < fit->lift_count; i++)
        least = fmin(least, fit->lifts[i].width);
    nw_text_format(text, "At %zu place%s the bit cuts from both sides but must be lifted between (",
                   fit->lift_count, fit->lift_count == 1 ? "" : "s");
    if (least < NO_WIDTH_MM) {
        nw_text_add(text, fit->lift_count == 1 ? "where walls touch)" : "some where walls touch)");
        return;
    }
    nw_report_length(text, least, inch);
    nw_text_add(text, fit->lift_count == 1 ? " wide)" : " wide at least)");
}

void nw_report_counts(nw_text *text, const nw_report *report)
{
    const nw_fit *fit = report->fit;
    nw_report_lost(text, report);
    if (fit->area_unreached > 0) {
        add_unreached(text, fit, report->inch);
        nw_text_add(text, ". ");
    }
    if (fit->corners.count) {
        nw_text_format(text, "%zu corner%s rounder or blunter, by ", fit->corners.count,
                       fit->corners.count == 1 ? " comes out" : "s come out");
        nw_report_length(text, fit->corners.deepest, report->inch);
        nw_text_add(text, " at most");
        if (fit->corners.tips) {
            nw_text_add(text, "; tips may lose ");
            nw_report_length(text, fit->blunt, report->inch);
        }
        nw_text_add(text, ". ");
    }
    if (fit->lift_count) {
        add_lifts(text, fit, report->inch);
        nw_text_add(text, ". ");
    }
}

#define CLOSE_NAMED 6

bool nw_report_too_close(const nw_report *report, const nw_spot *spot)
{
    return spot->widen >= 0 && spot->widen < report->sure;
}

size_t nw_report_close_count(const nw_report *report)
{
    size_t count = 0;
    for (size_t i = 0; i < report->fit->spot_count; i++)
        count += nw_report_too_close(report, &report->fit->spots[i]);
    return count;
}

/* "3 of the 8 spots are too close to tell (4, 7, 9): they fall short by less than ..." */
static void close_write(nw_text *text, const nw_report *report)
{
    size_t count = nw_report_close_count(report), named = 0;
    if (!count)
        return;
    size_t all = report->fit->spot_count;
    if (all == 1) {
        nw_text_add(text, "The spot is too close to tell (");
    } else if (count == all) {
        nw_text_format(text, "All %zu spots are too close to tell (", all);
    } else {
        nw_text_format(text, "%zu of the %zu spots %s too close to tell (", count, all,
                       count == 1 ? "is" : "are");
    }
    for (size_t i = 0; i < report->fit->spot_count && named < CLOSE_NAMED; i++)
        if (nw_report_too_close(report, &report->fit->spots[i]))
            nw_text_format(text, "%s%zu", named++ ? ", " : "", i + 1);
    nw_text_add(text, count > named ? " and more): " : "): ");
    nw_text_add(text, count == 1 ? "it falls short by less than the "
                                 : "they fall short by less than the ");
    nw_write_length(text, report->sure, report->inch);
    nw_text_add(text, " to which the picture tells a width. ");
}

const char *nw_report_fits_word(const nw_fit *fit)
{
    return fit->fits ? "yes" : fit->spot_count ? "no" : "?";
}

void nw_report_doubts(nw_text *text, const nw_report *report)
{
    close_write(text, report);
    if (report->fit->unpaired) {
        nw_text_format(text,
                       "The result may be incomplete: %zu ends of walls found no partner. Look at "
                       "the drawing closely.",
                       report->fit->unpaired);
    }
}

const char *nw_report_caution(void)
{
    return "Geometry only: measure your bit; loose pieces can fly and thin strips "
           "break. The machine's manual, local codes and licensed practice come first.";
}

/* The bytes of the longest head of text that ends at a space or the end and fits; where not even
 * one word does, as many whole characters as fit, and one at least. */
static size_t head_that_fits(const char *text, double width, report_measure measure, void *context)
{
    size_t best = 0, i = 0;
    while (text[i]) {
        size_t word = i + strspn(text + i, " ");
        if (!text[word])
            break;
        word += strcspn(text + word, " ");
        if (!strncmp(text + word, " mm", 3) || !strncmp(text + word, " %", 2) ||
            !strncmp(text + word, " in (", 5)) {
            /* a number keeps its unit */
            word += 1 + strcspn(text + word + 1, " ");
        }
        if (measure(text, word, context) > width)
            break;
        best = i = word;
    }
    if (best)
        return best;
    size_t end = strcspn(text, " ");
    do {
        i = best + 1;
        while (((unsigned char)text[i] & 0xc0) == 0x80)
            i++;
        if (best && measure(text, i, context) > width)
            break;
        best = i;
    } while (best < end);
    return best;
}

void nw_report_wrap(const char *text, double width, report_measure measure, report_take_line line,
                    void *context)
{
    text += strspn(text, " ");
    while (*text) {
        size_t length = head_that_fits(text, width, measure, context);
        line(text, length, context);
        text += length;
        text += strspn(text, " ");
    }
}

static bool spot_sound(const nw_spot *spot)
{
    double sum = spot->at.x + spot->at.y + spot->width + spot->length + spot->depth + spot->area +
                 spot->widen + spot->from.x + spot->from.y + spot->to.x + spot->to.y +
                 spot->stuck.x + spot->stuck.y;
    return isfinite(sum);
}

nw_status nw_report_check(const nw_report *report, nw_error *error)
{
    if (!report->art || !report->drawing || !report->fit)
        return nw_fail(error, NW_INTERNAL, "a report lacks its art, drawing or fit");
    const nw_fit *fit = report->fit;
    bool sound =
        nw_report_drawing_sound(report->drawing) && nw_report_drawing_sound(&fit->residues) &&
        nw_report_drawing_sound(&fit->corner_residues) && nw_report_drawing_sound(&fit->bit_path) &&
        isfinite(fit->area_cut + fit->area_reached + fit->area_unreached);
    for (size_t i = 0; i < fit->spot_count && sound; i++)
        sound = spot_sound(&fit->spots[i]);
    if (!sound)
        return nw_fail(error, NW_INTERNAL, "a result holds a number that is not finite");
    return NW_OK;
}

nw_status nw_report_finish(nw_text *text, const char *what, nw_error *error)
{
    if (text->failed) {
        nw_text_free(text);
        return nw_fail_memory(error, what);
    }
    return NW_OK;
}
