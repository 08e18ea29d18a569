/* bytes: a block of memory and its length. */
#include <base/base.h>

#include <stdlib.h>

void nw_bytes_free(nw_bytes *bytes)
{
    if (bytes) {
        free(bytes->data);
        *bytes = (nw_bytes){0};
    }
}
