/* pieces: what the list of pieces and their drawing share. Internal to report. */
#ifndef NARROWS_REPORT_PIECES_H
#define NARROWS_REPORT_PIECES_H

#include <report/report.h>

/* The box of a piece in the drawing's coordinates: its unit, y up, the kept art at the origin. */
nw_box nw_report_piece_box(const nw_pieces_report *report, const nw_piece *piece);

/* Refuses a report that lacks a part. */
nw_status nw_report_pieces_check(const nw_pieces_report *report, nw_error *error);

#endif
