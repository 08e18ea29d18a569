/* What is cut, with which bit, from which sheet, and what holds what comes loose. */
#ifndef NARROWS_ART_JOB_H
#define NARROWS_ART_JOB_H

#include <change/change.h>
#include <choose/choose.h>

/* Lengths are millimetres; 0: not given. */
typedef struct {
    nw_cut cut;
    double bit;
    double neck;   /* least width of stock that may be left; else it follows bit and stock */
    double stock;  /* its thickness */
    double blunt;  /* as in nw_fit_options; below 0: not given, 0: no tip is a corner */
    double margin; /* room for clamps on every side of the art */
    double sheet_width, sheet_height; /* of the stock; 0: it has no end */
    double bridge;                    /* width of bridges; 0: none are wanted */
    size_t bridge_count;              /* on each piece; 0: by size */
    nw_places bridge_at;              /* where they are wanted, as tab_at below */
    bool tabs;                        /* wanted */
    size_t tab_count;                 /* on each piece; 0: by perimeter and weight */
    double tab_width;
    nw_places tab_at; /* where tabs are wanted, and nowhere else; none: by themselves */
    int threads;      /* 0: as many as there are cores */
} nw_job;

/* Cut inside, nothing given. */
NW_API nw_job nw_job_defaults(void);

/* What a fit is asked for, shapes included. */
NW_API nw_fit_options nw_job_fit_options(const nw_job *job);

/* The least neck is the stock's thickness, for nobody gave another. */
NW_API bool nw_job_neck_from_stock(const nw_job *job);

/* Beyond the art on every side: the margin, and outside the bit, which runs round the art. */
NW_API double nw_job_beyond(const nw_job *job);

/* Width and height of the stock that the drawing needs; and whether the sheet has them, to a
 * thousandth of a millimetre. */
#define NW_SHEET_SLACK_MM 0.001
NW_API nw_point nw_job_need(const nw_job *job, const nw_drawing *drawing);
NW_API bool nw_job_sheet_holds(const nw_job *job, nw_point need);

/* ---- what comes loose, and what holds it ----------------------------------------------------- */

/* Start from {0}; free with nw_hold_free. */
typedef struct {
    nw_loose_list loose;
    nw_bridged bridged; /* its drawing was handed on */
    nw_tabs tabs;
    nw_drawing tab_lines; /* across the cut */
} nw_hold;

/* What comes loose when the region is cut; nothing does in a pocket. */
NW_API nw_status nw_hold_loose(const nw_job *job, const nw_region *region, nw_hold *hold,
                               nw_error *error);

/* Adds the job's bridges to the drawing; changes nothing when it wants none. */
NW_API nw_status nw_hold_bridge(const nw_job *job, nw_drawing *drawing, nw_hold *hold,
                                nw_error *error);

/* The job's tabs, for the fit of the region. */
NW_API nw_status nw_hold_tabs(const nw_job *job, const nw_region *region, const nw_fit *fit,
                              nw_hold *hold, nw_error *error);
NW_API void nw_hold_free(nw_hold *hold);

#endif
