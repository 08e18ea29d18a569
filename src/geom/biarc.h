/* Pairs of circular arcs that meet without a corner. Internal. */
#ifndef NARROWS_GEOM_BIARC_H
#define NARROWS_GEOM_BIARC_H

#include <geom/drawing.h>

/* Two arcs, each told by its bulge: the tangent of a quarter of the angle that it turns,
 * counter-clockwise positive, 0 for a straight line. */
typedef struct {
    nw_point from, joint, to;
    double bulge[2];
} nw_biarc;

/* The pair that leaves one place and arrives at another in these unit directions; false where there
 * is none that turns less than about 106 degrees in each arc. */
bool nw_biarc_make(nw_point from, nw_point leave, nw_point to, nw_point arrive, nw_biarc *biarc);

/* How far q is from the nearer arc of the two. */
double nw_biarc_distance(const nw_biarc *biarc, nw_point q);

/* Appends both arcs; one where they lie on one circle, and lines where they are straight. False
 * when memory runs out. */
bool nw_path_biarc(nw_path *path, const nw_biarc *biarc);

#endif
