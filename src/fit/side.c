/*
 * A border and a diameter -> everything that the disc leaves on one side, sorted into connected
 * residues.
 */
#include <fit/side.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* The radius that rolls is a little less than half the diameter: a passage of exactly the
 * diameter is open, one narrower by 0.01 mm is shut, and shapes on a lattice do not fall on
 * ties. The last summand must stay about ten times above the rise that makes a blocker. */
#define SLACK_MM 0.005
#define OFF_LATTICE_MM 1.07e-6
#define SLACK_SHARE 0.05 /* of very small diameters */

static void groups_number(nw_rolled *rolled)
{
    const nw_walls *walls = &rolled->walls;
    memset(rolled->wall_group, 0xff, walls->count * sizeof *rolled->wall_group);
    for (int pass = 0; pass < 2; pass++) { /* first what follows an arc, then rings without */
        for (uint32_t w = 0; w < walls->count; w++) {
            uint32_t v = pass == 0 ? walls->walls[w].next : w;
            if ((pass == 0 && !nw_wall_has_arc(walls, w)))
                continue;
            for (uint32_t group = v; v != NW_NOWHERE && rolled->wall_group[v] == NW_NOWHERE;
                 v = walls->walls[v].next) {
                rolled->wall_group[v] = group;
                if (nw_wall_has_arc(walls, v))
                    break;
            }
        }
    }
}

/* Counting sort of things by component. */
static void order_fill(uint32_t *order, const uint32_t *component, size_t count, size_t *place)
{
    for (uint32_t k = 0; k < count; k++)
        if (component[k] != NW_NOWHERE)
            order[place[component[k]]++] = k;
}

static void component_sums(nw_rolled *rolled, const uint32_t *of_wall, const uint32_t *of_loop)
{
    for (uint32_t w = 0; w < rolled->walls.count; w++) {
        nw_component *c = &rolled->components[of_wall[w]];
        c->wall_last++;
        c->contacts += nw_wall_has_arc(&rolled->walls, w);
        c->wall_length += nw_wall_length(&rolled->border, &rolled->walls.walls[w]);
    }
    for (uint32_t l = 0; l < rolled->loops.loop_count; l++) {
        if (of_loop[l] == NW_NOWHERE)
            continue;
        nw_component *c = &rolled->components[of_loop[l]];
        c->loop_last++;
        c->area += rolled->loops.loops[l].area;
        c->holes += rolled->loops.loops[l].kind == NW_LOOP_HOLE;
    }
}

static void component_places(nw_rolled *rolled, size_t *wall_place, size_t *loop_place)
{
    size_t walls = 0, loops = 0;
    for (size_t k = 0; k < rolled->component_count; k++) {
        nw_component *c = &rolled->components[k];
        wall_place[k] = c->wall_first = walls;
        loop_place[k] = c->loop_first = loops;
        walls += c->wall_last;
        loops += c->loop_last;
        c->wall_last = walls;
        c->loop_last = loops;
    }
}

/* Components are numbered by their first ring, so by the border's order. */
static void components_number(nw_rolled *rolled, uint32_t *of_ring, uint32_t *of_wall,
                              uint32_t *of_loop)
{
    const nw_loops *loops = &rolled->loops;
    for (uint32_t ring = 0; ring < loops->ring_count; ring++) {
        uint32_t root = nw_ring_root(loops, ring);
        of_ring[ring] = root == ring ? (uint32_t)rolled->component_count++ : of_ring[root];
    }
    for (size_t w = 0; w < rolled->walls.count; w++)
        of_wall[w] = of_ring[loops->wall_ring[w]];
    for (size_t l = 0; l < loops->loop_count; l++)
        of_loop[l] =
            loops->loops[l].kind == NW_LOOP_LENS ? NW_NOWHERE : of_ring[loops->loops[l].ring];
}

static nw_status components_make(nw_rolled *rolled, nw_error *error)
{
    size_t walls = rolled->walls.count, loops = rolled->loops.loop_count;
    uint32_t *of_ring = nw_alloc(rolled->loops.ring_count, sizeof *of_ring);
    uint32_t *of_wall = nw_alloc(walls, sizeof *of_wall);
    uint32_t *of_loop = nw_alloc(loops, sizeof *of_loop);
    size_t *wall_place = nw_alloc(rolled->loops.ring_count, sizeof *wall_place);
    size_t *loop_place = nw_alloc(rolled->loops.ring_count, sizeof *loop_place);
    rolled->wall_order = nw_alloc(walls, sizeof *rolled->wall_order);
    rolled->loop_order = nw_alloc(loops, sizeof *rolled->loop_order);
    rolled->wall_group = nw_alloc(walls, sizeof *rolled->wall_group);
    rolled->components = nw_alloc(rolled->loops.ring_count, sizeof *rolled->components);
    bool good = of_ring && of_wall && of_loop && wall_place && loop_place && rolled->wall_order &&
                rolled->loop_order && rolled->wall_group && rolled->components;
    if (good) {
        groups_number(rolled);
        components_number(rolled, of_ring, of_wall, of_loop);
        component_sums(rolled, of_wall, of_loop);
        component_places(rolled, wall_place, loop_place);
        order_fill(rolled->wall_order, of_wall, walls, wall_place);
        order_fill(rolled->loop_order, of_loop, loops, loop_place);
    }
    free(of_ring);
    free(of_wall);
    free(of_loop);
    free(wall_place);
    free(loop_place);
    return good ? NW_OK : nw_fail_memory(error, "the residues");
}

double nw_rolled_radius(double diameter)
{
    double slack = fmin(SLACK_MM, diameter * SLACK_SHARE);
    return (diameter - slack) / 2 + fmin(OFF_LATTICE_MM, slack);
}

nw_status nw_rolled_from(const nw_border *border, double diameter, nw_roll *roll, nw_rolled *rolled,
                         nw_error *error)
{
    *rolled = (nw_rolled){.diameter = diameter, .border = *border, .roll = *roll};
    *roll = (nw_roll){0};
    rolled->roll.border = &rolled->border;
    nw_status status = nw_walls_make(&rolled->roll, &rolled->walls, error);
    if (status == NW_OK)
        status = nw_loops_make(&rolled->walls, &rolled->loops, error);
    if (status == NW_OK)
        status = nw_loops_nest(&rolled->loops, error);
    if (status == NW_OK)
        status = components_make(rolled, error);
    if (status != NW_OK)
        nw_rolled_free(rolled);
    return status;
}

nw_status nw_rolled_make(const nw_border *border, double diameter, const nw_fit_options *options,
                         nw_rolled *rolled, nw_error *error)
{
    *rolled = (nw_rolled){0};
    nw_roll roll;
    nw_status status = nw_roll_make(border, nw_rolled_radius(diameter), options, &roll, error);
    return status == NW_OK ? nw_rolled_from(border, diameter, &roll, rolled, error) : status;
}

double nw_rolled_area(const nw_rolled *rolled)
{
    double area = 0;
    for (size_t c = 0; c < rolled->component_count; c++)
        area += rolled->components[c].area;
    return area;
}

void nw_rolled_free(nw_rolled *rolled)
{
    if (!rolled)
        return;
    free(rolled->components);
    free(rolled->wall_order);
    free(rolled->loop_order);
    free(rolled->wall_group);
    nw_loops_free(&rolled->loops);
    nw_walls_free(&rolled->walls);
    nw_roll_free(&rolled->roll);
    *rolled = (nw_rolled){0};
}
