/* widened_json: the account of a widening as JSON (RFC 8259, by json-c). */
#include <report/json.h>
#include <report/parts.h>

static const char *outcome_name(nw_outcome outcome)
{
    static const char *const names[] = {"widened", "left", "conflict", "stuck"};
    return names[outcome];
}

static struct json_object *outcomes_array(report_json *b, const nw_widened *widened)
{
    struct json_object *array = report_json_made(b, json_object_new_array());
    for (size_t i = 0; i < widened->before.spot_count && !b->failed; i++) {
        const nw_widen_note *note = &widened->notes[i];
        struct json_object *spot = report_json_spot(b, &widened->before.spots[i], i + 1);
        if (spot) {
            double factor = note->factor > 0 ? note->factor : NW_NONE;
            report_json_put(b, spot, "outcome", report_json_string(b, outcome_name(note->outcome)));
            report_json_put(b, spot, "size_factor", report_json_known(b, factor));
            report_json_append(b, array, spot);
        }
    }
    return array;
}

static struct json_object *areas_object(report_json *b, const nw_change_report *change)
{
    struct json_object *object = report_json_made(b, json_object_new_object());
    if (object) {
        report_json_put(b, object, "before",
                        report_json_number(b, nw_drawing_area(change->before)));
        report_json_put(b, object, "added", report_json_number(b, change->area_added));
        report_json_put(b, object, "removed", report_json_number(b, change->area_removed));
    }
    return object;
}

static void fill(report_json *b, struct json_object *root, const nw_change_report *change)
{
    const nw_widened *w = change->widened;
    const nw_fit_options *used = &w->before.options;
    report_json_put(b, root, "narrows", report_json_string(b, NW_VERSION));
    report_json_put(b, root, "art", report_json_string(b, change->art));
    report_json_put(b, root, "size", report_json_pair(b, w->drawing.width, w->drawing.height));
    report_json_put(b, root, "cut", report_json_string(b, nw_cut_name(used->cut)));
    report_json_put(b, root, "bit", report_json_number(b, used->bit));
    report_json_put(b, root, "least_neck", report_json_number(b, used->neck));
    report_json_put(b, root, "ease", report_json_number(b, change->options->ease));
    report_json_put(b, root, "fits", report_json_made(b, json_object_new_boolean(w->after.fits)));
    report_json_put(b, root, "before", outcomes_array(b, w));
    report_json_put(b, root, "after", report_json_spots(b, &w->after));
    report_json_put(b, root, "area", areas_object(b, change));
    report_json_put(b, root, "largest_move", report_json_number(b, w->largest_move));
    report_json_put(b, root, "pieces",
                    report_json_pair(b, (double)w->pieces_before, (double)w->pieces_after));
    report_json_put(b, root, "holes",
                    report_json_pair(b, (double)w->holes_before, (double)w->holes_after));
    report_json_held(b, root, change->held, used->cut);
    if (change->held) {
        report_json_put(b, root, "bridges", report_json_bridges(b, change->held));
    }
}

nw_status nw_write_widened_json(const nw_change_report *change, nw_text *json, nw_error *error)
{
    *json = (nw_text){0};
    nw_status status = report_change_check(change, error);
    if (status != NW_OK) {
        return status;
    }
    report_json b = {false};
    struct json_object *root = report_json_made(&b, json_object_new_object());
    if (root) {
        fill(&b, root, change);
    }
    report_json_write(&b, root, json);
    return report_finish(json, "the account", error);
}
