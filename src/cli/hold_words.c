/* hold: what comes loose when the art is cut, and the bridges and tabs that hold it, in words. */
#include <cli/load.h>

#define UNHELD_NAMED 8
#define REASONS 8 /* of tabs or of bridges, at most */

static void add_one(nw_text *line, const nw_loose *loose, bool inch)
{
    const nw_box *box = &loose->box;
    nw_write_area(line, loose->area, inch);
    nw_text_add(line, " round ");
    nw_write_place(line, (nw_point){(box->min.x + box->max.x) / 2, (box->min.y + box->max.y) / 2},
                   inch);
}

static void add_largest(nw_text *line, const nw_loose_list *list, bool inch)
{
    const nw_loose *largest = list->items;
    for (size_t i = 1; i < list->count; i++)
        largest = list->items[i].area > largest->area ? &list->items[i] : largest;
    nw_text_add(line, list->count > 1 ? ", the largest of " : ", of ");
    add_one(line, largest, inch);
}

static void loose_words(const cli_request *request, const nw_loose_list *list, nw_text *line)
{
    if (request->job.cut == NW_CUT_INSIDE) {
        nw_text_format(line, "%zu island%s of stock come%s loose once all is cut", list->count,
                       list->count == 1 ? "" : "s", list->count == 1 ? "s" : "");
        add_largest(line, list, request->inch);
        nw_text_add(line, list->count == 1 ? "; --bridge may hold it" : "; --bridge may hold them");
    } else {
        nw_text_format(line, "the art is %zu separate parts", list->count);
        add_largest(line, list, request->inch);
        nw_text_add(line, "; --bridge may join them");
    }
}

nw_status hold_loose(const cli_request *request, const nw_region *region, cli_talk *talk,
                     cli_hold *hold, nw_error *error)
{
    const nw_loose_list *loose = &hold->hold.loose;
    nw_status status = nw_hold_loose(&request->job, region, &hold->hold, error);
    hold->held.loose = request->job.cut == NW_CUT_POCKET ? NULL : loose;
    if (status != NW_OK || !loose->count || request->job.bridge > 0)
        return status;
    nw_text line = {0};
    loose_words(request, loose, &line);
    return talk_note(talk, NW_WEIGHT_HIGH, &line, error);
}

/* Places that are only second best, and for which reasons. */
typedef struct {
    size_t all, counts[REASONS];
} seconds;

static void seconds_add(seconds *s, unsigned reasons)
{
    s->all += reasons != 0;
    for (int k = 0; k < REASONS; k++)
        s->counts[k] += reasons >> k & 1;
}

/* "; 3 are second best: 2 on thin stock, 1 on a bend" */
static void seconds_write(const seconds *s, const char *const *words, int reasons, nw_text *line)
{
    const char *before = ": ";
    if (s->all)
        nw_text_format(line, "; %zu %s second best", s->all, s->all == 1 ? "is" : "are");
    for (int k = 0; k < reasons; k++) {
        if (s->counts[k]) {
            nw_text_add(line, before);
            if (s->all > 1)
                nw_text_format(line, "%zu ", s->counts[k]);
            nw_text_add(line, words[k]);
            before = ", ";
        }
    }
}

static void add_bridges(nw_text *line, const cli_request *request, const nw_bridged *bridged)
{
    double length = 0;
    seconds second = {0};
    bool loose = false; /* something still is */
    const char *words[NW_BRIDGE_REASONS];
    for (size_t i = 0; i < bridged->count; i++) {
        const nw_bridge *b = &bridged->bridges[i];
        length += nw_distance(b->from, b->to);
        seconds_add(&second, b->reasons);
    }
    for (size_t i = 0; i < bridged->loose; i++)
        loose = loose || !bridged->unheld[i].held;
    nw_text_format(line, "%zu bridge%s ", bridged->count, bridged->count == 1 ? "" : "s");
    nw_write_length(line, request->job.bridge, request->inch);
    nw_text_add(line, " wide, ");
    nw_write_length(line, length, request->inch);
    bool one = bridged->count == 1, inside = request->job.cut == NW_CUT_INSIDE;
    nw_text_add(line, one ? " long" : " long in all");
    nw_text_add(line, inside ? one ? ", holds " : ", hold " : one ? ", joins " : ", join ");
    nw_text_add(line, loose ? "the others" : inside ? "what would fall out" : "the parts");
    for (int k = 0; k < NW_BRIDGE_REASONS; k++)
        words[k] = nw_bridge_reason_words((nw_bridge_reason)k);
    seconds_write(&second, words, NW_BRIDGE_REASONS, line);
}

/* "no bridge for the island of 27.6 mm² round 201.9, 61.9: ...", or "no bridge for the part of
 * 51.2 mm² round 17.3, 4.2 and 2 joined to it: ..." */
static void add_unheld(nw_text *line, const cli_request *request, const nw_unheld *unheld)
{
    nw_text_format(line, "no %sbridge for the %s of ", unheld->held ? "second " : "",
                   request->job.cut == NW_CUT_INSIDE ? "island" : "part");
    add_one(line, &unheld->piece, request->inch);
    if (unheld->joined)
        nw_text_format(line, " and %zu joined to it", unheld->joined);
    nw_text_format(line, ": %s", nw_unheld_words(unheld->reason));
}

/* Where a bridge leaves a new spot there was no better place for it. */
static void add_spots(nw_text *line, const cli_request *request, const nw_bridged *bridged)
{
    const nw_bridge_spot *worst = bridged->spots;
    bool one = bridged->spot_count == 1, gap = worst->side == NW_GAP;
    nw_text_format(line, "beside the bridges %zu new place%s too narrow, %s", bridged->spot_count,
                   one ? " is" : "s are", one ? "" : "the worst ");
    nw_text_add(line, gap ? "a gap for the bit" : "a neck of stock");
    if (worst->width >= 0) {
        nw_text_add(line, gap ? " of " : " ");
        nw_write_length(line, worst->width, request->inch);
        nw_text_add(line, gap ? "" : " thick");
    }
    nw_text_add(line, " at ");
    nw_write_place(line, worst->at, request->inch);
    if (!request->job.bridge_at.count)
        nw_text_add(line, "; no better place was found");
}

/* To a check what holds an island is a neck like any other. */
static void add_thin(nw_text *line, const cli_request *request)
{
    nw_text_add(line, "bridges thinner than the least neck are necks to a check: --bridge ");
    nw_text_number(line, nw_job_fit_options(&request->job).neck, 4);
    nw_text_add(line, "mm makes them no spots, or --neck ");
    nw_text_number(line, request->job.bridge, 4);
    nw_text_add(line, "mm says that they will do");
}

static nw_status bridges_note(const cli_request *request, const nw_bridged *bridged, cli_talk *talk,
                              nw_error *error)
{
    nw_text line = {0};
    if (bridged->count)
        add_bridges(&line, request, bridged);
    else
        nw_text_add(&line, bridged->loose ? "no bridges" : "no bridges: nothing comes loose");
    if (bridged->nowhere)
        nw_text_format(&line, "; for %zu of the places there is none", bridged->nowhere);
    nw_status status = talk_note(talk, NW_WEIGHT_USUAL, &line, error);
    if (status == NW_OK && bridged->spot_count) {
        add_spots(&line, request, bridged);
        status = talk_note(talk, NW_WEIGHT_HIGH, &line, error);
    }
    for (size_t i = 0; i < bridged->loose && i < UNHELD_NAMED && status == NW_OK; i++) {
        add_unheld(&line, request, &bridged->unheld[i]);
        status = talk_note(talk, NW_WEIGHT_HIGH, &line, error);
    }
    if (status == NW_OK && bridged->loose) {
        bool more = bridged->loose > UNHELD_NAMED;
        if (more)
            nw_text_format(&line, "so %zu more stay without; ", bridged->loose - UNHELD_NAMED);
        nw_text_add(&line, request->job.bridge_at.count
                               ? "--bridge-at says all the places"
                               : "a narrower --bridge or a smaller bit may find more places");
        /* Beside those that it goes on from. */
        status = talk_note(talk, more ? NW_WEIGHT_HIGH : NW_WEIGHT_USUAL, &line, error);
    }
    if (status == NW_OK && bridged->count &&
        request->job.bridge < nw_job_fit_options(&request->job).neck) {
        add_thin(&line, request);
        status = talk_note(talk, NW_WEIGHT_HIGH, &line, error);
    }
    return status;
}

nw_status hold_bridges_note(const cli_request *request, cli_talk *talk, cli_hold *hold,
                            nw_error *error)
{
    if (!(request->job.bridge > 0))
        return NW_OK;
    hold->held.bridged = &hold->hold.bridged;
    hold->held.bridge_width = request->job.bridge;
    return bridges_note(request, &hold->hold.bridged, talk, error);
}

nw_status hold_bridge(const cli_request *request, cli_talk *talk, nw_drawing *drawing,
                      cli_hold *hold, nw_error *error)
{
    nw_status status = nw_hold_bridge(&request->job, drawing, &hold->hold, error);
    return status == NW_OK ? hold_bridges_note(request, talk, hold, error) : status;
}

static void tabs_placed(const cli_request *request, const nw_tabs *tabs, nw_text *line)
{
    nw_text_format(line, "%zu tab%s, ", tabs->count, tabs->count == 1 ? "" : "s");
    nw_write_length(line, tabs->width, request->inch);
    nw_text_add(line, request->break_tabs ? " wide, as gaps in the outlines that leave the bit room"
                                          : " wide, as lines across the cut");
    seconds second = {0};
    const char *words[NW_TAB_REASONS];
    for (size_t i = 0; i < tabs->count; i++)
        seconds_add(&second, tabs->tabs[i].reasons);
    for (int k = 0; k < NW_TAB_REASONS; k++)
        words[k] = nw_tab_reason_words((nw_tab_reason)k);
    seconds_write(&second, words, NW_TAB_REASONS, line);
}

static nw_status tabs_note(const cli_request *request, const nw_tabs *tabs, cli_talk *talk,
                           nw_error *error)
{
    nw_text line = {0};
    if (tabs->count)
        tabs_placed(request, tabs, &line);
    else
        nw_text_add(&line, "no tabs");
    if (tabs->missing) {
        nw_text_format(&line,
                       tabs->count ? "; for %zu more there is no place"
                                   : ": for the %zu that it takes there is no place",
                       tabs->missing);
    }
    if (tabs->bare) {
        nw_text_format(&line, ", so %zu piece%s no tab at all: a smaller --tab-width may help",
                       tabs->bare, tabs->bare == 1 ? " gets" : "s get");
    }
    if (tabs->light) {
        nw_text_format(&line, "; %zu loose piece%s of waste %s light enough to fall out",
                       tabs->light, tabs->light == 1 ? "" : "s", tabs->light == 1 ? "is" : "are");
    }
    return talk_note(talk, tabs->bare ? NW_WEIGHT_HIGH : NW_WEIGHT_USUAL, &line, error);
}

nw_status hold_tabs(const cli_request *request, const nw_region *region, const nw_fit *fit,
                    cli_talk *talk, cli_hold *hold, nw_error *error)
{
    const nw_tabs *tabs = &hold->hold.tabs;
    nw_status status = nw_hold_tabs(&request->job, region, fit, &hold->hold, error);
    if (status != NW_OK || !request->job.tabs)
        return status;
    hold->held.tabs = tabs;
    return tabs_note(request, tabs, talk, error);
}
