/* Every bit side by side for programs: JSON (RFC 8259) and CSV (RFC 4180), in millimetres. */
#include <report/files/json_values.h>
#include <report/parts.h>

#include <math.h>

static struct json_object *tightest_object(report_json *b, const nw_bit_result *result)
{
    if (!result->fit.spot_count) {
        return NULL;
    }
    const nw_spot *spot = &result->fit.spots[0];
    struct json_object *object = nw_report_json_made(b, json_object_new_object());
    if (object) {
        nw_report_json_put(b, object, "side", nw_report_json_string(b, nw_side_name(spot->side)));
        nw_report_json_put(b, object, "form", nw_report_json_string(b, nw_form_name(spot->form)));
        nw_report_json_put(b, object, "at", nw_report_json_pair(b, spot->at.x, spot->at.y));
        nw_report_json_put(b, object, "width", nw_report_json_known(b, spot->width));
    }
    return object;
}

static struct json_object *count_value(report_json *b, size_t count)
{
    return nw_report_json_made(b, json_object_new_uint64(count));
}

static struct json_object *flag_value(report_json *b, bool flag)
{
    return nw_report_json_made(b, json_object_new_boolean(flag));
}

static void judged_fill(report_json *b, struct json_object *object, const nw_bit_result *result)
{
    nw_report_json_put(b, object, "fits", flag_value(b, result->fit.fits));
    nw_report_json_put(b, object, "pinches", count_value(b, result->pinches));
    nw_report_json_put(b, object, "stubs", count_value(b, result->stubs));
    nw_report_json_put(b, object, "misses", count_value(b, result->misses));
    nw_report_json_put(b, object, "necks", count_value(b, result->necks));
    nw_report_json_put(b, object, "tightest", tightest_object(b, result));
    nw_report_json_put(b, object, "unreached",
                       nw_report_json_number(b, result->fit.area_unreached));
    nw_report_json_put(b, object, "unreached_share",
                       nw_report_json_number(b, result->share_unreached));
    nw_report_json_put(b, object, "outline_share", nw_report_json_number(b, result->share_outline));
    nw_report_json_put(b, object, "path", nw_report_json_number(b, result->fit.path_length));
}

static struct json_object *bit_object(report_json *b, const nw_bits_report *report, size_t k)
{
    const nw_bit_result *result = &report->bits->results[k];
    struct json_object *object = nw_report_json_made(b, json_object_new_object());
    if (!object) {
        return NULL;
    }
    const char *name = report->rack->bits[result->bit].name;
    nw_report_json_put(b, object, "name", nw_report_json_string(b, name));
    nw_report_json_put(b, object, "diameter", nw_report_json_number(b, result->diameter));
    nw_report_json_put(b, object, "judged", flag_value(b, result->judged));
    if (result->judged) {
        judged_fill(b, object, result);
    }
    nw_report_json_put(b, object, "flutes_short", flag_value(b, result->flutes_short));
    nw_report_json_put(b, object, "vee_depth", nw_report_json_known(b, result->vee_depth));
    return object;
}

static struct json_object *pair_object(report_json *b, const nw_rack *rack, const nw_pair *pair)
{
    struct json_object *object = nw_report_json_made(b, json_object_new_object());
    if (object) {
        nw_report_json_put(b, object, "large",
                           nw_report_json_string(b, rack->bits[pair->large].name));
        nw_report_json_put(b, object, "small",
                           nw_report_json_string(b, rack->bits[pair->small].name));
        nw_report_json_put(b, object, "large_path", nw_report_json_number(b, pair->large_path));
        nw_report_json_put(b, object, "small_path", nw_report_json_number(b, pair->small_path));
        nw_report_json_put(b, object, "remains", nw_report_json_number(b, pair->remains));
        nw_report_json_put(b, object, "left", nw_report_json_number(b, pair->left));
        nw_report_json_put(b, object, "minutes", nw_report_json_known(b, pair->minutes));
    }
    return object;
}

static void pairs_fill(report_json *b, struct json_object *root, const nw_bits_report *report)
{
    struct json_object *array = nw_report_json_made(b, json_object_new_array());
    for (size_t k = 0; array && k < report->pairs->count && !b->failed; k++) {
        nw_report_json_append(b, array, pair_object(b, report->rack, &report->pairs->pairs[k]));
    }
    nw_report_json_put(b, root, "pairs", array);
}

static void report_fill(report_json *b, struct json_object *root, const nw_bits_report *report)
{
    const nw_bits *bits = report->bits;
    double known = NW_NONE;
    nw_report_json_put(b, root, "narrows", nw_report_json_string(b, NW_VERSION));
    nw_report_json_put(b, root, "art", nw_report_json_string(b, report->art));
    nw_report_json_put(b, root, "size",
                       nw_report_json_pair(b, report->drawing->width, report->drawing->height));
    nw_report_json_put(b, root, "cut", nw_report_json_string(b, nw_cut_name(report->cut)));
    nw_report_json_put(b, root, "least_neck",
                       nw_report_json_known(b, report->neck > 0 ? report->neck : known));
    nw_report_json_put(b, root, "stock",
                       nw_report_json_known(b, report->stock > 0 ? report->stock : known));
    nw_report_json_put(b, root, "rack", nw_report_json_string(b, report->rack_name));
    nw_report_json_put(b, root, "critical",
                       nw_report_json_known(b, isinf(report->critical) ? known : report->critical));
    bool any = bits->largest < bits->count;
    nw_report_json_put(
        b, root, "largest",
        any ? nw_report_json_string(b, report->rack->bits[bits->results[bits->largest].bit].name)
            : NULL);
    struct json_object *array = nw_report_json_made(b, json_object_new_array());
    for (size_t k = 0; array && k < bits->count && !b->failed; k++) {
        nw_report_json_append(b, array, bit_object(b, report, k));
    }
    nw_report_json_put(b, root, "bits", array);
    if (report->pairs) {
        pairs_fill(b, root, report);
    }
}

nw_status nw_write_bits_json(const nw_bits_report *report, nw_text *json, nw_error *error)
{
    *json = (nw_text){0};
    report_json b = {false};
    struct json_object *root = nw_report_json_made(&b, json_object_new_object());
    if (root) {
        report_fill(&b, root, report);
    }
    nw_report_json_write(&b, root, json);
    return nw_report_finish(json, "the list of bits", error);
}

/* ---- CSV ------------------------------------------------------------------------------------ */

/* Quoted whatever it holds. */
static void csv_name(nw_text *csv, const char *name)
{
    nw_text clean = {0};
    nw_report_line(&clean, name);
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
    return nw_report_finish(csv, "the list of bits", error);
}
