/* names: where results go, and that they never hit the art itself. */
#define _POSIX_C_SOURCE 200809L
#include <cli/files.h>

#include <errno.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>
#include <unistd.h>

bool art_is_file(const char *art, const char *path)
{
    struct stat one, other;
    return strcmp(art, "-") != 0 && stat(art, &one) == 0 && stat(path, &other) == 0 &&
           one.st_dev == other.st_dev && one.st_ino == other.st_ino;
}

cli_format format_of(const char *path)
{
    const char *dot = strrchr(path, '.');
    if (strcmp(path, "-") == 0 || (dot && strcasecmp(dot, ".svg") == 0))
        return FORMAT_SVG;
    return dot && strcasecmp(dot, ".dxf") == 0 ? FORMAT_DXF : FORMAT_NONE;
}

static const char *last_part(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash ? slash + 1 : path;
}

static void name_beside(const char *art, nw_text *name)
{
    const char *dot = strrchr(last_part(art), '.');
    if (strcmp(art, "-") == 0) {
        nw_text_add(name, "narrows");
    } else if (dot && dot > last_part(art) && dot[1]) {
        nw_text_add_bytes(name, art, (size_t)(dot - art));
        nw_text_format(name, "-%s", dot + 1);
    } else {
        nw_text_add(name, art);
    }
}

void folder_beside(const char *art, const cli_request *request, nw_text *folder)
{
    name_beside(art, folder);
    nw_text_format(folder, "-%s", request->command->name);
}

void folder_within(const char *art, nw_text *folder)
{
    name_beside(last_part(art), folder);
}

void ways_folder(const cli_request *request, const char *art, nw_text *folder)
{
    if (!option_given(request, "o") || format_of(request->output) != FORMAT_NONE) {
        name_beside(art, folder);
        return;
    }
    nw_text_add_bytes(folder, request->output, nw_folder_name_length(request->output));
    const char *last = last_part(nw_text_string(folder));
    if (strspn(last, ".") == strlen(last)) { /* no name of its own */
        nw_text_add(folder, *last ? "/" : "");
        name_beside(last_part(art), folder);
    }
}

/* Whether the name ends as a file's, such as those that narrows writes. */
static bool looks_like_file(const char *path)
{
    static const char *const endings[] = {".svg", ".dxf", ".pdf", ".json", ".csv", ".html",
                                          ".png", ".jpg", ".ai",  ".eps",  ".ps",  ".txt"};
    const char *dot = strrchr(path, '.');
    for (size_t i = 0; i < sizeof endings / sizeof *endings && dot; i++)
        if (strcasecmp(dot, endings[i]) == 0)
            return true;
    return false;
}

/* Refuses a new file, or folder, where there can be none. */
static nw_status parent_check(const char *path, bool folder, nw_error *error)
{
    nw_text parent = {0};
    size_t length = nw_folder_name_length(path);
    while (length > 0 && path[length - 1] != '/')
        length--;
    nw_text_add_bytes(&parent, length ? path : ".", length ? length : 1);
    nw_status status = parent.failed ? nw_fail_memory(error, "a file name") : NW_OK;
    if (status == NW_OK && access(parent.data, W_OK | X_OK) != 0) {
        status = nw_fail(error, NW_CANNOT_WRITE, "cannot %s '%s': %s%s",
                         folder ? "make the folder" : "write", path, strerror(errno),
                         errno != ENOENT ? ""
                         : folder        ? "; make the one that it lies in first"
                                         : "; make the folder that it lies in first");
    }
    nw_text_free(&parent);
    return status;
}

static bool takes_file(const cli_command *command)
{
    return command->mask & (OUTLINE | WIDEN);
}

static nw_status folder_check(const char *path, const cli_command *command, nw_error *error)
{
    struct stat info;
    if (strcmp(path, "-") == 0) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "-o: %s writes files into a folder; name one, or have the list on standard "
                       "output by --json",
                       command->name);
    }
    if (stat(path, &info) == 0) {
        if (!S_ISDIR(info.st_mode)) {
            return nw_fail(error, NW_BAD_REQUEST,
                           "-o: '%s' is a file; name a folder for the results", path);
        }
        return access(path, W_OK | X_OK) == 0
                   ? NW_OK
                   : nw_fail(error, NW_CANNOT_WRITE, "cannot write into '%s': %s", path,
                             strerror(errno));
    }
    if (looks_like_file(path)) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "-o: %s would make a folder '%s'; name one without such an ending%s",
                       command->name, path,
                       takes_file(command) ? ", or a file such as art.svg" : "");
    }
    return parent_check(path, true, error);
}

static nw_status file_check(const char *path, const char *art, nw_error *error)
{
    struct stat info;
    if (strcmp(path, "-") == 0)
        return NW_OK;
    if (art_is_file(art, path)) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "'%s' would be overwritten by its own outline; give another name with -o",
                       path);
    }
    if (stat(path, &info) == 0 && S_ISDIR(info.st_mode)) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "-o: '%s' is a folder; name one without such an ending, or a file", path);
    }
    return parent_check(path, false, error);
}

nw_status beside_check(const char *art, const char *folder, const cli_command *command,
                       nw_error *error)
{
    bool missing = strcmp(art, "-") != 0 && access(art, F_OK) != 0; /* whose reader tells */
    return missing ? NW_OK : folder_check(folder, command, error);
}

nw_status output_choose(cli_request *request, nw_text *own, nw_error *error)
{
    const cli_command *command = request->command;
    bool many = request->each || request->art_count > 1;
    if (!request->output && !many && command->mask != PIECES) {
        folder_beside(request->arts[0], request, own);
        if (own->failed)
            return nw_fail_memory(error, "the folder's name");
        request->output = own->data;
    }
    if (own->data || !request->output)
        return own->data ? beside_check(request->arts[0], own->data, command, error) : NW_OK;
    return takes_file(command) && format_of(request->output) != FORMAT_NONE
               ? file_check(request->output, request->arts[0], error)
               : folder_check(request->output, command, error);
}
