/* widen: the outlines with the spots widened, and an account of what was done to them. */
#include <cli/files.h>
#include <cli/judge_art.h>
#include <cli/page.h>
#include <cli/spot_choice.h>
#include <cli/ways_print.h>
#include <solid/solid.h>

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

/* ---- which spots ---------------------------------------------------------------------------- */

/* What --spots says of the spots of the art as it is. */
static nw_status remedies_choose(const cli_request *request, const cli_art *art,
                                 nw_widen_options *options, nw_remedy **remedies, nw_error *error)
{
    *remedies = NULL;
    if (!request->spots)
        return NW_OK;
    nw_fit fit;
    nw_status status = nw_fit_run(&art->art.region, &options->fit, &fit, error);
    if (status != NW_OK)
        return status;
    status = spots_choose(request->spots, &fit, remedies, error);
    options->remedies = *remedies;
    options->remedy_count = fit.spot_count;
    nw_fit_free(&fit);
    return status;
}

/* Which spots of both fits are left by choice. */
static nw_status left_in_both(nw_change_report *change, bool *left[2], nw_error *error)
{
    const nw_widened *w = change->widened;
    left[0] = spots_left(change->options->remedies, w->before.spot_count);
    left[1] = nw_alloc(w->after.spot_count, sizeof *left[1]);
    if (!left[0] || !left[1])
        return nw_fail_memory(error, "the choice of spots");
    for (size_t i = 0; i < w->after.spot_count; i++) {
        size_t origin = nw_widened_origin(w, &w->after.spots[i]);
        left[1][i] = origin != SIZE_MAX && left[0][origin];
    }
    change->left_before = left[0];
    change->left_after = left[1];
    return NW_OK;
}

/* ---- what is written ------------------------------------------------------------------------ */

enum {
    FIXED_SVG,
    FIXED_DXF,
    WIDENED_SVG,
    WIDENED_JSON,
    SPOTS_BEFORE,
    SPOTS_AFTER,
    PAGE,
    FILE_COUNT
};

static nw_status lists_make(const nw_change_report *change, cli_file *files, nw_error *error)
{
    nw_report before = {
        .art = change->art, .drawing = change->before, .fit = &change->widened->before};
    nw_report after = {
        .art = change->art, .drawing = &change->widened->drawing, .fit = &change->widened->after};
    nw_status status = nw_write_spots_csv(&before, &files[SPOTS_BEFORE].text, error);
    return status == NW_OK ? nw_write_spots_csv(&after, &files[SPOTS_AFTER].text, error) : status;
}

/* The request for a check of fixed.svg; *texts must be freed. A sheet that has become too small is
 * none. */
static nw_status request_of_check(const cli_request *request, const cli_art *now,
                                  const char ***texts, cli_request *check, nw_error *error)
{
    bool sheet = nw_job_sheet_holds(&request->job, nw_job_need(&request->job, &now->art.drawing));
    *texts = nw_alloc(cli_option_count, sizeof **texts);
    for (size_t i = 0; *texts && i < cli_option_count; i++) {
        bool same = option_outlasts_widening(&cli_options[i]) &&
                    (sheet || strcmp(cli_options[i].name, "stock-size") != 0);
        (*texts)[i] = same ? request->texts[i] : NULL;
    }
    *check = *request;
    check->job.sheet_width = sheet ? request->job.sheet_width : 0;
    check->texts = *texts;
    check->art = nw_art_defaults();
    check->job.bridge = 0;
    check->spots = NULL; /* they are others */
    check->origin = (origin_argument){.kind = ORIGIN_LEFT_BOTTOM};
    return *texts ? NW_OK : nw_fail_memory(error, "the request");
}

/* The page of the art and its widening, with what a check of fixed.svg would find. */
static nw_status page_make(const cli_request *request, const cli_art *art, cli_art *now,
                           cli_file *files, nw_error *error)
{
    cli_talk quiet = {.quiet = true};
    const char **texts;
    cli_request check;
    cli_judged judged;
    nw_text name = {0};
    nw_text_format(&name, "%s/fixed.svg", request->output);
    nw_status status = request_of_check(request, now, &texts, &check, error);
    if (status == NW_OK) {
        status = name.failed ? nw_fail_memory(error, "a file's name")
                             : art_notes(&check, NW_OK, &quiet, now, error);
    }
    if (status == NW_OK)
        status = art_judge(name.data, &check, now, &quiet, &judged, error);
    if (status == NW_OK) {
        cli_page page = {request,
                         art,
                         request->output,
                         &check,
                         &judged.report,
                         &judged.found,
                         {&files[WIDENED_SVG].text, &files[FIXED_SVG].text}};
        status = page_write(&page, &files[PAGE].text, error);
        judged_free(&judged);
    }
    talk_end(&quiet);
    free(texts);
    nw_text_free(&name);
    return status;
}

static nw_status folder_write(const nw_change_report *change, const cli_request *request,
                              const cli_art *art, cli_art *now, const cli_layers *layers,
                              cli_talk *talk, nw_text *account, nw_error *error)
{
    cli_file files[FILE_COUNT] = {{.name = "fixed.svg"},        {.name = "fixed.dxf"},
                                  {.name = "widened.svg"},      {.name = "widened.json"},
                                  {.name = "spots-before.csv"}, {.name = "spots-after.csv"},
                                  {.name = "page.html"}};
    nw_status status = layers_write_both(layers, request, change->art, &files[FIXED_SVG].text,
                                         &files[FIXED_DXF].text, error);
    if (status == NW_OK)
        status = nw_write_widened(change, &files[WIDENED_SVG].text, error);
    if (status == NW_OK)
        status = nw_write_widened_json(change, &files[WIDENED_JSON].text, error);
    if (status == NW_OK)
        status = lists_make(change, files, error);
    if (status == NW_OK && nw_page_built())
        status = page_make(request, art, now, files, error);
    if (status == NW_OK)
        status = files_save(change->art, request->output, files, FILE_COUNT, talk, account, error);
    files_free(files, FILE_COUNT);
    return status;
}

/* The account; nothing when standard output takes the outlines. */
static nw_status account_make(const nw_change_report *change, const cli_request *request,
                              const cli_talk *talk, const char *where, nw_text *text,
                              nw_error *error)
{
    if (strcmp(where, "-") == 0 || (request->quiet && !request->json))
        return NW_OK;
    if (request->json)
        return nw_write_widened_json(change, text, error);
    nw_status status = nw_write_widened_table(change, talk->colour, text, error);
    nw_text_add(text, "\n");
    nw_write_caution(text);
    add_written(text, where);
    return status == NW_OK && text->failed ? nw_fail_memory(error, "the account") : status;
}

/* Everything is made before anything is written, so that nothing is when something fails. */
static nw_status change_deliver(const nw_change_report *change, const cli_request *request,
                                const cli_art *art, cli_art *now, const cli_layers *layers,
                                cli_talk *talk, nw_error *error)
{
    nw_text account = {0};
    const char *where = request->output;
    nw_status status = account_make(change, request, talk, where, &account, error);
    if (status == NW_OK) {
        status = format_of(where) != FORMAT_NONE
                     ? layers_save(layers, request, change->art, talk, &account, error)
                     : folder_write(change, request, art, now, layers, talk, &account, error);
    }
    nw_text_free(&account);
    return status;
}

/* ---- the way --------------------------------------------------------------------------------- */

/* What a file with the new outlines will be read as, and what is to be said of it: the stock that
 * it needs, what comes loose and what holds it. */
static nw_status now_find(const cli_request *request, const cli_art *art, cli_talk *talk,
                          nw_widened *widened, cli_hold *hold, cli_art *now, bool *sheet_holds,
                          nw_error *error)
{
    nw_art_options options = nw_art_defaults();
    nw_fit_options fit = nw_job_fit_options(&request->job);
    nw_bridged *bridged = &hold->hold.bridged;
    nw_status status = nw_art_of_widened(widened, bridged, &fit, &options, &now->art, error);
    now->art.unread = art->art.unread;
    now->art.sure = art->art.sure;
    if (status == NW_OK)
        status = hold_bridges_note(request, talk, hold, error);
    if (status == NW_OK)
        status = hold_stock_grown(request, &now->art.drawing, talk, hold, sheet_holds, error);
    if (status == NW_OK)
        status = hold_loose(request, &now->art.region, talk, hold, error);
    if (status == NW_OK)
        status = hold_tabs(request, &now->art.region, &widened->after, talk, hold, error);
    return status;
}

/* All that is known of the widening, which is told and written. */
static nw_status widened_tell(const cli_request *request, const cli_art *art, cli_talk *talk,
                              nw_change_report *change, cli_hold *hold, cli_art *now,
                              exit_code *exit, nw_error *error)
{
    cli_layers layers = {0};
    bool *left[2] = {NULL, NULL};
    const nw_widened *widened = change->widened;
    nw_status status =
        layers_make(request, &widened->drawing, &widened->after, hold, &layers, error);
    change->notes = (const char *const *)talk->notes.lines;
    change->note_count = talk->notes.plain;
    change->detail_count = talk->notes.count - talk->notes.plain;
    if (status == NW_OK)
        status = left_in_both(change, left, error);
    if (status == NW_OK)
        status = change_deliver(change, request, art, now, &layers, talk, error);
    *exit = nw_report_change_fits(change) ? EXIT_FITS : EXIT_SPOTS;
    layers_free(&layers);
    free(left[0]);
    free(left[1]);
    change->left_before = change->left_after = NULL;
    return status;
}

/* Where much of the art changes, or most of what is too narrow stays: what would need less. */
static nw_status much_say(const nw_change_report *change, const cli_request *request, cli_art *art,
                          cli_talk *talk, nw_error *error)
{
    cli_ways found;
    nw_way_line lines[NW_WAY_LINES];
    double share = nw_report_change_share(change);
    size_t pinches, stay = nw_report_change_stay(change, &pinches);
    bool much = share > NW_REPORT_MUCH;
    if (!much && !stay)
        return NW_OK;
    nw_status status = ways_find(request, &art->art, &change->widened->before, &found, error);
    if (status != NW_OK)
        return status;
    status = ways_tell(request, change->art, NULL, &found, NULL, lines, error);
    nw_text line = {0};
    if (much) {
        nw_text_number(&line, 100 * share, 0);
        nw_text_add(&line, " % of the art changes");
    } else {
        nw_text_format(&line, "%zu of %zu pinches stay", stay, pinches);
    }
    const char *before = much ? ". Less would change if you: " : ". None would if you: ";
    for (int i = 0; status == NW_OK && i < NW_WAY_LINES; i++) {
        if (lines[i].open && !lines[i].widens) {
            const char *words = lines[i].text.data;
            nw_text_format(&line, "%s%c%s", before, tolower((unsigned char)words[0]), words + 1);
            before = "; or ";
        }
    }
    if (status == NW_OK && *before == '.') {
        nw_text_add(&line, "; no smaller bit of the rack and no size up to ");
        nw_text_number(&line, NW_SIZE_WORTH, 1);
        nw_text_add(&line, " times this one cuts it all");
    }
    if (status == NW_OK)
        nw_ways_lines_free(lines);
    nw_rack_free(&found.rack);
    if (status == NW_OK)
        return talk_note(talk, NW_WEIGHT_HIGH, &line, error);
    nw_text_free(&line);
    return status;
}

static nw_status art_widen(const cli_request *request, cli_art *art, cli_talk *talk,
                           nw_widen_options *options, cli_hold *hold, exit_code *exit,
                           nw_error *error)
{
    nw_widened widened;
    nw_status status =
        advice_add(nw_drawing_widen(&art->art.drawing, options, &widened, error), error);
    if (status != NW_OK)
        return status;
    cli_art now = {.behind = {.width = 0}};
    nw_drawing added = {0}, removed = {0};
    bool sheet_holds = true;
    nw_change_report change = {.art = request->arts[0],
                               .before = &art->art.drawing,
                               .options = options,
                               .widened = &widened,
                               .added = &added,
                               .removed = &removed,
                               .neck_from_stock = nw_job_neck_from_stock(&request->job),
                               .unread = art->art.unread,
                               .inch = request->inch,
                               .held = &hold->held,
                               .named = &option_words};
    status = nw_hold_bridge(&request->job, &widened.drawing, &hold->hold, error);
    if (status == NW_OK) {
        status = nw_drawing_compare(&art->art.drawing, &widened.drawing, &added, &removed,
                                    &change.area_added, &change.area_removed, error);
    }
    if (status == NW_OK)
        status = much_say(&change, request, art, talk, error);
    if (status == NW_OK)
        status = now_find(request, art, talk, &widened, hold, &now, &sheet_holds, error);
    if (status == NW_OK)
        status = widened_tell(request, art, talk, &change, hold, &now, exit, error);
    *exit = sheet_holds ? *exit : EXIT_SPOTS;
    nw_drawing_free(&added);
    nw_drawing_free(&removed);
    art_free(&now);
    nw_widened_free(&widened);
    return status;
}

/* A sheet that is too small for the art as it is cannot do for more. */
static nw_status sheet_check(const cli_request *request, const cli_art *art, nw_error *error)
{
    cli_talk quiet = {.quiet = true};
    cli_hold unused = {.origin = {0, 0}};
    nw_status status = hold_stock(request, &art->art.drawing, &quiet, &unused, error);
    talk_end(&quiet);
    return status;
}

static nw_status request_check(const cli_request *request, nw_error *error)
{
    nw_status status = cut_check(request, error);
    if (status == NW_OK)
        status = hold_check(request, error);
    if (status == NW_OK && strcmp(request->output, "-") == 0 && request->json) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "-o - and --json would both go to standard output; name a file or a folder");
    }
    return status;
}

nw_status widen_run(const cli_request *request, cli_talk *talk, exit_code *exit, nw_error *error)
{
    nw_status status = request_check(request, error);
    if (status != NW_OK)
        return status;
    cli_art art;
    bool folder = format_of(request->output) == FORMAT_NONE;
    art_wants wants = {.size = true, .region = true, .page = folder && nw_page_built()};
    status = art_load(request->arts[0], request, wants, talk, &art, error);
    if (status != NW_OK)
        return status;
    cli_hold hold = {.origin = {0, 0}};
    nw_remedy *remedies = NULL;
    nw_widen_options options = nw_widen_defaults();
    options.fit = nw_job_fit_options(&request->job);
    options.fit.progress = talk_progress;
    options.fit.progress_context = talk;
    options.ease = request->ease > 0 ? request->ease : options.ease;
    options.stubs = request->stubs;
    options.misses = request->misses;
    options.more = request->longer;
    if (folder && !nw_page_built())
        status = page_note(talk, error);
    if (status == NW_OK)
        status = sheet_check(request, &art, error);
    if (status == NW_OK)
        status = remedies_choose(request, &art, &options, &remedies, error);
    if (status == NW_OK)
        status = art_widen(request, &art, talk, &options, &hold, exit, error);
    free(remedies);
    nw_hold_free(&hold.hold);
    art_free(&art);
    return status;
}
