/* names: where results go when the user does not say, and that they never hit the art itself. */
#define _POSIX_C_SOURCE 200809L
#include "files.h"

#include <string.h>
#include <sys/stat.h>

bool art_is_file(const char *art, const char *path)
{
    struct stat one, other;
    return strcmp(art, "-") != 0 && stat(art, &one) == 0 && stat(path, &other) == 0 &&
           one.st_dev == other.st_dev && one.st_ino == other.st_ino;
}

void folder_beside(const char *art, nw_text *folder)
{
    const char *slash = strrchr(art, '/');
    const char *name = slash ? slash + 1 : art;
    const char *dot = strrchr(name, '.');
    if (strcmp(art, "-") == 0) {
        nw_text_add(folder, "narrows-check");
    } else if (dot && dot > name) {
        nw_text_add_bytes(folder, art, (size_t)(dot - art));
    } else {
        nw_text_add(folder, art);
        nw_text_add(folder, "-check");
    }
}

void folder_within(const char *art, nw_text *folder)
{
    const char *slash = strrchr(art, '/');
    folder_beside(slash ? slash + 1 : art, folder);
}

nw_status folder_guard(const char *art, const char *folder, const nw_file *files, size_t count,
                       nw_error *error)
{
    nw_status status = NW_OK;
    for (size_t i = 0; i < count && status == NW_OK; i++) {
        nw_text path = {0};
        nw_text_format(&path, "%s/%s", folder, files[i].name);
        if (path.failed) {
            status = nw_fail_memory(error, "a file name");
        } else if (art_is_file(art, path.data)) {
            status = nw_fail(error, NW_BAD_REQUEST,
                             "'%s' would be overwritten by the result; give another folder with -o",
                             path.data);
        }
        nw_text_free(&path);
    }
    return status;
}
