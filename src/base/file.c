/*
 * file: whole files in. Only regular files, pipes and standard input are read, and of those that
 * the caller does not know by their first bytes nothing more.
 */
#define _POSIX_C_SOURCE 200809L
#include <base/base.h>

#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define FIRST_READ 65536

typedef struct {
    const char *name; /* in messages */
    int descriptor;
    const nw_read *how;
    nw_bytes bytes;
    size_t capacity;
    bool waits; /* for whoever writes into a pipe */
} reading;

static nw_status read_failed(const char *name, int cause, nw_error *error)
{
    const char *advice = cause == ENOENT   ? "; is the name right?"
                         : cause == EISDIR ? "; name a file in it"
                                           : "";
    return nw_fail(error, NW_CANNOT_READ, "cannot read '%s': %s%s", name, strerror(cause), advice);
}

/* Opens without waiting for anybody: a pipe without a writer ends at once. */
static nw_status reading_open(reading *r, const char *path, nw_error *error)
{
    bool standard = strcmp(path, "-") == 0;
    struct stat info;
    r->name = standard ? "standard input" : path;
    r->descriptor = standard ? STDIN_FILENO : open(path, O_RDONLY | O_NONBLOCK | O_CLOEXEC);
    if (r->descriptor < 0 || fstat(r->descriptor, &info) != 0) {
        int cause = errno;
        bool socket = cause == ENXIO && stat(path, &info) == 0 && S_ISSOCK(info.st_mode);
        return socket ? nw_fail(error, NW_CANNOT_READ, "cannot read '%s': it is a socket", r->name)
                      : read_failed(r->name, cause, error);
    }
    if (S_ISDIR(info.st_mode))
        return read_failed(r->name, EISDIR, error);
    r->waits = !S_ISREG(info.st_mode);
    if (r->waits && !S_ISFIFO(info.st_mode) && !isatty(r->descriptor) &&
        !(standard && S_ISSOCK(info.st_mode))) {
        return nw_fail(error, NW_CANNOT_READ,
                       "cannot read '%s': it is neither a file nor a pipe but a device", r->name);
    }
    return NW_OK;
}

/* Reads on until there are `until` bytes or no more. */
static nw_status reading_go_on(reading *r, size_t until, bool *ended, nw_error *error)
{
    *ended = false;
    while (r->bytes.length < until) {
        if (!nw_grow(&r->bytes.data, &r->capacity, r->bytes.length + FIRST_READ, 1))
            return nw_fail_memory(error, "the file");
        ssize_t got =
            read(r->descriptor, r->bytes.data + r->bytes.length, r->capacity - r->bytes.length);
        if (got < 0 && errno == EAGAIN && r->waits)
            poll(&(struct pollfd){.fd = r->descriptor, .events = POLLIN}, 1, -1);
        else if (got < 0 && errno != EINTR)
            return read_failed(r->name, errno, error);
        if (got == 0) {
            *ended = true;
            return NW_OK;
        }
        r->bytes.length += got > 0 ? (size_t)got : 0;
    }
    return NW_OK;
}

static nw_status reading_all(reading *r, nw_error *error)
{
    const nw_read *how = r->how;
    bool ended;
    nw_status status =
        reading_go_on(r, how->known ? NW_FIRST_BYTES : how->limit + 1, &ended, error);
    bool named = r->descriptor != STDIN_FILENO;
    if (status == NW_OK && ended && named && r->waits && r->bytes.length == 0)
        return nw_fail(error, NW_CANNOT_READ, "cannot read '%s': nobody writes to it", r->name);
    if (status == NW_OK && how->known)
        status = how->known(how->context, &r->bytes, error);
    if (status == NW_OK && !ended)
        status = reading_go_on(r, how->limit + 1, &ended, error);
    if (status == NW_OK && r->bytes.length > how->limit) {
        status = nw_fail(error, NW_BAD_INPUT, "'%s' is larger than the limit of %zu MB", r->name,
                         how->limit / 1000000);
    }
    return status;
}

nw_status nw_file_read(const char *path, const nw_read *how, nw_bytes *bytes, nw_error *error)
{
    reading r = {.how = how};
    nw_status status = reading_open(&r, path, error);
    if (status == NW_OK)
        status = reading_all(&r, error);
    if (r.descriptor > STDIN_FILENO)
        close(r.descriptor);
    if (status != NW_OK)
        nw_bytes_free(&r.bytes);
    *bytes = r.bytes;
    return status;
}
