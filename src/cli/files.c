/* files: where results go and in which format: a file told by its ending, or a folder of files. */
#include "files.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

nw_status files_save(const char *art, const char *folder, const cli_file *files, size_t count,
                     nw_error *error)
{
    nw_file *list = nw_alloc(count, sizeof *list);
    if (!list) {
        return nw_fail_memory(error, "the files");
    }
    size_t made = 0;
    for (size_t i = 0; i < count; i++) {
        if (files[i].text.data) {
            list[made++] = (nw_file){files[i].name, files[i].text.data, files[i].text.length};
        }
    }
    nw_status status = folder_guard(art, folder, list, made, error);
    if (status == NW_OK) {
        status = nw_files_write(folder, list, made, error);
    }
    free(list);
    return status;
}

void files_free(cli_file *files, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        nw_text_free(&files[i].text);
    }
}

nw_status folder_choose(const cli_request *request, nw_text *folder, nw_error *error)
{
    if (request->output) {
        nw_text_add(folder, request->output);
    } else {
        folder_beside(request->arts[0], folder);
    }
    return folder->failed ? nw_fail_memory(error, "the folder's name") : NW_OK;
}

cli_format format_of(const char *path)
{
    const char *dot = strrchr(path, '.');
    if (strcmp(path, "-") == 0 || (dot && strcasecmp(dot, ".svg") == 0)) {
        return FORMAT_SVG;
    }
    return dot && strcasecmp(dot, ".dxf") == 0 ? FORMAT_DXF : FORMAT_NONE;
}
