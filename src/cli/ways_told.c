/* told: the ways out as the commands print them, with the user's words in the commands that they
 * name. */
#include <cli/ways_print.h>

#include <string.h>

/* ---- the user's words again ----------------------------------------------------------------- */

/* A word as a POSIX shell takes it back. */
static void add_quoted(nw_text *text, const char *word)
{
    static const char plain[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789"
                                "_-+=./,:@%";
    if (*word && strspn(word, plain) == strlen(word)) {
        nw_text_add(text, word);
        return;
    }
    nw_text quoted = {0};
    nw_text_add(&quoted, "'");
    for (; *word; word++)
        nw_text_add_bytes(&quoted, *word == '\'' ? "'\\''" : word, *word == '\'' ? 4 : 1);
    nw_text_add(&quoted, "'");
    talk_add_line(text, nw_text_string(&quoted));
    text->failed = text->failed || quoted.failed;
    nw_text_free(&quoted);
}

static bool option_is(const cli_option *option, const char *const *names)
{
    for (; *names; names++)
        if (strcmp(option->name, *names) == 0)
            return true;
    return false;
}

/* Adds an option as it was given. */
static void word_again(const cli_request *request, size_t option, nw_text *text)
{
    nw_text_add(text, text->length ? " " : "");
    nw_text_format(text, "%s%s", option_dashes(&cli_options[option]), cli_options[option].name);
    if (cli_options[option].argument) {
        nw_text_add(text, " ");
        add_quoted(text, request->texts[option]);
    }
}

/* The options that were given and are among names. */
static void words_among(const cli_request *request, const char *const *names, nw_text *text)
{
    for (size_t i = 0; i < cli_option_count; i++)
        if (request->texts[i] && option_is(&cli_options[i], names))
            word_again(request, i, text);
}

/* All else that was given and that a command takes; how this one was to answer is no matter of that
 * one, nor are bridges, which the ways know nothing of. */
static void words_same(const cli_request *request, unsigned mask, nw_text *text)
{
    static const char *const changing[] = {"wide",      "high",       "ppi",    "bit",
                                           "blunt",     "stock-size", "bridge", "bridge-count",
                                           "bridge-at", "margin",     "drop",   NULL};
    for (size_t i = 0; i < cli_option_count; i++) {
        const cli_option *option = &cli_options[i];
        if (request->texts[i] && (option->commands & mask) && option->group != GROUP_RUN &&
            !option_is(option, changing))
            word_again(request, i, text);
    }
}

/* A path as a shell takes it back, and a command for no option. */
static void add_path(nw_text *text, const char *path)
{
    if (path[0] == '-' && path[1])
        nw_text_add(text, "./");
    add_quoted(text, path);
}

/* ---- the ways out --------------------------------------------------------------------------- */

typedef enum {
    ART,
    DROP,
    CHECKED,
    WIDENED,
    SIZE,
    ONE_BIT,
    BLUNT,
    SHEET,
    MARGIN,
    FOLDER,
    WORDS
} ways_word;

static bool words_fill(const cli_request *request, const char *path, const char *folder,
                       nw_text words[WORDS])
{
    static const char *const again[WORDS][4] = {
        [DROP] = {"drop"},   [SIZE] = {"wide", "high", "ppi"}, [ONE_BIT] = {"bit"},
        [BLUNT] = {"blunt"}, [SHEET] = {"stock-size"},         [MARGIN] = {"margin"}};
    bool failed = false;
    add_path(&words[ART], path);
    words_same(request, CHECK, &words[CHECKED]);
    words_same(request, WIDEN, &words[WIDENED]);
    if (folder)
        add_path(&words[FOLDER], folder);
    for (int k = 0; k < WORDS; k++) {
        words_among(request, again[k], &words[k]);
        failed = failed || words[k].failed;
    }
    return !failed;
}

/* What the ways are told of; words must last as long. */
static nw_ways_report report_of(const cli_request *request, const cli_ways *found,
                                const nw_text words[WORDS])
{
    return (nw_ways_report){.ways = &found->ways,
                            .rack = &found->rack,
                            .fit = found->fit,
                            .art = nw_text_string(&words[ART]),
                            .drop = nw_text_string(&words[DROP]),
                            .check = nw_text_string(&words[CHECKED]),
                            .widen = nw_text_string(&words[WIDENED]),
                            .size = nw_text_string(&words[SIZE]),
                            .bit = nw_text_string(&words[ONE_BIT]),
                            .blunt = nw_text_string(&words[BLUNT]),
                            .sheet = nw_text_string(&words[SHEET]),
                            .margin = nw_text_string(&words[MARGIN]),
                            .folder = words[FOLDER].data,
                            .inch = request->inch,
                            .named = &option_words};
}

nw_status ways_tell(const cli_request *request, const char *path, const char *folder,
                    const cli_ways *found, nw_text *paragraph, nw_way_line *lines, nw_error *error)
{
    nw_text words[WORDS] = {{0}};
    nw_status status = nw_fail_memory(error, "the ways out");
    if (words_fill(request, path, folder, words)) {
        nw_ways_report report = report_of(request, found, words);
        status = paragraph ? nw_write_ways(&report, paragraph, error)
                           : nw_ways_lines(&report, lines, error);
    }
    for (int k = 0; k < WORDS; k++)
        nw_text_free(&words[k]);
    return status;
}

nw_status ways_less(const cli_request *request, const nw_drawing *drawing, const nw_pieces *pieces,
                    cli_ways *found, nw_error *error)
{
    const nw_art_options *art = &request->art;
    nw_point size = {art->wide, art->high};
    return art->keep ? NW_OK
                     : nw_ways_without(drawing, pieces, size, found->fit, &found->ways, error);
}
