/* describe_shell: the completions for bash and zsh, from the tables of commands and options. */
#include "describe.h"

#include <string.h>

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

void describe_bash(nw_text *text)
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

void describe_zsh(nw_text *text)
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
