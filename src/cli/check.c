/* check: does this bit fit? The list of spots, the marked drawing and the outlines. */
#include "cli.h"

#define SMALLEST_BIT_MM 0.01 /* below it, what counts as the same width is no longer small */
#define NO_TIPS 1e-9         /* --blunt 0: no tip is shallow enough to be a corner */

static nw_status request_check(const cli_request *request, nw_error *error)
{
    if (!request->cut.given) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "say how the art is cut: --cut inside, --cut outside or --cut pocket");
    }
    if (!(request->bit > 0)) {
        return nw_fail(error, NW_BAD_REQUEST, "say which bit: for example --bit 1/8in");
    }
    if (request->bit < SMALLEST_BIT_MM || (request->neck > 0 && request->neck < SMALLEST_BIT_MM)) {
        return nw_fail(error, NW_BAD_REQUEST,
                       "--bit and --neck: less than a hundredth of a millimetre cannot be judged");
    }
    return NW_OK;
}

static nw_fit_options fit_options(const cli_request *request, bool *from_stock)
{
    nw_fit_options options = nw_fit_defaults();
    options.cut = request->cut.cut;
    options.bit = request->bit;
    *from_stock = !(request->neck > 0) && request->stock > request->bit;
    options.neck = *from_stock ? request->stock : request->neck;
    if (request->blunt >= 0) {
        options.blunt = request->blunt > 0 ? request->blunt : NO_TIPS;
    }
    options.with_shapes = true;
    options.threads = request->threads;
    return options;
}

typedef struct {
    const char *name;
    nw_text text;
} written;

enum { OUTLINE_SVG, OUTLINE_DXF, MARKED, SPOTS_CSV, SPOTS_JSON, FILE_COUNT };

static nw_status files_make(const nw_report *report, written *files, nw_error *error)
{
    nw_layer outline = {.name = "outline", .drawing = report->drawing, .filled = false};
    nw_layer art = {.name = "outline", .drawing = report->drawing, .filled = true};
    nw_status status = nw_write_svg(&art, 1, report->art, &files[OUTLINE_SVG].text, error);
    if (status == NW_OK) {
        status = nw_write_dxf(&outline, 1, &files[OUTLINE_DXF].text, error);
    }
    if (status == NW_OK) {
        status = nw_write_marked(report, &files[MARKED].text, error);
    }
    if (status == NW_OK) {
        status = nw_write_spots_csv(report, &files[SPOTS_CSV].text, error);
    }
    if (status == NW_OK) {
        status = nw_write_spots_json(report, &files[SPOTS_JSON].text, error);
    }
    return status;
}

static nw_status files_save(const char *art, const char *folder, const written *files,
                            nw_error *error)
{
    nw_file list[FILE_COUNT];
    for (size_t i = 0; i < FILE_COUNT; i++) {
        list[i] = (nw_file){files[i].name, files[i].text.data, files[i].text.length};
    }
    nw_status status = folder_guard(art, folder, list, FILE_COUNT, error);
    return status == NW_OK ? nw_files_write(folder, list, FILE_COUNT, error) : status;
}

/* What goes to standard output; nothing when it is not wanted. The notes are left to standard
 * error. */
static nw_status output_make(const nw_report *report, const cli_request *request, bool colour,
                             const char *folder, nw_text *output, nw_error *error)
{
    if (request->json) {
        return nw_write_spots_json(report, output, error);
    }
    if (request->quiet || request->each) {
        return NW_OK;
    }
    nw_report bare = *report;
    bare.note_count = 0;
    nw_status status = nw_write_table(&bare, colour, output, error);
    nw_text_add(output, "Written to ");
    talk_add_line(output, folder);
    nw_text_add(output, "\n");
    return status == NW_OK && output->failed ? nw_fail_memory(error, "the table") : status;
}

static nw_status report_deliver(const nw_report *report, const cli_request *request, cli_talk *talk,
                                const char *folder, nw_text *output, nw_error *error)
{
    written files[FILE_COUNT] = {{.name = "outline.svg"},
                                 {.name = "outline.dxf"},
                                 {.name = "marked.svg"},
                                 {.name = "spots.csv"},
                                 {.name = "spots.json"}};
    nw_status status = files_make(report, files, error);
    if (status == NW_OK) {
        status = output_make(report, request, talk->colour, folder, output, error);
    }
    if (status == NW_OK) {
        status = files_save(report->art, folder, files, error);
    }
    for (size_t i = 0; i < FILE_COUNT; i++) {
        nw_text_free(&files[i].text);
    }
    return status;
}

static check_result result_of(const nw_fit *fit, const nw_drawing *drawing)
{
    check_result result = {.fits = fit->fits,
                           .width = drawing->width,
                           .height = drawing->height,
                           .narrowest_gap = fit->narrowest_gap,
                           .narrowest_neck = fit->narrowest_neck};
    for (size_t i = 0; i < fit->spot_count; i++) {
        result.gaps += fit->spots[i].side == NW_GAP;
        result.necks += fit->spots[i].side == NW_NECK;
    }
    return result;
}

nw_status check_one(const char *path, const char *folder, const cli_request *request,
                    cli_talk *talk, check_result *result, nw_text *output, nw_error *error)
{
    cli_art art;
    art_wants wants = {.size = true, .region = true};
    nw_status status = art_load(path, request, wants, talk, &art, error);
    if (status != NW_OK) {
        return status;
    }
    bool from_stock;
    nw_fit_options options = fit_options(request, &from_stock);
    nw_fit fit;
    status = nw_fit_run(&art.region, &options, &fit, error);
    if (status == NW_OK) {
        nw_report report = {.art = path,
                            .drawing = &art.drawing,
                            .fit = &fit,
                            .neck_from_stock = from_stock,
                            .notes = (const char *const *)art.notes.lines,
                            .note_count = art.notes.count};
        status = report_deliver(&report, request, talk, folder, output, error);
        *result = result_of(&fit, &art.drawing);
        nw_fit_free(&fit);
    }
    art_free(&art);
    return status;
}

static nw_status only_run(const cli_request *request, cli_talk *talk, exit_code *exit,
                          nw_error *error)
{
    nw_text folder = {0}, output = {0};
    if (request->output) {
        nw_text_add(&folder, request->output);
    } else {
        folder_beside(request->arts[0], &folder);
    }
    check_result result = {0};
    nw_status status = folder.failed ? nw_fail_memory(error, "the folder's name")
                                     : check_one(request->arts[0], folder.data, request, talk,
                                                 &result, &output, error);
    talk_clear(talk);
    if (status == NW_OK) {
        status = talk_print(&output, error);
    }
    nw_text_free(&folder);
    nw_text_free(&output);
    *exit = result.fits ? EXIT_FITS : EXIT_SPOTS;
    return status;
}

nw_status check_run(const cli_request *request, cli_talk *talk, exit_code *exit, nw_error *error)
{
    nw_status status = request_check(request, error);
    if (status != NW_OK) {
        return status;
    }
    if (request->each || request->art_count > 1) {
        return each_run(request, talk, exit, error);
    }
    return only_run(request, talk, exit, error);
}
