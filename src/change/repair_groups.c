/*
 * The steps that may move -> groups of them, too far apart to matter to one another, each with what
 * does not move and is within reach of it.
 */
#include <change/repair.h>

#include <stdlib.h>

#define NEAR_WORK 50 /* of a step that is near another, as products */
#define WALKS 64     /* after which it is looked for the first time what is known */

typedef struct {
    const nw_moving_art *art;
    const nw_tree *tree; /* of the steps' boxes */
    uint32_t *group;     /* of a step: an earlier one of its group; NW_HELD: it does not move */
    nw_group_members *all;
    nw_work *spent;
} nearness;

static uint32_t group_of(const nearness *c, uint32_t step)
{
    while (c->group[step] != step)
        step = c->group[step] = c->group[c->group[step]];
    return step;
}

/* What walks pass over: the parts of the tree in which all that counts, and so has a mark, has the
 * same. They are found anew after twice as many walks each time. */
typedef struct {
    uint32_t *of_things, *of_nodes;
    size_t walks, next;
} known_marks;

static bool marks_take(nearness *c, known_marks *known)
{
    free(known->of_nodes);
    known->of_nodes = nw_tree_marks(c->tree, known->of_things, c->art->step_count);
    known->next = known->walks > 0 ? 2 * known->walks : WALKS;
    c->spent->done += NEAR_WORK * (double)c->art->step_count;
    return known->of_nodes != NULL;
}

static void near_start(const nearness *c, uint32_t step, double reach, const known_marks *known,
                       uint32_t mark, nw_walk *walk)
{
    nw_box about = nw_box_of(c->art->boxes[step].min, c->art->boxes[step].max, reach);
    nw_walk_start(walk, c->tree, about, nw_middle(about.min, about.max));
    nw_walk_pass(walk, known->of_nodes, mark);
}

/* What moves and is within reach of a step that moves is of its group; a step's mark is the group
 * that it was of, and what was of one group still is. */
static bool near_join(nearness *c, uint32_t step, double reach, known_marks *known)
{
    nw_walk walk;
    uint32_t other;
    for (uint32_t k = 0; known->walks == known->next && k < c->art->step_count; k++)
        known->of_things[k] = c->group[k] == NW_HELD ? NW_MARK_NONE : group_of(c, k);
    if (known->walks == known->next && !marks_take(c, known))
        return false;
    known->walks++;
    near_start(c, step, reach, known, known->of_things[step], &walk);
    while (nw_walk_next(&walk, &other)) {
        c->spent->done += NEAR_WORK;
        if (c->group[other] == NW_HELD)
            continue;
        uint32_t one = group_of(c, step), two = group_of(c, other);
        c->group[one < two ? two : one] = one < two ? one : two;
    }
    return true;
}

/* What does not move and is within reach becomes a member too; its mark is the group that took it
 * last. */
static bool near_take(nearness *c, nw_group_member own, double reach, known_marks *known)
{
    nw_walk walk;
    uint32_t other;
    if (known->walks == known->next && !marks_take(c, known))
        return false;
    known->walks++;
    near_start(c, own.step, reach, known, own.group, &walk);
    while (nw_walk_next(&walk, &other)) {
        c->spent->done += NEAR_WORK;
        nw_group_member m = {own.group, other};
        if (c->group[other] != NW_HELD || known->of_things[other] == own.group)
            continue;
        known->of_things[other] = own.group;
        if (!nw_push(&c->all->items, &c->all->count, &c->all->capacity, &m, sizeof m))
            return false;
    }
    return true;
}

int nw_by_group_member(const void *p, const void *q)
{
    const nw_group_member *a = p, *b = q;
    if (a->group != b->group)
        return a->group < b->group ? -1 : 1;
    return (a->step > b->step) - (a->step < b->step);
}

/* The steps that move are gone through by groups, so that each group's others are found once. */
static bool others_take(nearness *c, double reach, known_marks *known)
{
    uint32_t n = (uint32_t)c->art->step_count;
    for (uint32_t k = 0; k < n; k++) /* none has that number */
        known->of_things[k] = c->group[k] == NW_HELD ? n : NW_MARK_NONE;
    known->walks = 0;
    bool good = marks_take(c, known);
    for (size_t k = 0, moving = c->all->count; k < moving && good; k++) {
        if (k && c->all->items[k].group != c->all->items[k - 1].group) {
            known->walks = 0;
            known->next = WALKS;
        }
        good = near_take(c, c->all->items[k], reach, known);
    }
    return good;
}

bool nw_moving_groups_find(const nw_moving_art *art, const nw_tree *tree, const bool *near,
                           double reach, nw_work *spent, nw_group_members *members)
{
    size_t n = art->step_count;
    nearness c = {.art = art, .tree = tree, .all = members, .spent = spent};
    known_marks known = {.of_things = nw_alloc(n, sizeof *known.of_things)};
    c.group = nw_alloc(n, sizeof *c.group);
    bool good = known.of_things && c.group;
    for (uint32_t k = 0; k < n && good; k++)
        c.group[k] = near[k] ? k : NW_HELD;
    for (uint32_t k = 0; k < n && good; k++)
        good = !near[k] || near_join(&c, k, reach, &known);
    for (uint32_t k = 0; k < n && good; k++) {
        nw_group_member m = {near[k] ? group_of(&c, k) : NW_HELD, k};
        good =
            !near[k] || nw_push(&members->items, &members->count, &members->capacity, &m, sizeof m);
    }
    if (good)
        nw_sort(members->items, members->count, sizeof *members->items, nw_by_group_member);
    good = good && others_take(&c, reach, &known);
    if (good)
        nw_sort(members->items, members->count, sizeof *members->items, nw_by_group_member);
    free(known.of_things);
    free(known.of_nodes);
    free(c.group);
    return good;
}
