/* ink_levels: grey levels -> one threshold, or one for each neighbourhood. */
#ifndef NARROWS_PICTURE_INK_LEVELS_H
#define NARROWS_PICTURE_INK_LEVELS_H

#include <base/base.h>

#include <string.h>

/* Eight bytes at once, from any place: to compare them so calls no memcmp, which compilers to
 * WebAssembly do. */
static inline uint64_t nw_eight_bytes(const uint8_t *at)
{
    uint64_t eight;
    memcpy(&eight, at, sizeof eight);
    return eight;
}

/* Whether eight pixels are the same, as in pictures most are: for passes over all of them. */
static inline bool nw_eight_alike(const uint8_t *pixels)
{
    uint64_t eight = nw_eight_bytes(pixels);
    return eight == (eight & 255) * UINT64_C(0x0101010101010101);
}

#define NW_PLAIN 64 /* pixels */

/* Whether so many pixels are the same. */
bool nw_are_plain(const uint8_t *pixels);

/* Whether so many densities, a multiple of eight, are ink where another one is, or paper. */
bool nw_are_on_side(const uint8_t *pixels, int count, uint8_t other);

void nw_values_count(const uint8_t *values, size_t count, uint64_t histogram[256]);
void nw_values_map(uint8_t *values, size_t count, const uint8_t table[256]);

/* ---- noise ---------------------------------------------------------------------------------- */

/* What was done about a picture's noise, or that its edges are soft: means of squares of so many
 * pixels' sides were taken, and smoothed twice by a Gaussian of such deviation in squares; 1, 0
 * where there was no need. What is left of the noise has the deviation `left`, in levels, and moves
 * edges by `off` squares, in the mean. */
typedef struct {
    uint32_t squares;
    double sigma, left, off;
} nw_coarseness;

/* Lowers the noise of levels, as far as it asks for and an outline does not need the detail, and
 * says how in coarse; or, unless `find`, as coarse says. Squares that reach beyond the right or
 * lower edge count. False when memory runs out. */
bool nw_noise_lower(uint8_t *values, uint32_t *width, uint32_t *height, bool find,
                    nw_coarseness *coarse);

/* ---- levels --------------------------------------------------------------------------------- */

/* Two classes of values and the straight ramps between them: `ink` becomes 255, `crossing`
 * (between two whole levels) 127.5, `paper` 0. */
typedef struct {
    double ink, crossing, paper;
    bool flat; /* both classes are flat tones */
    bool even; /* nearly all of the paper is one tone */
} nw_ramp;

/* How many of the pixels have these levels; none has one below 0 or above 255. */
double nw_levels_sum(const uint64_t histogram[256], int first, int last);

/* The ramp for the histogram of a picture whose ink is dark (or light); fixed is a level from 0
 * to 255 or -1 to find it by Otsu. False when all pixels are alike or one class is empty. */
bool nw_ramp_find(const uint64_t histogram[256], bool dark, int fixed, nw_ramp *ramp);

/* Of evenly lit paper and an ink of many tones: takes the crossing half-way if all that lies
 * between that and where it was are the rims of lines (rims.c). */
void nw_ramp_sharpen(const uint8_t *values, uint32_t width, uint32_t height, nw_ramp *ramp);

/* Counts the pixels of each level that lie among others no further off than spread: those are two
 * pixels off on four sides. In large pictures some of the rows; returns how many pixels were looked
 * at (rims.c). */
size_t nw_levels_among(const uint8_t *values, uint32_t width, uint32_t height, int spread,
                       uint64_t among[256]);

/* How far a tone reaches to either side. */
int nw_tone_spread(const nw_ramp *ramp);

/* Takes the crossing out of a third tone that it would split; those are counted with the ramp's
 * spread (rims.c). */
void nw_ramp_clear_tone(const uint64_t among[256], size_t looked, nw_ramp *ramp);

/* The density of each level on the ramp. */
void nw_ramp_table(const nw_ramp *ramp, uint8_t table[256]);

/* ---- uneven light --------------------------------------------------------------------------- */

#define PAPER_TILES 24 /* along either side, at most */

/* How light the paper is at each place: a quadratic surface over the picture, or, where a shadow
 * falls on it, a level for each tile and straight between their middles. */
typedef struct {
    double c[6], scale_x, scale_y;
    bool tiled;
    uint32_t across, down; /* tiles */
    float tiles[PAPER_TILES * PAPER_TILES];
} nw_paper;

/* Paper whose light changes smoothly, and paper on which a shadow falls. False where there is too
 * little of it. */
bool nw_paper_smooth(const uint8_t *values, uint32_t width, uint32_t height, nw_paper *paper);
void nw_paper_shaded(const uint8_t *values, uint32_t width, uint32_t height, nw_paper *paper);

/* One of the two; dark ink. */
bool nw_paper_find(const uint8_t *values, uint32_t width, uint32_t height, nw_paper *paper);
double nw_paper_at(const nw_paper *paper, double x, double y);

/* True when the single level, the ramp's, would lose ink or catch paper. */
bool nw_light_uneven(const uint8_t *values, uint32_t width, uint32_t height, const nw_ramp *ramp,
                     const nw_paper *paper);

/* Whether the light falls off over the paper by much of the contrast of ink and paper. */
bool nw_light_falls(const nw_paper *paper, uint32_t width, uint32_t height, double contrast);

#define NW_PAPER_FULL 200 /* the paper's own level, where levels are taken relative to it */

/* How many of the pixels in some rows and columns have which level relative to such paper. */
void nw_light_levels(const uint8_t *values, uint32_t width, uint32_t height, const nw_paper *paper,
                     uint64_t histogram[256]);

/* The levels, relative to such paper. */
void nw_light_flatten(const uint8_t *values, uint32_t width, uint32_t height, const nw_paper *paper,
                      uint8_t *flat);

/* Whether the line at the level runs along soft changes of light for much of its length, rather
 * than along edges. */
bool nw_light_soft(const uint8_t *values, uint32_t width, uint32_t height, const nw_ramp *ramp);

/* The least and the most of each column of some rows: sixteen at once, as compilers have it. Row y
 * is at y % period. */
void nw_columns_range(const uint8_t *rows, size_t period, uint32_t first, uint32_t end,
                      uint32_t width, uint8_t *restrict least, uint8_t *restrict most);

/* Whether much of the ink's border in a picture's densities is no edge, since nothing near is ink
 * or paper altogether; or some of it, and there are greys beside it. noise: its deviation, of the
 * contrast; on_table: of a sheet on a table, which may be paler than ink. *failed: memory ran out.
 */
bool nw_greys_find(const uint8_t *density, uint32_t width, uint32_t height, double noise,
                   bool on_table, bool *failed);

/* The threshold of Sauvola and Pietikäinen for each pixel of a row, from the first to the last;
 * reads values, which may be changed up to row y once level has been called for it. */
typedef void nw_local_action(void *context, uint32_t y, const double *thresholds);
bool nw_local_levels(const uint8_t *values, uint32_t width, uint32_t height, uint32_t half,
                     double k, nw_local_action *action, void *context);

/* Grey values of dark ink -> density, by local thresholds. False when memory runs out. */
bool nw_local_apply(uint8_t *values, uint32_t width, uint32_t height, const nw_paper *paper);

#endif
