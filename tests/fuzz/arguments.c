/* A command line, an argument a line, the first of them the command: what is taken has values in
 * the ranges that the options promise. */
#include "fuzz.h"

#include <cli/request.h>

#include <math.h>
#include <string.h>

#define MOST_ARGUMENTS 64

static void request_hold(const cli_request *request)
{
    const nw_art_options *art = &request->art;
    const nw_job *job = &request->job;
    const double lengths[] = {art->wide,     art->high,   job->bit,       job->neck,   job->stock,
                              request->ease, job->bridge, job->tab_width, job->margin, art->smooth};
    for (size_t i = 0; i < sizeof lengths / sizeof *lengths; i++)
        fuzz_hold(lengths[i] >= 0 && lengths[i] <= 1e6);
    fuzz_hold(art->ppi >= 0 && isfinite(art->ppi));
    fuzz_hold(fabs(art->turn_deg) <= 360);
    fuzz_hold(art->picture.level >= 0 && art->picture.level <= 255);
    fuzz_hold(job->threads >= 0 && request->jobs >= 0);
    fuzz_hold(job->tab_count <= NW_TABS_MOST && job->bridge_count <= NW_BRIDGES_EACH);
    fuzz_hold(art->dirt_area >= 0 && isfinite(art->dirt_area));
    fuzz_hold(isfinite(request->origin.place.x) && isfinite(request->origin.place.y));
    fuzz_hold(job->sheet_width >= 0 && job->sheet_height >= 0);
    fuzz_hold(request->help || (request->art_count > 0 && request->arts[0][0]));
}

/* Cuts the text into lines; how many there are. */
static int lines_cut(char *text, char **lines)
{
    int count = 0;
    for (char *line = text; line && count < MOST_ARGUMENTS; count++) {
        lines[count] = line;
        line = strchr(line, '\n');
        if (line)
            *line++ = '\0';
    }
    return count;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t length)
{
    char *text = malloc(length + 1), *lines[MOST_ARGUMENTS];
    if (!text)
        return 0;
    memcpy(text, data, length);
    text[length] = '\0';
    int count = lines_cut(text, lines);
    const cli_command *command = command_find(lines[0]);
    if (command) {
        cli_request request;
        nw_error error;
        nw_status status = request_read(command, count - 1, lines + 1, &request, &error);
        fuzz_hold_status(status, &error);
        if (status == NW_OK)
            request_hold(&request);
        request_free(&request);
    }
    free(text);
    return 0;
}
