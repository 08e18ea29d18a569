/*
 * describe: run by the build, never installed. Writes the man pages and the shells' completions
 * from the tables of commands and options, so that they cannot tell another story.
 *
 *   describe man SHARED TEMPLATE [COMMAND] | describe bash | describe zsh
 */
#include <cli/describe.h>

#include <stdio.h>
#include <string.h>

#define LARGEST_TEMPLATE 1000000

/* The file as a string. */
static nw_status text_read(const char *path, nw_text *text, nw_error *error)
{
    nw_bytes bytes;
    nw_status status = nw_file_read(path, &(nw_read){.limit = LARGEST_TEMPLATE}, &bytes, error);
    if (status == NW_OK) {
        nw_text_add_bytes(text, (const char *)bytes.data, bytes.length);
        nw_bytes_free(&bytes);
    }
    return text->failed ? nw_fail_memory(error, "a template") : status;
}

static nw_status man(int count, char **arguments, nw_text *text, nw_error *error)
{
    nw_text shared = {0}, template = {0};
    const cli_command *command = count > 2 ? command_find(arguments[2]) : NULL;
    if (count > 2 && !command)
        return nw_fail(error, NW_BAD_REQUEST, "'%s' is no command", arguments[2]);
    nw_status status = text_read(arguments[0], &shared, error);
    if (status == NW_OK)
        status = text_read(arguments[1], &template, error);
    if (status == NW_OK)
        status = describe_man(template.data, shared.data, command, text, error);
    nw_text_free(&shared);
    nw_text_free(&template);
    return status;
}

int main(int count, char **arguments)
{
    nw_text text = {0};
    nw_error error;
    const char *what = count > 1 ? arguments[1] : "";
    nw_status status = NW_OK;
    if (strcmp(what, "man") == 0 && (count == 4 || count == 5))
        status = man(count - 2, arguments + 2, &text, &error);
    else if (strcmp(what, "bash") == 0 && count == 2)
        describe_bash(&text);
    else if (strcmp(what, "zsh") == 0 && count == 2)
        describe_zsh(&text);
    else
        status = nw_fail(&error, NW_BAD_REQUEST, "man SHARED TEMPLATE [COMMAND], bash or zsh");
    if (status == NW_OK)
        status = talk_print(&text, &error);
    if (status != NW_OK)
        fprintf(stderr, "describe: %s\n", error.message);
    return status == NW_OK ? 0 : 1;
}
