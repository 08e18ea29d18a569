/*
 * spots_file: the list of spots -> spots.csv (RFC 4180, but with plain line ends) and spots.json
 * (RFC 8259). Numbers are written as exact decimal strings of our own, so both files
 * are the same in every locale; lengths are millimetres, places from the art's lower left corner.
 */
#include <report/files/json_text.h>
#include <report/parts.h>

void nw_report_csv_number(nw_text *csv, double value, bool known)
{
    nw_text_add(csv, ",");
    if (known)
        nw_text_number(csv, value, REPORT_LIST_DECIMALS);
}

const char *nw_report_csv_fits(const nw_fit *fit, const nw_unread *unread)
{
    if (fit->fits)
        return nw_unread_count(unread) ? "unsure" : "yes";
    return fit->unpaired ? "unsure" : "no";
}

nw_status nw_write_spots_csv(const nw_report *report, nw_text *csv, nw_error *error)
{
    *csv = (nw_text){0};
    nw_status status = nw_report_check(report, error);
    if (status != NW_OK)
        return status;
    nw_text_add(csv, "id,side,form,x,y,width,length,depth,area,widen\n");
    for (size_t i = 0; i < report->fit->spot_count; i++) {
        const nw_spot *spot = &report->fit->spots[i];
        nw_text_format(csv, "%zu,%s,%s", i + 1, nw_side_name(spot->side), nw_form_name(spot->form));
        nw_report_csv_number(csv, spot->at.x, true);
        nw_report_csv_number(csv, spot->at.y, true);
        nw_report_csv_number(csv, spot->width, spot->width >= 0);
        nw_report_csv_number(csv, spot->length, spot->length >= 0);
        nw_report_csv_number(csv, spot->depth, spot->depth >= 0);
        nw_report_csv_number(csv, spot->area, true);
        nw_report_csv_number(csv, spot->widen, spot->widen >= 0);
        nw_text_add(csv, "\n");
    }
    const nw_unread *unread = &report->unread;
    const struct {
        size_t count;
        const char *form;
    } doubts[] = {{report->fit->unpaired, "incomplete"},
                  {unread->texts, "text"},
                  {unread->images, "picture"},
                  {unread->marks, "mark"},
                  {unread->effects, "effect"},
                  {unread->rules, "rule"},
                  {unread->shades, "shading"}};
    size_t id = report->fit->spot_count;
    for (size_t i = 0; i < sizeof doubts / sizeof *doubts; i++)
        if (doubts[i].count)
            nw_text_format(csv, "%zu,doubt,%s,,,,,,,\n", ++id, doubts[i].form);
    return nw_report_finish(csv, "the list of spots", error);
}

void nw_json_spot_open(nw_json *j, const nw_spot *spot, size_t id)
{
    nw_json_open(j, NULL, '{');
    nw_json_count(j, "id", id);
    nw_json_string(j, "side", nw_side_name(spot->side));
    nw_json_string(j, "form", nw_form_name(spot->form));
    nw_json_pair(j, "at", spot->at.x, spot->at.y);
    nw_json_known(j, "width", spot->width);
    nw_json_number(j, "length", spot->length);
    nw_json_known(j, "depth", spot->depth);
    nw_json_number(j, "area", spot->area);
    nw_json_known(j, "widen", spot->widen);
}

void nw_json_spots(nw_json *j, const char *key, const nw_report *report)
{
    nw_json_open(j, key, '[');
    for (size_t i = 0; i < report->fit->spot_count; i++) {
        nw_json_spot_open(j, &report->fit->spots[i], i + 1);
        nw_json_flag(j, "left", nw_report_left(report, i));
        nw_json_close(j, '}');
    }
    nw_json_close(j, ']');
}

void nw_json_unread(nw_json *j, const nw_unread *unread)
{
    nw_json_open(j, "not_judged", '{');
    nw_json_count(j, "texts", unread->texts);
    nw_json_count(j, "pictures", unread->images);
    nw_json_count(j, "marks", unread->marks);
    nw_json_count(j, "effects", unread->effects);
    nw_json_count(j, "style_rules", unread->rules);
    nw_json_count(j, "shadings", unread->shades);
    nw_json_close(j, '}');
}

static void corners_write(nw_json *j, const nw_fit *fit)
{
    nw_json_open(j, "corners", '{');
    nw_json_count(j, "count", fit->corners.count);
    nw_json_number(j, "deepest", fit->corners.deepest);
    nw_json_number(j, "area", fit->corners.area);
    nw_json_close(j, '}');
    nw_json_open(j, "lifts", '[');
    for (size_t i = 0; i < fit->lift_count; i++) {
        nw_json_open(j, NULL, '{');
        nw_json_pair(j, "at", fit->lifts[i].at.x, fit->lifts[i].at.y);
        nw_json_number(j, "width", fit->lifts[i].width);
        nw_json_close(j, '}');
    }
    nw_json_close(j, ']');
}

void nw_json_notes(nw_json *j, const nw_report *report)
{
    nw_json_open(j, "notes", '[');
    for (size_t i = 0; i < report->note_count + report->detail_count; i++)
        nw_json_string(j, NULL, report->notes[i]);
    nw_json_close(j, ']');
}

nw_status nw_write_spots_json(const nw_report *report, nw_text *json, nw_error *error)
{
    const nw_fit *fit = report->fit;
    nw_json j = {.text = json};
    *json = (nw_text){0};
    nw_status status = nw_report_check(report, error);
    if (status != NW_OK)
        return status;
    nw_json_open(&j, NULL, '{');
    nw_json_string(&j, "narrows", NW_VERSION);
    nw_json_string(&j, "art", report->art);
    nw_json_pair(&j, "size", report->drawing->width, report->drawing->height);
    nw_json_string(&j, "cut", nw_cut_name(fit->options.cut));
    nw_json_number(&j, "bit", fit->options.bit);
    nw_json_number(&j, "least_neck", fit->options.neck);
    nw_json_flag(&j, "fits", nw_report_fits(report));
    nw_json_count(&j, "doubts", fit->unpaired);
    nw_json_unread(&j, &report->unread);
    nw_json_known(&j, "narrowest_gap", fit->narrowest_gap);
    nw_json_known(&j, "narrowest_neck", fit->narrowest_neck);
    nw_json_number(&j, "sure", report->sure);
    nw_json_count(&j, "too_close", nw_report_close_count(report));
    nw_json_spots(&j, "spots", report);
    corners_write(&j, fit);
    nw_json_open(&j, "area", '{');
    nw_json_number(&j, "cut", fit->area_cut);
    nw_json_number(&j, "reached", fit->area_reached);
    nw_json_number(&j, "unreached", fit->area_unreached);
    nw_json_close(&j, '}');
    nw_json_held(&j, report->held, fit->options.cut);
    nw_json_notes(&j, report);
    nw_json_close(&j, '}');
    return nw_report_finish(json, "the list of spots", error);
}
