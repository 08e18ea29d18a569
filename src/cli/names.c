/* names: where results go, and that they never hit the art itself. */
#define _POSIX_C_SOURCE 200809L
#include <cli/files.h>

#include <string.h>
#include <strings.h>
#include <sys/stat.h>

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

/* Whether the name ends as one of the files that narrows writes. */
static bool looks_like_file(const char *path)
{
    static const char *const endings[] = {".svg", ".dxf", ".pdf", ".json", ".csv", ".html"};
    const char *dot = strrchr(path, '.');
    for (size_t i = 0; i < sizeof endings / sizeof *endings && dot; i++)
        if (strcasecmp(dot, endings[i]) == 0)
            return true;
    return false;
}

static nw_status folder_check(const char *path, const char *command, nw_error *error)
{
    struct stat info;
    if (strcmp(path, "-") == 0) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "-o: %s writes files into a folder; name one, or have the list on standard "
                       "output by --json",
                       command);
    }
    if (stat(path, &info) == 0) {
        return S_ISDIR(info.st_mode)
                   ? NW_OK
                   : nw_fail(error, NW_BAD_REQUEST,
                             "-o: '%s' is a file; name a folder for the results", path);
    }
    return looks_like_file(path)
               ? nw_fail(error, NW_BAD_REQUEST,
                         "-o: %s would make a folder '%s'; name one without such an ending",
                         command, path)
               : NW_OK;
}

nw_status output_check(const cli_request *request, nw_error *error)
{
    const char *path = request->output;
    unsigned command = request->command->mask;
    if (!path)
        return NW_OK;
    bool file = format_of(path) != FORMAT_NONE;
    if (command == OUTLINE && !file) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "-o: '%s' ends neither in .svg nor in .dxf; name a file such as art.svg",
                       path);
    }
    if (command != OUTLINE && !(command == WIDEN && file))
        return folder_check(path, request->command->name, error);
    if (art_is_file(request->arts[0], path)) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "'%s' would be overwritten by its own outline; give another name with -o",
                       path);
    }
    return NW_OK;
}
