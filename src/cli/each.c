/*
 * each: check of many arts, each in a process of its own. Results and messages are shown in the
 * order of the arguments, whichever process ends first; at the end stand a table and an index.
 */
#define _GNU_SOURCE
#include <cli/each.h>
#include <cli/files.h>
#include <cli/stop.h>

#include <errno.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

typedef struct {
    const cli_request *request;
    cli_talk *talk;
    each_task *tasks;
    size_t count;
    size_t started, running, shown;
    bool made; /* the folder that -o names is new */
} each_batch;

/* ---- folders --------------------------------------------------------------------------------- */

/* Whether another art's results go there already. */
static bool folder_taken(const each_batch *batch, size_t count, const char *name)
{
    bool taken = false;
    for (size_t i = 0; i < count && !taken; i++)
        taken = strcmp(batch->tasks[i].folder.data + batch->tasks[i].within, name) == 0;
    return taken;
}

/* A folder for each art within the one that -o names, no two the same; else beside the art. */
static nw_status folders_name(each_batch *batch, nw_error *error)
{
    for (size_t i = 0; i < batch->count; i++) {
        each_task *task = &batch->tasks[i];
        if (!batch->request->output)
            folder_beside(task->art, batch->request, &task->folder);
        nw_text name = {0}, stem = {0};
        folder_within(task->art, &stem);
        nw_text_add(&name, nw_text_string(&stem));
        for (size_t n = 2; batch->request->output && !name.failed && !stem.failed; n++) {
            if (!folder_taken(batch, i, name.data)) {
                nw_text_format(&task->folder, "%s/", batch->request->output);
                task->within = task->folder.length;
                nw_text_add(&task->folder, name.data);
                break;
            }
            name.length = 0;
            nw_text_format(&name, "%s-%zu", stem.data, n);
        }
        bool failed = task->folder.failed || name.failed || stem.failed;
        nw_text_free(&name);
        nw_text_free(&stem);
        if (failed)
            return nw_fail_memory(error, "the folders' names");
    }
    return NW_OK;
}

static nw_status folder_make(each_batch *batch, nw_error *error)
{
    const char *folder = batch->request->output;
    struct stat info;
    batch->made = folder && mkdir(folder, 0777) == 0;
    if (folder && !batch->made && (stat(folder, &info) != 0 || !S_ISDIR(info.st_mode))) {
        return nw_fail(error, NW_CANNOT_WRITE, "cannot make the folder '%s': %s%s", folder,
                       strerror(errno),
                       errno == ENOENT ? "; make the one that it lies in first" : "");
    }
    return NW_OK;
}

/* ---- all of them ----------------------------------------------------------------------------- */

static nw_status task_show(each_batch *batch, each_task *task, nw_error *error)
{
    talk_clear(batch->talk);
    if (task->messages.data)
        fputs(task->messages.data, stderr);
    nw_status status = NW_OK;
    if (batch->request->json && task->verdict.failed) {
        status = nw_write_failure_json(task->art, task->verdict.failure, &task->json, error);
        if (status == NW_OK)
            json_flatten(&task->json);
    }
    return status == NW_OK ? talk_print(&task->json, error) : status;
}

/* For whoever sets its bounds. */
static void task_tell_usage(each_task *task, const struct rusage *usage)
{
    struct timeval user = usage->ru_utime, system = usage->ru_stime;
    nw_text_add(&task->messages, "narrows: '");
    talk_add_line(&task->messages, task->art);
    nw_text_add(&task->messages, "': ");
    nw_text_fixed(
        &task->messages,
        (double)(user.tv_sec + system.tv_sec) + 1e-6 * (double)(user.tv_usec + system.tv_usec), 2);
    nw_text_format(&task->messages, " s, %ld MB\n", usage->ru_maxrss / 1024);
}

/* Waits for one process to end, or a signal. */
static void batch_wait(each_batch *batch)
{
    int ending;
    struct rusage usage;
    pid_t pid = stop_wait(&ending, &usage);
    bool lost = pid < 0; /* no process is left, so no answer can come */
    for (size_t i = 0; i < batch->started; i++) {
        each_task *task = &batch->tasks[i];
        if (task->done || (task->pid != pid && !lost))
            continue;
        if (lost)
            task_fail(task, "its process was lost");
        else
            task_take(task, batch->request, ending);
        if (!lost && batch->request->verbose)
            task_tell_usage(task, &usage);
        task_close(task);
        batch->running--;
    }
}

/* Those before which none runs any more. */
static void done_show(each_batch *batch, nw_status *status, nw_error *error)
{
    for (; batch->shown < batch->started && batch->tasks[batch->shown].done; batch->shown++)
        if (*status == NW_OK)
            *status = task_show(batch, &batch->tasks[batch->shown], error);
}

/* A signal came: ends what runs and leaves out what has not begun; the table and the index are of
 * the rest. */
static nw_status batch_cut(each_batch *batch, nw_error *error)
{
    for (size_t i = batch->shown; i < batch->started; i++)
        if (!batch->tasks[i].done)
            kill(batch->tasks[i].pid, SIGTERM);
    while (batch->running)
        batch_wait(batch);
    nw_status status = NW_OK;
    done_show(batch, &status, error);
    fprintf(stderr, "narrows: stopped by a signal: %zu of %zu files were not looked at\n",
            batch->count - batch->started, batch->count);
    batch->count = batch->started;
    return status;
}

/* Runs at most `jobs` at a time; shows each when all before it have been shown. */
static nw_status batch_run(each_batch *batch, size_t jobs, nw_error *error)
{
    nw_status status = NW_OK;
    while (batch->shown < batch->count && !stop_asked()) {
        while (batch->running < jobs && batch->started < batch->count)
            batch->running += task_start(&batch->tasks[batch->started++], batch->request);
        if (batch->running)
            batch_wait(batch);
        done_show(batch, &status, error);
        talk_progress(batch->talk, "checked", (double)batch->shown / (double)batch->count);
    }
    return status;
}

/* Whether the art's folder has a file that is not written everywhere. */
static bool has_file(const each_task *task, const char *name)
{
    nw_text path = {0};
    nw_text_format(&path, "%s/%s", task->folder.data, name);
    bool there = path.data && !path.failed && access(path.data, R_OK) == 0;
    nw_text_free(&path);
    return there;
}

static nw_many_row *rows_make(const each_batch *batch)
{
    nw_many_row *rows = nw_alloc(batch->count, sizeof *rows);
    for (size_t i = 0; rows && i < batch->count; i++) {
        const each_task *task = &batch->tasks[i];
        const check_result *result = &task->verdict.result;
        rows[i] = (nw_many_row){.art = task->art,
                                .folder = task->folder.data + task->within,
                                .failure = task->verdict.failed ? task->verdict.failure : NULL,
                                .fits = result->fits,
                                .unread = result->unread,
                                .width = result->width,
                                .height = result->height,
                                .gaps = result->gaps,
                                .necks = result->necks,
                                .narrowest_gap = result->narrowest_gap,
                                .narrowest_neck = result->narrowest_neck,
                                .way = result->way,
                                .page = has_file(task, "page.html"),
                                .pdf = has_file(task, "marked.pdf")};
    }
    return rows;
}

static nw_status index_save(const each_batch *batch, const nw_many *many, nw_error *error)
{
    nw_text html = {0};
    nw_status status = nw_write_many_index(many, &html, error);
    if (status == NW_OK) {
        nw_file file = {"index.html", html.data, html.length};
        status = nw_files_write(batch->request->output, &file, 1, error);
    }
    nw_text_free(&html);
    return status;
}

static nw_status batch_sum_up(const each_batch *batch, exit_code *exit, nw_error *error)
{
    size_t failed = 0, spots = 0;
    for (size_t i = 0; i < batch->count; i++) {
        const check_result *result = &batch->tasks[i].verdict.result;
        failed += batch->tasks[i].verdict.failed;
        spots += !batch->tasks[i].verdict.failed && (!result->fits || result->unread);
    }
    *exit = failed ? EXIT_BAD : spots ? EXIT_SPOTS : EXIT_FITS;
    nw_many_row *rows = rows_make(batch);
    if (!rows)
        return nw_fail_memory(error, "the table");
    const cli_request *request = batch->request;
    nw_many many = {rows, batch->count, request->job.cut, request->job.bit, request->inch};
    bool indexed = request->output && failed < batch->count;
    nw_status status = indexed ? index_save(batch, &many, error) : NW_OK;
    if (!indexed && batch->made)
        rmdir(request->output);
    nw_text table = {0};
    if (status == NW_OK && !request->json && !request->quiet) {
        status = nw_write_many_table(&many, &table, error);
        nw_text_add(&table, indexed ? "Written to " : "");
        talk_add_line(&table, indexed ? request->output : "");
        nw_text_add(&table, indexed ? "; open index.html there\n" : "");
    }
    free(rows);
    return status == NW_OK ? talk_print(&table, error) : status;
}

static void batch_free(each_batch *batch)
{
    for (size_t i = 0; batch->tasks && i < batch->count; i++) {
        task_close(&batch->tasks[i]);
        nw_text_free(&batch->tasks[i].folder);
        nw_text_free(&batch->tasks[i].json);
        nw_text_free(&batch->tasks[i].messages);
    }
    free(batch->tasks);
}

#define MOST_WORDS 8 /* of a file's name */

/* Refuses arts that are the words of one file's name, cut at its spaces by a shell. */
static nw_status name_whole(const cli_request *request, size_t first, nw_error *error)
{
    nw_status status = NW_OK;
    nw_text name = {0};
    for (size_t i = first; i < request->art_count && i < first + MOST_WORDS && status == NW_OK;
         i++) {
        if (access(request->arts[i], F_OK) == 0)
            break;
        nw_text_format(&name, "%s%s", i > first ? " " : "", request->arts[i]);
        if (name.failed) {
            status = nw_fail_memory(error, "a file name");
        } else if (i > first && access(name.data, F_OK) == 0) {
            status = nw_fail(error, NW_BAD_REQUEST,
                             "put quotes round a name with a space in it: '%s'", name.data);
        }
    }
    nw_text_free(&name);
    return status;
}

static nw_status batch_start(each_batch *batch, nw_error *error)
{
    batch->tasks = nw_alloc(batch->count, sizeof *batch->tasks);
    if (!batch->tasks)
        return nw_fail_memory(error, "the arts");
    for (size_t i = 0; i < batch->count; i++) {
        batch->tasks[i].art = batch->request->arts[i];
        if (strcmp(batch->tasks[i].art, "-") == 0)
            return nw_fail(error, NW_BAD_REQUEST, "standard input is one art: check it by itself");
        nw_status status = name_whole(batch->request, i, error);
        if (status != NW_OK)
            return status;
    }
    nw_status status = folders_name(batch, error);
    return status == NW_OK ? folder_make(batch, error) : status;
}

nw_status each_run(const cli_request *request, cli_talk *talk, exit_code *exit, nw_error *error)
{
    each_batch batch = {.request = request, .talk = talk, .count = request->art_count};
    long cores = sysconf(_SC_NPROCESSORS_ONLN);
    size_t jobs = request->jobs ? (size_t)request->jobs : cores > 0 ? (size_t)cores : 1;
    nw_status status = batch_start(&batch, error);
    stop_note();
    if (status == NW_OK)
        status = batch_run(&batch, jobs, error);
    talk_clear(talk);
    int number = stop_take();
    if (number) /* and what could not be printed for it */
        status = batch_cut(&batch, error);
    if (status == NW_OK)
        status = batch_sum_up(&batch, exit, error);
    batch_free(&batch);
    stop_noted(number);
    return status;
}
