/* ways: the rack, and the ways out of a fit by it. */
#include <cli/files.h>
#include <cli/ways_print.h>

#include <stdlib.h>
#include <unistd.h>

#define RACK_MOST (1u << 20) /* bytes; 1000 bits take far less */

/* ---- the rack ------------------------------------------------------------------------------- */

/* The user's own rack where the XDG Base Directory Specification 0.8 puts it; empty when the
 * environment names no place. */
static void rack_own_path(nw_text *path)
{
    const char *config = getenv("XDG_CONFIG_HOME"), *home = getenv("HOME");
    if (config && config[0] == '/') {
        nw_text_add(path, config);
    } else if (home && home[0] == '/') {
        nw_text_add(path, home);
        nw_text_add(path, "/.config");
    } else {
        return;
    }
    nw_text_add(path, "/narrows/rack");
}

static nw_status rack_from_file(const char *path, nw_rack *rack, nw_error *error)
{
    nw_bytes bytes;
    nw_status status = nw_file_read(path, &(nw_read){.limit = RACK_MOST}, &bytes, error);
    if (status == NW_OK) {
        status = nw_rack_read((const char *)bytes.data, bytes.length, path, rack, error);
        nw_bytes_free(&bytes);
    }
    return status;
}

nw_status rack_load(const cli_request *request, nw_rack *rack, nw_text *name, nw_error *error)
{
    nw_text own = {0};
    *rack = (nw_rack){0};
    if (!request->rack)
        rack_own_path(&own);
    /* The user's own one that is there and cannot be read is no other one. */
    bool owned = own.data && !own.failed && access(own.data, F_OK) == 0;
    const char *path = request->rack ? request->rack : owned ? own.data : NULL;
    if (name)
        nw_text_add(name, path ? path : "built-in");
    nw_status status = own.failed ? nw_fail_memory(error, "the rack's path")
                       : path     ? rack_from_file(path, rack, error)
                                  : nw_rack_common(rack, error);
    nw_text_free(&own);
    return status;
}

/* ---- the ways out --------------------------------------------------------------------------- */

nw_status ways_write(const cli_request *request, const char *path, const cli_ways *found,
                     nw_text *text, nw_error *error)
{
    nw_text folder = {0};
    ways_folder(request, path, &folder);
    nw_status status = folder.failed
                           ? nw_fail_memory(error, "the ways out")
                           : ways_tell(request, path, folder.data, found, text, NULL, error);
    nw_text_free(&folder);
    return status;
}

nw_status ways_find(const cli_request *request, const nw_art *art, const nw_fit *fit,
                    cli_ways *found, nw_error *error)
{
    nw_fit_options options = fit->options;
    options.neck = request->job.neck;
    options.with_shapes = false;
    *found = (cli_ways){.fit = fit};
    nw_status status = rack_load(request, &found->rack, NULL, error);
    if (status == NW_OK) {
        status = nw_ways_find(&art->drawing, &art->region, &options, fit, &found->rack,
                              request->job.stock, &found->ways, error);
    }
    if (status == NW_OK)
        status = ways_less(request, &art->drawing, &art->pieces, found, error);
    if (status != NW_OK)
        nw_rack_free(&found->rack);
    return status;
}
