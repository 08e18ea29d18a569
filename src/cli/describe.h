/* describe: what the build makes from the tables of commands and options. Internal to cli. */
#ifndef NARROWS_CLI_DESCRIBE_H
#define NARROWS_CLI_DESCRIBE_H

#include <cli/cli.h>

/* The man page of one command, or with NULL of all. Every @WORD@ of the template is replaced: some
 * by what the tables say, the others by what stands below the line @WORD@ in shared, which lists
 * texts that pages have in common. Fails on a word that neither knows (describe_man.c). */
nw_status describe_man(const char *template, const char *shared, const cli_command *command,
                       nw_text *text, nw_error *error);

/* The shells' completions (describe_shell.c). */
void describe_bash(nw_text *text);
void describe_zsh(nw_text *text);

#endif
