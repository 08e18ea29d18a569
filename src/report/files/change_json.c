/* widened_json: the account of a widening as JSON (RFC 8259, by json-c). */
#include <report/files/json_values.h>
#include <report/parts.h>

static const char *outcome_name(nw_outcome outcome)
{
    static const char *const names[] = {"widened", "left", "conflict", "stuck"};
    return names[outcome];
}

static struct json_object *outcomes_array(report_json *b, const nw_widened *widened)
{
    struct json_object *array = nw_report_json_made(b, json_object_new_array());
    for (size_t i = 0; i < widened->before.spot_count && !b->failed; i++) {
        const nw_widen_note *note = &widened->notes[i];
        struct json_object *spot = nw_report_json_spot(b, &widened->before.spots[i], i + 1);
        if (spot) {
            double factor = note->factor > 0 ? note->factor : NW_NONE;
            nw_report_json_put(b, spot, "outcome",
                               nw_report_json_string(b, outcome_name(note->outcome)));
            nw_report_json_put(b, spot, "swept", json_object_new_boolean(note->swept));
            nw_report_json_put(b, spot, "size_factor", nw_report_json_known(b, factor));
            nw_report_json_append(b, array, spot);
        }
    }
    return array;
}

static struct json_object *areas_object(report_json *b, const nw_change_report *change)
{
    struct json_object *object = nw_report_json_made(b, json_object_new_object());
    if (object) {
        nw_report_json_put(b, object, "before",
                           nw_report_json_number(b, nw_drawing_area(change->before)));
        nw_report_json_put(b, object, "added", nw_report_json_number(b, change->area_added));
        nw_report_json_put(b, object, "removed", nw_report_json_number(b, change->area_removed));
    }
    return object;
}

static void fill(report_json *b, struct json_object *root, const nw_change_report *change)
{
    const nw_widened *w = change->widened;
    const nw_fit_options *used = &w->before.options;
    nw_report_json_put(b, root, "narrows", nw_report_json_string(b, NW_VERSION));
    nw_report_json_put(b, root, "art", nw_report_json_string(b, change->art));
    nw_report_json_put(b, root, "size",
                       nw_report_json_pair(b, w->drawing.width, w->drawing.height));
    nw_report_json_put(b, root, "cut", nw_report_json_string(b, nw_cut_name(used->cut)));
    nw_report_json_put(b, root, "bit", nw_report_json_number(b, used->bit));
    nw_report_json_put(b, root, "least_neck", nw_report_json_number(b, used->neck));
    nw_report_json_put(b, root, "ease", nw_report_json_number(b, change->options->ease));
    nw_report_json_put(b, root, "fits",
                       nw_report_json_made(b, json_object_new_boolean(w->after.fits)));
    nw_report_json_put(b, root, "before", outcomes_array(b, w));
    nw_report_json_put(b, root, "after", nw_report_json_spots(b, &w->after));
    nw_report_json_put(b, root, "area", areas_object(b, change));
    nw_report_json_put(b, root, "largest_move", nw_report_json_number(b, w->largest_move));
    nw_report_json_put(b, root, "pieces",
                       nw_report_json_pair(b, (double)w->pieces_before, (double)w->pieces_after));
    nw_report_json_put(b, root, "holes",
                       nw_report_json_pair(b, (double)w->holes_before, (double)w->holes_after));
    nw_report_json_held(b, root, change->held, used->cut);
    if (change->held) {
        nw_report_json_put(b, root, "bridges", nw_report_json_bridges(b, change->held));
    }
}

nw_status nw_write_widened_json(const nw_change_report *change, nw_text *json, nw_error *error)
{
    *json = (nw_text){0};
    nw_status status = nw_report_change_check(change, error);
    if (status != NW_OK) {
        return status;
    }
    report_json b = {false};
    struct json_object *root = nw_report_json_made(&b, json_object_new_object());
    if (root) {
        fill(&b, root, change);
    }
    nw_report_json_write(&b, root, json);
    return nw_report_finish(json, "the account", error);
}
