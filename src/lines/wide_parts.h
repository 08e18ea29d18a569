/* Parts of lines that are no lines. Internal to the folder. */
#ifndef NARROWS_WIDE_H
#define NARROWS_WIDE_H

#include <lines/triangles.h>

/* Marks the triangles where the ink is wider by far than lines of this width; *count: in how many
 * parts. False when memory runs out. (wide_parts.c) */
bool nw_wide_find(const nw_region *region, const triangulation *cut, double width, bool *wide,
                  size_t *count);

#endif
