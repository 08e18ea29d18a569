/* To be preloaded: of the calls that put files in place, one kind, FAILING_CALL, fails at the
 * FAILING_AT-th time, and with FAILING_ON ever after, as on a full or broken disk. At the
 * KILLING_AT-th KILLING_CALL a process that ends with its parent is killed. */
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

/* Whether this is a call of the kind, and the how many-th that is; else 0. */
static int turn(const char *kind, const char *name, int *calls)
{
    const char *wanted = getenv(kind);
    return wanted && strcmp(wanted, name) == 0 ? ++*calls : 0;
}

static int place(const char *name)
{
    const char *at = getenv(name);
    return at ? atoi(at) : 0;
}

static bool fails(const char *name, int cause)
{
    static int failing, killing;
    int tied = 0, kill = turn("KILLING_CALL", name, &killing);
    if (kill && kill == place("KILLING_AT") && prctl(PR_GET_PDEATHSIG, &tied) == 0 && tied)
        raise(SIGKILL);
    int call = turn("FAILING_CALL", name, &failing);
    if (!call)
        return false;
    errno = cause;
    return call == place("FAILING_AT") || (getenv("FAILING_ON") && call > place("FAILING_AT"));
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

int unlinkat(int folder, const char *name, int flags)
{
    return fails("unlinkat", EIO) ? -1 : REAL(unlinkat)(folder, name, flags);
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
