/* engine_hold: the rack, the ways out of the last fit, what comes loose and tabs. */
#include <report/page/engine.h>

#include <stdlib.h>
#include <string.h>

#define BIT 6

/* As the command has them, whose commands the page shows. */
static const nw_option_words options_named = {.check = "narrows check",
                                              .widen = "narrows widen",
                                              .bit = "--bit",
                                              .wide = "--wide",
                                              .blunt = "--blunt",
                                              .stubs = "--stubs open",
                                              .misses = "--misses open"};

int EXPORT(page_rack)(page *p, const char *names, const double *numbers, size_t count);
int EXPORT(page_ways)(page *p, double neck, double stock, const char *art, const char *check,
                      const char *widen, const char *size, const char *bit, const char *blunt);
const char *EXPORT(page_way)(const page *p, int line, int command);
const double *EXPORT(page_loose)(const page *p);
int EXPORT(page_tabs)(page *p, size_t count, double width);

/* names: one after the other, each with its NUL; numbers (6 each): shape, diameter, flute, tip,
 * angle, feed. */
int page_rack(page *p, const char *names, const double *numbers, size_t count)
{
    nw_rack_free(&p->rack);
    p->rack.bits = nw_alloc(count, sizeof *p->rack.bits);
    if (!p->rack.bits)
        return (int)nw_fail_memory(&p->error, "the rack");
    for (size_t i = 0; i < count; i++, names += strlen(names) + 1, numbers += BIT) {
        nw_bit *bit = &p->rack.bits[i];
        *bit = (nw_bit){.shape = (nw_bit_shape)numbers[0],
                        .diameter = numbers[1],
                        .flute = numbers[2],
                        .tip = numbers[3],
                        .angle_deg = numbers[4],
                        .feed = numbers[5]};
        strncpy(bit->name, names, sizeof bit->name - 1);
    }
    p->rack.count = p->rack.capacity = count;
    return NW_OK;
}

/* The ways out of the last fit, or how much room there is. neck: as asked for, 0: it follows the
 * bit; the words as nw_ways_report has them. */
int page_ways(page *p, double neck, double stock, const char *art, const char *check,
              const char *widen, const char *size, const char *bit, const char *blunt)
{
    nw_ways ways;
    nw_fit_options options = p->fit.options;
    options.neck = neck;
    options.with_shapes = false;
    nw_ways_report report = {&ways, &p->rack, &p->fit, art,  check,   widen,
                             size,  bit,      blunt,   NULL, p->inch, &options_named};
    nw_ways_lines_free(p->lines);
    nw_text_free(&p->room);
    nw_status status =
        nw_ways_find(&p->kept, &p->region, &options, &p->fit, &p->rack, stock, &ways, &p->error);
    if (status == NW_OK)
        status = p->fit.fits ? nw_write_ways(&report, &p->room, &p->error)
                             : nw_ways_lines(&report, p->lines, &p->error);
    return (int)status;
}

/* A way's sentence or command, or for line -1 the room. */
const char *page_way(const page *p, int line, int command)
{
    const nw_text *text = &p->room;
    if (line >= 0 && line < NW_WAY_LINES)
        text = command ? &p->lines[line].command : &p->lines[line].text;
    return text->data ? text->data : "";
}

void nw_page_loose_find(page *p, nw_cut cut)
{
    nw_loose_list list = {0};
    p->loose[0] = p->loose[1] = 0;
    if (cut != NW_CUT_POCKET && nw_loose_find(&p->region, cut, &list, &p->error) == NW_OK) {
        p->loose[0] = (double)list.count;
        for (size_t i = 0; i < list.count; i++)
            p->loose[1] += list.items[i].area;
        nw_loose_free(&list);
    }
}

/* How many islands or parts come loose, and their area; none where memory ran out. */
const double *page_loose(const page *p)
{
    return p->loose;
}

void nw_page_tabs_free(page *p)
{
    nw_tabs_free(&p->found_tabs);
    nw_drawing_free(&p->tabs);
    p->held = (nw_held){0};
}

/* Tabs for the last fit: their number, how many found no place, and their width, as page_result;
 * their lines are a shape. */
int page_tabs(page *p, size_t count, double width)
{
    nw_tabs *tabs = &p->found_tabs;
    nw_page_tabs_free(p);
    nw_status status = nw_tabs_find(&p->region, &p->fit, count, width, tabs, &p->error);
    if (status != NW_OK)
        return (int)status;
    p->held.tabs = tabs;
    p->numbers.count = 0;
    p->numbers.failed = false;
    nw_page_numbers_add(&p->numbers,
                        (double[]){(double)tabs->count, (double)tabs->missing, tabs->width}, 3);
    status = nw_tabs_lines(tabs, p->fit.options.bit, &p->tabs, &p->error);
    return status == NW_OK && p->numbers.failed ? (int)nw_fail_memory(&p->error, "the tabs")
                                                : (int)status;
}
