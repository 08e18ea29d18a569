/* dirt_words: notes on what is so small that it is dirt, or may be, or so pale that it is no ink,
 * with the option that leaves it out or keeps it. */
#include <cli/talk.h>

#include <math.h>

static void dirt_write(const nw_art *art, const nw_note *note, nw_text *line)
{
    nw_text_format(line, "dropped %zu speck%s of dirt, the largest ", note->count,
                   note->count == 1 ? "" : "s");
    nw_text_number(line, note->value, art->from_picture ? 0 : 3);
    if (!art->from_picture)
        nw_text_add(line, " mm2");
    else
        nw_text_format(line, " pixel%s; --dirt 0 keeps %s", note->value < 1.5 ? "" : "s",
                       note->count == 1 ? "it" : "them");
}

static void pinholes_write(const note_about *report, const nw_note *note, nw_text *line)
{
    bool asked = report->options->fill != NW_DIRT_USUAL;
    nw_text_format(line, "filled %zu %s%s of less than ", note->count, asked ? "hole" : "pinhole",
                   note->count == 1 ? "" : "s");
    nw_text_number(line, note->value, 0);
    nw_text_add(line, asked              ? " pixels"
                      : note->count == 1 ? " pixels; --dirt 0 keeps it"
                                         : " pixels; --dirt 0 keeps them");
}

nw_weight dirt_note_write(const note_about *report, const nw_note *note, nw_text *line)
{
    const nw_art *art = report->art;
    switch (note->code) {
    case NW_NOTE_PINHOLES:
        pinholes_write(report, note, line);
        return NW_WEIGHT_USUAL;
    case NW_NOTE_DIRT:
        dirt_write(art, note, line);
        return NW_WEIGHT_USUAL;
    case NW_NOTE_FAINT:
        nw_text_format(
            line,
            note->count == 1
                ? "%zu thin line is paler than half and left out; --level %zu takes it"
                : "%zu thin lines are paler than half and left out; --level %zu takes them",
            note->count, note->number);
        return NW_WEIGHT_HIGH;
    default:
        nw_text_format(line,
                       "this looks printed in dots, %zu of them: --dirt %.0fpx leaves them out, "
                       "but for rims that they touch",
                       note->count, ceil(note->value));
        return NW_WEIGHT_HIGH;
    }
}
