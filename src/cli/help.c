/* help: the commands' help, generated from the tables; at most 80 columns. */
#include <cli/request.h>

#include <string.h>

#define COLUMNS 80

/* Adds words, broken at spaces but not within brackets so that no line goes beyond COLUMNS; every
 * line after the first starts at `indent`. The cursor stands at `column`. */
static void wrap(nw_text *text, const char *words, size_t indent, size_t column)
{
    bool first = true;
    while (*words) {
        size_t length = *words == '[' ? strcspn(words, "]") : 0;
        length += strcspn(words + length, " ");
        if (!first && column + 1 + length > COLUMNS) {
            nw_text_format(text, "\n%*s", (int)indent, "");
            column = indent;
        } else if (!first) {
            nw_text_add(text, " ");
            column++;
        }
        nw_text_add_bytes(text, words, length);
        column += length;
        words += length + (words[length] == ' ');
        first = false;
    }
    nw_text_add(text, "\n");
}

/* "  name    words", the words in a column of their own. */
static void row(nw_text *text, const char *name, size_t width, const char *words)
{
    size_t length = strlen(name);
    if (length < width)
        nw_text_format(text, "  %s%*s", name, (int)(width - length), "");
    else
        nw_text_format(text, "  %s\n%*s", name, (int)width + 2, "");
    wrap(text, words, width + 2, width + 2);
}

void help_write(nw_text *text)
{
    nw_text_add(text,
                "usage: narrows COMMAND ART [OPTION ...]\n\n"
                "From a picture of a silhouette to outlines that a given router bit can cut.\n"
                "ART is a picture, an SVG drawing, or - for standard input.\n\nCommands\n");
    for (size_t i = 0; i < cli_command_count; i++)
        row(text, cli_commands[i].name, 12, cli_commands[i].summary);
    nw_text_add(text, "\n'narrows COMMAND --help' lists a command's options; 'narrows --version' "
                      "tells the\nversion.\n\n"
                      "Exit status: 0 everything fits; 1 there are spots; 2 the request or the "
                      "input is\nbad and nothing was written.\n\n"
                      "Example\n  narrows check swan.png --wide 200mm --cut inside --bit 1/8in\n");
}

static void help_group(nw_text *text, const cli_command *command, option_group group)
{
    bool any = false;
    for (size_t i = 0; i < cli_option_count; i++) {
        const cli_option *option = &cli_options[i];
        if (option->group != group || !(option->commands & command->mask))
            continue;
        if (!any) {
            nw_text_format(text, "\n%s\n", option_group_name(group));
            any = true;
        }
        nw_text name = {0};
        nw_text_format(&name, "%s%s%s%s", option_dashes(option), option->name,
                       option->argument ? " " : "", option->argument ? option->argument : "");
        row(text, nw_text_string(&name), 20, option->help);
        nw_text_free(&name);
    }
}

void help_write_command(nw_text *text, const cli_command *command)
{
    nw_text_format(text, "usage: narrows %s ", command->name);
    size_t column = strlen("usage: narrows  ") + strlen(command->name);
    wrap(text, command->usage, column, column);
    nw_text_add(text, "\n");
    wrap(text, command->about, 0, 0);
    for (option_group group = 0; group < GROUP_COUNT; group++)
        help_group(text, command, group);
}
