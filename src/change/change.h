/*
 * change: widening, bridges and tabs.
 */
#ifndef NARROWS_CHANGE_H
#define NARROWS_CHANGE_H

#include <fit/fit.h>

/* What becomes of stubs and misses. */
typedef enum {
    NW_KEEP, /* they stay as they are, and are listed */
    NW_OPEN, /* they are made wide enough */
    NW_TRIM, /* they are taken out of the art; a pinch is closed */
    NW_AS_FORM
} nw_remedy;

typedef struct {
    nw_fit_options fit;
    double ease; /* how much wider than the bit (thicker than the least neck) a pinch becomes, mm */
    nw_remedy stubs, misses;
    /* For each spot of the fit before; NW_AS_FORM: pinches are opened, crumbs trimmed, others as
     * above. NULL: so all are. */
    const nw_remedy *remedies;
    size_t remedy_count;
    double more; /* times the usual work that may be done before the best so far stands; 0: once */
} nw_widen_options;

NW_API nw_widen_options nw_widen_defaults(void);

/* What is to become of this spot, number i of the fit before. */
NW_API nw_remedy nw_spot_remedy(const nw_widen_options *options, size_t i, const nw_spot *spot);

typedef enum {
    NW_WIDENED,  /* no longer a spot */
    NW_LEFT,     /* kept */
    NW_GONE,     /* to be kept, but no longer a spot: it went with what was changed beside it */
    NW_CONFLICT, /* widening it would harm its surroundings: see factor */
    NW_STUCK     /* tried without success */
} nw_outcome;

typedef struct {
    nw_outcome outcome;
    double factor; /* NW_CONFLICT: at this many times the size there is room; 0: not known */
    bool swept;    /* NW_WIDENED by a disc run along it, for its nodes could not be moved so */
    bool yielded;  /* NW_WIDENED, a miss that was dropped to make way for a pinch */
    bool undone;   /* NW_CONFLICT or NW_STUCK, though a way was found: too many beside it stay */
} nw_widen_note;

typedef struct {
    nw_drawing drawing; /* the outlines, widened */
    nw_fit before, after;
    nw_point corner;      /* in the places of before, where those of drawing and after have 0, 0 */
    nw_widen_note *notes; /* one for each spot of before */
    double area_added, area_removed; /* of the art, mm² */
    size_t dropped;                  /* outlines that are no more: of pieces and holes taken out */
    double largest_move;             /* of any other outline, mm */
    bool cut_short;                  /* places may be left that more work would have widened */
    size_t pieces_before, pieces_after, holes_before, holes_after;
} nw_widened;

/* Makes the wanted spots wide enough with the least change: both walls of a passage move to
 * where a disc of the bit's diameter plus ease, on the passage's own middle line, touches them;
 * stock that is too thin on one side makes the other side give more. A tip that is opened gets a
 * round cap. A miss that is kept, of less than half the bit's disc, is dropped after all (yielded)
 * where it bounds a pinch and is no longer than one and a half bits, or where a pinch within a bit
 * of it has no room otherwise. What is alike, with all about it,
 * comes out alike, unless remedies tell spots apart. Places that are not spots keep their
 * curves. The result has been through the same fit: after. NW_BAD_REQUEST for an ease outside
 * 0.01 to 5 mm. fit.progress hears of "widening", and then of "trying other sizes", as shares of
 * the work that may be done; not of the fits on the way. */
NW_API nw_status nw_drawing_widen(const nw_drawing *drawing, const nw_widen_options *options,
                                  nw_widened *widened, nw_error *error);
NW_API void nw_widened_free(nw_widened *widened);

/* Which spot of the fit before this one, of a fit of the outlines as they are now, goes back to:
 * the nearest of its side; SIZE_MAX when there is none. */
NW_API size_t nw_widened_origin(const nw_widened *widened, const nw_spot *spot);

/* ---- what comes loose, and what holds it ---------------------------------------------------- */

/* Inside cuts and pockets: an island, stock with cut all round it. Outside: one of several parts.
 * A single part is not loose from anything and not listed, nor is dust of under 0.05 mm². */
typedef struct {
    nw_box box;
    double area;
    size_t ring; /* its outline in the region */
} nw_loose;

typedef struct {
    nw_loose *items; /* in the order of the region's rings */
    size_t count;
} nw_loose_list;

NW_API nw_status nw_loose_find(const nw_region *region, nw_cut cut, nw_loose_list *list,
                               nw_error *error);
NW_API void nw_loose_free(nw_loose_list *list);

/* Why a place is only second best for a bridge. */
typedef enum {
    NW_BRIDGE_CROOKED, /* more than 20 degrees off square to an edge, */
    NW_BRIDGE_DETAIL,  /* at a corner or a detail, */
    NW_BRIDGE_LONG,    /* longer than three times the shortest way to what it holds, */
    NW_BRIDGE_SPOT,    /* or a new spot is beside it */
    NW_BRIDGE_REASONS
} nw_bridge_reason;

/* A straight strip of stock across the cut; ends on the outlines, in the middle of the strip. */
typedef struct {
    nw_point from, to;
    unsigned reasons; /* 1 << nw_bridge_reason of each */
} nw_bridge;

/* For programs, as "crooked"; as the end of a sentence. */
NW_API const char *nw_bridge_reason_name(nw_bridge_reason reason);
NW_API const char *nw_bridge_reason_words(nw_bridge_reason reason);

/* Why no bridge was found, from what came nearest to being one. */
typedef enum {
    NW_UNHELD_FAR,     /* no straight way across the cut, or */
    NW_UNHELD_LOOSE,   /* only to what is not held either */
    NW_UNHELD_FOOTING, /* no stretch of its edge, or of those it faces, carries so wide a strip */
    NW_UNHELD_CROWDED, /* only where another bridge stands */
    NW_UNHELD_CLOSES,  /* only where the bit could no longer get to all beside it */
    NW_UNHELD_CRUMB,   /* the bridge would be more than ten times as large */
    NW_UNHELD_BY_HAND  /* none was asked for; those that were stand elsewhere */
} nw_unheld_reason;

/* As the enumeration's names end, in small letters, for programs; as part of a sentence. */
NW_API const char *nw_unheld_name(nw_unheld_reason reason);
NW_API const char *nw_unheld_words(nw_unheld_reason reason);

/* An island or a part that is not held, or lacks the second bridge that was asked for. */
typedef struct {
    nw_loose piece;
    bool held;
    size_t joined; /* parts not named, for they hang on this one, the largest of them */
    nw_unheld_reason reason;
} nw_unheld;

/* A spot that is there by the bridges. */
typedef struct {
    nw_side side;
    nw_form form;
    nw_point at;
    double width;  /* of a pinch, else NW_NONE */
    size_t bridge; /* beside which it is; SIZE_MAX: two or none */
} nw_bridge_spot;

typedef struct {
    nw_drawing drawing; /* the art with the bridges */
    nw_drawing strips;  /* closed paths, their ends within the stock */
    nw_bridge *bridges;
    size_t count;
    nw_bridge_spot *spots; /* in order of harm; without those of bridges thinner than the neck */
    size_t spot_count;
    nw_unheld *unheld;
    size_t loose;   /* of them */
    size_t nowhere; /* places that somebody chose where none stands */
} nw_bridged;

/* Why a place is only second best for a tab. */
typedef enum {
    NW_TAB_OFF_HULL, /* a flat sanding block does not reach it, */
    NW_TAB_BENT,     /* the outline bends there, */
    NW_TAB_THIN,     /* the stock is thin, */
    NW_TAB_AT_SPOT,  /* a spot is near, */
    NW_TAB_CLOSE,    /* or the next outline is, across the cut */
    NW_TAB_REASONS
} nw_tab_reason;

/* A small strip that holds a part, or what falls out of an opening, until it is cut by hand. */
typedef struct {
    nw_point at;  /* its middle, on the outline */
    nw_point out; /* unit, into the cut area */
    size_t ring;
    unsigned reasons; /* 1 << nw_tab_reason of each */
} nw_tab;

/* For programs, as "off-hull"; as the end of a sentence. */
NW_API const char *nw_tab_reason_name(nw_tab_reason reason);
NW_API const char *nw_tab_reason_words(nw_tab_reason reason);

typedef struct {
    nw_tab *tabs; /* parts and islands in the order of the outlines, then the slugs of openings */
    size_t count;
    double width;
    size_t missing; /* that found no place */
    size_t bare;    /* parts, islands and slugs that got none of those they were to have */
    size_t light;   /* slugs and islands of 100 mm² and more that are too light to need any */
} nw_tabs;

#define NW_TABS_MOST 100   /* on one part */
#define NW_PLACES_MOST 200 /* that somebody chose, on all parts */

/* Places for tabs on every part, and for openings on every slug: what is left in them once the bit
 * has run along their outlines. They are spread evenly round its convex hull. The best places of a
 * part are on the hull, where a flat sanding block reaches; of an opening straight stretches that a
 * file reaches; off inside corners, tight curves, spots and thin stock. Where there are none,
 * second best ones are taken, with the reasons. count: how many each, 0: by perimeter and weight
 * (area), two at least on parts of more than 100 mm²; then islands and slugs under 1500 mm² get
 * none, else those under 100 mm²; nor do crumbs, of less than half of what the bit covers. width 0:
 * one and a half bits. fit must be the region's.
 * NW_BAD_REQUEST for counts above NW_TABS_MOST and widths that are not above 0 and at most 100 mm.
 */
NW_API nw_status nw_tabs_find(const nw_region *region, const nw_fit *fit, size_t count,
                              double width, nw_tabs *tabs, nw_error *error);
NW_API void nw_tabs_free(nw_tabs *tabs);

/* Places that somebody chose. */
typedef struct {
    nw_point items[NW_PLACES_MOST];
    size_t count;
} nw_places;

/* Tabs where somebody wants them: at the nearest place of an outline along which the bit runs and
 * where a tab holds; missing counts those that have none within a tab's width and one and a half
 * bits. NW_BAD_REQUEST as above. */
NW_API nw_status nw_tabs_at(const nw_region *region, const nw_fit *fit, const nw_places *places,
                            double width, nw_tabs *tabs, nw_error *error);

/* Short open lines across the cut, one for each tab. */
NW_API nw_status nw_tabs_lines(const nw_tabs *tabs, double bit, nw_drawing *lines, nw_error *error);

#define NW_BRIDGES_EACH 2 /* at most */

/* Joins what comes loose to the rest by the fewest and shortest bridges, a minimum spanning tree
 * (Kruskal 1956); where each is 2, two on each that are opposite one another about its centre of
 * mass; where each is 0, on what is longer than 60 mm or larger than 1500 mm² (common practice).
 * Square to the edge, off corners and details and in line with the centre of mass they may be up to
 * three times as long, and longer only where no other stands, which their reasons then say. Where
 * two opposite ones would be longer than six times, two at least 60 degrees apart stand. None
 * is more than ten times as large as what it holds. They have footing all across and take from the
 * bit little more than the corners beside them. A place that leaves a new spot is taken only where
 * no other is free up to six times as dear. Where somebody chose places (at, which may be NULL) a
 * bridge stands across the cut at each, or within its width and one and a half bits of it where the
 * place itself carries none, and nowhere else; each is no matter then. NW_BAD_REQUEST for a width
 * outside 0.1 to 100 mm.
 */
NW_API nw_status nw_drawing_bridge(const nw_drawing *drawing, const nw_fit_options *options,
                                   double width, size_t each, const nw_places *at,
                                   nw_bridged *bridged, nw_error *error);
NW_API void nw_bridged_free(nw_bridged *bridged);

/* ---- gaps ----*/

/* The outlines with a gap of this length round each place, so in open paths where there are any;
 * each place breaks the path that it is nearest to. (outline_gaps.c) */
NW_API nw_status nw_drawing_break(const nw_drawing *drawing, const nw_point *places, size_t count,
                                  double gap, nw_drawing *broken, nw_error *error);

#endif
