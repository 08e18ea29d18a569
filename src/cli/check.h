/* check: of one art (check_art.c) and of many (each.c). Internal to cli. */
#ifndef NARROWS_CLI_CHECK_H
#define NARROWS_CLI_CHECK_H

#include <cli/request.h>

/* What came of one art; fixed size, for it goes from one process to another. */
typedef struct {
    bool fits; /* what was judged */
    size_t unread;
    double width, height;
    size_t gaps, necks;
    double narrowest_gap, narrowest_neck;
    char way[240]; /* the cheapest way out; "": there is none */
} check_result;

/* The last file of a folder to be put in place: where it is new, all are. */
#define CHECK_LAST "spots.json"

/* Who is told what came of the art, and what standard output would get, before any file stands in
 * its folder. */
typedef struct {
    nw_status (*tell)(void *context, const check_result *result, nw_text *output, nw_error *error);
    void *context;
} check_listener;

/* Checks one art and writes its files into the folder. With a listener, which may be NULL, nothing
 * is printed. */
nw_status check_one(const char *path, const char *folder, const cli_request *request,
                    cli_talk *talk, const check_listener *listener, check_result *result,
                    nw_error *error);

/* Checks every art in processes of their own; what goes wrong with one stays there. */
nw_status each_run(const cli_request *request, cli_talk *talk, exit_code *exit, nw_error *error);

#endif
