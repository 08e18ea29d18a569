/*
 * file_put: files that appear whole or not at all, together. A new folder is written beside its
 * name and then renamed. In a folder that is there, which may hold files of others, be somebody's
 * working folder or hang in another file system, they are written in a folder within it; then what
 * has their names is set aside by a link and they are renamed one by one, and whatever fails, what
 * was set aside is renamed back. Everything is flushed to the disk before it is renamed. A list in
 * the stage tells another process what to take back, should this one be killed between two renames.
 */
#define _GNU_SOURCE
#include <base/base.h>

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define STAGE ".narrows-%ld-" /* of the process, so that another can tell what is whose, and */
#define STAGE_ANY "XXXXXX"
#define ASIDE ".replaced-"
#define LIST ".names"

/* How a file stands in the list, before its name and the zero that ends it. */
#define LISTED_NEW '+'      /* nothing had its name */
#define LISTED_REPLACES '=' /* or is to go */

/* The name within the stage of what a file replaces. */
typedef struct {
    char name[32];
} aside;

static aside aside_of(size_t index)
{
    aside a;
    snprintf(a.name, sizeof a.name, ASIDE "%zu", index);
    return a;
}

/* Fails with errno; name, which may be empty, is within the folder. */
static nw_status write_failed(const nw_put *put, const char *name, nw_error *error)
{
    const char *folder = put->single ? "" : put->path;
    const char *slash = *folder && *name && folder[strlen(folder) - 1] != '/' ? "/" : "";
    return nw_fail(error, NW_CANNOT_WRITE, "cannot write '%s%s%s': %s%s", folder, slash,
                   put->single ? put->single : name, strerror(errno),
                   errno == ENOENT ? "; make the folder that it lies in first" : "");
}

/* Some file systems cannot flush folders. */
static bool flush(int descriptor)
{
    return fsync(descriptor) == 0 || errno == EINVAL || errno == ENOSYS;
}

static mode_t mode_usual(mode_t most)
{
    mode_t mask = umask(0);
    umask(mask);
    return most & ~mask;
}

static bool write_all(int descriptor, const char *data, size_t length)
{
    while (length) {
        ssize_t put = write(descriptor, data, length);
        if (put < 0 && errno != EINTR)
            return false;
        data += put > 0 ? put : 0;
        length -= put > 0 ? (size_t)put : 0;
    }
    return true;
}

static nw_status file_stage(const nw_put *put, const nw_file *file, nw_error *error)
{
    int descriptor = openat(put->stage, file->name, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    bool written =
        descriptor >= 0 && write_all(descriptor, file->data, file->length) && flush(descriptor);
    int cause = errno;
    if (descriptor >= 0 && close(descriptor) != 0 && written) {
        cause = errno;
        written = false;
    }
    errno = cause;
    return written ? NW_OK : write_failed(put, file->name, error);
}

static bool is_there(int folder, const char *name)
{
    struct stat info;
    return fstatat(folder, name, &info, AT_SYMLINK_NOFOLLOW) == 0;
}

/* When all are staged, and before the first is placed. */
static nw_status list_stage(const nw_put *put, nw_error *error)
{
    nw_text list = {0};
    for (size_t i = 0; i < put->count; i++) {
        const char *name = put->files[i].name;
        bool added = put->files[i].data && !is_there(put->within, name);
        nw_text_add_bytes(&list, (char[]){added ? LISTED_NEW : LISTED_REPLACES}, 1);
        nw_text_add_bytes(&list, name, strlen(name) + 1);
    }
    nw_file file = {LIST, list.data, list.length};
    nw_status status =
        list.failed ? nw_fail_memory(error, "the files' names") : file_stage(put, &file, error);
    nw_text_free(&list);
    return status;
}

/* Sets aside what has the file's name, if anything has. */
static bool file_aside(const nw_put *put, size_t index)
{
    const char *name = put->files[index].name;
    aside to = aside_of(index);
    struct stat info;
    if (fstatat(put->within, name, &info, AT_SYMLINK_NOFOLLOW) != 0)
        return errno == ENOENT;
    if (S_ISDIR(info.st_mode)) {
        errno = EISDIR;
        return !put->files[index].data;
    }
    bool linked = put->files[index].data && linkat(put->within, name, put->stage, to.name, 0) == 0;
    return linked || renameat(put->within, name, put->stage, to.name) == 0;
}

static nw_status files_place(nw_put *put, nw_error *error)
{
    nw_status status = list_stage(put, error);
    if (status != NW_OK)
        return status;
    for (; put->placed < put->count; put->placed++) {
        const nw_file *file = &put->files[put->placed];
        bool placed =
            file_aside(put, put->placed) &&
            (!file->data || renameat(put->stage, file->name, put->within, file->name) == 0);
        if (!placed)
            return write_failed(put, file->name, error);
    }
    return flush(put->within) ? NW_OK : write_failed(put, "", error);
}

size_t nw_folder_name_length(const char *path)
{
    size_t length = strlen(path);
    while (length > 1 && path[length - 1] == '/')
        length--;
    return length;
}

/* Where the last part of a path begins. */
static size_t name_start(const char *path, size_t length)
{
    while (length > 0 && path[length - 1] != '/')
        length--;
    return length;
}

/* Opens the folder that is there, or the one that the new one is to lie in, and makes the stage in
 * it. */
static nw_status stage_make(nw_put *put, nw_error *error)
{
    size_t length = strlen(put->path), start = name_start(put->path, length);
    size_t within = put->fresh ? start : length;
    nw_text staged = {0};
    nw_text_format(&staged, "%.*s%s" STAGE STAGE_ANY, (int)within, put->path, within ? "/" : "",
                   (long)getpid());
    if (staged.failed) {
        nw_text_free(&staged);
        return nw_fail_memory(error, "a file name");
    }
    put->staged = staged.data;
    char *end = put->staged + within;
    char first = *end;
    *end = '\0';
    put->within = open(within ? put->staged : ".", O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    *end = first;
    bool made = put->within >= 0 && mkdtemp(put->staged);
    if (!made) {
        int cause = errno;
        free(put->staged);
        put->staged = NULL;
        errno = cause;
    }
    if (made)
        put->stage = open(put->staged, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (put->stage >= 0 && (!put->fresh || fchmod(put->stage, mode_usual(0777)) == 0))
        return NW_OK;
    if (!put->fresh)
        return write_failed(put, "", error);
    return nw_fail(error, NW_CANNOT_WRITE, "cannot make the folder '%s': %s%s", put->path,
                   strerror(errno), errno == ENOENT ? "; make the one that it lies in first" : "");
}

static nw_status folder_place(nw_put *put, nw_error *error)
{
    const char *name = put->path + name_start(put->path, strlen(put->path));
    if (!flush(put->stage) || renameat(AT_FDCWD, put->staged, put->within, name) != 0)
        return write_failed(put, "", error);
    put->placed = put->count;
    return flush(put->within) ? NW_OK : write_failed(put, "", error);
}

static nw_status put_all(nw_put *put, nw_error *error)
{
    nw_status status = stage_make(put, error);
    for (size_t i = 0; i < put->count && status == NW_OK; i++)
        if (put->files[i].data)
            status = file_stage(put, &put->files[i], error);
    if (status == NW_OK)
        status = put->fresh ? folder_place(put, error) : files_place(put, error);
    if (status != NW_OK)
        nw_put_end(put, false);
    return status;
}

static nw_status put_start(nw_put *put, const char *path, size_t length, nw_error *error)
{
    *put = (nw_put){.stage = -1, .within = -1};
    put->path = nw_alloc(length + 1, 1);
    if (!put->path)
        return nw_fail_memory(error, "a file name");
    memcpy(put->path, path, length);
    return NW_OK;
}

nw_status nw_files_put(const char *folder, const nw_file *files, size_t count, nw_put *put,
                       nw_error *error)
{
    nw_status status = put_start(put, folder, nw_folder_name_length(folder), error);
    if (status != NW_OK)
        return status;
    struct stat info;
    put->fresh = stat(folder, &info) != 0 && errno == ENOENT;
    put->files = files;
    put->count = count;
    return put_all(put, error);
}

nw_status nw_file_put(const char *path, const char *data, size_t length, nw_put *put,
                      nw_error *error)
{
    size_t start = name_start(path, strlen(path));
    nw_status status = put_start(put, start ? path : ".", start ? start : 1, error);
    if (status != NW_OK)
        return status;
    put->single = path;
    put->own = (nw_file){path + start, data, length};
    put->files = &put->own;
    put->count = 1;
    return put_all(put, error);
}

/* What was there before, or nothing; by another link where the folder takes no renaming. */
static void files_undo(const nw_put *put)
{
    for (size_t i = put->count; i-- > 0;) {
        const char *name = put->files[i].name;
        aside old = aside_of(i);
        bool was = is_there(put->stage, old.name);
        bool back = was && renameat(put->stage, old.name, put->within, name) == 0;
        if (!back && (was || (i < put->placed && put->files[i].data)))
            unlinkat(put->within, name, 0);
        back = back || (was && linkat(put->stage, old.name, put->within, name, 0) == 0);
        if (back) /* which renaming leaves where both names are of one file */
            unlinkat(put->stage, old.name, 0);
    }
}

void nw_put_end(nw_put *put, bool keep)
{
    bool moved = put->fresh && put->placed; /* then the stage is the folder itself */
    if (put->staged && !put->fresh && !keep)
        files_undo(put);
    if (put->staged && !(moved && keep)) {
        for (size_t i = 0; i < put->count; i++) {
            unlinkat(put->stage, put->files[i].name, 0);
            unlinkat(put->stage, aside_of(i).name, 0);
        }
        unlinkat(put->stage, LIST, 0);
        rmdir(moved ? put->path : put->staged);
    }
    if (put->stage >= 0)
        close(put->stage);
    if (put->within >= 0)
        close(put->within);
    free(put->staged);
    free(put->path);
    *put = (nw_put){.stage = -1, .within = -1};
}

nw_status nw_files_write(const char *folder, const nw_file *files, size_t count, nw_error *error)
{
    nw_put put;
    nw_status status = nw_files_put(folder, files, count, &put, error);
    if (status == NW_OK)
        nw_put_end(&put, true);
    return status;
}

static bool read_all(int descriptor, nw_text *text)
{
    char part[1024];
    ssize_t got = 0;
    while (descriptor >= 0 && !text->failed && (got = read(descriptor, part, sizeof part)) > 0)
        nw_text_add_bytes(text, part, (size_t)got);
    return descriptor >= 0 && got == 0 && !text->failed;
}

/* What the list says of files that a killed process may have placed: as many as it has whole. */
static void list_parse(const nw_text *list, nw_file *files, nw_put *put)
{
    const char *end;
    for (const char *at = list->data;
         (end = memchr(at, '\0', list->length - (size_t)(at - list->data))); at = end + 1) {
        bool added = *at == LISTED_NEW;
        files[put->count++] = (nw_file){at + 1, added ? "" : NULL, 0};
        if (added && !is_there(put->stage, at + 1))
            put->placed = put->count;
    }
}

/* Takes back what was placed from the stage, if anything was. */
static void stage_undo(int within, int stage)
{
    nw_text list = {0};
    int descriptor = openat(stage, LIST, O_RDONLY | O_NOFOLLOW | O_CLOEXEC);
    bool listed = read_all(descriptor, &list) && list.length;
    nw_file *files = listed ? nw_alloc(list.length, sizeof *files) : NULL;
    if (files) {
        nw_put put = {.within = within, .stage = stage, .files = files};
        list_parse(&list, files, &put);
        files_undo(&put);
    }
    free(files);
    nw_text_free(&list);
    if (descriptor >= 0)
        close(descriptor);
}

/* Empties a stage within the folder and removes it, with what is set aside where all was placed;
 * else that is put back first, and what cannot be stays. */
static void stage_sweep(int within, const char *name, bool placed)
{
    int stage = openat(within, name, O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC);
    if (stage >= 0 && !placed)
        stage_undo(within, stage);
    DIR *files = stage >= 0 ? fdopendir(stage) : NULL;
    bool swept = true;
    for (struct dirent *file; files && (file = readdir(files));)
        swept = swept && (placed || strncmp(file->d_name, ASIDE, strlen(ASIDE)) != 0);
    if (files)
        rewinddir(files);
    for (struct dirent *file; files && swept && (file = readdir(files));)
        unlinkat(stage, file->d_name, 0);
    if (files)
        closedir(files);
    else if (stage >= 0)
        close(stage);
    unlinkat(within, name, AT_REMOVEDIR);
}

static void folder_sweep(const char *folder, long process, bool placed)
{
    char start[48];
    snprintf(start, sizeof start, STAGE, process);
    DIR *names = opendir(folder);
    for (struct dirent *name; names && (name = readdir(names));)
        if (strncmp(name->d_name, start, strlen(start)) == 0)
            stage_sweep(dirfd(names), name->d_name, placed);
    if (names)
        closedir(names);
}

void nw_put_sweep(const char *folder, long process, bool placed)
{
    size_t start = name_start(folder, nw_folder_name_length(folder));
    nw_text around = {0};
    nw_text_format(&around, "%.*s", (int)start, folder);
    folder_sweep(folder, process, placed);
    if (!around.failed)
        folder_sweep(start ? around.data : ".", process, placed);
    nw_text_free(&around);
}
