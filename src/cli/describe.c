/*
 * describe: run by the build, never installed. Writes the man page and the shells' completions
 * from the tables of commands and options, so that they cannot tell another story.
 *
 *   describe man TEMPLATE | describe bash | describe zsh
 */
#include "request.h"

#include <stdio.h>
#include <string.h>

#define LARGEST_TEMPLATE 1000000

/* ---- the man page --------------------------------------------------------------------------- */

/* Text for roff: dashes that stay dashes, no accidental requests. */
static void roff(nw_text *text, const char *words)
{
    if (*words == '.' || *words == '\'') {
        nw_text_add(text, "\\&");
    }
    for (; *words; words++) {
        if (*words == '-' || *words == '\\') {
            nw_text_add(text, *words == '-' ? "\\-" : "\\e");
        } else {
            nw_text_add_bytes(text, words, 1);
        }
    }
}

static void man_synopsis(nw_text *text)
{
    for (size_t i = 0; i < cli_command_count; i++) {
        nw_text_format(text, ".B narrows %s\n", cli_commands[i].name);
        roff(text, cli_commands[i].usage);
        nw_text_add(text, "\n.br\n");
    }
}

static void man_commands(nw_text *text)
{
    for (size_t i = 0; i < cli_command_count; i++) {
        nw_text_format(text, ".TP\n.B %s\n", cli_commands[i].name);
        roff(text, cli_commands[i].about);
        nw_text_add(text, "\n");
    }
}

/* The names of the commands that take the option, unless all do. */
static void man_takers(nw_text *text, const cli_option *option)
{
    bool all = true, first = true;
    for (size_t i = 0; i < cli_command_count; i++) {
        all = all && (option->commands & cli_commands[i].mask);
    }
    for (size_t i = 0; i < cli_command_count && !all; i++) {
        if (option->commands & cli_commands[i].mask) {
            nw_text_format(text, "%s%s", first ? " [" : ", ", cli_commands[i].name);
            first = false;
        }
    }
    nw_text_add(text, all ? "" : "]");
}

static void man_option(nw_text *text, const cli_option *option)
{
    nw_text_add(text, ".TP\n.BI ");
    roff(text, option_dashes(option));
    roff(text, option->name);
    if (option->argument) {
        nw_text_format(text, " \" %s\"", option->argument);
    }
    nw_text_add(text, "\n");
    roff(text, option->help);
    man_takers(text, option);
    nw_text_add(text, "\n");
}

static void man_options(nw_text *text)
{
    for (option_group group = 0; group < GROUP_COUNT; group++) {
        nw_text_format(text, ".SS %s\n", option_group_name(group));
        for (size_t i = 0; i < cli_option_count; i++) {
            if (cli_options[i].group == group) {
                man_option(text, &cli_options[i]);
            }
        }
    }
}

static void man_version(nw_text *text)
{
    nw_text_add(text, NW_VERSION);
}

/* The template with every @WORD@ replaced. */
static void man_fill(nw_text *text, const char *template, size_t length)
{
    static const struct {
        const char *word;
        void (*write)(nw_text *text);
    } words[] = {{"@VERSION@", man_version},
                 {"@SYNOPSIS@", man_synopsis},
                 {"@COMMANDS@", man_commands},
                 {"@OPTIONS@", man_options}};
    const char *end = template + length;
    while (template <end) {
        const char *rest = template + 1;
        for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
            size_t size = strlen(words[i].word);
            if ((size_t)(end - template) >= size && memcmp(template, words[i].word, size) == 0) {
                words[i].write(text);
                rest = template + size;
            }
        }
        if (rest == template + 1) {
            nw_text_add_bytes(text, template, 1);
        }
        template = rest;
    }
}

/* ---- completions ---------------------------------------------------------------------------- */

static void bash_case(nw_text *text, const cli_command *command)
{
    nw_text_format(text, "    %s) options='", command->name);
    for (size_t i = 0; i < cli_option_count; i++) {
        const cli_option *option = &cli_options[i];
        if (option->commands & command->mask) {
            nw_text_format(text, "%s%s ", option_dashes(option), option->name);
        }
    }
    nw_text_add(text, "' ;;\n");
}

static void bash(nw_text *text)
{
    nw_text_add(text, "# bash completion for narrows\n"
                      "_narrows()\n{\n"
                      "  local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]} "
                      "options=\n"
                      "  COMPREPLY=()\n"
                      "  case $before in\n");
    for (size_t i = 0; i < cli_option_count; i++) {
        const cli_option *option = &cli_options[i];
        if (option->choices) {
            nw_text_format(text,
                           "    --%s) COMPREPLY=($(compgen -W '%s' -- \"$word\")); return ;;\n",
                           option->name, option->choices);
        }
    }
    nw_text_add(text, "  esac\n  case ${COMP_WORDS[1]} in\n");
    for (size_t i = 0; i < cli_command_count; i++) {
        bash_case(text, &cli_commands[i]);
    }
    nw_text_add(text, "  esac\n"
                      "  if [ \"$COMP_CWORD\" = 1 ]; then\n    COMPREPLY=($(compgen -W '");
    for (size_t i = 0; i < cli_command_count; i++) {
        nw_text_format(text, "%s ", cli_commands[i].name);
    }
    nw_text_add(text, "--help --version' -- \"$word\"))\n"
                      "  elif [ \"${word#-}\" != \"$word\" ]; then\n"
                      "    COMPREPLY=($(compgen -W \"$options\" -- \"$word\"))\n"
                      "  fi\n}\n"
                      "complete -o default -F _narrows narrows\n");
}

/* A description within _arguments' brackets within single quotes. */
static void zsh_words(nw_text *text, const char *words)
{
    for (; *words; words++) {
        if (*words == '\'') {
            nw_text_add(text, "'\\''");
        } else {
            nw_text_add(text, strchr("[]:\\", *words) ? "\\" : "");
            nw_text_add_bytes(text, words, 1);
        }
    }
}

static void zsh_option(nw_text *text, const cli_option *option)
{
    nw_text_format(text, "        '%s%s[", option_dashes(option), option->name);
    zsh_words(text, option->help);
    nw_text_add(text, "]");
    if (option->choices) {
        nw_text_format(text, ":%s:(%s)", option->argument, option->choices);
    } else if (option->argument) {
        nw_text_format(text, ":%s:%s", option->argument,
                       strcmp(option->argument, "PATH") == 0 ? "_files" : " ");
    }
    nw_text_add(text, "' \\\n");
}

static void zsh(nw_text *text)
{
    nw_text_add(text, "#compdef narrows\n"
                      "if (( CURRENT == 2 )); then\n  _values command");
    for (size_t i = 0; i < cli_command_count; i++) {
        nw_text_format(text, " \\\n    '%s[", cli_commands[i].name);
        zsh_words(text, cli_commands[i].summary);
        nw_text_add(text, "]'");
    }
    nw_text_add(text, "\nelse\n  local command=$words[2]\n  shift words\n  (( CURRENT-- ))\n"
                      "  case $command in\n");
    for (size_t i = 0; i < cli_command_count; i++) {
        nw_text_format(text, "    %s)\n      _arguments -s \\\n", cli_commands[i].name);
        for (size_t k = 0; k < cli_option_count; k++) {
            if (cli_options[k].commands & cli_commands[i].mask) {
                zsh_option(text, &cli_options[k]);
            }
        }
        nw_text_add(text, "        '*:ART:_files' ;;\n");
    }
    nw_text_add(text, "  esac\nfi\n");
}

int main(int count, char **arguments)
{
    nw_text text = {0};
    nw_error error = {0};
    nw_status status = NW_BAD_REQUEST;
    if (count == 3 && strcmp(arguments[1], "man") == 0) {
        nw_bytes template;
        status = nw_file_read(arguments[2], LARGEST_TEMPLATE, &template, &error);
        if (status == NW_OK) {
            man_fill(&text, (const char *)template.data, template.length);
            nw_bytes_free(&template);
        }
    } else if (count == 2 && strcmp(arguments[1], "bash") == 0) {
        status = NW_OK;
        bash(&text);
    } else if (count == 2 && strcmp(arguments[1], "zsh") == 0) {
        status = NW_OK;
        zsh(&text);
    }
    if (status == NW_OK) {
        status = talk_print(&text, &error);
    }
    if (status != NW_OK) {
        fprintf(stderr, "describe: %s\n", error.message);
    }
    return status == NW_OK ? 0 : 1;
}
