/* notes: what was decided and dropped, one after the other. */
#include <art/loading.h>

nw_status nw_art_note(nw_loading *loading, nw_note note)
{
    nw_art *art = loading->art;
    return nw_push(&art->notes, &art->note_count, &art->note_capacity, &note, sizeof note)
               ? NW_OK
               : nw_fail_memory(loading->error, "a note");
}

nw_status nw_art_note_count(nw_loading *loading, nw_note note)
{
    return note.count ? nw_art_note(loading, note) : NW_OK;
}

const nw_note *nw_art_noted(const nw_art *art, nw_note_code code)
{
    for (size_t i = 0; i < art->note_count; i++)
        if (art->notes[i].code == code)
            return &art->notes[i];
    return NULL;
}

nw_advice nw_art_points_advice(const nw_loading *loading)
{
    const nw_art *art = loading->art;
    return nw_art_noted(art, NW_NOTE_PRINT) ? NW_ADVICE_CROP : NW_ADVICE_POINTS;
}
