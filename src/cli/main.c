/* main: picks the command, reads its options, runs it, and turns what happened into a status. */
#include "cli.h"

#include <string.h>

static exit_code print_and_leave(nw_text *text, cli_talk *talk)
{
    nw_error error;
    if (talk_print(text, &error) == NW_OK) {
        return EXIT_FITS;
    }
    talk_error(talk, &error);
    return EXIT_BAD;
}

static exit_code show_help(const cli_command *command, cli_talk *talk)
{
    nw_text text = {0};
    if (command) {
        help_write_command(&text, command);
    } else {
        help_write(&text);
    }
    return print_and_leave(&text, talk);
}

static exit_code show_version(cli_talk *talk)
{
    nw_text text = {0};
    nw_text_add(&text, "narrows " NW_VERSION "\n");
    return print_and_leave(&text, talk);
}

static exit_code run_command(const cli_command *command, int count, char **arguments,
                             cli_talk *talk)
{
    cli_request request;
    nw_error error = {0};
    exit_code exit = EXIT_FITS;
    nw_status status = request_read(command, count, arguments, &request, &error);
    if (status == NW_OK && request.help) {
        exit = show_help(command, talk);
    } else if (status == NW_OK) {
        talk->quiet = request.quiet;
        status = command->run(&request, talk, &exit, &error);
    }
    talk_clear(talk);
    request_free(&request);
    if (status != NW_OK) {
        talk_error(talk, &error);
        return EXIT_BAD;
    }
    return exit;
}

static bool is_either(const char *argument, const char *one, const char *other)
{
    return strcmp(argument, one) == 0 || strcmp(argument, other) == 0;
}

int main(int count, char **arguments)
{
    cli_talk talk;
    talk_start(&talk);
    nw_error error;
    if (count < 2) {
        nw_fail(&error, NW_BAD_REQUEST,
                "say what to do: 'narrows check', 'outline' or 'pieces'; "
                "'narrows --help' tells more");
        talk_error(&talk, &error);
        return EXIT_BAD;
    }
    if (strcmp(arguments[1], "--version") == 0) {
        return show_version(&talk);
    }
    if (is_either(arguments[1], "--help", "help") || strcmp(arguments[1], "-h") == 0) {
        return show_help(count > 2 ? command_find(arguments[2]) : NULL, &talk);
    }
    const cli_command *command = command_find(arguments[1]);
    if (!command) {
        nw_fail(&error, NW_BAD_REQUEST, "'%s' is no command; 'narrows --help' lists them",
                arguments[1]);
        talk_error(&talk, &error);
        return EXIT_BAD;
    }
    return (int)run_command(command, count - 2, arguments + 2, &talk);
}
