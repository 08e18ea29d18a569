/* What is asked of a fit, and what comes of it: spots, gaps and necks. */
#ifndef NARROWS_FIT_CUT_H
#define NARROWS_FIT_CUT_H

#include <geom/geom.h>

typedef enum { NW_CUT_INSIDE, NW_CUT_OUTSIDE, NW_CUT_POCKET } nw_cut;

typedef enum { NW_GAP, NW_NECK } nw_side;
typedef enum { NW_PINCH, NW_STUB, NW_MISS } nw_form;

NW_API const char *nw_cut_name(nw_cut cut);
NW_API const char *nw_side_name(nw_side side);
NW_API const char *nw_form_name(nw_form form);

#define NW_BLUNT_SHARE 0.04

typedef struct {
    nw_cut cut;
    double bit;           /* diameter, mm */
    double neck;          /* least neck, mm; 0: as the bit */
    double blunt;         /* a tip may lose this much and is a corner still, any other blind end an
                             eighth of it, mm; 0: NW_BLUNT_SHARE of the art's greatest extent */
    bool has_stock;       /* the sheet has edges */
    nw_box stock;         /* the sheet in the drawing's coordinates, when has_stock */
    bool with_shapes;     /* also give residues, reach and bit path */
    bool with_sides;      /* nw_fit_run: keep what nw_ways_find would compute again */
    bool without_discs;   /* of misses only the residues are asked: their discs stay points */
    int threads;          /* 0: as many as there are cores */
    nw_progress progress; /* may be NULL; called from the caller's own thread only */
    void *progress_context;
} nw_fit_options;

NW_API nw_fit_options nw_fit_defaults(void);

#define NW_NONE (-1.0) /* a length that does not apply */

typedef struct {
    nw_side side;
    nw_form form;
    nw_point at;   /* pinch: middle of the shortest line; stub: the deepest point; miss: the
                      centre of the largest disc that fits in it, or an inner point */
    double width;  /* pinch, else NW_NONE */
    double length; /* along the passage's middle */
    double depth;  /* stub, else NW_NONE */
    double area;   /* of the residue */
    bool tip;      /* a stub whose width falls steadily: with options.blunt of its depth a corner */
    double widen;  /* how much wider the place must become in all; NW_NONE where it cannot tell */
    nw_point from, to; /* pinch: ends of the shortest line, one on either wall */
    nw_point stuck;    /* where a disc of the bit (or least neck) comes to a halt */
    size_t residue;    /* index into nw_fit.residues of its outer path, when with_shapes */
    size_t residue_count;
} nw_spot;

/* A crumb, a piece that is lost as a whole and so small that nobody would miss it: opened it would
 * be a knob. Up to a fiftieth of the bit's square, 0.2 mm² for 1/8 in. */
#define NW_CRUMB_BITS2 0.02
static inline bool nw_spot_is_crumb(const nw_spot *spot, double bit)
{
    return spot->form == NW_MISS && spot->area < NW_CRUMB_BITS2 * bit * bit;
}

/* Stubs and misses of less area, mm², are dust and not listed: less than the square of a share of
 * blunt, as that goes with the art (what is dust at one size is dust at each; about 0.002 mm² on
 * 120 mm), or of `flat`, 0.01 mm: flattening leaves such. */
#define NW_DUST_SHARE 0.01
#define NW_DUST_MM 0.01
static inline double nw_dust_area(double blunt, double flat)
{
    double side = nw_larger(blunt * NW_DUST_SHARE, flat);
    return side * side;
}

typedef struct {
    nw_point at;
    double width;
} nw_lift;

typedef struct {
    size_t count;
    double deepest, area;
    size_t tips; /* of them, what loses more than a blind end that is no tip may */
} nw_corners;

typedef struct nw_fit_sides nw_fit_sides;

typedef struct {
    nw_fit_options options;               /* as used: defaults filled in */
    double blunt;                         /* as used: options.blunt, or its default */
    bool fits;                            /* no spots, and no doubt: unpaired is 0 */
    double narrowest_gap, narrowest_neck; /* least pinch width on each side, NW_NONE: no pinch */
    nw_spot *spots;                       /* in order of harm: pinches by width, then by area */
    size_t spot_count;
    nw_lift *lifts;
    size_t lift_count;
    nw_corners corners;
    double area_cut; /* the art for inside and pocket; for outside the residue's frame has no
                        end, so it is the area of the band that the bit sweeps round the art */
    double area_reached, area_unreached;
    double outline_length; /* of the cut area's border, the sheet's edges included */
    double outline_missed; /* of it, what bounds spots and corners: not cut to the line */
    double path_length;    /* that the bit's centre runs to cut the whole outline once */
    nw_drawing residues;   /* closed paths of lines and arcs: what stays uncut or is too thin */
    nw_drawing corner_residues; /* the same for corners */
    nw_drawing bit_path;        /* closed paths of lines and arcs: where the centre runs */
    nw_drawing as_cut; /* closed paths of lines and arcs: the outline that the bit really produces,
                          what it cuts to the left, so clockwise ones are stock inside it; for
                          outside cuts without the outer end, which is nowhere */
    size_t unpaired;   /* ends of walls that found no partner: 0, or the result is incomplete */
    nw_fit_sides *sides; /* with_sides; else NULL */
} nw_fit;

#endif
