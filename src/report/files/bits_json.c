/* Every bit side by side for programs: JSON (RFC 8259) and CSV (RFC 4180), in millimetres. */
#include <report/files/json_text.h>
#include <report/parts.h>

#include <math.h>

static void tightest_write(nw_json *j, const nw_bit_result *result)
{
    if (!result->fit.spot_count) {
        nw_json_string(j, "tightest", NULL);
        return;
    }
    const nw_spot *spot = &result->fit.spots[0];
    nw_json_open(j, "tightest", '{');
    nw_json_string(j, "side", nw_side_name(spot->side));
    nw_json_string(j, "form", nw_form_name(spot->form));
    nw_json_pair(j, "at", spot->at.x, spot->at.y);
    nw_json_known(j, "width", spot->width);
    nw_json_close(j, '}');
}

static void bit_write(nw_json *j, const nw_bits_report *report, const nw_bit_result *result)
{
    nw_json_open(j, NULL, '{');
    nw_json_string(j, "name", report->rack->bits[result->bit].name);
    nw_json_number(j, "diameter", result->diameter);
    nw_json_flag(j, "judged", result->judged);
    if (result->judged) {
        nw_json_flag(j, "fits", result->fit.fits);
        nw_json_count(j, "doubts", result->fit.unpaired);
        nw_json_count(j, "pinches", result->pinches);
        nw_json_count(j, "stubs", result->stubs);
        nw_json_count(j, "misses", result->misses);
        nw_json_count(j, "necks", result->necks);
        tightest_write(j, result);
        nw_json_number(j, "unreached", result->fit.area_unreached);
        nw_json_number(j, "unreached_share", result->share_unreached);
        nw_json_number(j, "outline_share", result->share_outline);
        nw_json_number(j, "path", result->fit.path_length);
    }
    nw_json_flag(j, "flutes_short", result->flutes_short);
    nw_json_known(j, "vee_depth", result->vee_depth);
    nw_json_close(j, '}');
}

static void pair_write(nw_json *j, const nw_rack *rack, const nw_pair *pair)
{
    nw_json_open(j, NULL, '{');
    nw_json_string(j, "large", rack->bits[pair->large].name);
    nw_json_string(j, "small", rack->bits[pair->small].name);
    nw_json_number(j, "large_path", pair->large_path);
    nw_json_number(j, "small_path", pair->small_path);
    nw_json_number(j, "remains", pair->remains);
    nw_json_number(j, "left", pair->left);
    nw_json_known(j, "minutes", pair->minutes);
    nw_json_number(j, "time_share", pair->share);
    nw_json_close(j, '}');
}

nw_status nw_write_bits_json(const nw_bits_report *report, nw_text *json, nw_error *error)
{
    const nw_bits *bits = report->bits;
    const nw_bit *rack = report->rack->bits;
    nw_json j = {.text = json};
    *json = (nw_text){0};
    nw_json_open(&j, NULL, '{');
    nw_json_string(&j, "narrows", NW_VERSION);
    nw_json_string(&j, "art", report->art);
    nw_json_pair(&j, "size", report->drawing->width, report->drawing->height);
    nw_json_string(&j, "cut", nw_cut_name(report->cut));
    nw_json_known(&j, "least_neck", report->neck > 0 ? report->neck : NW_NONE);
    nw_json_known(&j, "stock", report->stock > 0 ? report->stock : NW_NONE);
    nw_json_string(&j, "rack", report->rack_name);
    nw_json_known(&j, "critical", isinf(bits->critical) ? NW_NONE : bits->critical);
    bool any = bits->largest < bits->count;
    nw_json_string(&j, "largest", any ? rack[bits->results[bits->largest].bit].name : NULL);
    bool closest = bits->closest < bits->count;
    nw_json_string(&j, "closest", closest ? rack[bits->results[bits->closest].bit].name : NULL);
    nw_json_unread(&j, &report->unread);
    nw_json_open(&j, "bits", '[');
    for (size_t k = 0; k < bits->count; k++)
        bit_write(&j, report, &bits->results[k]);
    nw_json_close(&j, ']');
    if (report->pairs) {
        nw_json_open(&j, "pairs", '[');
        for (size_t k = 0; k < report->pairs->count; k++)
            pair_write(&j, report->rack, &report->pairs->pairs[k]);
        nw_json_close(&j, ']');
    }
    nw_json_close(&j, '}');
    return nw_report_finish(json, "the list of bits", error);
}

/* ---- CSV ------------------------------------------------------------------------------------ */

/* Quoted whatever it holds. */
static void csv_name(nw_text *csv, const char *name)
{
    nw_text clean = {0};
    nw_report_line(&clean, name);
    nw_text_add(csv, "\"");
    for (const char *c = nw_text_string(&clean); *c; c++) {
        nw_text_add(csv, *c == '"' ? "\"" : "");
        nw_text_add_bytes(csv, c, 1);
    }
    nw_text_add(csv, "\"");
    csv->failed = csv->failed || clean.failed;
    nw_text_free(&clean);
}

static void csv_row(nw_text *csv, const nw_bits_report *report, size_t k)
{
    const nw_bit_result *result = &report->bits->results[k];
    const nw_fit *fit = &result->fit;
    bool judged = result->judged, pinch = fit->spot_count && fit->spots[0].form == NW_PINCH;
    csv_name(csv, report->rack->bits[result->bit].name);
    nw_report_csv_number(csv, result->diameter, true);
    nw_text_format(csv, ",%s", judged ? nw_report_csv_fits(fit, &report->unread) : "");
    nw_report_csv_number(csv, (double)result->pinches, judged);
    nw_report_csv_number(csv, (double)result->stubs, judged);
    nw_report_csv_number(csv, (double)result->misses, judged);
    nw_report_csv_number(csv, (double)result->necks, judged);
    nw_report_csv_number(csv, pinch ? fit->spots[0].width : 0, pinch);
    nw_report_csv_number(csv, fit->area_unreached, judged);
    nw_report_csv_number(csv, result->share_unreached, judged);
    nw_report_csv_number(csv, result->share_outline, judged);
    nw_report_csv_number(csv, fit->path_length, judged);
    nw_text_format(csv, ",%s", result->flutes_short ? "yes" : "no");
    nw_report_csv_number(csv, result->vee_depth, result->vee_depth >= 0);
    nw_text_add(csv, "\r\n");
}

nw_status nw_write_bits_csv(const nw_bits_report *report, nw_text *csv, nw_error *error)
{
    *csv = (nw_text){0};
    nw_text_add(csv, "name,diameter,fits,pinches,stubs,misses,necks,tightest,unreached,"
                     "unreached_share,outline_share,path,flutes_short,vee_depth\r\n");
    for (size_t k = 0; k < report->bits->count; k++)
        csv_row(csv, report, k);
    return nw_report_finish(csv, "the list of bits", error);
}
