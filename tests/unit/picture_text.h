/* Pictures read from bytes that a test has written out by hand. */
#ifndef NARROWS_TEST_PICTURE_TEXT_H
#define NARROWS_TEST_PICTURE_TEXT_H

#include "../tests.h"

#include <picture/picture.h>
#include <string.h>

static inline nw_picture read_picture(const void *data, size_t length,
                                      const nw_picture_options *options)
{
    nw_picture_options defaults = nw_picture_defaults();
    nw_picture picture;
    nw_error error = {0};
    nw_status status =
        nw_picture_read(data, length, options ? options : &defaults, &picture, &error);
    ck_assert_msg(status == NW_OK, "%s", error.message);
    return picture;
}

static inline nw_picture read_text(const char *text)
{
    return read_picture(text, strlen(text), NULL);
}

#endif
