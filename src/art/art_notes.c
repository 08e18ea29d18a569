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
