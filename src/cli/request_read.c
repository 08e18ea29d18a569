/* read: the arguments, by the table of options, into a request. */
#include <cli/request.h>

#include <stdlib.h>
#include <string.h>

/* Takes an argument apart: which option it names, and the value that is part of it, or NULL. */
static const cli_option *option_split(const char *argument, const char **value)
{
    *value = NULL;
    if (argument[1] != '-') {
        const cli_option *found = option_find(argument + 1, 1);
        if (found && argument[2])
            *value = argument + 2;
        return strcmp(argument, "-h") == 0 ? option_find("help", 4) : found;
    }
    const char *equals = strchr(argument, '=');
    size_t length = equals ? (size_t)(equals - argument) - 2 : strlen(argument + 2);
    *value = equals ? equals + 1 : NULL;
    return length > 1 ? option_find(argument + 2, length) : NULL;
}

/* Says that there is no such option, and which one may be meant. */
static nw_status option_unknown(const cli_command *command, const char *argument, nw_error *error)
{
    const cli_option *meant = suggest_option(command, argument);
    if (meant) {
        return nw_fail(error, NW_BAD_REQUEST, "unknown option '%s'; is %s%s meant?", argument,
                       option_dashes(meant), meant->name);
    }
    return nw_fail(error, NW_BAD_REQUEST,
                   "unknown option '%s'; 'narrows %s --help' lists them, and a file of that name "
                   "goes after --",
                   argument, command->name);
}

/* Says which commands take the option, for this one does not. */
static nw_status option_foreign(const cli_option *option, const cli_command *command,
                                nw_error *error)
{
    nw_text takers = {0};
    for (size_t i = 0; i < cli_command_count; i++)
        if (option->commands & cli_commands[i].mask)
            nw_text_format(&takers, "%s%s", takers.length ? ", " : "", cli_commands[i].name);
    nw_status status = nw_fail(
        error, NW_BAD_REQUEST, "%s does not take %s%s; it is an option of %s", command->name,
        option_dashes(option), option->name, takers.data ? takers.data : "other commands");
    nw_text_free(&takers);
    return status;
}

static nw_status option_check(const cli_option *option, const cli_command *command,
                              const char *argument, nw_error *error)
{
    if (!option)
        return option_unknown(command, argument, error);
    return option->commands & command->mask ? NW_OK : option_foreign(option, command, error);
}

/* Says that the value is missing, and what it looks like. */
static nw_status value_missing(const cli_option *option, nw_error *error)
{
    static const struct {
        const char *argument, *example;
    } kinds[] = {{"LENGTH", "12mm"},     {"WIDTH", "5mm"},     {"DIAMETER", "1/8in"},
                 {"NUMBER", "300"},      {"DEGREES", "90"},    {"AREA", "0.5mm2"},
                 {"COUNT", "4"},         {"THICKNESS", "6mm"}, {"SIZE", "600mm,300mm"},
                 {"CHOICES", "3:leave"}, {"FILE", "my-bits"},  {"PATH", "results"},
                 {"PLACES", "10mm,20mm"}};
    const char *example = option->choices;
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds && !example; i++)
        example = strcmp(kinds[i].argument, option->argument) == 0 ? kinds[i].example : NULL;
    return nw_fail(error, NW_BAD_REQUEST, "%s%s needs a value: %s, such as %.*s",
                   option_dashes(option), option->name, option->argument,
                   (int)strcspn(example, " "), example);
}

/* One option at arguments[*at], with the argument that may follow it. */
static nw_status option_read(const cli_command *command, int count, char **arguments, int *at,
                             cli_request *request, nw_error *error)
{
    const char *value;
    const cli_option *option = option_split(arguments[*at], &value);
    nw_status status = option_check(option, command, arguments[*at], error);
    if (status != NW_OK)
        return status;
    const char *dashes = option_dashes(option);
    if (!option->argument) {
        return value ? nw_fail(error, NW_BAD_REQUEST, "%s%s takes no value; leave '=%s' out",
                               dashes, option->name, value)
                     : option_take(option, "", request, error);
    }
    if (!value && *at + 1 < count && strncmp(arguments[*at + 1], "--", 2) != 0)
        value = arguments[++*at];
    if (!value || !*value)
        return value_missing(option, error);
    if (option_given(request, option->name)) {
        return nw_fail(error, NW_BAD_REQUEST, "%s%s is given twice; leave one of them out", dashes,
                       option->name);
    }
    return option_take(option, value, request, error);
}

/* Whether the argument is nothing but a unit, as when a length was written with a space in it. */
static bool is_unit(const char *argument)
{
    char length[8] = "1";
    double ignored;
    if (!*argument || strlen(argument) > 4 || strpbrk(argument, "0123456789.-"))
        return false;
    return nw_length_read(strcat(length, argument), &ignored, NULL) == NW_OK;
}

static nw_status arguments_read(const cli_command *command, int count, char **arguments,
                                cli_request *request, nw_error *error)
{
    bool only_files = false, after_value = false;
    for (int i = 0; i < count; i++) {
        bool dash = arguments[i][0] == '-' && arguments[i][1];
        if (after_value && is_unit(arguments[i])) {
            return nw_fail(error, NW_BAD_REQUEST, "write a length without a space: %s%s",
                           arguments[i - 1], arguments[i]);
        }
        after_value = false;
        if (only_files || !dash) {
            request->arts[request->art_count++] = arguments[i];
        } else if (strcmp(arguments[i], "--") == 0) {
            only_files = true;
        } else {
            int option = i;
            nw_status status = option_read(command, count, arguments, &i, request, error);
            if (status != NW_OK)
                return status;
            after_value = i > option;
        }
    }
    return NW_OK;
}

nw_status request_read(const cli_command *command, int count, char **arguments,
                       cli_request *request, nw_error *error)
{
    *request =
        (cli_request){.command = command, .art = nw_art_defaults(), .job = nw_job_defaults()};
    request->arts = nw_alloc((size_t)count, sizeof *request->arts);
    request->texts = nw_alloc(cli_option_count, sizeof *request->texts);
    if (!request->arts || !request->texts)
        return nw_fail_memory(error, "the arguments");
    nw_status status = arguments_read(command, count, arguments, request, error);
    if (status != NW_OK || request->help)
        return status;
    if (request->art_count == 0 || !*request->arts[0]) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "%s needs ART: a picture, an SVG drawing, or - for standard input",
                       command->name);
    }
    if (request->art_count > 1 && !command->many) {
        return nw_fail(
            error, NW_BAD_REQUEST,
            "%s takes one ART at a time: '%s' is too much; a name with spaces goes in quotes",
            command->name, request->arts[1]);
    }
    return NW_OK;
}

void request_free(cli_request *request)
{
    free(request->arts);
    free(request->texts);
    request->arts = request->texts = NULL;
}
