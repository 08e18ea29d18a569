/* A command line, an argument a line, the first of them the command: what is taken has values in
 * the ranges that the options promise. */
#include "fuzz.h"

#include <change/change.h>
#include <cli/request.h>

#include <math.h>
#include <string.h>

#define MOST_ARGUMENTS 64

static void request_hold(const cli_request *request)
{
    const double lengths[] = {request->wide,   request->high,  request->bit,    request->neck,
                              request->stock,  request->ease,  request->bridge, request->tab_width,
                              request->margin, request->smooth};
    for (size_t i = 0; i < sizeof lengths / sizeof *lengths; i++) {
        fuzz_hold(lengths[i] >= 0 && lengths[i] <= 1e6);
    }
    fuzz_hold(request->ppi >= 0 && isfinite(request->ppi));
    fuzz_hold(fabs(request->turn) <= 360);
    fuzz_hold(request->level.level >= 0 && request->level.level <= 255);
    fuzz_hold(request->threads >= 0 && request->jobs >= 0);
    fuzz_hold(request->tabs >= TABS_AUTO && request->tabs <= NW_TABS_MOST);
    fuzz_hold(request->dirt.value >= 0 && isfinite(request->dirt.value));
    fuzz_hold(isfinite(request->origin.place.x) && isfinite(request->origin.place.y));
    fuzz_hold(request->sheet.width >= 0 && request->sheet.height >= 0);
    fuzz_hold(request->help || (request->art_count > 0 && request->arts[0][0]));
}

/* Cuts the text into lines; how many there are. */
static int lines_cut(char *text, char **lines)
{
    int count = 0;
    for (char *line = text; line && count < MOST_ARGUMENTS; count++) {
        lines[count] = line;
        line = strchr(line, '\n');
        if (line) {
            *line++ = '\0';
        }
    }
    return count;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t length)
{
    char *text = malloc(length + 1), *lines[MOST_ARGUMENTS];
    if (!text) {
        return 0;
    }
    memcpy(text, data, length);
    text[length] = '\0';
    int count = lines_cut(text, lines);
    const cli_command *command = command_find(lines[0]);
    if (command) {
        cli_request request;
        nw_error error;
        nw_status status = request_read(command, count - 1, lines + 1, &request, &error);
        fuzz_hold_status(status, &error);
        if (status == NW_OK) {
            request_hold(&request);
        }
        request_free(&request);
    }
    free(text);
    return 0;
}
