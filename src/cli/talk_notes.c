/* notes: what was decided on the way, as lines, weightiest first. */
#include <cli/request.h>
#include <cli/talk.h>

#include <stdlib.h>

void talk_add_line(nw_text *text, const char *words)
{
    nw_text line = {0};
    nw_text_add(&line, words);
    nw_text_one_line(&line);
    nw_text_add(text, nw_text_string(&line));
    text->failed = text->failed || line.failed;
    nw_text_free(&line);
}

static bool notes_grow(note_list *notes)
{
    size_t needed = notes->count + 1;
    return nw_grow(&notes->lines, &notes->capacity, needed, sizeof *notes->lines) &&
           nw_grow(&notes->weights, &notes->weight_capacity, needed, sizeof *notes->weights);
}

nw_status talk_note(cli_talk *talk, nw_weight weight, nw_text *line, nw_error *error)
{
    note_list *notes = &talk->notes;
    if (!line->length && !line->failed)
        return NW_OK;
    if (line->failed || !notes_grow(notes)) {
        nw_text_free(line);
        return nw_fail_memory(error, "a message");
    }
    nw_text_one_line(line);
    size_t at = notes->count++;
    for (; at > 0 && notes->weights[at - 1] < weight; at--) {
        notes->lines[at] = notes->lines[at - 1];
        notes->weights[at] = notes->weights[at - 1];
    }
    notes->lines[at] = line->data;
    notes->weights[at] = weight;
    notes->plain += weight > NW_WEIGHT_DETAIL;
    *line = (nw_text){0};
    return NW_OK;
}

void talk_forget(cli_talk *talk)
{
    note_list *notes = &talk->notes;
    for (size_t i = 0; i < notes->count; i++)
        free(notes->lines[i]);
    free(notes->lines);
    free(notes->weights);
    *notes = (note_list){0};
}

nw_status talk_art(cli_talk *talk, const cli_request *request, const nw_art *art, nw_error *error)
{
    nw_status status = NW_OK;
    note_about report = {art, &request->art, request->inch, option_given(request, "lines")};
    for (size_t i = 0; i < art->note_count && status == NW_OK; i++) {
        nw_text line = {0};
        nw_weight weight = note_write(&report, &art->notes[i], &line);
        status = talk_note(talk, weight, &line, error);
    }
    return status;
}
