/* engine: what the page's engine has in hand. Internal to engine. */
#ifndef NARROWS_CLI_ENGINE_H
#define NARROWS_CLI_ENGINE_H

#include <cli/files.h>
#include <cli/spot_choice.h>
#include <cli/ways_print.h>

enum { CHANGE_WORDS, CHANGE_BEFORE, CHANGE_ADDED, CHANGE_REMOVED, FIXED_SVG, FIXED_DXF, CHANGES };

typedef struct {
    cli_request request; /* what is asked, as the command has it */
    nw_text words;       /* that it was read from */
    const char *fault;   /* the option whose value cannot be read; else "" */
    nw_text name;        /* the art's */
    nw_art loaded;       /* art, made as the request says */
    nw_text told; /* notes on the art: of each its weight's digit and the words, with a NUL */
    nw_drawing whole, kept; /* as handed in; at the size asked for, without what was left out */
    double shape[4];        /* where the kept art's corner was in the whole; its size */
    double factor;          /* of the size that was handed in */
    double sure;            /* mm to which its picture tells a width there */
    nw_unread unread;       /* what the verdict is not about */
    nw_pieces pieces;       /* by number, what they were taken for */
    nw_region region;
    nw_drawing bridged; /* kept with the bridges asked for, and its region; empty: none are */
    nw_region bridged_region;
    nw_fitter *fitter; /* of what is judged */
    nw_fit fit;
    nw_text spots;   /* what --spots says of them */
    double *choices; /* CHOICE numbers each, as page_choices takes them */
    size_t choice_count;
    nw_remedy *remedies; /* of each spot; NULL: nothing was chosen */
    bool *left;
    nw_discs *discs;
    nw_cut discs_cut;
    double disc[5];
    cli_ways found; /* the rack and the ways out of the fit */
    nw_way_line lines[NW_WAY_LINES];
    nw_text room;  /* what there is when it fits */
    cli_talk talk; /* notes on what is shown */
    cli_hold hold; /* of what is shown */
    double held[12];
    nw_page_numbers numbers; /* the last answer */
    nw_text change[CHANGES]; /* what widening did */
    nw_text text;
    nw_error error;
} page;

/* The bridges, what comes loose, the stock needed, with what was noted on the way to the art
 * (engine_hold.c). */
nw_status engine_hold(page *p);
nw_status engine_tabs(page *p);
void engine_hold_free(page *p);

/* What is judged: the art, with the bridges that the last whole fit was asked for
 * (engine_judged.c). */
const nw_drawing *engine_drawing(const page *p);
const nw_region *engine_region(const page *p);
void engine_fitter_free(page *p);

/* What the reports are told. */
nw_report engine_report(const page *p);

/* What was chosen for the spots of the last fit (engine_spots.c). */
nw_status engine_choose(page *p);

#endif
