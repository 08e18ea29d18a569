/* each: one of many arts, checked in a process of its own (each_task.c). Internal to cli. */
#ifndef NARROWS_CLI_EACH_H
#define NARROWS_CLI_EACH_H

#include <cli/check.h>

#include <stdio.h>
#include <sys/stat.h>
#include <sys/types.h>

/* What a process hands back, followed by its line of JSON. */
typedef struct {
    bool failed;
    check_result result;
    char failure[sizeof((nw_error *)0)->message];
} each_verdict;

typedef struct {
    const char *art;
    nw_text folder; /* where its results go */
    size_t within;  /* where in that name the part below -o begins */
    pid_t pid;
    FILE *answer, *talk; /* while the process runs */
    struct stat before;  /* its folder's last file, before the process began */
    bool done;
    each_verdict verdict;
    nw_text json, messages;
} each_task;

/* Starts the process; when it cannot be started the task has failed, and false comes back. */
bool task_start(each_task *task, const cli_request *request);

/* Reads what a process that has ended, as waitpid says, left behind. */
void task_take(each_task *task, const cli_request *request, int ending);

/* Takes note that nothing came of it, and says why. */
void task_fail(each_task *task, const char *why);

void task_close(each_task *task);

/* JSON on one line. Line ends within strings are escaped, so all others only lay it out. */
void json_flatten(nw_text *json);

#endif
