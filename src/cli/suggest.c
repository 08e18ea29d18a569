/*
 * suggest: the known word nearest to one that is not known, by the least number of letters that
 * must be put in, left out, changed, or swapped with their neighbour (optimal string alignment;
 * Damerau, CACM 7(3):171-176, 1964). For options also what else they might be called.
 */
#include <cli/request.h>

#include <string.h>

#define LONGEST 24
#define FARTHEST 2 /* changes; beyond, it is another word */

static size_t least(size_t a, size_t b)
{
    return a < b ? a : b;
}

static size_t distance(const char *a, const char *b)
{
    size_t n = strlen(a), m = strlen(b);
    size_t rows[LONGEST + 1][LONGEST + 1];
    if (n > LONGEST || m > LONGEST)
        return LONGEST;
    for (size_t i = 0; i <= n; i++) {
        for (size_t k = 0; k <= m; k++) {
            if (i == 0 || k == 0) {
                rows[i][k] = i + k;
                continue;
            }
            rows[i][k] = least(least(rows[i - 1][k], rows[i][k - 1]) + 1,
                               rows[i - 1][k - 1] + (a[i - 1] != b[k - 1]));
            if (i > 1 && k > 1 && a[i - 1] == b[k - 2] && a[i - 2] == b[k - 1])
                rows[i][k] = least(rows[i][k], rows[i - 2][k - 2] + 1);
        }
    }
    return rows[n][m];
}

bool suggest_nearer(const char *word, const char *candidate, size_t *nearest)
{
    size_t away = distance(word, candidate);
    if (away > FARTHEST || away >= strlen(word) || away >= *nearest)
        return false;
    *nearest = away;
    return true;
}

/* Another word for one of the command's options; NULL where it is none. */
static const cli_option *option_by_other_word(const cli_command *command, const char *word)
{
    static const struct {
        const char *word, *option;
    } others[] = {{"output", "o"},      {"out", "o"},           {"width", "wide"},
                  {"size", "wide"},     {"height", "high"},     {"dpi", "ppi"},
                  {"rotate", "turn"},   {"flip", "mirror"},     {"invert", "ink"},
                  {"color", "ink"},     {"colour", "ink"},      {"threshold", "level"},
                  {"diameter", "bit"},  {"tool", "bit"},        {"cutter", "bit"},
                  {"mill", "bit"},      {"thickness", "stock"}, {"bits", "rack"},
                  {"parallel", "jobs"}, {"silent", "quiet"},    {"details", "verbose"}};
    for (size_t i = 0; i < sizeof others / sizeof *others; i++) {
        if (strcmp(others[i].word, word) == 0) {
            const cli_option *option = option_find(others[i].option, strlen(others[i].option));
            return option->commands & command->mask ? option : NULL;
        }
    }
    return NULL;
}

const cli_option *suggest_option(const cli_command *command, const char *argument)
{
    const char *word = argument + strspn(argument, "-");
    const cli_option *meant = option_by_other_word(command, word);
    size_t nearest = meant ? 0 : SIZE_MAX;
    for (size_t i = 0; i < cli_option_count; i++)
        if ((cli_options[i].commands & command->mask) &&
            suggest_nearer(word, cli_options[i].name, &nearest))
            meant = &cli_options[i];
    return meant;
}
