/* How bridges stand, told by GEOS from the outlines before and after them alone. */
#ifndef NARROWS_TEST_PLACED_BRIDGES_H
#define NARROWS_TEST_PLACED_BRIDGES_H

#include "second.h"

typedef struct {
    size_t bridges;   /* strips with two feet; those that meet are none */
    size_t crooked;   /* a foot of which is off square to the strip by more than it need be */
    size_t at_detail; /* a foot of which is at a corner or a detail of a large outline */
    size_t twice;     /* islands that several hold, */
    size_t one_sided; /* all on one side of the centre of mass, */
    size_t one_way;   /* and nearly the same way from it */
    size_t longer;    /* than three times the shortest way to what they hold */
} placed_bridges;

/* Adds up what is found; width: of the strips, mm. */
void placed_bridges_count(const nw_region *before, const nw_region *after, double width,
                          placed_bridges *sum);

#endif
