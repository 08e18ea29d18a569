/*
 * spurs: a chordal axis -> the same without the spurs that lead into corners of line ends and
 * bends, junctions that lie close together taken as one (singular regions as in Zou and Yan,
 * "Skeletonization of ribbon-like shapes based on regularity and singularity analyses", IEEE Trans.
 * SMC-B 31(3), 2001). The shortest spur goes first, so that what is left of a line's end is its
 * middle. A pointed bend's long spur is told from a line by its width, which falls steadily to
 * nothing, and by the two lines that meet at its foot at less than a right angle.
 */
#include <lines/ribbon.h>

#include <math.h>

#define SPUR_STEPS 8
#define MOST_IN_ONE 10 /* nodes of one junction: two lines more meet there */

static const double SPUR = 0.8;       /* of the line's width: a spur that is always taken off */
static const double POINTED_SPUR = 6; /* the longest that is taken off where a bend is pointed */
static const double POINTED = 0.6;    /* width at three quarters of a tip, over that at one */
static const double ROUND_TIP =
    0.7; /* widths from where two middles meet to a round tip, and some */
static const double SHARP_FOOT = 0.7071; /* sine of half a right angle */
static const double LOOK_AT = 1.5;       /* widths of line that give a direction */
static const double LONGEST_LINK = 1.5;  /* widths between triangles of one junction */
static const double ONE_JUNCTION = 0.15; /* width of line that is none between junctions */

static bool is_free(const nw_ribbon *r, size_t n)
{
    return r->nodes[n].degree == 1 && !r->nodes[n].mouth;
}

static bool is_leaf(const nw_ribbon *r, const nw_ribbon_branch *b)
{
    return b->count && b->node[0] != NOWHERE && is_free(r, b->node[0]) != is_free(r, b->node[1]);
}

/* The end of a leaf that is free: 0 or 1. */
static int free_end(const nw_ribbon *r, const nw_ribbon_branch *b)
{
    return is_free(r, b->node[0]) ? 0 : 1;
}

static bool leaf_is_shorter(const nw_ribbon *r, const nw_ribbon_branch *b, double limit)
{
    int end = free_end(r, b);
    const nw_ribbon_chord *last = end ? &b->chords[b->count - 1] : &b->chords[0];
    double length = nw_distance(last->at, r->nodes[b->node[end]].at);
    for (size_t i = 1; i < b->count && length < limit; i++)
        length += nw_distance(b->chords[i - 1].at, b->chords[i].at);
    return length < limit;
}

/* The chord at this share of the branch's chords, seen from its node `from`. */
static const nw_ribbon_chord *chord_from(const nw_ribbon_branch *b, int from, double share)
{
    size_t i = (size_t)(share * (double)(b->count - 1) + 0.5);
    return &b->chords[from ? b->count - 1 - i : i];
}

/* Direction, of length 1, in which the branch leaves its end `from`, over the first `reach` of it;
 * 0, 0 when there is none. */
static nw_point branch_leaves(const nw_ribbon_branch *b, int from, double reach)
{
    const nw_ribbon_chord *first = chord_from(b, from, 0), *c = first;
    for (size_t i = 1; i < b->count && nw_distance(first->at, c->at) < reach; i++)
        c = &b->chords[from ? b->count - 1 - i : i];
    return nw_unit(first->at, c->at);
}

/* The sine of half the angle between the two other branches at the spur's foot. */
static double foot_angle(const nw_ribbon *r, const nw_ribbon_branch *spur, size_t foot,
                         double width)
{
    nw_point ways[2] = {{0, 0}, {0, 0}};
    size_t found = 0;
    for (size_t i = 0; i < r->nodes[foot].degree; i++) {
        const nw_ribbon_branch *b = &r->branches[r->nodes[foot].branches[i]];
        if (b != spur && found < 2) {
            int end = b->node[0] == foot && (b->node[1] != foot || found == 0) ? 0 : 1;
            ways[found++] = branch_leaves(b, end, LOOK_AT * width);
        }
    }
    double cosine = nw_dot(ways[0], ways[1]);
    return found == 2 ? sqrt(fmax(1 - cosine, 0) / 2) : 1;
}

/* Whether a leaf only fills the corner of a wide part, or a bend of more than a right angle: it
 * narrows steadily, or is no longer than the round tip of two lines that meet. With h the sine of
 * half their angle, the lines' middles meet w / 2 h from the inner edge, and the largest disc there
 * has the radius w / (1 + h).
 */
static bool is_tip(const nw_ribbon *r, const nw_ribbon_branch *b, double width)
{
    int foot = !free_end(r, b);
    bool narrows = b->count > 3 &&
                   chord_from(b, foot, 0.75)->width < POINTED * chord_from(b, foot, 0.25)->width;
    if (r->nodes[b->node[foot]].mouth)
        return narrows;
    double h = foot_angle(r, b, b->node[foot], width);
    double rounded = width * (1 / (2 * h) - 1 / (1 + h) + ROUND_TIP);
    return h < SHARP_FOOT && (narrows || leaf_is_shorter(r, b, rounded));
}

static void branch_reverse(nw_ribbon_branch *b)
{
    for (size_t i = 0, j = b->count; i + 1 < j; i++) {
        nw_ribbon_chord c = b->chords[i];
        b->chords[i] = b->chords[--j];
        b->chords[j] = c;
    }
    size_t n = b->node[0];
    b->node[0] = b->node[1];
    b->node[1] = n;
}

/* Puts branch j behind i: the node between them is gone. */
static bool branch_append(nw_ribbon *r, size_t i, size_t j)
{
    nw_ribbon_branch *a = &r->branches[i], *b = &r->branches[j];
    for (size_t k = 0; k < b->count; k++)
        if (!nw_branch_grow(a, b->chords[k]))
            return false;
    a->node[1] = b->node[1];
    nw_ribbon_node *far = &r->nodes[b->node[1]];
    for (size_t k = 0; k < far->degree; k++) {
        if (far->branches[k] == j) {
            far->branches[k] = i;
            break;
        }
    }
    b->count = 0;
    return true;
}

/* What meets at a node of two branch ends becomes one branch, or a ring. */
static bool node_dissolve(nw_ribbon *r, size_t n)
{
    size_t i = r->nodes[n].branches[0], j = r->nodes[n].branches[1];
    r->nodes[n].degree = 0;
    if (i == j) {
        r->branches[i].node[0] = r->branches[i].node[1] = NOWHERE;
        return true;
    }
    if (r->branches[i].node[0] == n)
        branch_reverse(&r->branches[i]);
    if (r->branches[j].node[1] == n)
        branch_reverse(&r->branches[j]);
    return branch_append(r, i, j);
}

/* Takes branch i off the node at its foot. */
static bool spur_remove(nw_ribbon *r, size_t i)
{
    nw_ribbon_branch *spur = &r->branches[i];
    size_t foot = spur->node[!free_end(r, spur)], kept = 0;
    nw_ribbon_node *n = &r->nodes[foot];
    for (size_t k = 0; k < n->degree; k++)
        if (n->branches[k] != i)
            n->branches[kept++] = n->branches[k];
    n->degree = kept;
    spur->count = 0;
    return kept != 2 || node_dissolve(r, foot);
}

/* How many widths of line the spur is wide where it begins, 1 at least. */
static double foot_size(const nw_ribbon *r, const nw_ribbon_branch *b, double width)
{
    return fmax(chord_from(b, !free_end(r, b), 0)->width / width, 1);
}

/* Takes off spurs shorter than limit, then those that this has made, until there are none. */
static bool prune_shorter(nw_ribbon *r, double limit, double width, bool pointed)
{
    bool good = true;
    for (bool again = true; again && good;) {
        again = false;
        for (size_t i = 0; i < r->count && good; i++) {
            const nw_ribbon_branch *b = &r->branches[i];
            if (is_leaf(r, b) && leaf_is_shorter(r, b, limit * foot_size(r, b, width)) &&
                (!pointed || is_tip(r, b, width))) {
                good = spur_remove(r, i);
                again = true;
            }
        }
    }
    return good;
}

bool nw_ribbon_prune(nw_ribbon *r, double width)
{
    bool good = true;
    for (int step = 1; step <= SPUR_STEPS && good; step++)
        good = prune_shorter(r, SPUR * width * step / SPUR_STEPS, width, false);
    return good && prune_shorter(r, POINTED_SPUR * width, width, true) &&
           prune_shorter(r, SPUR * width, width, false);
}

/* ---- junctions ------------------------------------------------------------------------------- */

static size_t cluster_of(nw_ribbon *r, size_t n)
{
    while (r->nodes[n].cluster != n)
        n = r->nodes[n].cluster = r->nodes[r->nodes[n].cluster].cluster;
    return n;
}

/* Whether there is no line between the junctions at the branch's ends: it is short, and hardly any
 * of it is of the line's own width. */
static bool is_link(const nw_ribbon *r, const nw_ribbon_branch *b, double width)
{
    if (!b->count || b->node[0] == NOWHERE || r->nodes[b->node[0]].degree < 3 ||
        r->nodes[b->node[1]].degree < 3)
        return false;
    double even = 0;
    for (size_t i = 1; i < b->count; i++) {
        bool wide = b->chords[i].width > TOO_WIDE * width;
        even += wide ? 0 : nw_distance(b->chords[i - 1].at, b->chords[i].at);
    }
    return even < ONE_JUNCTION * width && nw_chords_length(b) < LONGEST_LINK * width;
}

/* Makes one junction of two, unless too many lines would meet there. */
static void clusters_join(nw_ribbon *r, size_t a, size_t b)
{
    a = cluster_of(r, a), b = cluster_of(r, b);
    if (a != b && r->nodes[a].size + r->nodes[b].size <= MOST_IN_ONE) {
        r->nodes[b].size += r->nodes[a].size;
        r->nodes[a].cluster = b;
    }
}

void nw_ribbon_cluster(nw_ribbon *r, double width)
{
    for (size_t n = 0; n < r->node_count; n++)
        r->nodes[n].size = 1;
    for (size_t i = 0; i < r->count; i++) {
        nw_ribbon_branch *b = &r->branches[i];
        if (is_link(r, b, width))
            clusters_join(r, b->node[0], b->node[1]);
    }
    for (size_t i = 0; i < r->count; i++) {
        nw_ribbon_branch *b = &r->branches[i];
        b->is_link = is_link(r, b, width) && cluster_of(r, b->node[0]) == cluster_of(r, b->node[1]);
    }
    for (size_t n = 0; n < r->node_count; n++)
        r->nodes[n].cluster = cluster_of(r, n);
}
