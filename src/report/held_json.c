/* held_json: what comes loose, what holds it and the stock, as JSON (RFC 8259, by json-c). */
#include <report/json.h>

#include <math.h>

static struct json_object *place_pair(report_json *b, nw_point p)
{
    return report_json_pair(b, p.x, p.y);
}

static struct json_object *loose_object(report_json *b, const nw_loose *loose)
{
    struct json_object *object = report_json_made(b, json_object_new_object());
    if (object) {
        nw_point low = loose->box.min, high = loose->box.max;
        nw_point middle = {(low.x + high.x) / 2, (low.y + high.y) / 2};
        report_json_put(b, object, "at", place_pair(b, middle));
        report_json_put(b, object, "size", report_json_pair(b, high.x - low.x, high.y - low.y));
        report_json_put(b, object, "area", report_json_number(b, loose->area));
    }
    return object;
}

static struct json_object *loose_array(report_json *b, const nw_loose_list *list)
{
    struct json_object *array = report_json_made(b, json_object_new_array());
    for (size_t i = 0; i < list->count && !b->failed; i++) {
        report_json_append(b, array, loose_object(b, &list->items[i]));
    }
    return array;
}

static struct json_object *tabs_array(report_json *b, const nw_tabs *tabs)
{
    struct json_object *array = report_json_made(b, json_object_new_array());
    for (size_t i = 0; i < tabs->count && !b->failed; i++) {
        struct json_object *object = report_json_made(b, json_object_new_object());
        if (object) {
            report_json_put(b, object, "at", place_pair(b, tabs->tabs[i].at));
            report_json_put(b, object, "out", place_pair(b, tabs->tabs[i].out));
            report_json_append(b, array, object);
        }
    }
    return array;
}

/* NULL, which is JSON's null, where none were asked for. */
static struct json_object *tabs_object(report_json *b, const nw_tabs *tabs)
{
    struct json_object *object = tabs ? report_json_made(b, json_object_new_object()) : NULL;
    if (object) {
        report_json_put(b, object, "width", report_json_number(b, tabs->width));
        report_json_put(b, object, "missing",
                        report_json_made(b, json_object_new_uint64(tabs->missing)));
        report_json_put(b, object, "without",
                        report_json_made(b, json_object_new_uint64(tabs->bare)));
        report_json_put(b, object, "places", tabs_array(b, tabs));
    }
    return object;
}

static struct json_object *stock_object(report_json *b, const nw_held *held)
{
    struct json_object *object = report_json_made(b, json_object_new_object());
    if (object) {
        bool sheet = held->sheet_width > 0;
        report_json_put(b, object, "needed",
                        report_json_pair(b, held->need_width, held->need_height));
        report_json_put(b, object, "margin", report_json_number(b, held->margin));
        report_json_put(b, object, "sheet",
                        sheet ? report_json_pair(b, held->sheet_width, held->sheet_height) : NULL);
    }
    return object;
}

void report_json_held(report_json *b, struct json_object *root, const nw_held *held, nw_cut cut)
{
    if (!held) {
        return;
    }
    if (held->loose && cut != NW_CUT_POCKET) {
        report_json_put(b, root, cut == NW_CUT_INSIDE ? "islands" : "parts",
                        loose_array(b, held->loose));
    }
    report_json_put(b, root, "tabs", tabs_object(b, held->tabs));
    if (held->need_width > 0) {
        report_json_put(b, root, "stock", stock_object(b, held));
    }
    report_json_put(b, root, "origin",
                    place_pair(b, held->origin ? *held->origin : (nw_point){0, 0}));
}

static struct json_object *bridges_array(report_json *b, const nw_bridged *bridged, double *length)
{
    struct json_object *array = report_json_made(b, json_object_new_array());
    *length = 0;
    for (size_t i = 0; i < bridged->count && !b->failed; i++) {
        const nw_bridge *bridge = &bridged->bridges[i];
        double across = hypot(bridge->to.x - bridge->from.x, bridge->to.y - bridge->from.y);
        struct json_object *object = report_json_made(b, json_object_new_object());
        *length += across;
        if (object) {
            report_json_put(b, object, "from", place_pair(b, bridge->from));
            report_json_put(b, object, "to", place_pair(b, bridge->to));
            report_json_put(b, object, "length", report_json_number(b, across));
            report_json_append(b, array, object);
        }
    }
    return array;
}

static struct json_object *unheld_array(report_json *b, const nw_bridged *bridged)
{
    struct json_object *array = report_json_made(b, json_object_new_array());
    for (size_t i = 0; i < bridged->loose && !b->failed; i++) {
        const nw_unheld *unheld = &bridged->unheld[i];
        struct json_object *object = loose_object(b, &unheld->piece);
        if (object) {
            report_json_put(b, object, "held",
                            report_json_made(b, json_object_new_boolean(unheld->held)));
            report_json_put(b, object, "reason",
                            report_json_string(b, nw_unheld_name(unheld->reason)));
            report_json_append(b, array, object);
        }
    }
    return array;
}

struct json_object *report_json_bridges(report_json *b, const nw_held *held)
{
    const nw_bridged *bridged = held->bridged;
    struct json_object *object = bridged ? report_json_made(b, json_object_new_object()) : NULL;
    if (object) {
        double length;
        struct json_object *places = bridges_array(b, bridged, &length);
        report_json_put(b, object, "width", report_json_number(b, held->bridge_width));
        report_json_put(b, object, "length", report_json_number(b, length));
        report_json_put(b, object, "places", places);
        report_json_put(b, object, "missing", unheld_array(b, bridged));
    }
    return object;
}
