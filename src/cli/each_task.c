/*
 * each_task: the check of one of many arts in a process of its own, so that whatever goes wrong
 * with it stays there. Results and messages come back through temporary files.
 */
#define _GNU_SOURCE
#include <cli/each.h>
#include <cli/files.h>
#include <cli/stop.h>

#include <signal.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>
#ifdef __linux__
#include <sys/prctl.h>
#endif

void json_flatten(nw_text *json)
{
    size_t kept = 0;
    for (size_t i = 0; i < json->length; i++) {
        if (json->data[i] != '\n') {
            json->data[kept++] = json->data[i];
            continue;
        }
        if (kept && json->data[kept - 1] == ',')
            json->data[kept++] = ' ';
        while (i + 1 < json->length && json->data[i + 1] == ' ')
            i++;
    }
    json->length = kept;
    nw_text_add(json, "\n");
}

#define SECONDS_USUAL 120
#define MEMORY_USUAL 4e9
#define PATIENCE 4 /* times the processor time, for disks and other processes */

static int seconds_of(const cli_request *request)
{
    return request->file_seconds ? request->file_seconds : SECONDS_USUAL;
}

/* Ends with its parent, and when it takes too much. */
static void task_bound(const cli_request *request, pid_t parent)
{
    rlim_t seconds = (rlim_t)seconds_of(request);
    setrlimit(RLIMIT_CPU, &(struct rlimit){seconds, seconds + 5});
    alarm((unsigned)(PATIENCE * seconds));
#ifndef __SANITIZE_ADDRESS__ /* its shadow takes more than any limit */
    rlim_t bytes = (rlim_t)(request->file_memory > 0 ? request->file_memory : MEMORY_USUAL);
    setrlimit(RLIMIT_AS, &(struct rlimit){bytes, bytes});
#endif
#ifdef PR_SET_PDEATHSIG
    prctl(PR_SET_PDEATHSIG, SIGTERM);
#endif
    if (getppid() != parent)
        _exit(EXIT_BAD);
}

/* The answer is whole before the folder is, so that whoever ends the process in between does not
 * leave a folder that nobody lists. */
static bool answer_write(each_task *task, const each_verdict *verdict, const nw_text *json)
{
    rewind(task->answer);
    return ftruncate(fileno(task->answer), 0) == 0 &&
           fwrite(verdict, sizeof *verdict, 1, task->answer) == 1 && !json->failed &&
           fwrite(nw_text_string(json), 1, json->length, task->answer) == json->length &&
           fflush(task->answer) == 0;
}

static nw_status result_tell(void *context, const check_result *result, nw_text *json,
                             nw_error *error)
{
    each_verdict verdict = {.result = *result};
    if (json->length)
        json_flatten(json);
    return answer_write(context, &verdict, json)
               ? NW_OK
               : nw_fail(error, NW_CANNOT_WRITE, "its answer cannot be handed over");
}

/* In the process of its own: checks, answers, and ends. */
static void task_answer(const cli_request *asked, each_task *task)
{
    cli_request request = *asked;
    request.each = true;
    if (request.job.threads == 0 && request.jobs != 1) {
        request.job.threads = 1;
        threads_use(1);
    }
    cli_talk talk = {.quiet = request.quiet, .verbose = request.verbose, .about = task->art};
    dup2(fileno(task->talk), STDERR_FILENO);
    check_listener listener = {result_tell, task};
    each_verdict verdict = {.failed = true};
    nw_error error = {0};
    nw_status status = request.output
                           ? NW_OK
                           : beside_check(task->art, task->folder.data, request.command, &error);
    if (status == NW_OK) {
        status = check_one(task->art, task->folder.data, &request, &talk, &listener,
                           &verdict.result, &error);
    }
    talk_end(&talk);
    if (status == NW_NO_MEMORY) {
        nw_error inner = error;
        nw_fail(&error, status, "%s; --file-memory allows more", inner.message);
    }
    bool answered = status == NW_OK;
    if (!answered) {
        memcpy(verdict.failure, error.message, sizeof verdict.failure);
        talk_error(&talk, &error);
        answered = answer_write(task, &verdict, &(nw_text){0});
    }
    _exit(answered ? 0 : 1);
}

void task_fail(each_task *task, const char *why)
{
    task->done = true;
    task->verdict.failed = true;
    snprintf(task->verdict.failure, sizeof task->verdict.failure, "%s", why);
    nw_text_format(&task->messages, "narrows: '");
    talk_add_line(&task->messages, task->art);
    nw_text_format(&task->messages, "': %s\n", why);
}

static void last_look(const each_task *task, struct stat *info)
{
    nw_text path = {0};
    nw_text_format(&path, "%s/" CHECK_LAST, task->folder.data);
    if (path.failed || stat(path.data, info) != 0)
        *info = (struct stat){0};
    nw_text_free(&path);
}

/* Whether its results stand in their folder. */
static bool results_there(const each_task *task)
{
    struct stat now;
    last_look(task, &now);
    return now.st_ino && (now.st_ino != task->before.st_ino || now.st_dev != task->before.st_dev);
}

bool task_start(each_task *task, const cli_request *request)
{
    task->answer = tmpfile();
    task->talk = tmpfile();
    last_look(task, &task->before);
    pid_t parent = getpid();
    task->pid = task->answer && task->talk ? fork() : -1;
    if (task->pid == 0) {
        stop_noted(0);
        task_bound(request, parent);
        task_answer(request, task);
    }
    if (task->pid < 0)
        task_fail(task, "no process could be started for it");
    return task->pid > 0;
}

static void stream_take(FILE *stream, nw_text *text)
{
    char part[4096];
    size_t got;
    while ((got = fread(part, 1, sizeof part, stream)) > 0)
        nw_text_add_bytes(text, part, got);
}

/* Why a process that did not answer ended. */
static void task_broke_off(each_task *task, const cli_request *request, int ending)
{
    int number = WIFSIGNALED(ending) ? WTERMSIG(ending) : 0;
    nw_text why = {0};
    if (number == SIGXCPU || number == SIGKILL || number == SIGALRM) {
        nw_text_format(&why, "it takes more than %d second%s; --file-seconds allows more",
                       seconds_of(request), seconds_of(request) == 1 ? "" : "s");
    } else if (WIFEXITED(ending) && WEXITSTATUS(ending) == EXIT_BAD) {
        nw_text_add(&why, "not enough memory; --file-memory allows more");
    } else {
        nw_text_add(&why, "the check of it broke off");
    }
    task_fail(task, why.data ? why.data : "not enough memory");
    nw_text_free(&why);
}

void task_take(each_task *task, const cli_request *request, int ending)
{
    rewind(task->talk);
    stream_take(task->talk, &task->messages);
    rewind(task->answer);
    bool done = (WIFEXITED(ending) && WEXITSTATUS(ending) == 0) || results_there(task);
    if (WIFSIGNALED(ending))
        nw_put_sweep(task->folder.data, (long)task->pid, done);
    bool answered = done && fread(&task->verdict, sizeof task->verdict, 1, task->answer) == 1;
    if (answered) {
        stream_take(task->answer, &task->json);
        task->done = true;
    } else {
        task_broke_off(task, request, ending);
    }
}

void task_close(each_task *task)
{
    if (task->answer)
        fclose(task->answer);
    if (task->talk)
        fclose(task->talk);
    task->answer = task->talk = NULL;
}
