/* change_words: the account of a widening in sentences that table and drawing share. */
#include <report/parts.h>

#include <string.h>

#define FEW 4               /* pinches that stay say nothing of the whole art */
#define SHOWN_MM 0.005      /* sizes have two decimals, */
#define SHOWN_SHARE 0.00005 /* and percents */

/* What is taken out of the art is called by what it is. */
static const char *trim_word(const nw_spot *spot, bool done)
{
    if (spot->form == NW_STUB)
        return done ? "shortened" : "shorten";
    if (spot->form == NW_PINCH && spot->side == NW_GAP)
        return done ? "filled" : "fill";
    return done ? "dropped" : "drop";
}

static const char *done_word(const nw_change_report *change, const nw_spot *spot, size_t i)
{
    if (nw_spot_remedy(change->options, i, spot) != NW_OPEN)
        return trim_word(spot, true);
    return spot->form != NW_PINCH ? "opened" : spot->side == NW_GAP ? "widened" : "made thicker";
}

static const char *left_word(const nw_change_report *change, const nw_spot *spot, size_t i)
{
    nw_report before = nw_report_of_change(change, false);
    if (nw_report_left(&before, i))
        return "left by choice";
    return spot->form == NW_STUB   ? "left: stubs are kept"
           : spot->form == NW_MISS ? "left: misses are kept"
                                   : "left as it is";
}

void nw_report_outcome(nw_text *text, const nw_change_report *change, size_t i)
{
    const nw_spot *spot = &change->widened->before.spots[i];
    const nw_widen_note *note = &change->widened->notes[i];
    if (note->outcome == NW_WIDENED) {
        nw_text_add(text, done_word(change, spot, i));
        bool opened = nw_spot_remedy(change->options, i, spot) == NW_OPEN;
        nw_text_add(text, note->swept && opened ? ", swept" : note->yielded ? " to make way" : "");
    } else if (note->outcome == NW_LEFT) {
        nw_text_add(text, left_word(change, spot, i));
    } else if (note->outcome == NW_GONE) {
        nw_text_add(text, "went with its neighbour");
    } else if (note->factor > 1) {
        nw_text_add(text, note->undone                 ? "others stay; try "
                          : change->widened->cut_short ? "no way in time; try "
                                                       : "no room; try ");
        nw_text_fixed(text, note->factor, 2);
        nw_text_add(text, " x the size");
    } else if (note->undone) {
        nw_text_add(text, "left with others that stay");
    } else if (change->widened->cut_short || note->outcome == NW_CONFLICT) {
        nw_text_add(text,
                    change->widened->cut_short ? "no way was found in time" : "no room beside it");
    } else {
        bool opens = nw_spot_remedy(change->options, i, spot) == NW_OPEN;
        nw_text_format(text, "no way was found to %s it", opens ? "widen" : trim_word(spot, false));
    }
}

nw_report nw_report_of_change(const nw_change_report *change, bool after)
{
    const nw_widened *widened = change->widened;
    return (nw_report){.art = change->art,
                       .drawing = after ? &widened->drawing : change->before,
                       .fit = after ? &widened->after : &widened->before,
                       .neck_from_stock = change->neck_from_stock,
                       .unread = change->unread,
                       .notes = change->notes,
                       .note_count = change->note_count,
                       .detail_count = change->detail_count,
                       .inch = change->inch,
                       .left = after ? change->left_after : change->left_before,
                       .held = change->held};
}

nw_status nw_report_change_check(const nw_change_report *change, nw_error *error)
{
    nw_report before = nw_report_of_change(change, false),
              after = nw_report_of_change(change, true);
    nw_status status = nw_report_check(&before, error);
    return status == NW_OK ? nw_report_check(&after, error) : status;
}

double nw_report_change_share(const nw_change_report *change)
{
    double whole = nw_drawing_area(change->before);
    return whole > 0 ? (change->area_added + change->area_removed) / whole : 0;
}

size_t nw_report_change_stay(const nw_change_report *change, size_t *pinches)
{
    const nw_widened *widened = change->widened;
    size_t stay = 0;
    *pinches = 0;
    for (size_t i = 0; i < widened->before.spot_count; i++) {
        nw_outcome outcome = widened->notes[i].outcome;
        bool stays = outcome == NW_STUCK || outcome == NW_CONFLICT;
        bool pinch = widened->before.spots[i].form == NW_PINCH;
        stay += pinch && stays;
        *pinches += pinch && (stays || outcome == NW_WIDENED);
    }
    return 2 * stay > *pinches && stay > FEW ? stay : 0;
}

bool nw_report_change_fits(const nw_change_report *change)
{
    nw_report after = nw_report_of_change(change, true);
    return nw_report_fits(&after);
}

bool nw_report_change_bridged(const nw_change_report *change)
{
    return change->held && change->held->bridged && change->held->bridged->count;
}

void nw_report_change_verdict(nw_text *text, const nw_change_report *change)
{
    nw_report now = nw_report_of_change(change, true);
    size_t before = change->widened->before.spot_count, after = now.fit->spot_count;
    size_t left = nw_report_left_count(&now);
    bool bridged = nw_report_change_bridged(change);
    if (!before && after && bridged) {
        nw_text_format(text, "Fits but for its bridges: %zu spot%s came with them", after,
                       after == 1 ? "" : "s");
    } else if (!before && !after) {
        nw_text_add(text, "Fits as it is: ");
        nw_text_add(text, bridged ? "nothing but the bridges is new" : "nothing was changed");
    } else if (left == before && after == left && now.fit->unpaired == 0) {
        nw_report_left_write(text, &now, "Nothing was changed: ");
    } else if (after == left && now.fit->unpaired == 0) {
        nw_text_format(text, "Fits now: %zu spot%s before, ", before, before == 1 ? "" : "s");
        nw_text_format(text, left ? "%zu left by choice" : "none left", left);
    } else {
        nw_text_format(text, "Does not fit yet: %zu spot%s before, %zu left", before,
                       before == 1 ? "" : "s", after);
        if (left)
            nw_text_format(text, ", %zu of them by choice", left);
    }
    double share = nw_report_change_share(change);
    if (share > NW_REPORT_MUCH) {
        nw_text_add(text, "; ");
        nw_report_share(text, share, 0);
        nw_text_add(text, " of the art changes");
    }
    size_t pinches, stay = nw_report_change_stay(change, &pinches);
    if (stay)
        nw_text_format(text, "; %zu of %zu pinches stay", stay, pinches);
    nw_report_unread(text, &change->unread, after ? "; " : ", but ");
}

static void add_area(nw_text *text, const char *word, double area, double whole, bool inch)
{
    nw_text_add(text, word);
    nw_report_area(text, area, 2, inch);
    nw_text_add(text, " (");
    nw_report_share(text, whole > 0 ? area / whole : 0, 2);
    nw_text_add(text, ")");
}

static bool is_unchanged(const nw_change_report *change)
{
    return !change->widened->dropped && change->widened->largest_move < SHOWN_MM &&
           nw_report_change_share(change) < SHOWN_SHARE;
}

static void add_changed(nw_text *text, const nw_change_report *change)
{
    double whole = nw_drawing_area(change->before);
    size_t dropped = change->widened->dropped;
    add_area(text, "Added to the art: ", change->area_added, whole, change->inch);
    add_area(text, ", taken from it: ", change->area_removed, whole, change->inch);
    if (dropped)
        nw_text_format(text, ". %zu outline%s dropped, and no other", dropped,
                       dropped == 1 ? " was" : "s were");
    else
        nw_text_add(text, ". No outline");
    nw_text_add(text, " moved");
    if (!dropped || change->widened->largest_move >= SHOWN_MM) {
        nw_text_add(text, " by more than ");
        nw_report_widen(text, change->widened->largest_move, change->inch);
    }
    nw_text_add(text, ". ");
}

void nw_report_change_areas(nw_text *text, const nw_change_report *change)
{
    if (!change->widened->before.spot_count)
        return;
    if (is_unchanged(change))
        nw_text_add(text, "The outlines are as they were. ");
    else
        add_changed(text, change);
    if (!change->widened->cut_short)
        return;
    nw_text_add(text, "The work was cut short, for it would take too long: of what is left some "
                      "may have room");
    if (change->named)
        nw_text_format(text, "; %s gives it more time", change->named->longer);
    nw_text_add(text, ". ");
}

static void add_count(nw_text *text, const char *word, size_t before, size_t after)
{
    if (before != after)
        nw_text_format(text, "%s: %zu before, %zu now. ", word, before, after);
}

void nw_report_change_counts(nw_text *text, const nw_change_report *change)
{
    const nw_widened *w = change->widened;
    nw_text was = {0}, is = {0};
    nw_report_size(&was, change->before->width, change->before->height, change->inch);
    nw_report_size(&is, w->drawing.width, w->drawing.height, change->inch);
    if (strcmp(nw_text_string(&was), nw_text_string(&is)) != 0)
        nw_text_format(text, "Size: %s before, %s now. ", nw_text_string(&was),
                       nw_text_string(&is));
    text->failed = text->failed || was.failed || is.failed;
    nw_text_free(&was);
    nw_text_free(&is);
    add_count(text, "Pieces", w->pieces_before, w->pieces_after);
    add_count(text, "Holes", w->holes_before, w->holes_after);
}

void nw_report_change_words(nw_text *text, const nw_change_report *change)
{
    size_t before = change->widened->before.spot_count;
    nw_text_format(text, "Before widening: %zu spot%s, now %zu. ", before, before == 1 ? "" : "s",
                   change->widened->after.spot_count);
    nw_report_change_areas(text, change);
    nw_report_change_counts(text, change);
}
