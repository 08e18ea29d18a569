/* change_json: the account of a widening as JSON (RFC 8259). */
#include <report/files/json_text.h>
#include <report/parts.h>

static void outcomes_write(nw_json *j, const nw_change_report *change)
{
    static const char *const remedies[] = {"keep", "open", "trim"}; /* nw_remedy */
    const nw_widened *widened = change->widened;
    static const char *const names[] = {"widened", "left", "gone", "conflict",
                                        "stuck"}; /* nw_outcome */
    nw_json_open(j, "before", '[');
    for (size_t i = 0; i < widened->before.spot_count; i++) {
        const nw_widen_note *note = &widened->notes[i];
        nw_json_spot_open(j, &widened->before.spots[i], i + 1);
        nw_remedy remedy = nw_spot_remedy(change->options, i, &widened->before.spots[i]);
        nw_json_string(j, "remedy", remedies[note->yielded ? NW_TRIM : remedy]);
        nw_json_string(j, "outcome", names[note->outcome]);
        nw_json_flag(j, "swept", note->swept);
        nw_json_known(j, "size_factor", note->factor > 0 ? note->factor : NW_NONE);
        nw_json_close(j, '}');
    }
    nw_json_close(j, ']');
}

nw_status nw_write_widened_json(const nw_change_report *change, nw_text *json, nw_error *error)
{
    *json = (nw_text){0};
    nw_status status = nw_report_change_check(change, error);
    if (status != NW_OK)
        return status;
    const nw_widened *w = change->widened;
    nw_report after = nw_report_of_change(change, true);
    const nw_fit_options *used = &w->before.options;
    nw_json j = {.text = json};
    nw_json_open(&j, NULL, '{');
    nw_json_string(&j, "narrows", NW_VERSION);
    nw_json_string(&j, "art", change->art);
    nw_json_pair(&j, "size", w->drawing.width, w->drawing.height);
    nw_json_string(&j, "cut", nw_cut_name(used->cut));
    nw_json_number(&j, "bit", used->bit);
    nw_json_number(&j, "least_neck", used->neck);
    nw_json_number(&j, "ease", change->options->ease);
    nw_json_flag(&j, "fits", nw_report_fits(&after));
    nw_json_unread(&j, &change->unread);
    outcomes_write(&j, change);
    nw_json_spots(&j, "after", &after);
    nw_json_open(&j, "area", '{');
    nw_json_number(&j, "before", nw_drawing_area(change->before));
    nw_json_number(&j, "added", change->area_added);
    nw_json_number(&j, "removed", change->area_removed);
    nw_json_close(&j, '}');
    nw_json_count(&j, "dropped", w->dropped);
    nw_json_number(&j, "largest_move", w->largest_move);
    nw_json_pair(&j, "shift", w->corner.x, w->corner.y);
    nw_json_flag(&j, "cut_short", w->cut_short);
    nw_json_pair(&j, "pieces", (double)w->pieces_before, (double)w->pieces_after);
    nw_json_pair(&j, "holes", (double)w->holes_before, (double)w->holes_after);
    nw_json_held(&j, change->held, used->cut);
    nw_json_notes(&j, &after);
    nw_json_close(&j, '}');
    return nw_report_finish(json, "the account", error);
}
