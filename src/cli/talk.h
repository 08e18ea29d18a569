/* talk: messages, notes and the progress line (talk.c). Internal to cli. */
#ifndef NARROWS_CLI_TALK_H
#define NARROWS_CLI_TALK_H

#include <base/base.h>

typedef struct {
    char **lines;
    size_t count, capacity;
} note_list;

void notes_free(note_list *notes);

typedef struct {
    bool quiet;           /* no notes */
    bool progress;        /* standard error is a terminal */
    bool colour;          /* standard output is a terminal that takes colour */
    bool shown;           /* a progress line stands there */
    double started, told; /* when the work, and the last progress line, began */
    const char *about;    /* the art that messages are about, where there are several; else NULL */
} cli_talk;

void talk_start(cli_talk *talk);

/* One line on standard error. */
void talk_error(cli_talk *talk, const nw_error *error);

/* Says one line on standard error, unless quiet, and keeps it in notes for the reports. Empties
 * *line. */
nw_status talk_note(cli_talk *talk, note_list *notes, nw_text *line, nw_error *error);

/* Adds words without control characters, so that a file's name cannot forge lines. */
void talk_add_line(nw_text *text, const char *words);

/* An nw_progress with the talk as its context. */
void talk_progress(void *context, const char *stage, double fraction);

/* Wipes the progress line. */
void talk_clear(cli_talk *talk);

/* Writes text to standard output, or says why that failed. Frees the text. */
nw_status talk_print(nw_text *text, nw_error *error);

#endif
