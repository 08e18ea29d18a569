/*
 * trace: ink -> outlines in pixels, y up: sub-pixel places where there are grey levels.
 */
#ifndef NARROWS_TRACE_H
#define NARROWS_TRACE_H

#include <geom/geom.h>
#include <picture/picture.h>
#include <pieces/pieces.h>

/* smooth_px: up to its default it is used only where the picture's places scatter, more is used in
 * full. By default it is a six thousandth of the picture's shorter side for places that scatter,
 * where that is more. Without grey levels it is what curves may leave the smoothest outline between
 * the pixels' middles; the notes say how far they go. `bounded` asks for outlines within smooth_px
 * of the pixels' edges all the same; less than about 0.6 pixel cannot always be held then. */
typedef struct {
    double smooth_px; /* how far an outline may leave the picture to become simpler, in pixels */
    bool bounded;     /* hold to smooth_px without grey levels too */
    double least_px; /* by grey levels, outlines round less than this area go: crumbs of what tapers
                      * below a pixel; 0: all stay */
    bool grey;       /* use the grey levels for sub-pixel places where the picture has them */
    const nw_pieces
        *pieces; /* of this ink, whose numbers the outlines get, of those that are kept; so what is
                  * dropped changes no outline of the others. NULL: all, and they count anew */
} nw_trace_options;

NW_API nw_trace_options nw_trace_defaults(void);

typedef struct {
    bool grey;         /* the grey levels gave sub-pixel places */
    bool too_rough;    /* without grey levels: curves through the boundary, as rough as noise, cross
                          and cannot be taken apart; the outlines are libpotrace's, or where narrows
                          was built without it (the page's engine) united anew */
    double largest_px; /* largest distance between the outline and the boundary that it was traced
                          from: sub-pixel places (but not at corners, which pixels round off and
                          tracing carries on to their tips), or the pixels' own edges */
    double tips_px; /* with grey levels: how far the tips of corners under 80 degrees are carried on
                       beyond these places, by half of what the shorter edge shows of its way at
                       most; pixels fade where a tip tapers */
} nw_trace_notes;

/* Traces the ink to smooth outlines, in pixel units turned y up, moved so that the art's box
 * starts at the origin. picture may be NULL (no grey levels). notes may be NULL. */
NW_API nw_status nw_drawing_trace(const nw_ink *ink, const nw_picture *picture,
                                  const nw_trace_options *options, nw_drawing *drawing,
                                  nw_trace_notes *notes, nw_error *error);

#ifdef NARROWS_INSIDE
#include <trace/tracing.h>
#endif

#endif
