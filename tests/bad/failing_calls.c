/* To be preloaded: of the calls that put files in place, one kind, FAILING_CALL, fails at the
 * FAILING_AT-th time, and with FAILING_ON ever after, as on a full or broken disk. With
 * FAILING_KILLS it does not fail, but a process that ends with its parent is killed there. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <signal.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/prctl.h>
#include <unistd.h>

static int calls;

static bool fails(const char *name, int cause)
{
    const char *wanted = getenv("FAILING_CALL"), *at = getenv("FAILING_AT");
    if (!wanted || !at || strcmp(wanted, name) != 0)
        return false;
    calls++;
    if (getenv("FAILING_KILLS")) {
        int tied = 0;
        if (calls == atoi(at) && prctl(PR_GET_PDEATHSIG, &tied) == 0 && tied)
            raise(SIGKILL);
        return false;
    }
    errno = cause;
    return calls == atoi(at) || (getenv("FAILING_ON") && calls > atoi(at));
}

#define REAL(name) ((__typeof__(&name))dlsym(RTLD_NEXT, #name))

int renameat(int from, const char *old, int to, const char *new)
{
    return fails("renameat", EIO) ? -1 : REAL(renameat)(from, old, to, new);
}

int linkat(int from, const char *old, int to, const char *new, int flags)
{
    return fails("linkat", EPERM) ? -1 : REAL(linkat)(from, old, to, new, flags);
}

int fsync(int file)
{
    return fails("fsync", EIO) ? -1 : REAL(fsync)(file);
}

int close(int file)
{
    int status = REAL(close)(file);
    return file > STDERR_FILENO && fails("close", EIO) ? -1 : status;
}

ssize_t write(int file, const void *data, size_t length)
{
    bool bad = file > STDERR_FILENO && fails("write", ENOSPC);
    return bad ? -1 : REAL(write)(file, data, length);
}

char *mkdtemp(char *name)
{
    return fails("mkdtemp", ENOSPC) ? NULL : REAL(mkdtemp)(name);
}
