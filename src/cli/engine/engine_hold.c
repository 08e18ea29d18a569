/* engine_hold: the rack, the ways out of the last fit, what comes loose and tabs. */
#include <cli/engine/engine_calls.h>

#include <stdlib.h>
#include <string.h>

#define BIT 6

/* ---- the rack ------------------------------------------------------------------------------- */

/* names: one after the other, each with its NUL; numbers (6 each): shape, diameter, flute, tip,
 * angle, feed. */
int page_rack(page *p, const char *names, const double *numbers, size_t count)
{
    nw_rack *rack = &p->found.rack;
    nw_rack_free(rack);
    rack->bits = nw_alloc(count, sizeof *rack->bits);
    if (!rack->bits)
        return (int)nw_fail_memory(&p->error, "the rack");
    for (size_t i = 0; i < count; i++, names += strlen(names) + 1, numbers += BIT) {
        nw_bit *bit = &rack->bits[i];
        *bit = (nw_bit){.shape = (nw_bit_shape)numbers[0],
                        .diameter = numbers[1],
                        .flute = numbers[2],
                        .tip = numbers[3],
                        .angle_deg = numbers[4],
                        .feed = numbers[5]};
        strncpy(bit->name, names, sizeof bit->name - 1);
    }
    rack->count = rack->capacity = count;
    return NW_OK;
}

/* The rack that narrows knows where there is no text. */
int page_rack_read(page *p, const char *text, size_t length, const char *file)
{
    nw_rack *rack = &p->found.rack;
    nw_rack_free(rack);
    return (int)(length ? nw_rack_read(text, length, file, rack, &p->error)
                        : nw_rack_common(rack, &p->error));
}

/* The rack in numbers (7 each) as page_rack takes them, and how wide each cuts at the top of the
 * stock. */
int page_rack_bits(page *p)
{
    p->numbers.count = 0;
    p->numbers.failed = false;
    for (size_t i = 0; i < p->found.rack.count; i++) {
        const nw_bit *bit = &p->found.rack.bits[i];
        double values[] = {bit->shape,
                           bit->diameter,
                           bit->flute,
                           bit->tip,
                           bit->angle_deg,
                           bit->feed,
                           nw_bit_at_top(bit, p->request.job.stock)};
        nw_page_numbers_add(&p->numbers, values, sizeof values / sizeof *values);
    }
    return p->numbers.failed ? (int)nw_fail_memory(&p->error, "the rack") : NW_OK;
}

const char *page_bit_name(const page *p, size_t bit)
{
    return p->found.rack.bits[bit].name;
}

/* ---- the ways out --------------------------------------------------------------------------- */

/* The ways out of a fit of the art, or how much room there is. */
static nw_status ways_of(page *p, const nw_fit *fit, const char *path)
{
    nw_fit_options options = fit->options;
    options.neck = p->request.job.neck;
    options.with_shapes = false;
    p->found.fit = fit;
    nw_status status = nw_ways_find(&p->kept, &p->region, &options, fit, &p->found.rack,
                                    p->request.job.stock, &p->found.ways, &p->error);
    if (status == NW_OK && p->kept.count == p->whole.count)
        status = ways_less(&p->request, &p->kept, &p->pieces, &p->found, &p->error);
    if (status == NW_OK) {
        status = ways_tell(&p->request, path, NULL, &p->found, fit->fits ? &p->room : NULL,
                           p->lines, &p->error);
    }
    p->found.fit = NULL;
    return status;
}

/* The ways out of the last fit, or how much room there is; path: of the art, for the commands.
 * Bridges do not grow with the art, so the ways are those of the art without them. */
int page_ways(page *p, const char *path)
{
    nw_report report = engine_report(p);
    bool fits = nw_report_rest_fits(&report);
    nw_fit bare = {0};
    nw_ways_lines_free(p->lines);
    nw_text_free(&p->room);
    if (fits && (!p->fit.fits || p->bridged.count))
        return NW_OK;
    if (!p->bridged.count)
        return (int)ways_of(p, &p->fit, path);
    nw_status status = nw_fit_run(&p->region, &p->fit.options, &bare, &p->error);
    if (status == NW_OK && !bare.fits)
        status = ways_of(p, &bare, path);
    nw_fit_free(&bare);
    return (int)status;
}

/* A way's sentence or command, or for line -1 the room. */
const char *page_way(const page *p, int line, int command)
{
    if (line < 0 || line >= NW_WAY_LINES)
        return nw_text_string(&p->room);
    return nw_text_string(command ? &p->lines[line].command : &p->lines[line].text);
}

/* ---- what comes loose, and what holds it ---------------------------------------------------- */

/* Notes on the art, weightiest first: of each the digit of its weight, the words, and a NUL. */
void page_told(page *p, const char *told, size_t length)
{
    nw_text_free(&p->told);
    nw_text_add_bytes(&p->told, told, length);
}

static nw_status told_add(page *p)
{
    nw_status status = NW_OK;
    const char *at = nw_text_string(&p->told), *end = at + p->told.length;
    for (; status == NW_OK && at < end; at += strlen(at) + 1) {
        nw_text line = {0};
        nw_text_add(&line, at + 1);
        status = talk_note(&p->talk, (nw_weight)(*at - '0'), &line, &p->error);
    }
    return status;
}

void engine_hold_free(page *p)
{
    talk_forget(&p->talk);
    nw_hold_free(&p->hold.hold);
    p->hold = (cli_hold){.origin = {0, 0}};
}

/* The art with the bridges that are asked for, which is judged then. */
static nw_status bridges_make(page *p)
{
    bool wanted = p->request.job.bridge > 0;
    if (!wanted && !p->bridged.count)
        return NW_OK;
    nw_drawing_free(&p->bridged);
    nw_region_free(&p->bridged_region);
    engine_fitter_free(p);
    if (!wanted)
        return NW_OK;
    nw_status status = nw_drawing_copy(&p->kept, &p->bridged, &p->error);
    if (status == NW_OK)
        status = hold_bridge(&p->request, &p->talk, &p->bridged, &p->hold, &p->error);
    if (status == NW_OK)
        status = nw_drawing_flatten(&p->bridged, NW_FLATNESS_MM, &p->bridged_region, &p->error);
    return status;
}

nw_status engine_hold(page *p)
{
    engine_hold_free(p);
    nw_status status = told_add(p);
    if (status == NW_OK)
        status = bridges_make(p);
    if (status == NW_OK)
        status = hold_loose(&p->request, engine_region(p), &p->talk, &p->hold, &p->error);
    return status == NW_OK ? hold_stock(&p->request, &p->kept, &p->talk, &p->hold, &p->error)
                           : status;
}

nw_status engine_tabs(page *p)
{
    return hold_tabs(&p->request, engine_region(p), &p->fit, &p->talk, &p->hold, &p->error);
}

/* A note, weightiest first, and its weight; below 0 behind the last. */
const char *page_note(const page *p, size_t note)
{
    return note < p->talk.notes.count ? p->talk.notes.lines[note] : "";
}

int page_note_weight(const page *p, size_t note)
{
    return note < p->talk.notes.count ? (int)p->talk.notes.weights[note] : -1;
}

/* Of what is shown: how many islands or parts come loose, their area; stock needed: width, height;
 * tabs, how many more found no place, their width; whether they were asked for; and the same of
 * bridges. */
const double *page_held(page *p)
{
    const nw_hold *hold = &p->hold.hold;
    double area = 0;
    for (size_t i = 0; i < hold->loose.count; i++)
        area += hold->loose.items[i].area;
    double held[] = {(double)hold->loose.count,
                     area,
                     p->hold.held.need_width,
                     p->hold.held.need_height,
                     (double)hold->tabs.count,
                     (double)hold->tabs.missing,
                     hold->tabs.width,
                     p->hold.held.tabs != NULL,
                     (double)hold->bridged.count,
                     (double)hold->bridged.nowhere,
                     p->hold.held.bridge_width,
                     p->hold.held.bridged != NULL};
    memcpy(p->held, held, sizeof held);
    return p->held;
}

/* Where the bridges of what is shown stand, 4 numbers each: from x y, to x y. */
int page_bridges(page *p)
{
    const nw_bridged *bridged = &p->hold.hold.bridged;
    p->numbers.count = 0;
    p->numbers.failed = false;
    for (size_t i = 0; i < bridged->count; i++) {
        const nw_bridge *b = &bridged->bridges[i];
        nw_page_numbers_add(&p->numbers, (double[]){b->from.x, b->from.y, b->to.x, b->to.y}, 4);
    }
    return p->numbers.failed ? (int)nw_fail_memory(&p->error, "the bridges") : NW_OK;
}
