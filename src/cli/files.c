/* files: where results go and in which format: a file told by its ending, or a folder of files. */
#define _POSIX_C_SOURCE 200809L
#include <cli/files.h>

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* Removes what an earlier run left under the names that have no text, lest it pass for a result of
 * this one; never ART itself. Takes no memory, for what was written stands by now. */
static nw_status files_clear(const char *art, const char *folder, const cli_file *files,
                             size_t count, nw_error *error)
{
    struct stat info, own;
    bool named = strcmp(art, "-") != 0 && stat(art, &own) == 0;
    int place = open(folder, O_RDONLY | O_DIRECTORY);
    nw_status status = NW_OK;
    for (size_t i = 0; i < count && place >= 0 && status == NW_OK; i++) {
        if (files[i].text.data || fstatat(place, files[i].name, &info, AT_SYMLINK_NOFOLLOW) != 0 ||
            S_ISDIR(info.st_mode) ||
            (named && info.st_dev == own.st_dev && info.st_ino == own.st_ino))
            continue;
        if (unlinkat(place, files[i].name, 0) != 0) {
            status = nw_fail(error, NW_CANNOT_WRITE, "cannot remove '%s/%s' of an earlier run: %s",
                             folder, files[i].name, strerror(errno));
        }
    }
    if (place >= 0)
        close(place);
    return status;
}

nw_status files_save(const char *art, const char *folder, const cli_file *files, size_t count,
                     nw_error *error)
{
    nw_file *list = nw_alloc(count, sizeof *list);
    if (!list)
        return nw_fail_memory(error, "the files");
    size_t made = 0;
    for (size_t i = 0; i < count; i++)
        if (files[i].text.data)
            list[made++] = (nw_file){files[i].name, files[i].text.data, files[i].text.length};
    nw_status status = folder_guard(art, folder, list, made, error);
    if (status == NW_OK)
        status = nw_files_write(folder, list, made, error);
    if (status == NW_OK)
        status = files_clear(art, folder, files, count, error);
    free(list);
    return status;
}

void files_free(cli_file *files, size_t count)
{
    for (size_t i = 0; i < count; i++)
        nw_text_free(&files[i].text);
}

nw_status folder_choose(const cli_request *request, nw_text *folder, nw_error *error)
{
    if (request->output)
        nw_text_add(folder, request->output);
    else
        folder_beside(request->arts[0], folder);
    return folder->failed ? nw_fail_memory(error, "the folder's name") : NW_OK;
}
