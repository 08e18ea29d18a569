/* A rack's text: every bit that comes out of it makes sense, and has a name of its own. */
#include "fuzz.h"

#include <choose/choose.h>

#include <math.h>
#include <string.h>

static void bit_hold(const nw_bit *bit)
{
    fuzz_hold(bit->name[0] && memchr(bit->name, '\0', sizeof bit->name));
    fuzz_hold(bit->diameter > 0 && bit->diameter <= 1000);
    fuzz_hold(bit->flute == NW_NONE || (bit->flute > 0 && isfinite(bit->flute)));
    fuzz_hold(bit->feed == NW_NONE || (bit->feed > 0 && isfinite(bit->feed)));
    fuzz_hold(bit->tip >= 0 && bit->tip < bit->diameter);
    fuzz_hold(bit->angle_deg >= 0 && bit->angle_deg < 180);
    fuzz_hold((bit->shape == NW_STRAIGHT) == (bit->angle_deg == 0));
    for (double stock = 0; stock < 100; stock += 9) {
        double top = nw_bit_at_top(bit, stock);
        fuzz_hold(top >= 0 && top <= bit->diameter);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t length)
{
    nw_rack rack;
    nw_error error;
    nw_status status = nw_rack_read((const char *)data, length, "rack", &rack, &error);
    fuzz_hold_status(status, &error);
    fuzz_hold((status == NW_OK) == (rack.count > 0));
    for (size_t i = 0; i < rack.count; i++) {
        bit_hold(&rack.bits[i]);
        for (size_t k = 0; k < i; k++)
            fuzz_hold(strcmp(rack.bits[i].name, rack.bits[k].name) != 0);
    }
    nw_rack_free(&rack);
    return 0;
}
