/*
 * each_task: the check of one of many arts in a process of its own, so that whatever goes wrong
 * with it stays there. Results and messages come back through temporary files.
 */
#define _GNU_SOURCE
#include <cli/each.h>
#include <cli/files.h>

#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

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
    each_verdict verdict = {0};
    nw_text json = {0};
    nw_error error = {0};
    nw_status status = request.output
                           ? NW_OK
                           : beside_check(task->art, task->folder.data, request.command, &error);
    if (status == NW_OK) {
        status = check_one(task->art, task->folder.data, &request, &talk, &verdict.result, &json,
                           &error);
    }
    talk_end(&talk);
    if (status != NW_OK) {
        verdict.failed = true;
        memcpy(verdict.failure, error.message, sizeof verdict.failure);
        talk_error(&talk, &error);
        nw_text_free(&json);
    } else if (request.json) {
        json_flatten(&json);
    }
    bool written =
        fwrite(&verdict, sizeof verdict, 1, task->answer) == 1 && !json.failed &&
        fwrite(json.data ? json.data : "", 1, json.length, task->answer) == json.length &&
        fflush(task->answer) == 0;
    _exit(written ? 0 : 1);
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

bool task_start(each_task *task, const cli_request *request)
{
    task->answer = tmpfile();
    task->talk = tmpfile();
    task->pid = task->answer && task->talk ? fork() : -1;
    if (task->pid == 0)
        task_answer(request, task);
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

void task_take(each_task *task, int ending)
{
    rewind(task->talk);
    stream_take(task->talk, &task->messages);
    rewind(task->answer);
    bool answered = WIFEXITED(ending) && WEXITSTATUS(ending) == 0 &&
                    fread(&task->verdict, sizeof task->verdict, 1, task->answer) == 1;
    if (answered) {
        stream_take(task->answer, &task->json);
        task->done = true;
    } else {
        task_fail(task, "the check of it broke off");
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
