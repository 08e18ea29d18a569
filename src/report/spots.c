/*
 * spots: the list of spots -> spots.csv (RFC 4180, but with plain line ends) and spots.json
 * (RFC 8259, by json-c). Numbers are written as exact decimal strings of our own, so both files
 * are the same in every locale; lengths are millimetres, places from the art's lower left corner.
 */
#include <report/parts.h>

#include <json-c/json.h>

#define LIST_DECIMALS 6

static void add_number(nw_text *csv, double value, bool known)
{
    nw_text_add(csv, ",");
    if (known) {
        nw_text_number(csv, value, LIST_DECIMALS);
    }
}

nw_status nw_write_spots_csv(const nw_report *report, nw_text *csv, nw_error *error)
{
    *csv = (nw_text){0};
    nw_status status = report_check(report, error);
    if (status != NW_OK) {
        return status;
    }
    nw_text_add(csv, "id,side,form,x,y,width,length,depth,area,widen\n");
    for (size_t i = 0; i < report->fit->spot_count; i++) {
        const nw_spot *spot = &report->fit->spots[i];
        nw_text_format(csv, "%zu,%s,%s", i + 1, nw_side_name(spot->side), nw_form_name(spot->form));
        add_number(csv, spot->at.x, true);
        add_number(csv, spot->at.y, true);
        add_number(csv, spot->width, spot->width >= 0);
        add_number(csv, spot->length, spot->length >= 0);
        add_number(csv, spot->depth, spot->depth >= 0);
        add_number(csv, spot->area, true);
        add_number(csv, spot->widen, spot->widen >= 0);
        nw_text_add(csv, "\n");
    }
    return report_finish(csv, "the list of spots", error);
}

/* An object under construction; the first failure is kept, as in nw_text. */
typedef struct {
    bool failed;
} builder;

static void put(builder *b, struct json_object *object, const char *key, struct json_object *value)
{
    if (json_object_object_add(object, key, value) != 0) {
        json_object_put(value);
        b->failed = true;
    }
}

static void append(builder *b, struct json_object *array, struct json_object *value)
{
    if (json_object_array_add(array, value) != 0) {
        json_object_put(value);
        b->failed = true;
    }
}

/* NULL is JSON's null, so a failed allocation must be told apart. */
static struct json_object *made(builder *b, struct json_object *value)
{
    b->failed = b->failed || !value;
    return value;
}

static struct json_object *number(builder *b, double value)
{
    nw_text digits = {0};
    nw_text_number(&digits, value, LIST_DECIMALS);
    struct json_object *object =
        digits.failed ? NULL : json_object_new_double_s(value, digits.data);
    nw_text_free(&digits);
    return made(b, object);
}

static struct json_object *known(builder *b, double value)
{
    return value < 0 ? NULL : number(b, value);
}

static struct json_object *string(builder *b, const char *text)
{
    nw_text clean = {0};
    nw_text_clean(&clean, text);
    struct json_object *object =
        clean.failed ? NULL : json_object_new_string(clean.data ? clean.data : "");
    nw_text_free(&clean);
    return made(b, object);
}

static struct json_object *pair(builder *b, double x, double y)
{
    struct json_object *array = made(b, json_object_new_array_ext(2));
    if (array) {
        append(b, array, number(b, x));
        append(b, array, number(b, y));
    }
    return array;
}

static struct json_object *spot_object(builder *b, const nw_spot *spot, size_t id)
{
    struct json_object *object = made(b, json_object_new_object());
    if (!object) {
        return NULL;
    }
    put(b, object, "id", made(b, json_object_new_uint64(id)));
    put(b, object, "side", string(b, nw_side_name(spot->side)));
    put(b, object, "form", string(b, nw_form_name(spot->form)));
    put(b, object, "at", pair(b, spot->at.x, spot->at.y));
    put(b, object, "width", known(b, spot->width));
    put(b, object, "length", number(b, spot->length));
    put(b, object, "depth", known(b, spot->depth));
    put(b, object, "area", number(b, spot->area));
    put(b, object, "widen", known(b, spot->widen));
    return object;
}

static struct json_object *spots_array(builder *b, const nw_fit *fit)
{
    struct json_object *array = made(b, json_object_new_array());
    for (size_t i = 0; i < fit->spot_count && !b->failed; i++) {
        append(b, array, spot_object(b, &fit->spots[i], i + 1));
    }
    return array;
}

static struct json_object *lifts_array(builder *b, const nw_fit *fit)
{
    struct json_object *array = made(b, json_object_new_array());
    for (size_t i = 0; i < fit->lift_count && !b->failed; i++) {
        struct json_object *lift = made(b, json_object_new_object());
        if (lift) {
            put(b, lift, "at", pair(b, fit->lifts[i].at.x, fit->lifts[i].at.y));
            put(b, lift, "width", number(b, fit->lifts[i].width));
            append(b, array, lift);
        }
    }
    return array;
}

static struct json_object *corners_object(builder *b, const nw_fit *fit)
{
    struct json_object *object = made(b, json_object_new_object());
    if (object) {
        put(b, object, "count", made(b, json_object_new_uint64(fit->corners.count)));
        put(b, object, "deepest", number(b, fit->corners.deepest));
        put(b, object, "area", number(b, fit->corners.area));
    }
    return object;
}

static struct json_object *area_object(builder *b, const nw_fit *fit)
{
    struct json_object *object = made(b, json_object_new_object());
    if (object) {
        put(b, object, "cut", number(b, fit->area_cut));
        put(b, object, "reached", number(b, fit->area_reached));
        put(b, object, "unreached", number(b, fit->area_unreached));
    }
    return object;
}

static void fill_report(builder *b, struct json_object *root, const nw_report *report)
{
    const nw_fit *fit = report->fit;
    put(b, root, "narrows", string(b, NW_VERSION));
    put(b, root, "art", string(b, report->art));
    put(b, root, "size", pair(b, report->drawing->width, report->drawing->height));
    put(b, root, "cut", string(b, nw_cut_name(fit->options.cut)));
    put(b, root, "bit", number(b, fit->options.bit));
    put(b, root, "least_neck", number(b, fit->options.neck));
    put(b, root, "fits", made(b, json_object_new_boolean(fit->fits)));
    put(b, root, "narrowest_gap", known(b, fit->narrowest_gap));
    put(b, root, "narrowest_neck", known(b, fit->narrowest_neck));
    put(b, root, "spots", spots_array(b, fit));
    put(b, root, "corners", corners_object(b, fit));
    put(b, root, "lifts", lifts_array(b, fit));
    put(b, root, "area", area_object(b, fit));
}

nw_status nw_write_spots_json(const nw_report *report, nw_text *json, nw_error *error)
{
    *json = (nw_text){0};
    nw_status status = report_check(report, error);
    if (status != NW_OK) {
        return status;
    }
    builder b = {false};
    struct json_object *root = made(&b, json_object_new_object());
    if (root) {
        fill_report(&b, root, report);
    }
    const char *text = b.failed ? NULL
                                : json_object_to_json_string_ext(
                                      root, JSON_C_TO_STRING_PRETTY | JSON_C_TO_STRING_SPACED |
                                                JSON_C_TO_STRING_NOSLASHESCAPE);
    if (text) {
        nw_text_add(json, text);
        nw_text_add(json, "\n");
    }
    json->failed = json->failed || !text;
    json_object_put(root);
    return report_finish(json, "the list of spots", error);
}
