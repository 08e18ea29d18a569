/* talk: messages, notes and the progress line (talk.c, talk_notes.c, note_words.c, dirt_words.c).
 * Internal to cli. */
#ifndef NARROWS_CLI_TALK_H
#define NARROWS_CLI_TALK_H

#include <report/report.h>

struct cli_request;

/* What the reader should know beside the answer, weightiest first, else as it came up. */
typedef struct {
    char **lines;
    nw_weight *weights;
    size_t count, plain; /* all, and without what is of use to few */
    size_t capacity, weight_capacity;
} note_list;

typedef struct {
    bool quiet;           /* no notes */
    bool verbose;         /* notes of use to few, too */
    bool progress;        /* standard error is a terminal */
    bool colour;          /* standard output is a terminal that takes colour */
    bool shown;           /* a progress line stands there */
    double started, told; /* when the work, and the last progress line, began */
    const char *about;    /* the art that messages are about, where there are several; else NULL */
    note_list notes;      /* to be told after the answer, and in the reports */
} cli_talk;

/* Free with talk_end, which tells the notes. */
void talk_start(cli_talk *talk);
void talk_end(cli_talk *talk);

/* One line on standard error. */
void talk_error(cli_talk *talk, const nw_error *error);

/* Keeps a line for the end and for the reports. Empties *line; nothing happens when it is empty. */
nw_status talk_note(cli_talk *talk, nw_weight weight, nw_text *line, nw_error *error);

/* Adds one of the art's notes as a line, with the options that would have it otherwise, and tells
 * how much it matters. */
typedef struct {
    const nw_art *art;
    const nw_art_options *options; /* as it was made with */
    bool inch;
    bool lines_given; /* somebody said what becomes of lines */
} note_about;
nw_weight note_write(const note_about *report, const nw_note *note, nw_text *line);
/* Those on dirt. (dirt_words.c) */
nw_weight dirt_note_write(const note_about *report, const nw_note *note, nw_text *line);

/* The same for all that was decided on the way to the art. */
nw_status talk_art(cli_talk *talk, const struct cli_request *request, const nw_art *art,
                   nw_error *error);

/* Drops all notes, told or not. */
void talk_forget(cli_talk *talk);

/* Adds words without control characters, so that a file's name cannot forge lines. */
void talk_add_line(nw_text *text, const char *words);

/* An nw_progress with the talk as its context. */
void talk_progress(void *context, const char *stage, double fraction);

/* Wipes the progress line. */
void talk_clear(cli_talk *talk);

/* Writes text to standard output, or says why that failed. Frees the text. */
nw_status talk_print(nw_text *text, nw_error *error);

#endif
