/* Before any place is given up its walls are pressed harder, from where they are and afresh: plates
 * with windows so close together that all the stock between them has to give way. */
#include "change_shapes.h"

#include <math.h>

#define PLATES 120
#define BIT 2.0
#define NECK 2.5

/* Of 120 such plates no more than 12 keep a place that is too narrow. */
START_TEST(few_plates_keep_a_place)
{
    nw_widen_options options = nw_widen_defaults();
    size_t places = 0, plates = 0;
    options.fit.cut = NW_CUT_OUTSIDE;
    options.fit.bit = BIT;
    options.fit.neck = NECK;
    for (uint32_t k = 0; k < PLATES; k++) {
        nw_drawing plate = plate_of(k);
        nw_widened w;
        nw_error error;
        ck_assert_msg(nw_drawing_widen(&plate, &options, &w, &error) == NW_OK, "%s", error.message);
        places += pinch_count(&w.before);
        plates += pinch_count(&w.after) > 0;
        nw_widened_free(&w);
        nw_drawing_free(&plate);
    }
    ck_assert_uint_ge(places, 10 * PLATES);
    ck_assert_uint_le(plates, 12);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {few_plates_keep_a_place};
    return TESTS_RUN("change_press", tests);
}
