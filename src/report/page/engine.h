/* engine: what the page's engine has in hand. Internal to page. */
#ifndef NARROWS_REPORT_PAGE_ENGINE_H
#define NARROWS_REPORT_PAGE_ENGINE_H

#include <report/page/page_numbers.h>
#include <report/report.h>

#define EXPORT(name) __attribute__((export_name(#name))) name

#define NW_PAGE_CHANGE_TEXTS 6

typedef struct {
    nw_art_options options; /* how art is made of a picture */
    nw_text keep, drop;     /* words of the options */
    nw_art loaded;          /* what it is made to, its drawing's outlines too */
    const char *art;        /* its name */
    bool inch;              /* words in inches */
    nw_drawing whole, kept; /* as handed in; at the size asked for, without what was left out */
    double shape[4];        /* where the kept art's corner was in the whole; its size */
    double factor;          /* of the size that was handed in */
    double sure;            /* mm to which its picture tells a width there */
    nw_unread unread;       /* what the verdict is not about */
    nw_region region;
    nw_fitter *fitter;
    nw_fit_options fitted; /* whose cut and stock it is for */
    nw_fit fit;
    nw_discs *discs;
    nw_cut discs_cut;
    double disc[5];
    nw_rack rack;
    nw_way_line lines[NW_WAY_LINES]; /* the ways out of the fit */
    nw_text room;                    /* what there is when it fits */
    nw_tabs found_tabs;              /* of the fit; no places before they were asked for */
    nw_held held;                    /* the same for the marked drawing */
    nw_drawing tabs;                 /* their lines across the cut */
    double loose[2];                 /* what comes loose: how many, their area */
    nw_page_numbers numbers;         /* the last answer */
    bool neck_from_stock;
    nw_text change[NW_PAGE_CHANGE_TEXTS]; /* what widening did (engine_widen.c) */
    nw_text text;
    nw_error error;
} page;

/* Forgets the tabs of a fit that goes. */
void nw_page_tabs_free(page *p);

/* Finds what comes loose (engine_hold.c). */
void nw_page_loose_find(page *p, nw_cut cut);

/* What the words are told of. */
nw_report nw_page_report(const page *p);

#endif
