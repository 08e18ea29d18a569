/* ways_words: each way out of a fit that fails, as a sentence and a command. */
#include <report/text/ways_words.h>

#include <math.h>
#include <string.h>

#define SHEET_MM 1e-6 /* what is next to nothing of a sheet */
#define PARTLY 1e9    /* on top of the cost of a way that does not help everywhere */

/* Beyond these a way costs more than it is worth, as beyond NW_SIZE_WORTH and NW_NEAR_SPOTS: more
 * work on the drawing than drawing it anew, tips so long that the art is another. */
#define WIDEN_SHARE_MOST 0.2  /* by widths and lengths; 0.5 to 1.9 times as much changes */
#define BLUNT_SHARE_MOST 0.15 /* of the longer side */

#define SHOWN_DECIMALS 3 /* of percents: less is hardly anything */
#define MOST_SHARE 0.99  /* beyond this two digits show all but all as all */

/* To two digits: no picture carries more. */
static void add_percent(nw_text *text, double share)
{
    if (100 * share < nw_power(10, -SHOWN_DECIMALS)) {
        nw_report_share(text, fmax(0, share), SHOWN_DECIMALS);
        return;
    }
    double percent = 100 * share;
    int digits = nw_decade(percent);
    double unit = nw_power(10, digits - 1);
    nw_text_number(text, nearbyint(percent / unit) * unit, digits < 1 ? 1 - digits : 0);
    nw_text_add(text, " %");
}

static void add_words(nw_text *text, const char *words)
{
    if (words && *words) {
        nw_text_add(text, " ");
        nw_text_add(text, words);
    }
}

static void command_start(nw_text *command, const char *name, const char *words,
                          const nw_ways_report *report)
{
    nw_text_format(command, "%s %s", name, report->art);
    add_words(command, words);
    add_words(command, report->drop);
}

/* An option and its length; results go into a folder named after both. */
static void add_option(nw_text *command, const nw_ways_report *report, const char *option,
                       double mm, int decimals)
{
    nw_text length = {0};
    nw_text_number(&length, mm, decimals);
    nw_text_format(command, " %s %smm", option, nw_text_string(&length));
    if (report->folder) {
        nw_text_format(command, " -o %s-%s-%smm", report->folder, option + strspn(option, "-"),
                       nw_text_string(&length));
    }
    command->failed = command->failed || length.failed;
    nw_text_free(&length);
}

void nw_report_way_bit_add(nw_text *text, const nw_ways_report *report)
{
    nw_report_bit_named(text, report->rack->bits[report->ways->bit].name,
                        report->ways->bit_diameter, report->inch);
}

/* ---- another bit ---------------------------------------------------------------------------- */

void nw_report_left_uncut(nw_text *text, const char *verb, size_t spots, double share)
{
    nw_text_add(text, verb);
    if (share > MOST_SHARE)
        nw_report_share(text, share, 0);
    else
        add_percent(text, share);
    nw_text_format(text, " of the cut area uncut, at %zu spot%s", spots, spots == 1 ? "" : "s");
}

static void near_bit_add(nw_text *text, const nw_ways_report *report)
{
    const nw_ways *ways = report->ways;
    nw_text_format(text, "'%s'", report->rack->bits[ways->near_bit].name);
    nw_report_left_uncut(text, " leaves ", ways->near_bit_spots, ways->near_bit_share);
}

static void bit_none(const nw_ways_report *report, nw_way_line *line)
{
    bool other = report->fit->options.neck != report->fit->options.bit;
    bool necks = false;
    for (size_t i = 0; other && i < report->fit->spot_count; i++)
        necks = necks || report->fit->spots[i].side == NW_NECK;
    nw_text_add(&line->text, necks ? "No smaller bit helps: stock that is too thin stays too thin"
                                   : "No smaller bit of the rack cuts it all");
    if (report->ways->near_bit < report->rack->count) {
        nw_text_add(&line->text, "; ");
        near_bit_add(&line->text, report);
    }
}

/* The sheet, and what stays free beside the art. */
static void add_sheet(nw_text *command, const nw_ways_report *report)
{
    add_words(command, report->sheet);
    add_words(command, report->margin);
}

/* The job as it was given. */
static void add_given(nw_text *command, const nw_ways_report *report)
{
    add_sheet(command, report);
    add_words(command, report->size);
    add_words(command, report->bit);
    add_words(command, report->blunt);
}

static void bit_command(const nw_ways_report *report, double diameter, nw_text *command)
{
    if (!report->named)
        return;
    command_start(command, report->named->check, report->check, report);
    add_sheet(command, report);
    add_words(command, report->size);
    add_words(command, report->blunt);
    add_option(command, report, report->named->bit, diameter, 6);
}

void nw_report_way_bit(const nw_ways_report *report, nw_way_line *line)
{
    const nw_ways *ways = report->ways;
    if (ways->bit >= report->rack->count) {
        bit_none(report, line);
        return;
    }
    line->open = true;
    line->cost = report->fit->options.bit / ways->bit_diameter - 1;
    nw_text_add(&line->text, "Take the bit ");
    nw_report_way_bit_add(&line->text, report);
    nw_text_add(&line->text, ", the largest of the rack that cuts it all; it takes about ");
    add_percent(&line->text, line->cost);
    nw_text_add(&line->text, " more time");
    bit_command(report, ways->bit_diameter, &line->command);
}

/* ---- another size --------------------------------------------------------------------------- */

/* Widths are whole millimetres or tenths, and have been tried; heights follow, rounded up. */
static void add_whole(nw_text *text, double mm, bool inch)
{
    if (inch) {
        nw_report_length(text, mm, true);
        return;
    }
    nw_text_number(text, mm < 10 ? ceil(mm * 10 - 1e-6) / 10 : ceil(mm - 1e-6), 1);
    nw_text_add(text, " mm");
}

void nw_report_way_size_add(nw_text *text, const nw_ways_report *report)
{
    add_whole(text, report->ways->width, report->inch);
    nw_text_add(text, " wide and ");
    add_whole(text, report->ways->height, report->inch);
    nw_text_add(text, " high");
}

static void near_size_add(nw_text *text, const nw_ways_report *report)
{
    const nw_ways *ways = report->ways;
    nw_text_add(text, "at ");
    add_whole(text, ways->near_width, report->inch);
    nw_text_add(text, " wide");
    nw_text_add(text, report->fit->options.has_stock ? ", with no sheet given," : "");
    nw_report_left_uncut(text, " it leaves ", ways->near_size_spots, ways->near_size_share);
}

/* Does the art at that size need another sheet than there is? On every side of it there is to be
 * as much as there is beside and below it now. */
static bool sheet_too_small(const nw_ways_report *report)
{
    const nw_fit_options *o = &report->fit->options;
    nw_point beyond = {-o->stock.min.x, -o->stock.min.y};
    return o->has_stock && (report->ways->width + beyond.x > o->stock.max.x + SHEET_MM ||
                            report->ways->height + beyond.y > o->stock.max.y + SHEET_MM);
}

static void size_command(const nw_ways_report *report, double width, bool larger_sheet,
                         nw_text *command)
{
    if (!report->named)
        return;
    command_start(command, report->named->check, report->check, report);
    add_words(command, larger_sheet ? NULL : report->sheet);
    add_words(command, report->margin);
    add_words(command, report->bit);
    add_words(command, report->blunt);
    add_option(command, report, report->named->wide, width, 3);
}

void nw_report_way_size(const nw_ways_report *report, nw_way_line *line)
{
    const nw_ways *ways = report->ways;
    if (!(ways->factor > 0)) {
        nw_text_add(&line->text, "No size does: at ");
        nw_text_number(&line->text, NW_SIZE_WORTH, 1);
        nw_text_add(&line->text, " times this one, which takes ");
        nw_text_number(&line->text, NW_SIZE_WORTH * NW_SIZE_WORTH, 1);
        nw_text_add(&line->text, " times the stock, it does not fit yet");
        if (ways->near_width > 0 && ways->near_size_share <= NW_NEAR_SHARE) {
            nw_text_add(&line->text, "; ");
            near_size_add(&line->text, report);
        }
        return;
    }
    line->open = true;
    line->cost = ways->factor * ways->factor - 1;
    nw_text_add(&line->text, "Make it ");
    nw_report_way_size_add(&line->text, report);
    nw_text_add(&line->text, ", about the smallest whole size at which this bit fits; it takes ");
    add_percent(&line->text, line->cost);
    bool larger = sheet_too_small(report);
    nw_text_add(&line->text, larger ? " more stock, and a larger sheet" : " more stock");
    size_command(report, ways->width, larger, &line->command);
}

/* ---- widening ------------------------------------------------------------------------------- */

/* Where only tips stand in the way. */
static bool blunt_line(const nw_ways_report *report, nw_way_line *line)
{
    const nw_ways *ways = report->ways;
    double longer = report->ways->longer;
    if (!(ways->blunt > 0 && ways->blunt <= BLUNT_SHARE_MOST * longer))
        return false;
    line->widens = false;
    line->open = true;
    line->cost = ways->blunt / longer;
    size_t stock = 0; /* of the tips */
    for (size_t i = 0; i < report->fit->spot_count; i++)
        stock += report->fit->spots[i].side == NW_NECK;
    const char *what = stock == 0 ? "blunter " : stock == ways->tips ? "thin " : "blunter or thin ";
    nw_text_format(&line->text, "Accept %zu %stip%s%s, which lose%s ", ways->tips, what,
                   ways->tips == 1 ? "" : "s", stock == ways->tips ? " of stock" : "",
                   ways->tips == 1 ? "s" : "");
    nw_report_length(&line->text, ways->blunt, report->inch);
    nw_text_add(&line->text, " at most");
    if (report->named) {
        command_start(&line->command, report->named->check, report->check, report);
        add_sheet(&line->command, report);
        add_words(&line->command, report->size);
        add_words(&line->command, report->bit);
        add_option(&line->command, report, report->named->blunt, ways->blunt, 1);
    }
    return true;
}

/* What comes near where neither a bit nor a size does, with the command of one: the bit first, for
 * it takes no other stock. */
static void near_tell(const nw_ways_report *report, nw_way_line *line)
{
    const nw_ways *ways = report->ways;
    bool bit = ways->near_bit < report->rack->count;
    bool size = ways->near_width > 0;
    if (bit) {
        near_bit_add(&line->text, report);
        bit_command(report, ways->near_bit_diameter, &line->command);
    }
    if (size) {
        nw_text_add(&line->text, bit ? "; " : "");
        near_size_add(&line->text, report);
    }
    if (size && !bit)
        size_command(report, ways->near_width, report->fit->options.has_stock, &line->command);
    if (!bit && !size)
        nw_text_add(&line->text, "no bit of the rack and no size does, or helps much");
}

/* Is all that is too thin stock, by a least neck that is no bit's width? */
static bool neck_alone(const nw_fit *fit)
{
    bool alone = fit->options.neck != fit->options.bit;
    for (size_t i = 0; alone && i < fit->spot_count; i++)
        alone = fit->spots[i].side == NW_NECK;
    return alone;
}

/* First of all, where widening is drawing anew: what makes sense instead. A bit or a size that does
 * has its command among the ways. */
static void too_fine_line(const nw_ways_report *report, nw_way_line *line)
{
    const nw_ways *ways = report->ways;
    nw_text *text = &line->text;
    bool bit = ways->bit < report->rack->count;
    bool size = ways->factor > 0;
    nw_text_format(text, "Too fine for this %s: ", neck_alone(report->fit) ? "least neck" : "bit");
    if (bit)
        nw_report_way_bit_add(text, report);
    if (size) {
        nw_text_add(text, bit ? ", or " : "");
        nw_report_way_size_add(text, report);
    }
    bool inserted = bit && (size || !text->length || text->data[text->length - 1] != '\'');
    if (bit || size)
        nw_text_add(text, inserted ? ", would do" : " would do");
    else
        near_tell(report, line);
    nw_text_format(text, "; widening would have to change %zu place%s", ways->places,
                   ways->places == 1 ? "" : "s");
    nw_text_add(text, line->cost > WIDEN_SHARE_MOST ? " and much of the cut area" : "");
    line->cost = -1;
}

/* How much of the art changes, and at how many of the places there is room, only widening itself
 * can tell: so that they stay smooth, walls move farther than places are long. */
void nw_report_way_widen(const nw_ways_report *report, nw_way_line *line)
{
    const nw_ways *ways = report->ways;
    if (blunt_line(report, line))
        return;
    if (!ways->places && !ways->crumbs) {
        nw_text_add(&line->text, "No place can be widened");
        return;
    }
    double cut = report->fit->area_cut;
    line->cost = cut > 0 ? ways->widen_area / cut : 0;
    if (ways->places > NW_NEAR_SPOTS || line->cost > WIDEN_SHARE_MOST) {
        too_fine_line(report, line);
        return;
    }
    line->open = true;
    if (ways->places) {
        bool one = ways->places == 1;
        nw_text_format(&line->text,
                       one ? "Widen %zu place, which lacks "
                           : "Widen up to %zu places, which lack ",
                       ways->places);
        nw_report_widen(&line->text, ways->widen_most, report->inch);
        nw_text_add(&line->text, one ? ", where there is room" : " at most, where there is room");
    }
    if (ways->crumbs) {
        nw_text_format(&line->text, "%s %zu crumb%s under ", ways->places ? "; drop" : "Drop",
                       ways->crumbs, ways->crumbs == 1 ? "" : "s, each");
        double bit = report->fit->options.bit;
        nw_report_area(&line->text, NW_CRUMB_BITS2 * bit * bit, 2, report->inch);
    }
    if (ways->blind) {
        nw_text_format(&line->text, ", and %zu place%s stay%s", ways->blind,
                       ways->blind == 1 ? "" : "s", ways->blind == 1 ? "s" : "");
        line->cost += PARTLY;
    }
    if (report->named) {
        command_start(&line->command, report->named->widen, report->widen, report);
        add_given(&line->command, report);
        add_words(&line->command, ways->stubs ? report->named->stubs : NULL);
        add_words(&line->command, ways->misses ? report->named->misses : NULL);
        if (report->folder)
            nw_text_format(&line->command, " -o %s-widen", report->folder);
    }
}

/* ---- a margin, a caption or dust less
 * --------------------------------------------------------------- */

static void then_add(nw_text *text, size_t spots)
{
    if (spots)
        nw_text_format(text, "%zu spot%s then", spots, spots == 1 ? " is left" : "s are left");
    else
        nw_text_add(text, "then the bit fits");
}

void nw_report_way_margin(const nw_ways_report *report, nw_way_line *line)
{
    const nw_ways *ways = report->ways;
    if (!(ways->margin > 0))
        return;
    line->open = true;
    line->cost = ways->margin_spots ? PARTLY : 0;
    nw_text_add(&line->text, "Leave a margin of ");
    nw_report_length(&line->text, ways->margin, report->inch);
    nw_text_add(&line->text, " between the art and the edges of the sheet; ");
    then_add(&line->text, ways->margin_spots);
    if (report->named) {
        command_start(&line->command, report->named->check, report->check, report);
        add_words(&line->command, report->sheet);
        add_words(&line->command, report->size);
        add_words(&line->command, report->bit);
        add_words(&line->command, report->blunt);
        add_option(&line->command, report, report->named->margin, ways->margin, 1);
    }
}

static const struct {
    nw_piece_guess guess;
    const char *what;
} leavings[NW_WAYS_LESS] = {{NW_PIECE_LETTERING, "what looks like lettering"},
                            {NW_PIECE_DUST, "what is hardly larger than dirt"},
                            {NW_PIECE_EDGE, "what touches the picture's edge"}};

void nw_report_way_less(const nw_ways_report *report, size_t which, nw_way_line *line)
{
    const char *guess = nw_piece_guess_name(leavings[which].guess);
    const nw_way_less *less = &report->ways->less[leavings[which].guess];
    if (!less->pieces)
        return;
    line->open = true;
    line->cost = less->spots ? PARTLY : 0;
    nw_text_format(&line->text, "Leave out %s, %zu piece%s, so that the art is ",
                   leavings[which].what, less->pieces, less->pieces == 1 ? "" : "s");
    nw_report_size(&line->text, less->width, less->height, report->inch);
    nw_text_add(&line->text, "; ");
    then_add(&line->text, less->spots);
    if (!report->named)
        return;
    command_start(&line->command, report->named->check, report->check, report);
    if (*report->drop) /* what is dropped already stays so */
        nw_text_format(&line->command, ",%s", guess);
    else
        nw_text_format(&line->command, " %s %s", report->named->drop, guess);
    add_given(&line->command, report);
    if (report->folder)
        nw_text_format(&line->command, " -o %s-drop-%s", report->folder, guess);
}
