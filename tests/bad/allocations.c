/*
 * Every allocation of whole commands is made to fail in turn, in one process: once alone, and once
 * with all that come after it. A command must then say that memory ran out and leave no file, or
 * carry on without (a guess less is no failure) to the very files of an undisturbed run. Under the
 * sanitizers this also finds what such a way out forgets to free.
 *
 * The linker leads the program's own calls of malloc, calloc and realloc here (--wrap); those of
 * shared libraries, some of which end the process, go on undisturbed.
 *
 * usage: allocations WORK-FOLDER SVG PICTURE
 */
#define _GNU_SOURCE
#include <base/base.h>
#include <cli/request.h>

#include <dirent.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define MOST_WORDS 24

void *__real_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void *__real_realloc(void *old, size_t size);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t count, size_t size);
void *__wrap_realloc(void *old, size_t size);

#ifdef __SANITIZE_ADDRESS__
#define PART 4 /* what takes ten times as long is done for one of so many */
#else
#define PART 1
#endif

static atomic_long asked;
static long fail_at; /* 0: none */
static bool fail_rest;

static bool fails(void)
{
    long number = atomic_fetch_add(&asked, 1) + 1;
    return fail_at && (number == fail_at || (fail_rest && number > fail_at));
}

void *__wrap_malloc(size_t size)
{
    return fails() ? NULL : __real_malloc(size);
}

void *__wrap_calloc(size_t count, size_t size)
{
    return fails() ? NULL : __real_calloc(count, size);
}

void *__wrap_realloc(void *old, size_t size)
{
    return fails() ? NULL : __real_realloc(old, size);
}

/* ---- what a run leaves ---------------------------------------------------------------------- */

/* FNV-1a, 32 bits (Fowler, Noll and Vo, 1991; from memory). */
static void hash_file(const char *folder, const char *name, uint32_t *sum)
{
    char path[4096];
    int length = snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = length > 0 && (size_t)length < sizeof path ? fopen(path, "rb") : NULL;
    uint32_t hash = 2166136261u;
    for (int c; file && (c = fgetc(file)) != EOF;)
        hash = (hash ^ (uint32_t)c) * 16777619u;
    for (const char *c = name; *c; c++)
        hash = (hash ^ (uint32_t)*c) * 16777619u;
    if (file)
        fclose(file);
    *sum += hash; /* in any order of the files */
    unlink(path);
}

/* What the folder's files hold, which are then removed; 0 when there is no folder. */
static uint32_t folder_take(const char *folder)
{
    DIR *files = opendir(folder);
    uint32_t sum = 0;
    for (struct dirent *entry; files && (entry = readdir(files));)
        if (entry->d_name[0] != '.')
            hash_file(folder, entry->d_name, &sum);
    if (files) {
        closedir(files);
        rmdir(folder);
        sum += 1;
    }
    return sum;
}

/* ---- a command ------------------------------------------------------------------------------ */

typedef struct {
    const char *words; /* after "narrows"; SVG and PICTURE stand for the arts */
    long runs; /* so many allocations are made to fail, spread evenly, a part of them under the
                  sanitizers, ten times as many when NARROWS_TEST_ALL is set; 0: all of them */
} scenario;

typedef struct {
    nw_status status;
    uint32_t files;
    nw_error error;
} outcome;

static outcome command_run_once(int count, char **words, const char *folder)
{
    cli_request request;
    cli_talk talk = {.quiet = true};
    exit_code code = EXIT_FITS;
    const cli_command *command = command_find(words[0]);
    outcome result = {.files = 0};
    result.status = request_read(command, count - 1, words + 1, &request, &result.error);
    if (result.status == NW_OK)
        result.status = command->run(&request, &talk, &code, &result.error);
    request_free(&request);
    talk_end(&talk);
    long failing = fail_at;
    fail_at = 0;
    result.files = folder_take(folder);
    fail_at = failing;
    return result;
}

static FILE *report; /* standard output as it was; what the commands print goes nowhere */

static bool outcome_holds(const outcome *got, const outcome *good, long at, const char *words)
{
    bool memory = got->status == NW_NO_MEMORY && got->files == 0;
    bool without = got->status == NW_OK && got->files == good->files;
    if (!memory && !without) {
        fprintf(report, "not ok: allocation %ld of '%s': files %08x, not %08x, status %d: %s\n", at,
                words, got->files, good->files, (int)got->status, got->error.message);
    }
    return memory || without;
}

/* Cuts the words apart and puts the arts and the folder in. */
static int words_cut(char *text, char **words, const char *folder, char **arts)
{
    int count = 0;
    for (char *word = strtok(text, " "); word && count < MOST_WORDS - 2; word = strtok(NULL, " ")) {
        words[count++] = strcmp(word, "SVG") == 0       ? arts[0]
                         : strcmp(word, "PICTURE") == 0 ? arts[1]
                                                        : word;
    }
    words[count++] = "-o";
    words[count++] = (char *)folder;
    return count;
}

static bool everything(void)
{
    return getenv("NARROWS_TEST_ALL") != NULL;
}

static bool scenario_run(const scenario *s, const char *folder, char **arts)
{
    char text[400], *words[MOST_WORDS];
    snprintf(text, sizeof text, "%s", s->words);
    int count = words_cut(text, words, folder, arts);
    fail_at = 0;
    atomic_store(&asked, 0);
    outcome good = command_run_once(count, words, folder);
    long total = atomic_load(&asked), runs = everything() ? 10 * s->runs : s->runs / PART;
    long step = runs && total > runs ? total / runs : 1;
    bool holds = good.status == NW_OK && good.files != 0 && total > 100;
    for (long at = 1; at <= total; at += step) {
        for (int rest = 0; rest < 2; rest++) {
            fail_at = at;
            fail_rest = rest;
            atomic_store(&asked, 0);
            outcome got = command_run_once(count, words, folder);
            holds = outcome_holds(&got, &good, at, s->words) && holds;
        }
    }
    fprintf(report, "%s: %ld allocations, every %ld. made to fail: '%s'\n", holds ? "ok" : "not ok",
            total, step, s->words);
    return holds;
}

int main(int count, char **arguments)
{
    static const scenario scenarios[] = {
        {"check SVG --cut inside --bit 3mm --threads 1", 200},
        {"check PICTURE --wide 60mm --cut outside --bit 6mm --tabs 2 --threads 1", 200},
        {"bits SVG --cut inside --pair --threads 1", 80},
        {"widen SVG --cut inside --bit 3mm --threads 1", 130},
        {"pieces PICTURE", 0},
    };
    report = count == 4 ? fdopen(dup(STDOUT_FILENO), "w") : NULL;
    if (!report || !freopen("/dev/null", "w", stdout))
        return 2;
    char folder[4096];
    snprintf(folder, sizeof folder, "%s/allocations-out%s", arguments[1],
             everything() ? "-all" : "");
    folder_take(folder);
    bool holds = true;
    for (size_t i = 0; i < sizeof scenarios / sizeof *scenarios; i++)
        holds = scenario_run(&scenarios[i], folder, arguments + 2) && holds;
    fclose(report);
    return holds ? 0 : 1;
}
