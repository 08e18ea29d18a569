/* glyphs: outlines of type, read by FreeType, as regions in font units (y up). */
#ifndef NARROWS_TEST_GLYPHS_H
#define NARROWS_TEST_GLYPHS_H

#include <geom/geom.h>

#include <ft2build.h>
#include FT_FREETYPE_H

/* Opens a font at 1000 pixels to the em, so that a pixel is a unit of a Type 1 font; NULL when
 * the file is not there. */
FT_Face glyph_face(FT_Library library, const char *path);

/* The outline of a character, unhinted, curves cut so that they leave their chords by at most
 * flatness units, overlapping contours united by GEOS. False when the font has none. */
bool glyph_region(FT_Face face, unsigned long character, double flatness, nw_region *region);

#endif
