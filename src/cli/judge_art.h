/* judge: loaded art against its job: what a check finds (judge_art.c). Internal to cli. */
#ifndef NARROWS_CLI_JUDGE_ART_H
#define NARROWS_CLI_JUDGE_ART_H

#include <cli/load.h>
#include <cli/ways_print.h>

/* Its parts point to one another and into the art: it must not be moved, and goes first. */
typedef struct {
    nw_drawing bridged; /* the art with the bridges that were asked for, and its region */
    nw_region region;
    nw_fit fit, bare; /* of what is written; of the art without its bridges, for the ways out */
    cli_hold hold;
    nw_report report;
    bool *left; /* of each spot: by choice */
    cli_ways found;
} cli_judged;

/* Says what comes loose, the stock needed, the bridges and the tabs; name: of the art, in the
 * report. */
nw_status art_judge(const char *name, const cli_request *request, cli_art *art, cli_talk *talk,
                    cli_judged *judged, nw_error *error);
void judged_free(cli_judged *judged);

#endif
