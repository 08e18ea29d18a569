/*
 * spots_file: the list of spots -> spots.csv (RFC 4180, but with plain line ends) and spots.json
 * (RFC 8259, by json-c). Numbers are written as exact decimal strings of our own, so both files
 * are the same in every locale; lengths are millimetres, places from the art's lower left corner.
 */
#include <report/files/json_values.h>
#include <report/parts.h>

static void add_number(nw_text *csv, double value, bool known)
{
    nw_text_add(csv, ",");
    if (known) {
        nw_text_number(csv, value, REPORT_LIST_DECIMALS);
    }
}

nw_status nw_write_spots_csv(const nw_report *report, nw_text *csv, nw_error *error)
{
    *csv = (nw_text){0};
    nw_status status = nw_report_check(report, error);
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
    return nw_report_finish(csv, "the list of spots", error);
}

struct json_object *nw_report_json_spot(report_json *b, const nw_spot *spot, size_t id)
{
    struct json_object *object = nw_report_json_made(b, json_object_new_object());
    if (!object) {
        return NULL;
    }
    nw_report_json_put(b, object, "id", nw_report_json_made(b, json_object_new_uint64(id)));
    nw_report_json_put(b, object, "side", nw_report_json_string(b, nw_side_name(spot->side)));
    nw_report_json_put(b, object, "form", nw_report_json_string(b, nw_form_name(spot->form)));
    nw_report_json_put(b, object, "at", nw_report_json_pair(b, spot->at.x, spot->at.y));
    nw_report_json_put(b, object, "width", nw_report_json_known(b, spot->width));
    nw_report_json_put(b, object, "length", nw_report_json_number(b, spot->length));
    nw_report_json_put(b, object, "depth", nw_report_json_known(b, spot->depth));
    nw_report_json_put(b, object, "area", nw_report_json_number(b, spot->area));
    nw_report_json_put(b, object, "widen", nw_report_json_known(b, spot->widen));
    return object;
}

struct json_object *nw_report_json_spots(report_json *b, const nw_fit *fit)
{
    struct json_object *array = nw_report_json_made(b, json_object_new_array());
    for (size_t i = 0; i < fit->spot_count && !b->failed; i++) {
        nw_report_json_append(b, array, nw_report_json_spot(b, &fit->spots[i], i + 1));
    }
    return array;
}

static struct json_object *lifts_array(report_json *b, const nw_fit *fit)
{
    struct json_object *array = nw_report_json_made(b, json_object_new_array());
    for (size_t i = 0; i < fit->lift_count && !b->failed; i++) {
        struct json_object *lift = nw_report_json_made(b, json_object_new_object());
        if (lift) {
            nw_report_json_put(b, lift, "at",
                               nw_report_json_pair(b, fit->lifts[i].at.x, fit->lifts[i].at.y));
            nw_report_json_put(b, lift, "width", nw_report_json_number(b, fit->lifts[i].width));
            nw_report_json_append(b, array, lift);
        }
    }
    return array;
}

static struct json_object *corners_object(report_json *b, const nw_fit *fit)
{
    struct json_object *object = nw_report_json_made(b, json_object_new_object());
    if (object) {
        nw_report_json_put(b, object, "count",
                           nw_report_json_made(b, json_object_new_uint64(fit->corners.count)));
        nw_report_json_put(b, object, "deepest", nw_report_json_number(b, fit->corners.deepest));
        nw_report_json_put(b, object, "area", nw_report_json_number(b, fit->corners.area));
    }
    return object;
}

static struct json_object *area_object(report_json *b, const nw_fit *fit)
{
    struct json_object *object = nw_report_json_made(b, json_object_new_object());
    if (object) {
        nw_report_json_put(b, object, "cut", nw_report_json_number(b, fit->area_cut));
        nw_report_json_put(b, object, "reached", nw_report_json_number(b, fit->area_reached));
        nw_report_json_put(b, object, "unreached", nw_report_json_number(b, fit->area_unreached));
    }
    return object;
}

static void fill_report(report_json *b, struct json_object *root, const nw_report *report)
{
    const nw_fit *fit = report->fit;
    nw_report_json_put(b, root, "narrows", nw_report_json_string(b, NW_VERSION));
    nw_report_json_put(b, root, "art", nw_report_json_string(b, report->art));
    nw_report_json_put(b, root, "size",
                       nw_report_json_pair(b, report->drawing->width, report->drawing->height));
    nw_report_json_put(b, root, "cut", nw_report_json_string(b, nw_cut_name(fit->options.cut)));
    nw_report_json_put(b, root, "bit", nw_report_json_number(b, fit->options.bit));
    nw_report_json_put(b, root, "least_neck", nw_report_json_number(b, fit->options.neck));
    nw_report_json_put(b, root, "fits", nw_report_json_made(b, json_object_new_boolean(fit->fits)));
    nw_report_json_put(b, root, "narrowest_gap", nw_report_json_known(b, fit->narrowest_gap));
    nw_report_json_put(b, root, "narrowest_neck", nw_report_json_known(b, fit->narrowest_neck));
    nw_report_json_put(b, root, "spots", nw_report_json_spots(b, fit));
    nw_report_json_put(b, root, "corners", corners_object(b, fit));
    nw_report_json_put(b, root, "lifts", lifts_array(b, fit));
    nw_report_json_put(b, root, "area", area_object(b, fit));
    nw_report_json_held(b, root, report->held, fit->options.cut);
}

nw_status nw_write_spots_json(const nw_report *report, nw_text *json, nw_error *error)
{
    *json = (nw_text){0};
    nw_status status = nw_report_check(report, error);
    if (status != NW_OK) {
        return status;
    }
    report_json b = {false};
    struct json_object *root = nw_report_json_made(&b, json_object_new_object());
    if (root) {
        fill_report(&b, root, report);
    }
    nw_report_json_write(&b, root, json);
    return nw_report_finish(json, "the list of spots", error);
}
