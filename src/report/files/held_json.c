/* held_json: what comes loose, what holds it and the stock, as JSON (RFC 8259, by json-c). */
#include <report/files/json_values.h>

#include <math.h>

static struct json_object *place_pair(report_json *b, nw_point p)
{
    return nw_report_json_pair(b, p.x, p.y);
}

static struct json_object *loose_object(report_json *b, const nw_loose *loose)
{
    struct json_object *object = nw_report_json_made(b, json_object_new_object());
    if (object) {
        nw_point low = loose->box.min, high = loose->box.max;
        nw_point middle = {(low.x + high.x) / 2, (low.y + high.y) / 2};
        nw_report_json_put(b, object, "at", place_pair(b, middle));
        nw_report_json_put(b, object, "size",
                           nw_report_json_pair(b, high.x - low.x, high.y - low.y));
        nw_report_json_put(b, object, "area", nw_report_json_number(b, loose->area));
    }
    return object;
}

static struct json_object *loose_array(report_json *b, const nw_loose_list *list)
{
    struct json_object *array = nw_report_json_made(b, json_object_new_array());
    for (size_t i = 0; i < list->count && !b->failed; i++) {
        nw_report_json_append(b, array, loose_object(b, &list->items[i]));
    }
    return array;
}

static struct json_object *tabs_array(report_json *b, const nw_tabs *tabs)
{
    struct json_object *array = nw_report_json_made(b, json_object_new_array());
    for (size_t i = 0; i < tabs->count && !b->failed; i++) {
        struct json_object *object = nw_report_json_made(b, json_object_new_object());
        if (object) {
            nw_report_json_put(b, object, "at", place_pair(b, tabs->tabs[i].at));
            nw_report_json_put(b, object, "out", place_pair(b, tabs->tabs[i].out));
            nw_report_json_append(b, array, object);
        }
    }
    return array;
}

/* NULL, which is JSON's null, where none were asked for. */
static struct json_object *tabs_object(report_json *b, const nw_tabs *tabs)
{
    struct json_object *object = tabs ? nw_report_json_made(b, json_object_new_object()) : NULL;
    if (object) {
        nw_report_json_put(b, object, "width", nw_report_json_number(b, tabs->width));
        nw_report_json_put(b, object, "missing",
                           nw_report_json_made(b, json_object_new_uint64(tabs->missing)));
        nw_report_json_put(b, object, "without",
                           nw_report_json_made(b, json_object_new_uint64(tabs->bare)));
        nw_report_json_put(b, object, "places", tabs_array(b, tabs));
    }
    return object;
}

static struct json_object *stock_object(report_json *b, const nw_held *held)
{
    struct json_object *object = nw_report_json_made(b, json_object_new_object());
    if (object) {
        bool sheet = held->sheet_width > 0;
        nw_report_json_put(b, object, "needed",
                           nw_report_json_pair(b, held->need_width, held->need_height));
        nw_report_json_put(b, object, "margin", nw_report_json_number(b, held->margin));
        nw_report_json_put(b, object, "sheet",
                           sheet ? nw_report_json_pair(b, held->sheet_width, held->sheet_height)
                                 : NULL);
    }
    return object;
}

void nw_report_json_held(report_json *b, struct json_object *root, const nw_held *held, nw_cut cut)
{
    if (!held) {
        return;
    }
    if (held->loose && cut != NW_CUT_POCKET) {
        nw_report_json_put(b, root, cut == NW_CUT_INSIDE ? "islands" : "parts",
                           loose_array(b, held->loose));
    }
    nw_report_json_put(b, root, "tabs", tabs_object(b, held->tabs));
    if (held->need_width > 0) {
        nw_report_json_put(b, root, "stock", stock_object(b, held));
    }
    nw_report_json_put(b, root, "origin",
                       place_pair(b, held->origin ? *held->origin : (nw_point){0, 0}));
}

static struct json_object *bridges_array(report_json *b, const nw_bridged *bridged, double *length)
{
    struct json_object *array = nw_report_json_made(b, json_object_new_array());
    *length = 0;
    for (size_t i = 0; i < bridged->count && !b->failed; i++) {
        const nw_bridge *bridge = &bridged->bridges[i];
        double across = nw_distance(bridge->to, bridge->from);
        struct json_object *object = nw_report_json_made(b, json_object_new_object());
        *length += across;
        if (object) {
            nw_report_json_put(b, object, "from", place_pair(b, bridge->from));
            nw_report_json_put(b, object, "to", place_pair(b, bridge->to));
            nw_report_json_put(b, object, "length", nw_report_json_number(b, across));
            nw_report_json_append(b, array, object);
        }
    }
    return array;
}

static struct json_object *unheld_array(report_json *b, const nw_bridged *bridged)
{
    struct json_object *array = nw_report_json_made(b, json_object_new_array());
    for (size_t i = 0; i < bridged->loose && !b->failed; i++) {
        const nw_unheld *unheld = &bridged->unheld[i];
        struct json_object *object = loose_object(b, &unheld->piece);
        if (object) {
            nw_report_json_put(b, object, "held",
                               nw_report_json_made(b, json_object_new_boolean(unheld->held)));
            nw_report_json_put(b, object, "reason",
                               nw_report_json_string(b, nw_unheld_name(unheld->reason)));
            nw_report_json_append(b, array, object);
        }
    }
    return array;
}

struct json_object *nw_report_json_bridges(report_json *b, const nw_held *held)
{
    const nw_bridged *bridged = held->bridged;
    struct json_object *object = bridged ? nw_report_json_made(b, json_object_new_object()) : NULL;
    if (object) {
        double length;
        struct json_object *places = bridges_array(b, bridged, &length);
        nw_report_json_put(b, object, "width", nw_report_json_number(b, held->bridge_width));
        nw_report_json_put(b, object, "length", nw_report_json_number(b, length));
        nw_report_json_put(b, object, "places", places);
        nw_report_json_put(b, object, "missing", unheld_array(b, bridged));
    }
    return object;
}
