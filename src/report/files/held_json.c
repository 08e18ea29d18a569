/* held_json: what comes loose, what holds it and the stock, as JSON (RFC 8259). */
#include <report/files/json_text.h>

static void place_write(nw_json *j, const char *key, nw_point p)
{
    nw_json_pair(j, key, p.x, p.y);
}

static void loose_open(nw_json *j, const nw_loose *loose)
{
    nw_json_open(j, NULL, '{');
    place_write(j, "at", nw_middle(loose->box.min, loose->box.max));
    nw_json_pair(j, "size", nw_box_width(loose->box), nw_box_height(loose->box));
    nw_json_number(j, "area", loose->area);
}

/* null where none were asked for. */
static void tabs_write(nw_json *j, const nw_tabs *tabs)
{
    if (!tabs) {
        nw_json_string(j, "tabs", NULL);
        return;
    }
    nw_json_open(j, "tabs", '{');
    nw_json_number(j, "width", tabs->width);
    nw_json_count(j, "missing", tabs->missing);
    nw_json_count(j, "without", tabs->bare);
    nw_json_open(j, "places", '[');
    for (size_t i = 0; i < tabs->count; i++) {
        nw_json_open(j, NULL, '{');
        place_write(j, "at", tabs->tabs[i].at);
        place_write(j, "out", tabs->tabs[i].out);
        nw_json_open(j, "second_best", '[');
        for (int k = 0; k < NW_TAB_REASONS; k++)
            if (tabs->tabs[i].reasons >> k & 1)
                nw_json_string(j, NULL, nw_tab_reason_name((nw_tab_reason)k));
        nw_json_close(j, ']');
        nw_json_close(j, '}');
    }
    nw_json_close(j, ']');
    nw_json_close(j, '}');
}

static void stock_write(nw_json *j, const nw_held *held)
{
    nw_json_open(j, "stock", '{');
    nw_json_pair(j, "needed", held->need_width, held->need_height);
    nw_json_number(j, "margin", held->margin);
    if (held->sheet_width > 0)
        nw_json_pair(j, "sheet", held->sheet_width, held->sheet_height);
    else
        nw_json_string(j, "sheet", NULL);
    nw_json_close(j, '}');
}

/* null where none were asked for. */
static void bridges_write(nw_json *j, const nw_held *held)
{
    const nw_bridged *bridged = held->bridged;
    double length = 0;
    if (!bridged) {
        nw_json_string(j, "bridges", NULL);
        return;
    }
    for (size_t i = 0; i < bridged->count; i++)
        length += nw_distance(bridged->bridges[i].from, bridged->bridges[i].to);
    nw_json_open(j, "bridges", '{');
    nw_json_number(j, "width", held->bridge_width);
    nw_json_number(j, "length", length);
    nw_json_count(j, "nowhere", bridged->nowhere);
    nw_json_open(j, "places", '[');
    for (size_t i = 0; i < bridged->count; i++) {
        const nw_bridge *bridge = &bridged->bridges[i];
        nw_json_open(j, NULL, '{');
        place_write(j, "from", bridge->from);
        place_write(j, "to", bridge->to);
        nw_json_number(j, "length", nw_distance(bridge->from, bridge->to));
        nw_json_open(j, "second_best", '[');
        for (int k = 0; k < NW_BRIDGE_REASONS; k++)
            if (bridge->reasons >> k & 1)
                nw_json_string(j, NULL, nw_bridge_reason_name((nw_bridge_reason)k));
        nw_json_close(j, ']');
        nw_json_close(j, '}');
    }
    nw_json_close(j, ']');
    nw_json_open(j, "new_spots", '[');
    for (size_t i = 0; i < bridged->spot_count; i++) {
        const nw_bridge_spot *spot = &bridged->spots[i];
        nw_json_open(j, NULL, '{');
        nw_json_string(j, "side", nw_side_name(spot->side));
        nw_json_string(j, "form", nw_form_name(spot->form));
        place_write(j, "at", spot->at);
        nw_json_known(j, "width", spot->width);
        nw_json_close(j, '}');
    }
    nw_json_close(j, ']');
    nw_json_open(j, "missing", '[');
    for (size_t i = 0; i < bridged->loose; i++) {
        loose_open(j, &bridged->unheld[i].piece);
        nw_json_flag(j, "held", bridged->unheld[i].held);
        nw_json_string(j, "reason", nw_unheld_name(bridged->unheld[i].reason));
        nw_json_close(j, '}');
    }
    nw_json_close(j, ']');
    nw_json_close(j, '}');
}

void nw_json_held(nw_json *j, const nw_held *held, nw_cut cut)
{
    if (!held)
        return;
    if (held->loose && cut != NW_CUT_POCKET) {
        nw_json_open(j, cut == NW_CUT_INSIDE ? "islands" : "parts", '[');
        for (size_t i = 0; i < held->loose->count; i++) {
            loose_open(j, &held->loose->items[i]);
            nw_json_close(j, '}');
        }
        nw_json_close(j, ']');
    }
    tabs_write(j, held->tabs);
    bridges_write(j, held);
    if (held->need_width > 0)
        stock_write(j, held);
    place_write(j, "origin", held->origin ? *held->origin : (nw_point){0, 0});
}
