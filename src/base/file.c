/*
 * file: whole files in and out. A file is written beside its final name, flushed, checked, closed
 * and only then renamed, so that nobody ever sees half of one.
 */
#define _POSIX_C_SOURCE 200809L /* mkstemp */
#include <base/base.h>

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define FIRST_READ 65536

static nw_status read_failed(const char *path, int cause, nw_error *error)
{
    const char *advice = cause == ENOENT   ? "; is the name right?"
                         : cause == EISDIR ? "; name a file in it"
                                           : "";
    return nw_fail(error, NW_CANNOT_READ, "cannot read '%s': %s%s", path, strerror(cause), advice);
}

static nw_status read_stream(FILE *stream, const char *path, size_t limit, nw_bytes *bytes,
                             nw_error *error)
{
    void *data = NULL;
    size_t capacity = 0, length = 0;
    for (;;) {
        if (!nw_grow(&data, &capacity, length + FIRST_READ, 1)) {
            free(data);
            return nw_fail_memory(error, "the file");
        }
        size_t got = fread((char *)data + length, 1, capacity - length, stream);
        length += got;
        if (got == 0 || length > limit)
            break;
    }
    if (ferror(stream)) {
        int cause = errno;
        free(data);
        return read_failed(path, cause, error);
    }
    if (length > limit) {
        free(data);
        return nw_fail(error, NW_BAD_INPUT, "'%s' is larger than the limit of %zu MB", path,
                       limit / 1000000);
    }
    *bytes = (nw_bytes){data, length};
    return NW_OK;
}

nw_status nw_file_read(const char *path, size_t limit, nw_bytes *bytes, nw_error *error)
{
    *bytes = (nw_bytes){0};
    if (strcmp(path, "-") == 0)
        return read_stream(stdin, "standard input", limit, bytes, error);
    FILE *stream = fopen(path, "rb");
    if (!stream)
        return read_failed(path, errno, error);
    nw_status status = read_stream(stream, path, limit, bytes, error);
    fclose(stream);
    return status;
}

static char *path_join(const char *folder, const char *name, const char *suffix)
{
    size_t length = strlen(folder) + strlen(name) + strlen(suffix) + 2;
    char *path = nw_alloc(length, 1);
    if (path) {
        const char *slash = *folder && folder[strlen(folder) - 1] != '/' ? "/" : "";
        snprintf(path, length, "%s%s%s%s", folder, slash, name, suffix);
    }
    return path;
}

static nw_status write_failed(const char *path, nw_error *error)
{
    return nw_fail(error, NW_CANNOT_WRITE, "cannot write '%s': %s%s", path, strerror(errno),
                   errno == ENOENT ? "; make the folder that it lies in first" : "");
}

static nw_status write_all(int descriptor, const char *path, const char *data, size_t length,
                           nw_error *error)
{
    while (length) {
        ssize_t put = write(descriptor, data, length);
        if (put < 0 && errno == EINTR)
            continue;
        if (put < 0)
            return write_failed(path, error);
        data += put;
        length -= (size_t)put;
    }
    return NW_OK;
}

/* Opens a new file next to path under a name that no other process uses; the name is written into
 * temporary, which has room for path and the suffix. */
static int open_beside(char *temporary)
{
    int descriptor = mkstemp(temporary);
    if (descriptor >= 0) {
        mode_t mask = umask(0);
        umask(mask);
        fchmod(descriptor, 0666 & ~mask);
    }
    return descriptor;
}

static nw_status write_beside(char *temporary, const char *path, const char *data, size_t length,
                              nw_error *error)
{
    int descriptor = open_beside(temporary);
    if (descriptor < 0) {
        nw_status status = write_failed(path, error);
        *temporary = '\0';
        return status;
    }
    nw_status status = write_all(descriptor, path, data, length, error);
    if (close(descriptor) != 0 && status == NW_OK)
        status = write_failed(path, error);
    return status;
}

/* A folder cannot be replaced by a file; found out before anything is renamed. */
static nw_status check_replaceable(const char *path, nw_error *error)
{
    struct stat info;
    if (stat(path, &info) == 0 && S_ISDIR(info.st_mode)) {
        errno = EISDIR;
        return write_failed(path, error);
    }
    return NW_OK;
}

static nw_status files_stage(char **temporary, char **final, const nw_file *files, size_t count,
                             nw_error *error)
{
    for (size_t i = 0; i < count; i++) {
        nw_status status = check_replaceable(final[i], error);
        if (status == NW_OK)
            status = write_beside(temporary[i], final[i], files[i].data, files[i].length, error);
        if (status != NW_OK)
            return status;
    }
    return NW_OK;
}

static nw_status files_rename(char **temporary, char **final, size_t count, nw_error *error)
{
    for (size_t i = 0; i < count; i++) {
        if (rename(temporary[i], final[i]) != 0)
            return write_failed(final[i], error);
        *temporary[i] = '\0';
    }
    return NW_OK;
}

static nw_status folder_make(const char *folder, bool *made, nw_error *error)
{
    *made = mkdir(folder, 0777) == 0;
    if (!*made && errno != EEXIST) {
        return nw_fail(error, NW_CANNOT_WRITE, "cannot make the folder '%s': %s%s", folder,
                       strerror(errno),
                       errno == ENOENT ? "; make the one that it lies in first" : "");
    }
    return NW_OK;
}

static void names_free(char **names, size_t count, bool unlink_them)
{
    for (size_t i = 0; names && i < count; i++) {
        if (unlink_them && names[i] && *names[i])
            unlink(names[i]);
        free(names[i]);
    }
    free(names);
}

nw_status nw_files_write(const char *folder, const nw_file *files, size_t count, nw_error *error)
{
    bool made = false;
    nw_status status = folder_make(folder, &made, error);
    if (status != NW_OK)
        return status;
    char **temporary = nw_alloc(count, sizeof *temporary);
    char **final = nw_alloc(count, sizeof *final);
    bool named = temporary && final;
    for (size_t i = 0; named && i < count; i++) {
        temporary[i] = path_join(folder, files[i].name, ".XXXXXX");
        final[i] = path_join(folder, files[i].name, "");
        named = temporary[i] && final[i];
    }
    if (!named) {
        /* Names that were never opened must not be removed. */
        names_free(temporary, count, false);
        names_free(final, count, false);
        if (made)
            rmdir(folder);
        return nw_fail_memory(error, "file names");
    }
    status = files_stage(temporary, final, files, count, error);
    if (status == NW_OK)
        status = files_rename(temporary, final, count, error);
    names_free(temporary, count, status != NW_OK);
    names_free(final, count, false);
    if (status != NW_OK && made)
        rmdir(folder);
    return status;
}

nw_status nw_file_write(const char *path, const char *data, size_t length, nw_error *error)
{
    if (strcmp(path, "-") == 0)
        return write_all(STDOUT_FILENO, "standard output", data, length, error);
    nw_status status = check_replaceable(path, error);
    char *temporary = status == NW_OK ? path_join("", path, ".XXXXXX") : NULL;
    if (status == NW_OK && !temporary)
        return nw_fail_memory(error, "a file name");
    if (status == NW_OK)
        status = write_beside(temporary, path, data, length, error);
    if (status == NW_OK && rename(temporary, path) != 0)
        status = write_failed(path, error);
    if (status != NW_OK && temporary && *temporary)
        unlink(temporary);
    free(temporary);
    return status;
}
