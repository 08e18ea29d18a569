/* describe_shell: the completions for bash and zsh, from the tables of commands and options. */
#include <cli/describe.h>
#include <cli/request.h>

#include <string.h>

/* Whether the option's value is the name of a file or a folder. */
static bool names_file(const cli_option *option)
{
    return option->argument &&
           (strcmp(option->argument, "FILE") == 0 || strcmp(option->argument, "PATH") == 0);
}

static void command_names(nw_text *text)
{
    for (size_t i = 0; i < cli_command_count; i++)
        nw_text_format(text, "%s ", cli_commands[i].name);
}

/* What is offered for an option's value: its words, files, or nothing, for a length is no file. */
static void bash_value(nw_text *text, const cli_option *option)
{
    nw_text_format(text, "    %s%s) ", option_dashes(option), option->name);
    if (option->choices)
        nw_text_format(text, "COMPREPLY=($(compgen -W '%s' -- \"$word\")); ", option->choices);
    nw_text_add(text, names_file(option) ? "return ;;\n" : "compopt +o default; return ;;\n");
}

static void bash_case(nw_text *text, const cli_command *command)
{
    nw_text_format(text, "    %s) options='", command->name);
    for (size_t i = 0; i < cli_option_count; i++) {
        const cli_option *option = &cli_options[i];
        if (option->commands & command->mask)
            nw_text_format(text, "%s%s ", option_dashes(option), option->name);
    }
    nw_text_add(text, "' ;;\n");
}

/* bash cuts --option=value into three words. */
void describe_bash(nw_text *text)
{
    nw_text_add(text, "# bash completion for narrows\n"
                      "_narrows()\n{\n"
                      "  local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]} "
                      "options=\n"
                      "  COMPREPLY=()\n"
                      "  if [ \"$word\" = = ]; then\n    word=\n"
                      "  elif [ \"$before\" = = ]; then\n"
                      "    before=${COMP_WORDS[COMP_CWORD-2]}\n  fi\n"
                      "  case $before in\n");
    for (size_t i = 0; i < cli_option_count; i++)
        if (cli_options[i].argument)
            bash_value(text, &cli_options[i]);
    nw_text_add(text, "  esac\n  case ${COMP_WORDS[1]} in\n");
    for (size_t i = 0; i < cli_command_count; i++)
        bash_case(text, &cli_commands[i]);
    nw_text_add(text, "    help|--help) [ \"$COMP_CWORD\" = 2 ] && COMPREPLY=($(compgen -W '");
    command_names(text);
    nw_text_add(text, "' -- \"$word\")); compopt +o default; return ;;\n"
                      "  esac\n"
                      "  if [ \"$COMP_CWORD\" = 1 ]; then\n    COMPREPLY=($(compgen -W '");
    command_names(text);
    nw_text_add(text, "help --help --version' -- \"$word\"))\n"
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

/* The = or + behind the name says that the value may also follow without a space. */
static void zsh_option(nw_text *text, const cli_option *option)
{
    const char *joined = !option->argument ? "" : option->name[1] ? "=" : "+";
    nw_text_format(text, "        '%s%s%s[", option_dashes(option), option->name, joined);
    zsh_words(text, option->help);
    nw_text_add(text, "]");
    if (option->choices)
        nw_text_format(text, ":%s:(%s)", option->argument, option->choices);
    else if (option->argument)
        nw_text_format(text, ":%s:%s", option->argument, names_file(option) ? "_files" : " ");
    nw_text_add(text, "' \\\n");
}

void describe_zsh(nw_text *text)
{
    nw_text_add(text, "#compdef narrows\n"
                      "if (( CURRENT == 2 )) || { (( CURRENT == 3 )) && "
                      "[[ $words[2] == (--|)help ]] }; then\n  _values command");
    for (size_t i = 0; i < cli_command_count; i++) {
        nw_text_format(text, " \\\n    '%s[", cli_commands[i].name);
        zsh_words(text, cli_commands[i].summary);
        nw_text_add(text, "]'");
    }
    nw_text_add(text, "\nelse\n  local command=$words[2]\n  shift words\n  (( CURRENT-- ))\n"
                      "  case $command in\n");
    for (size_t i = 0; i < cli_command_count; i++) {
        nw_text_format(text, "    %s)\n      _arguments -s \\\n", cli_commands[i].name);
        for (size_t k = 0; k < cli_option_count; k++)
            if (cli_options[k].commands & cli_commands[i].mask)
                zsh_option(text, &cli_options[k]);
        nw_text_format(text, "        '%s:ART:_files' ;;\n", cli_commands[i].many ? "*" : "");
    }
    nw_text_add(text, "  esac\nfi\n");
}
