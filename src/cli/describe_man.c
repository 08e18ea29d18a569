/*
 * describe_man: the man pages, for man(7) of groff and mandoc, from templates and the tables of
 * commands and options.
 */
#include <cli/describe.h>
#include <cli/request.h>

#include <string.h>

/* What a page is made of. */
typedef struct {
    const char *shared;
    const cli_command *command; /* NULL: all of them */
    nw_text *text;
} man_page;

/* Text for roff: dashes that stay dashes, no accidental requests. */
static void roff(nw_text *text, const char *words)
{
    if (*words == '.' || *words == '\'')
        nw_text_add(text, "\\&");
    for (; *words; words++)
        if (*words == '-' || *words == '\\')
            nw_text_add(text, *words == '-' ? "\\-" : "\\e");
        else
            nw_text_add_bytes(text, words, 1);
}

/* The same for a usage, of which no line ends within brackets. */
static void roff_usage(nw_text *text, const char *usage)
{
    bool within = false;
    for (; *usage; usage++) {
        within = *usage == '[' || (within && *usage != ']');
        if (*usage == '-' || (within && *usage == ' '))
            nw_text_add(text, "\\");
        nw_text_add_bytes(text, usage, 1);
    }
}

static void man_version(const man_page *page)
{
    nw_text_add(page->text, NW_VERSION);
}

static void man_synopsis(const man_page *page)
{
    const cli_command *only = page->command;
    for (size_t i = 0; i < cli_command_count; i++) {
        const cli_command *command = &cli_commands[i];
        if (only && command != only)
            continue;
        nw_text_format(page->text, ".B narrows %s\n", command->name);
        roff_usage(page->text, command->usage);
        nw_text_add(page->text, only || i + 1 == cli_command_count ? "" : "\n.br\n");
    }
}

static void man_about(const man_page *page)
{
    roff(page->text, page->command ? page->command->about : "");
}

static void man_commands(const man_page *page)
{
    for (size_t i = 0; i < cli_command_count; i++) {
        nw_text_format(page->text, "%s.TP\n.BR narrows\\-%s (1)\n", i ? "\n" : "",
                       cli_commands[i].name);
        roff(page->text, cli_commands[i].about);
    }
}

/* ---- options -------------------------------------------------------------------------------- */

/* The names of the commands that take the option, unless all do. */
static void man_takers(nw_text *text, const cli_option *option)
{
    bool all = true, first = true;
    for (size_t i = 0; i < cli_command_count; i++)
        all = all && (option->commands & cli_commands[i].mask);
    for (size_t i = 0; i < cli_command_count && !all; i++) {
        if (option->commands & cli_commands[i].mask) {
            nw_text_format(text, "%s%s", first ? " [" : ", ", cli_commands[i].name);
            first = false;
        }
    }
    nw_text_add(text, all ? "" : "]");
}

static void man_option(const man_page *page, const cli_option *option)
{
    nw_text_add(page->text, "\n.TP\n.BI ");
    roff(page->text, option_dashes(option));
    roff(page->text, option->name);
    if (option->argument) {
        nw_text_add(page->text, " \" ");
        roff(page->text, option->argument);
        nw_text_add(page->text, "\"");
    }
    nw_text_add(page->text, "\n");
    roff(page->text, option->help);
    if (!page->command)
        man_takers(page->text, option);
}

static void man_options(const man_page *page)
{
    unsigned mask = page->command ? page->command->mask : ALL_COMMANDS;
    bool started = false;
    for (option_group group = 0; group < GROUP_COUNT; group++) {
        bool headed = false;
        for (size_t i = 0; i < cli_option_count; i++) {
            const cli_option *option = &cli_options[i];
            if (option->group != group || !(option->commands & mask))
                continue;
            if (!headed) {
                nw_text_format(page->text, "%s.SS %s", started ? "\n" : "",
                               option_group_name(group));
                headed = started = true;
            }
            man_option(page, option);
        }
    }
}

/* The other pages. */
static void man_see_also(const man_page *page)
{
    nw_text_add(page->text, page->command ? ".BR narrows (1)" : "");
    bool first = !page->command;
    for (size_t i = 0; i < cli_command_count; i++) {
        if (&cli_commands[i] != page->command) {
            nw_text_format(page->text, "%s.BR narrows\\-%s (1)", first ? "" : ",\n",
                           cli_commands[i].name);
            first = false;
        }
    }
}

/* ---- the template --------------------------------------------------------------------------- */

/* How long the @WORD@ is that begins here; 0 for none. */
static size_t word_length(const char *text)
{
    size_t letters = *text == '@' ? strspn(text + 1, "ABCDEFGHIJKLMNOPQRSTUVWXYZ_") : 0;
    return letters && text[letters + 1] == '@' ? letters + 2 : 0;
}

/* Where the line after this one begins, or the end of the text. */
static const char *line_next(const char *text)
{
    text += strcspn(text, "\n");
    return *text ? text + 1 : text;
}

/* What stands below the line "= WORD" in the shared texts, up to the next such line and without
 * its last line end; NULL for none. */
static const char *shared_find(const char *shared, const char *word, size_t length, size_t *size)
{
    const char *start = shared;
    while (*start && !(strncmp(start, "= ", 2) == 0 && strncmp(start + 2, word, length) == 0 &&
                       start[2 + length] == '\n'))
        start = line_next(start);
    if (!*start)
        return NULL;
    start = line_next(start);
    const char *end = start;
    while (*end && strncmp(end, "= ", 2) != 0)
        end = line_next(end);
    *size = (size_t)(end - start) - (end > start);
    return start;
}

static bool word_write(const man_page *page, const char *word, size_t length)
{
    static const struct {
        const char *word;
        void (*write)(const man_page *page);
    } words[] = {{"@VERSION@", man_version}, {"@SYNOPSIS@", man_synopsis},
                 {"@ABOUT@", man_about},     {"@COMMANDS@", man_commands},
                 {"@OPTIONS@", man_options}, {"@SEE_ALSO@", man_see_also}};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        if (strlen(words[i].word) == length && memcmp(words[i].word, word, length) == 0) {
            words[i].write(page);
            return true;
        }
    }
    return false;
}

/* The text with every @WORD@ replaced; in shared texts only words of the tables stand. */
static bool fill(const man_page *page, const char *text, size_t size, bool nested)
{
    for (const char *end = text + size; text < end;) {
        size_t length = word_length(text), found = 0;
        const char *shared = NULL;
        if (!length) {
            nw_text_add_bytes(page->text, text++, 1);
            continue;
        }
        if (!word_write(page, text, length)) {
            shared = nested ? NULL : shared_find(page->shared, text + 1, length - 2, &found);
            if (!shared || !fill(page, shared, found, true))
                return false;
        }
        text += length;
    }
    return true;
}

nw_status describe_man(const char *template, const char *shared, const cli_command *command,
                       nw_text *text, nw_error *error)
{
    man_page page = {.shared = shared, .command = command, .text = text};
    if (!fill(&page, template, strlen(template), false))
        return nw_fail(error, NW_BAD_INPUT, "a word of the template has no text");
    return text->failed ? nw_fail_memory(error, "the page") : NW_OK;
}
