/* notes: what was decided and dropped, one after the other. */
#include <art/loading.h>

nw_status nw_art_note(nw_loading *loading, nw_note note)
{
    nw_art *art = loading->art;
    void *notes = art->notes;
    bool room = nw_grow(&notes, &art->note_capacity, art->note_count + 1, sizeof *art->notes);
    art->notes = notes;
    if (!room) {
        return nw_fail_memory(loading->error, "a note");
    }
    art->notes[art->note_count++] = note;
    return NW_OK;
}

nw_status nw_art_note_count(nw_loading *loading, nw_note note)
{
    return note.count ? nw_art_note(loading, note) : NW_OK;
}
