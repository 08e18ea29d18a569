/* files: where results go and in which format: a file told by its ending, or a folder of files. */
#include <cli/files.h>
#include <cli/stop.h>

#include <stdlib.h>
#include <string.h>

/* Whether the path is ART itself, which must not be written over; nor is it removed. */
static nw_status art_guard(const char *art, const char *folder, const cli_file *file, bool *is_art,
                           nw_error *error)
{
    nw_text path = {0};
    nw_text_format(&path, "%s/%s", folder, file->name);
    *is_art = !path.failed && art_is_file(art, path.data);
    nw_status status = path.failed ? nw_fail_memory(error, "a file name") : NW_OK;
    if (*is_art && file->text.data) {
        status = nw_fail(error, NW_BAD_REQUEST,
                         "'%s' would be overwritten by the result; give another folder with -o",
                         path.data);
    }
    nw_text_free(&path);
    return status;
}

static nw_status files_put(const char *art, const char *folder, const cli_file *files, size_t count,
                           nw_file *list, nw_put *put, nw_error *error)
{
    size_t listed = 0;
    nw_status status = NW_OK;
    for (size_t i = 0; i < count && status == NW_OK; i++) {
        bool is_art;
        status = art_guard(art, folder, &files[i], &is_art, error);
        if (status == NW_OK && !is_art)
            list[listed++] = (nw_file){files[i].name, files[i].text.data, files[i].text.length};
    }
    return status == NW_OK ? nw_files_put(folder, list, listed, put, error) : status;
}

/* Prints while what was put can still be taken back. */
static nw_status print_and_end(nw_status status, nw_put *put, nw_text *text, nw_error *error)
{
    if (status == NW_OK) {
        status = talk_print(text, error);
        nw_put_end(put, status == NW_OK && !stop_asked());
    }
    nw_text_free(text);
    stop_release();
    return status;
}

nw_status files_save(const char *art, const char *folder, const cli_file *files, size_t count,
                     cli_talk *talk, nw_text *text, nw_error *error)
{
    nw_put put;
    nw_file *list = nw_alloc(count, sizeof *list);
    nw_status status = NW_OK;
    talk_clear(talk);
    stop_hold();
    status = list ? files_put(art, folder, files, count, list, &put, error)
                  : nw_fail_memory(error, "the files");
    status = print_and_end(status, &put, text, error);
    free(list);
    return status;
}

nw_status file_save(const char *path, nw_text *file, cli_talk *talk, nw_text *text, nw_error *error)
{
    nw_put put;
    talk_clear(talk);
    if (strcmp(path, "-") == 0)
        return talk_print(file, error);
    stop_hold();
    return print_and_end(nw_file_put(path, file->data, file->length, &put, error), &put, text,
                         error);
}

void files_free(cli_file *files, size_t count)
{
    for (size_t i = 0; i < count; i++)
        nw_text_free(&files[i].text);
}

void add_written(nw_text *text, const char *path)
{
    nw_text_add(text, "Written to ");
    talk_add_line(text, path);
    nw_text_add(text, "\n");
}

nw_status layers_save(const cli_layers *layers, const cli_request *request, const char *title,
                      cli_talk *talk, nw_text *text, nw_error *error)
{
    nw_text file = {0};
    cli_format format = format_of(request->output);
    nw_status status = layers_write(layers, request, format, title, &file, error);
    if (status == NW_OK)
        status = file_save(request->output, &file, talk, text, error);
    nw_text_free(&file);
    return status;
}
