/*
 * Loaded in front of the C library, lets one allocation fail: the one that FAIL_AT counts, or it
 * and all after it with FAIL_REST=1. Only calls from the program itself count, not those from
 * shared libraries, some of which end the process. FAIL_COUNT names a file that gets the number of
 * allocations that were asked for. For glibc.
 */
#define _GNU_SOURCE
#include <fcntl.h>
#include <link.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

void *__libc_malloc(size_t size);
void *__libc_calloc(size_t count, size_t size);
void *__libc_realloc(void *old, size_t size);

static uintptr_t program_start, program_end;
static long fail_at;
static bool fail_rest;
static atomic_long asked;

/* The first entry is the program; its loadable parts make the range. */
static int range_find(struct dl_phdr_info *info, size_t size, void *unused)
{
    (void)size;
    (void)unused;
    program_start = UINTPTR_MAX;
    for (int i = 0; i < info->dlpi_phnum; i++) {
        const ElfW(Phdr) *part = &info->dlpi_phdr[i];
        uintptr_t start = info->dlpi_addr + part->p_vaddr;
        if (part->p_type == PT_LOAD) {
            program_start = start < program_start ? start : program_start;
            program_end = start + part->p_memsz > program_end ? start + part->p_memsz : program_end;
        }
    }
    return 1;
}

__attribute__((constructor)) static void prepare(void)
{
    const char *at = getenv("FAIL_AT"), *rest = getenv("FAIL_REST");
    fail_rest = rest && *rest == '1';
    fail_at = at ? strtol(at, NULL, 10) : 0;
    dl_iterate_phdr(range_find, NULL);
}

__attribute__((destructor)) static void tell(void)
{
    const char *path = getenv("FAIL_COUNT");
    char digits[32];
    int length = snprintf(digits, sizeof digits, "%ld", atomic_load(&asked));
    int file = path ? open(path, O_WRONLY | O_CREAT | O_TRUNC, 0666) : -1;
    if (file >= 0) {
        if (write(file, digits, (size_t)length) != length)
            _exit(99);
        close(file);
    }
}

static bool fails(void *caller)
{
    uintptr_t at = (uintptr_t)caller;
    if (at < program_start || at >= program_end)
        return false;
    long number = atomic_fetch_add(&asked, 1) + 1;
    return fail_at && (number == fail_at || (fail_rest && number > fail_at));
}

void *malloc(size_t size)
{
    return fails(__builtin_return_address(0)) ? NULL : __libc_malloc(size);
}

void *calloc(size_t count, size_t size)
{
    return fails(__builtin_return_address(0)) ? NULL : __libc_calloc(count, size);
}

void *realloc(void *old, size_t size)
{
    return fails(__builtin_return_address(0)) ? NULL : __libc_realloc(old, size);
}
