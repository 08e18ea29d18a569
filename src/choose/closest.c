/* closest: the fits of bits or sizes of which none leaves nothing -> the one that comes nearest. */
#include <choose/choose.h>
#include <choose/ways_out.h>

#include <math.h>
#include <stdint.h>

#define MUCH_LESS 0.5 /* of what the bit in hand leaves */
#define STAYS_MM 0.05 /* narrower by that, a pinch stays, however chords are drawn */

nw_closest nw_closest_none(void)
{
    return (nw_closest){.index = SIZE_MAX};
}

nw_leavings nw_closest_most(const nw_closest *closest, const nw_fit *own)
{
    double share = nw_fit_unreached(own);
    if (closest->index != SIZE_MAX)
        return (nw_leavings){closest->spots, NW_NEAR_SHARE};
    bool fewer = share <= NW_NEAR_SHARE && own->spot_count < NW_NEAR_SPOTS;
    return (nw_leavings){fewer ? own->spot_count : NW_NEAR_SPOTS,
                         fmin(NW_NEAR_MOST, fmax(NW_NEAR_SHARE, MUCH_LESS * share))};
}

bool nw_closest_none_near(const nw_fit *own, nw_trial trial)
{
    size_t stay = 0;
    for (size_t i = 0; i < own->spot_count; i++) {
        const nw_spot *spot = &own->spots[i];
        double disc = spot->side == NW_GAP ? trial.bit : trial.neck;
        stay += spot->form == NW_PINCH && spot->width * trial.scale < disc - STAYS_MM;
    }
    return stay > NW_NEAR_SPOTS;
}

bool nw_closest_too_many(size_t spots)
{
    return spots > NW_NEAR_SPOTS + NW_NEAR_SPOTS / 4;
}

bool nw_closest_helps(const nw_closest *closest, const nw_fit *own)
{
    double share = nw_fit_unreached(own);
    bool fewer = closest->spots < own->spot_count;
    if (closest->spots > NW_NEAR_SPOTS || closest->share > NW_NEAR_MOST)
        return false;
    return closest->share <= NW_NEAR_SHARE ? fewer || share > NW_NEAR_SHARE
                                           : fewer && closest->share < MUCH_LESS * share;
}

bool nw_closest_count(nw_closest *closest, size_t index, size_t spots, double share)
{
    bool first = closest->index == SIZE_MAX;
    closest->beyond = closest->beyond || share > NW_NEAR_SHARE;
    bool better = first || (!closest->beyond && spots <= closest->spots);
    if (better) {
        closest->index = index;
        closest->spots = spots;
        closest->share = share;
    }
    return better;
}

bool nw_closest_take(nw_closest *closest, size_t index, size_t spots, double share)
{
    if (closest->index != SIZE_MAX && closest->share > NW_NEAR_SHARE && share < closest->share)
        *closest = nw_closest_none(); /* where none is near, what leaves least is closest */
    return nw_closest_count(closest, index, spots, share);
}
