/* main: picks the command, reads its options, runs it, and turns what happened into a status. */
#include <cli/files.h>
#include <cli/stop.h>

#include <limits.h>
#include <string.h>
#ifdef __GLIBC__
#include <malloc.h>

#define MAPPED_LEAST (32 << 20) /* bytes; the largest that glibc takes */
#endif

static exit_code print_and_leave(nw_text *text, cli_talk *talk)
{
    nw_error error;
    if (talk_print(text, &error) == NW_OK)
        return EXIT_FITS;
    talk_error(talk, &error);
    return EXIT_BAD;
}

static exit_code show_help(const cli_command *command, cli_talk *talk)
{
    nw_text text = {0};
    if (command)
        help_write_command(&text, command);
    else
        help_write(&text);
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
    nw_text folder = {0};
    nw_error error = {0};
    exit_code exit = EXIT_FITS;
    nw_status status = request_read(command, count, arguments, &request, &error);
    if (status == NW_OK && !request.help)
        status = output_choose(&request, &folder, &error);
    if (status == NW_OK && request.help) {
        exit = show_help(command, talk);
    } else if (status == NW_OK) {
        talk->quiet = request.quiet;
        talk->verbose = request.verbose;
        threads_use(request.job.threads);
        status = command->run(&request, talk, &exit, &error);
    }
    talk_clear(talk);
    talk->quiet = talk->quiet || status != NW_OK; /* an error stands alone */
    talk_end(talk);
    request_free(&request);
    nw_text_free(&folder);
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

/* Says that there is no such command, and which one may be meant. */
static exit_code command_unknown(const char *name, cli_talk *talk)
{
    const char *meant = NULL;
    size_t nearest = SIZE_MAX;
    for (size_t i = 0; i < cli_command_count; i++)
        if (suggest_nearer(name, cli_commands[i].name, &nearest))
            meant = cli_commands[i].name;
    nw_error error;
    if (meant) {
        nw_fail(&error, NW_BAD_REQUEST, "'%s' is no command; is '%s' meant?", name, meant);
    } else if (*name == '-' || strpbrk(name, "./")) {
        nw_fail(&error, NW_BAD_REQUEST,
                "'%s' is no command; the command comes first, as in 'narrows check %s%s'", name,
                *name == '-' ? "ART " : "", name);
    } else {
        nw_fail(&error, NW_BAD_REQUEST, "'%s' is no command; 'narrows --help' lists them", name);
    }
    talk_error(talk, &error);
    return EXIT_BAD;
}

static exit_code run(int count, char **arguments)
{
    cli_talk talk;
    talk_start(&talk);
    if (count < 2) {
        nw_error error;
        nw_fail(&error, NW_BAD_REQUEST, "say what to do: 'narrows --help' lists the commands");
        talk_error(&talk, &error);
        return EXIT_BAD;
    }
    if (strcmp(arguments[1], "--version") == 0)
        return show_version(&talk);
    bool help = is_either(arguments[1], "--help", "help") || strcmp(arguments[1], "-h") == 0;
    if (help && count == 2)
        return show_help(NULL, &talk);
    const char *name = arguments[help ? 2 : 1];
    const cli_command *command = command_find(name);
    if (!command)
        return command_unknown(name, &talk);
    return help ? show_help(command, &talk) : run_command(command, count - 2, arguments + 2, &talk);
}

/* What is freed stays at hand for what comes next: pages that went back to the system, and that it
 * clears anew, were a quarter of the check of a scan. */
static void memory_keep(void)
{
#ifdef __GLIBC__
    mallopt(M_MMAP_THRESHOLD, MAPPED_LEAST);
    mallopt(M_TRIM_THRESHOLD, INT_MAX);
#endif
}

int main(int count, char **arguments)
{
    stop_watch();
    memory_keep();
    return stop_leave((int)run(count, arguments));
}
