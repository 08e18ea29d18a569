/* arrange: the memory of an arrangement, freed as a whole. */
#include <solid/arrange.h>

#include <stdlib.h>

void nw_arrangement_free(nw_arrangement *all)
{
    for (size_t i = 0; i < all->room_count; i++) {
        free(all->rooms[i]);
    }
    free(all->rooms);
    free(all->steps);
    free(all->chords);
}

bool nw_ran_out(nw_arrangement *all)
{
    all->status = nw_fail_memory(all->error, "the shapes' outlines");
    return false;
}

void *nw_room(nw_arrangement *all, size_t count, size_t size)
{
    void *room = nw_alloc(count, size);
    if (!room || !nw_push(&all->rooms, &all->room_count, &all->room_capacity, &room, sizeof room)) {
        free(room);
        nw_ran_out(all);
        return NULL;
    }
    return room;
}
