/* Every size side by side for programs: JSON (RFC 8259) and CSV (RFC 4180), in millimetres. */
#include <report/files/json_text.h>
#include <report/parts.h>

nw_status nw_write_sizes_json(const nw_sizes_report *report, nw_text *json, nw_error *error)
{
    const nw_sizes *sizes = report->sizes;
    const nw_fit_options *options = &sizes->results[0].fit.options;
    nw_json j = {.text = json};
    *json = (nw_text){0};
    nw_json_open(&j, NULL, '{');
    nw_json_string(&j, "narrows", NW_VERSION);
    nw_json_string(&j, "art", report->art);
    nw_json_pair(&j, "size", report->drawing->width, report->drawing->height);
    nw_json_string(&j, "cut", nw_cut_name(options->cut));
    nw_json_number(&j, "bit", options->bit);
    nw_json_number(&j, "least_neck", options->neck);
    bool any = sizes->smallest < sizes->count, near = sizes->closest < sizes->count;
    nw_json_known(&j, "smallest", any ? sizes->results[sizes->smallest].width : NW_NONE);
    nw_json_known(&j, "closest", near ? sizes->results[sizes->closest].width : NW_NONE);
    nw_json_unread(&j, &report->unread);
    nw_json_open(&j, "sizes", '[');
    for (size_t k = 0; k < sizes->count; k++) {
        const nw_size_result *result = &sizes->results[k];
        nw_json_open(&j, NULL, '{');
        nw_json_number(&j, "width", result->width);
        nw_json_number(&j, "height", result->height);
        nw_json_flag(&j, "fits", result->fit.fits);
        nw_json_count(&j, "doubts", result->fit.unpaired);
        nw_json_count(&j, "pinches", result->counts.pinches);
        nw_json_count(&j, "stubs", result->counts.stubs);
        nw_json_count(&j, "misses", result->counts.misses);
        nw_json_count(&j, "necks", result->counts.necks);
        nw_json_number(&j, "unreached_share", nw_fit_unreached(&result->fit));
        nw_json_count(&j, "tips", result->fit.corners.tips);
        nw_json_number(&j, "deepest", result->fit.corners.deepest);
        nw_json_close(&j, '}');
    }
    nw_json_close(&j, ']');
    nw_json_close(&j, '}');
    return nw_report_finish(json, "the list of sizes", error);
}

nw_status nw_write_sizes_csv(const nw_sizes_report *report, nw_text *csv, nw_error *error)
{
    *csv = (nw_text){0};
    nw_text_add(csv, "fits,width,height,pinches,stubs,misses,necks,unreached_share,tips,"
                     "deepest\r\n");
    for (size_t k = 0; k < report->sizes->count; k++) {
        const nw_size_result *result = &report->sizes->results[k];
        const double cells[] = {result->width,
                                result->height,
                                (double)result->counts.pinches,
                                (double)result->counts.stubs,
                                (double)result->counts.misses,
                                (double)result->counts.necks,
                                nw_fit_unreached(&result->fit),
                                (double)result->fit.corners.tips,
                                result->fit.corners.deepest};
        nw_text_add(csv, nw_report_csv_fits(&result->fit, &report->unread));
        for (size_t i = 0; i < sizeof cells / sizeof *cells; i++)
            nw_report_csv_number(csv, cells[i], true);
        nw_text_add(csv, "\r\n");
    }
    return nw_report_finish(csv, "the list of sizes", error);
}
