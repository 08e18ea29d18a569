/* stop: signals that end the program, and what must not be cut in two by one (stop.c). Internal to
 * cli. */
#ifndef NARROWS_CLI_STOP_H
#define NARROWS_CLI_STOP_H

#include <stdbool.h>
#include <sys/resource.h>
#include <sys/types.h>

/* Makes ready for what ends a program from outside or from within a library. Call first. */
void stop_watch(void);

/* From here to stop_release no signal ends the program; a pipe that nobody reads and a file that
 * grows too large make the write fail. */
void stop_hold(void);

/* Whether a signal is waiting: give up and undo. */
bool stop_asked(void);

/* Ends the program if a signal is waiting. */
void stop_release(void);

/* While many arts are checked: from here on a signal is only noted, by stop_wait; a pipe that
 * nobody reads ends the program as ever. */
void stop_note(void);

/* wait4 for any process, but 0 once a signal is noted, also one that came before. */
pid_t stop_wait(int *ending, struct rusage *usage);

/* The signal that was noted, or 0; from here on it is forgotten. */
int stop_take(void);

/* Ends the program by the signal that stop_take told or by one that came since, if any; else all is
 * as it was before stop_note. */
void stop_noted(int number);

/* What main is going to return: from now on an exit is its own. */
int stop_leave(int code);

#endif
