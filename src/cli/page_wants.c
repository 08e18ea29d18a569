/*
 * page: what page.html is told besides the report: the command as it was given, so that the page
 * can show the one for what its reader changes, the picture behind the drawing and its place, and
 * which piece of the drawing has which number.
 */
#include <cli/page.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define PI 3.14159265358979323846

/* ---- the picture behind the drawing ---------------------------------------------------------- */

/* What art_place did to the drawing's places: it moved one of them from `before` to `after`. */
void page_place_set(cli_art *art, const cli_request *request, nw_point before, nw_point after)
{
    double c = cos(request->turn * PI / 180), s = sin(request->turn * PI / 180);
    double up = art->unit_mm, across = request->mirror ? -up : up;
    double m[] = {across * c, up * s, -across * s, up * c};
    /* From the picture's pixels, y down, to the places that were traced. */
    double x = -art->origin.x, y = art->page.max.y - art->origin.y;
    double *place = art->behind.place;
    place[0] = m[0];
    place[1] = m[1];
    place[2] = -m[2];
    place[3] = -m[3];
    place[4] = m[0] * (x - before.x) + m[2] * (y - before.y) + after.x;
    place[5] = m[1] * (x - before.x) + m[3] * (y - before.y) + after.y;
}

/* ---- the pieces' numbers --------------------------------------------------------------------- */

static size_t piece_count(const nw_drawing *drawing)
{
    size_t count = 0;
    for (size_t i = 0; i < drawing->count; i++) {
        count = drawing->paths[i].piece >= count ? drawing->paths[i].piece + 1 : count;
    }
    return count;
}

static double corners_apart(nw_box a, nw_box b)
{
    return fabs(a.min.x - b.min.x) + fabs(a.min.y - b.min.y) + fabs(a.max.x - b.max.x) +
           fabs(a.max.y - b.max.y);
}

/* The kept piece whose box and area are nearest to those of a traced piece. */
static size_t nearest_number(const cli_art *art, const nw_piece *traced)
{
    nw_point o = art->origin;
    double high = art->page.max.y;
    nw_box box = {{traced->box.min.x + o.x, traced->box.min.y + o.y},
                  {traced->box.max.x + o.x, traced->box.max.y + o.y}};
    if (art->picture) {
        box.min.y = high - traced->box.max.y - o.y;
        box.max.y = high - traced->box.min.y - o.y;
    }
    double least = INFINITY;
    size_t number = 0;
    for (size_t i = 0; i < art->pieces.count; i++) {
        const nw_piece *piece = &art->pieces.items[i];
        double apart =
            corners_apart(piece->box, box) + fabs(sqrt(piece->area) - sqrt(traced->area));
        if (piece->kept && apart < least) {
            least = apart;
            number = piece->number;
        }
    }
    return number;
}

static nw_status numbers_of_trace(cli_art *art, nw_error *error)
{
    nw_pieces traced;
    nw_status status = nw_drawing_pieces(&art->drawing, 0, &traced, error);
    for (size_t i = 0; status == NW_OK && i < art->number_count; i++) {
        art->numbers[i] = nearest_number(art, &traced.items[i]);
    }
    nw_pieces_free(&traced);
    return status;
}

nw_status page_numbers_find(cli_art *art, nw_error *error)
{
    free(art->numbers);
    art->number_count = piece_count(&art->drawing);
    art->numbers = nw_alloc(art->number_count, sizeof *art->numbers);
    if (!art->numbers) {
        return nw_fail_memory(error, "the pieces' numbers");
    }
    if (art->picture || art->lines.pieces) {
        return numbers_of_trace(art, error);
    }
    for (size_t i = 0, k = 0; i < art->pieces.count && k < art->number_count; i++) {
        if (art->pieces.items[i].kept) {
            art->numbers[k++] = art->pieces.items[i].number;
        }
    }
    return NW_OK;
}

/* ---- the command ----------------------------------------------------------------------------- */

static size_t options_list(const cli_request *request, nw_page_words *list)
{
    size_t count = 0;
    for (size_t i = 0; i < cli_option_count; i++) {
        const cli_option *option = &cli_options[i];
        if (request->texts[i] && option->group != GROUP_RUN && option->commands & CHECK) {
            list[count++] =
                (nw_page_words){option->name, option->argument ? request->texts[i] : NULL};
        }
    }
    return count;
}

/* Fills in what the request says, and writes. */
static nw_status page_finish(nw_page *page, const cli_request *request, nw_text *html,
                             nw_error *error)
{
    nw_page_words *options = nw_alloc(cli_option_count, sizeof *options);
    nw_status status = nw_fail_memory(error, "the command");
    if (options) {
        page->options = options;
        page->option_count = options_list(request, options);
        page->blunt = request->blunt >= 0 ? page->report->fit->options.blunt : 0;
        page->stock = request->stock;
        page->sheet = (nw_point){request->sheet.width, request->sheet.height};
        page->margin = request->margin;
        page->neck_given = request->neck > 0;
        page->with_tabs = request->tabs != 0;
        page->tab_count = request->tabs > 0 ? (size_t)request->tabs : 0;
        page->tab_width = request->tab_width;
        status = nw_write_page(page, html, error);
    }
    free(options);
    return status;
}

nw_status page_of_check(const cli_request *request, const cli_art *art, const nw_report *report,
                        const cli_ways *found, const char *command, const nw_change_report *change,
                        nw_text *html, nw_error *error)
{
    nw_way_line lines[NW_WAY_LINES] = {{.text = {0}}};
    nw_page_words ways[NW_WAY_LINES];
    nw_page page = {.report = report,
                    .command = command,
                    .rack = &found->rack,
                    .pieces = art->numbers,
                    .piece_count = art->number_count,
                    .ways = ways,
                    .change = change,
                    .picture = &art->behind};
    nw_status status = NW_OK;
    if (change) {
        page.change_at = nw_drawing_box(&change->widened->drawing).min;
    }
    if (!report->fit->fits) {
        status = ways_lines(request, report->art, found, report->fit, lines, error);
        page.way_count = NW_WAY_LINES;
    }
    for (size_t i = 0; i < page.way_count && status == NW_OK; i++) {
        ways[i] = (nw_page_words){lines[i].text.data, command ? lines[i].command.data : NULL};
    }
    if (status == NW_OK) {
        status = page_finish(&page, request, html, error);
    }
    nw_ways_lines_free(lines);
    return status;
}

nw_status page_note(cli_talk *talk, note_list *notes, nw_error *error)
{
    nw_text line = {0};
    nw_text_add(&line, nw_page_missing());
    return talk_note(talk, notes, &line, error);
}
