/* dashes: what stroke.c asks of dashes.c. Nothing else includes this. */
#ifndef NARROWS_DASHES_H
#define NARROWS_DASHES_H

#include <solid/solid.h>

/* The path's dashes as open paths; the path itself where the stroke has no dashes. */
nw_status nw_path_dash(const nw_path *path, const nw_stroke *stroke, nw_drawing *dashes,
                       nw_error *error);

#endif
