/* Every bit side by side for programs: JSON (RFC 8259) and CSV (RFC 4180), in millimetres. */
#include <report/json.h>
#include <report/parts.h>

#include <math.h>

static struct json_object *tightest_object(report_json *b, const nw_bit_result *result)
{
    if (!result->fit.spot_count) {
        return NULL;
    }
    const nw_spot *spot = &result->fit.spots[0];
    struct json_object *object = report_json_made(b, json_object_new_object());
    if (object) {
        report_json_put(b, object, "side", report_json_string(b, nw_side_name(spot->side)));
        report_json_put(b, object, "form", report_json_string(b, nw_form_name(spot->form)));
        report_json_put(b, object, "at", report_json_pair(b, spot->at.x, spot->at.y));
        report_json_put(b, object, "width", report_json_known(b, spot->width));
    }
    return object;
}

static struct json_object *count_value(report_json *b, size_t count)
{
    return report_json_made(b, json_object_new_uint64(count));
}

static struct json_object *flag_value(report_json *b, bool flag)
{
    return report_json_made(b, json_object_new_boolean(flag));
}

static void judged_fill(report_json *b, struct json_object *object, const nw_bit_result *result)
{
    report_json_put(b, object, "fits", flag_value(b, result->fit.fits));
    report_json_put(b, object, "pinches", count_value(b, result->pinches));
    report_json_put(b, object, "stubs", count_value(b, result->stubs));
    report_json_put(b, object, "misses", count_value(b, result->misses));
    report_json_put(b, object, "necks", count_value(b, result->necks));
    report_json_put(b, object, "tightest", tightest_object(b, result));
    report_json_put(b, object, "unreached", report_json_number(b, result->fit.area_unreached));
    report_json_put(b, object, "unreached_share", report_json_number(b, result->share_unreached));
    report_json_put(b, object, "outline_share", report_json_number(b, result->share_outline));
    report_json_put(b, object, "path", report_json_number(b, result->fit.path_length));
}

static struct json_object *bit_object(report_json *b, const nw_bits_report *report, size_t k)
{
    const nw_bit_result *result = &report->bits->results[k];
    struct json_object *object = report_json_made(b, json_object_new_object());
    if (!object) {
        return NULL;
    }
    const char *name = report->rack->bits[result->bit].name;
    report_json_put(b, object, "name", report_json_string(b, name));
    report_json_put(b, object, "diameter", report_json_number(b, result->diameter));
    report_json_put(b, object, "judged", flag_value(b, result->judged));
    if (result->judged) {
        judged_fill(b, object, result);
    }
    report_json_put(b, object, "flutes_short", flag_value(b, result->flutes_short));
    report_json_put(b, object, "vee_depth", report_json_known(b, result->vee_depth));
    return object;
}

static struct json_object *pair_object(report_json *b, const nw_rack *rack, const nw_pair *pair)
{
    struct json_object *object = report_json_made(b, json_object_new_object());
    if (object) {
        report_json_put(b, object, "large", report_json_string(b, rack->bits[pair->large].name));
        report_json_put(b, object, "small", report_json_string(b, rack->bits[pair->small].name));
        report_json_put(b, object, "large_path", report_json_number(b, pair->large_path));
        report_json_put(b, object, "small_path", report_json_number(b, pair->small_path));
        report_json_put(b, object, "remains", report_json_number(b, pair->remains));
        report_json_put(b, object, "left", report_json_number(b, pair->left));
        report_json_put(b, object, "minutes", report_json_known(b, pair->minutes));
    }
    return object;
}

static void pairs_fill(report_json *b, struct json_object *root, const nw_bits_report *report)
{
    struct json_object *array = report_json_made(b, json_object_new_array());
    for (size_t k = 0; array && k < report->pairs->count && !b->failed; k++) {
        report_json_append(b, array, pair_object(b, report->rack, &report->pairs->pairs[k]));
    }
    report_json_put(b, root, "pairs", array);
}

static void report_fill(report_json *b, struct json_object *root, const nw_bits_report *report)
{
    const nw_bits *bits = report->bits;
    double known = NW_NONE;
    report_json_put(b, root, "narrows", report_json_string(b, NW_VERSION));
    report_json_put(b, root, "art", report_json_string(b, report->art));
    report_json_put(b, root, "size",
                    report_json_pair(b, report->drawing->width, report->drawing->height));
    report_json_put(b, root, "cut", report_json_string(b, nw_cut_name(report->cut)));
    report_json_put(b, root, "least_neck",
                    report_json_known(b, report->neck > 0 ? report->neck : known));
    report_json_put(b, root, "stock",
                    report_json_known(b, report->stock > 0 ? report->stock : known));
    report_json_put(b, root, "rack", report_json_string(b, report->rack_name));
    report_json_put(b, root, "critical",
                    report_json_known(b, isinf(report->critical) ? known : report->critical));
    bool any = bits->largest < bits->count;
    report_json_put(
        b, root, "largest",
        any ? report_json_string(b, report->rack->bits[bits->results[bits->largest].bit].name)
            : NULL);
    struct json_object *array = report_json_made(b, json_object_new_array());
    for (size_t k = 0; array && k < bits->count && !b->failed; k++) {
        report_json_append(b, array, bit_object(b, report, k));
    }
    report_json_put(b, root, "bits", array);
    if (report->pairs) {
        pairs_fill(b, root, report);
    }
}

nw_status nw_write_bits_json(const nw_bits_report *report, nw_text *json, nw_error *error)
{
    *json = (nw_text){0};
    report_json b = {false};
    struct json_object *root = report_json_made(&b, json_object_new_object());
    if (root) {
        report_fill(&b, root, report);
    }
    report_json_write(&b, root, json);
    return report_finish(json, "the list of bits", error);
}

/* ---- CSV ------------------------------------------------------------------------------------ */

/* Quoted whatever it holds. */
static void csv_name(nw_text *csv, const char *name)
{
    nw_text clean = {0};
    report_line(&clean, name);
    nw_text_add(csv, "\"");
    for (const char *c = clean.data ? clean.data : ""; *c; c++) {
        nw_text_add(csv, *c == '"' ? "\"" : "");
        nw_text_add_bytes(csv, c, 1);
    }
    nw_text_add(csv, "\"");
    csv->failed = csv->failed || clean.failed;
    nw_text_free(&clean);
}

static void csv_number(nw_text *csv, double value, bool known)
{
    nw_text_add(csv, ",");
    if (known) {
        nw_text_number(csv, value, REPORT_LIST_DECIMALS);
    }
}

static void csv_row(nw_text *csv, const nw_bits_report *report, size_t k)
{
    const nw_bit_result *result = &report->bits->results[k];
    const nw_fit *fit = &result->fit;
    bool judged = result->judged, pinch = fit->spot_count && fit->spots[0].form == NW_PINCH;
    csv_name(csv, report->rack->bits[result->bit].name);
    csv_number(csv, result->diameter, true);
    nw_text_format(csv, ",%s", !judged ? "" : fit->fits ? "yes" : "no");
    csv_number(csv, (double)result->pinches, judged);
    csv_number(csv, (double)result->stubs, judged);
    csv_number(csv, (double)result->misses, judged);
    csv_number(csv, (double)result->necks, judged);
    csv_number(csv, pinch ? fit->spots[0].width : 0, pinch);
    csv_number(csv, fit->area_unreached, judged);
    csv_number(csv, result->share_unreached, judged);
    csv_number(csv, result->share_outline, judged);
    csv_number(csv, fit->path_length, judged);
    nw_text_format(csv, ",%s", result->flutes_short ? "yes" : "no");
    csv_number(csv, result->vee_depth, result->vee_depth >= 0);
    nw_text_add(csv, "\r\n");
}

nw_status nw_write_bits_csv(const nw_bits_report *report, nw_text *csv, nw_error *error)
{
    *csv = (nw_text){0};
    nw_text_add(csv, "name,diameter,fits,pinches,stubs,misses,necks,tightest,unreached,"
                     "unreached_share,outline_share,path,flutes_short,vee_depth\r\n");
    for (size_t k = 0; k < report->bits->count; k++) {
        csv_row(csv, report, k);
    }
    return report_finish(csv, "the list of bits", error);
}
