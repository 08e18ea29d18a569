/* bits: every bit of the rack side by side, and what the chosen one needs. */
#include <cli/files.h>
#include <cli/judge_art.h>
#include <cli/page.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define BIT_PLACES 6        /* of a millimetre, in commands */
#define SAMPLE_SHARE 1500.0 /* samples along the art's longer side, for the chart */

enum { BITS_CSV, BITS_JSON, BITS_SVG, PAIR_SVG, PAIR_DXF, PAGE, FILE_COUNT };

/* What the command has found out about the art. */
typedef struct {
    const cli_request *request;
    cli_art art;
    nw_rack rack;
    nw_text rack_name;
    nw_fit_options options;
    nw_bits bits;
    nw_pairs pairs;
    nw_sample *samples;
    nw_bits_report report;
} bits_work;

static nw_status request_check(const cli_request *request, nw_error *error)
{
    cli_request any = *request;
    any.job.bit = request->job.bit > 0 ? request->job.bit : 1;
    nw_status status = list_check(request, error);
    return status == NW_OK ? cut_check(&any, error) : status;
}

/* Only the drawing needs the shapes and the samples. */
static nw_status drawing_prepare(bits_work *work, nw_error *error)
{
    const nw_drawing *drawing = &work->art.art.drawing;
    double most = 0;
    for (size_t i = 0; i < work->rack.count; i++)
        most = fmax(most, work->rack.bits[i].diameter);
    nw_status status = nw_outline_samples(
        &work->art.art.region, &work->options, fmax(drawing->width, drawing->height) / SAMPLE_SHARE,
        1.2 * most, &work->samples, &work->report.sample_count, error);
    work->report.samples = work->samples;
    return status;
}

static nw_status bits_find(bits_work *work, nw_error *error)
{
    const cli_request *request = work->request;
    nw_status status = nw_bits_compare(&work->art.art.region, &work->options, &work->rack,
                                       request->job.stock, &work->bits, error);
    nw_fit_options options = work->options;
    options.with_shapes = false;
    work->report = (nw_bits_report){.art = request->arts[0],
                                    .drawing = &work->art.art.drawing,
                                    .cut = request->job.cut,
                                    .neck = request->job.neck,
                                    .stock = request->job.stock,
                                    .rack = &work->rack,
                                    .rack_name = work->rack_name.data,
                                    .bits = &work->bits,
                                    .unread = work->art.art.unread,
                                    .inch = request->inch,
                                    .named = &option_words};
    if (status == NW_OK)
        status = drawing_prepare(work, error);
    if (status == NW_OK && request->pair) {
        status = nw_pairs_compare(&work->art.art.region, &options, &work->rack, request->job.stock,
                                  &work->pairs, error);
        work->report.pairs = &work->pairs;
    }
    return status;
}

/* ---- results -------------------------------------------------------------------------------- */

/* The bit that the page begins with: the one that was named, else the largest that cuts it all,
 * else the smallest that can be judged; 0 when none can. */
static double bit_to_show(const bits_work *work)
{
    const nw_bits *bits = &work->bits;
    if (work->request->job.bit > 0)
        return work->request->job.bit;
    if (bits->largest < bits->count)
        return bits->results[bits->largest].diameter;
    double smallest = 0;
    for (size_t k = 0; k < bits->count; k++)
        smallest = bits->results[k].judged ? bits->results[k].diameter : smallest;
    return smallest;
}

/* The request for a check with the bit that the page begins with, whose words go into *bit; *texts
 * must be freed. */
static nw_status request_of_check(const bits_work *work, nw_text *bit, const char ***texts,
                                  cli_request *check, nw_error *error)
{
    *check = *work->request;
    *texts = nw_alloc(cli_option_count, sizeof **texts);
    if (!*texts)
        return nw_fail_memory(error, "the request");
    memcpy(*texts, check->texts, cli_option_count * sizeof **texts);
    check->texts = *texts;
    if (check->job.bit > 0)
        return NW_OK;
    nw_text_number(bit, bit_to_show(work), BIT_PLACES);
    nw_text_add(bit, "mm");
    return bit->failed ? nw_fail_memory(error, "the request")
                       : option_take(option_find("bit", 3), bit->data, check, error);
}

static nw_status page_make(bits_work *work, const nw_text *drawing, nw_text *html, nw_error *error)
{
    cli_talk quiet = {.quiet = true};
    nw_text bit = {0};
    const char **texts;
    cli_request check;
    cli_judged judged;
    nw_status status = request_of_check(work, &bit, &texts, &check, error);
    if (status == NW_OK)
        status = art_judge(check.arts[0], &check, &work->art, &quiet, &judged, error);
    if (status == NW_OK) {
        cli_page page = {&check,         &work->art,    NULL,     &check,
                         &judged.report, &judged.found, {drawing}};
        status = page_write(&page, html, error);
        judged_free(&judged);
    }
    talk_end(&quiet);
    free(texts);
    nw_text_free(&bit);
    return status;
}

/* The outline in pieces, by the bit of the best pair that cuts them. */
static nw_status pair_write(const bits_work *work, nw_text *svg, nw_text *dxf, nw_error *error)
{
    const nw_pair *best = work->pairs.pairs;
    nw_drawing large, small, left;
    nw_fit_options options = work->options;
    nw_status status = nw_pair_pieces(&work->art.art.drawing, &work->art.art.region, &options,
                                      best->large_mm, best->small_mm, &large, &small, &left, error);
    if (status != NW_OK)
        return status;
    nw_layer layers[] = {{"outline", &work->art.art.drawing, "#999999", false},
                         {"large", &large, "#0072b2", false},
                         {"small", &small, "#d55e00", false},
                         {"not-reached", &left, "#000000", false}};
    size_t count = left.count ? 4 : small.count ? 3 : 2;
    status = nw_write_svg(layers, count, work->report.art, NULL, svg, error);
    if (status == NW_OK)
        status = nw_write_dxf(layers, count, NULL, dxf, error);
    nw_drawing_free(&large);
    nw_drawing_free(&small);
    nw_drawing_free(&left);
    return status;
}

static nw_status files_write(bits_work *work, cli_talk *talk, nw_text *text, nw_error *error)
{
    cli_file files[FILE_COUNT] = {{.name = "bits.csv"}, {.name = "bits.json"},
                                  {.name = "bits.svg"}, {.name = "pair.svg"},
                                  {.name = "pair.dxf"}, {.name = "page.html"}};
    bool pair = work->request->pair && work->pairs.count;
    nw_status status = nw_write_bits_csv(&work->report, &files[BITS_CSV].text, error);
    if (status == NW_OK)
        status = nw_write_bits_json(&work->report, &files[BITS_JSON].text, error);
    if (status == NW_OK)
        status = nw_write_bits_svg(&work->report, &files[BITS_SVG].text, error);
    if (status == NW_OK && pair)
        status = pair_write(work, &files[PAIR_SVG].text, &files[PAIR_DXF].text, error);
    if (status == NW_OK && nw_page_built() && bit_to_show(work) > 0)
        status = page_make(work, &files[BITS_SVG].text, &files[PAGE].text, error);
    if (status == NW_OK)
        status = files_save(work->report.art, work->request->output, files, FILE_COUNT, talk, text,
                            error);
    files_free(files, FILE_COUNT);
    return status;
}

static nw_status pairs_add(const bits_work *work, nw_text *text, nw_error *error)
{
    nw_text pairs;
    nw_status status = nw_write_pairs_table(&work->report, &pairs, error);
    if (status == NW_OK) {
        nw_text_add(text, "\n");
        nw_text_take(text, &pairs, 0);
        if (work->pairs.count) {
            nw_text_add(text, "pair.svg, pair.dxf: first the large bit along its layer, then the "
                              "small one,\nwhose pieces go on over what the large one has cut by ");
            nw_write_length(text, NW_PAIR_OVERLAP * work->pairs.pairs->small_mm,
                            work->request->inch);
            nw_text_add(text, ".\n");
        }
    }
    return status;
}

/* The ways out for the bit that was named. */
static nw_status named_add(const bits_work *work, nw_text *text, nw_error *error)
{
    const cli_request *request = work->request;
    nw_fit_options options = nw_job_fit_options(&request->job);
    options.with_shapes = false;
    nw_fit fit;
    nw_text ways = {0};
    cli_ways found = {.fit = NULL};
    nw_status status = nw_fit_run(&work->art.art.region, &options, &fit, error);
    if (status != NW_OK)
        return status;
    status = ways_find(request, &work->art.art, &fit, &found, error);
    if (status == NW_OK)
        status = ways_write(request, request->arts[0], &found, &ways, error);
    nw_rack_free(&found.rack);
    nw_fit_free(&fit);
    if (status == NW_OK) {
        nw_text_add(text, "\nWith the bit of ");
        if (request->inch) {
            nw_write_length(text, request->job.bit, true);
        } else {
            nw_text_number(text, request->job.bit, 5);
            nw_text_add(text, " mm");
        }
        nw_text_add(text, ":\n");
        nw_text_take(text, &ways, 0);
    }
    return status;
}

static nw_status output_make(const bits_work *work, bool colour, nw_text *text, nw_error *error)
{
    const cli_request *request = work->request;
    if (request->json)
        return nw_write_bits_json(&work->report, text, error);
    if (request->csv)
        return nw_write_bits_csv(&work->report, text, error);
    if (request->quiet)
        return NW_OK;
    nw_status status = nw_write_bits_table(&work->report, colour, text, error);
    if (status == NW_OK && request->pair)
        status = pairs_add(work, text, error);
    if (status == NW_OK && request->job.bit > 0)
        status = named_add(work, text, error);
    nw_text_add(text, "\n");
    add_written(text, request->output);
    return status;
}

static nw_status results_deliver(bits_work *work, cli_talk *talk, nw_error *error)
{
    nw_text text = {0};
    nw_status status = output_make(work, talk->colour, &text, error);
    talk_clear(talk);
    if (status == NW_OK)
        status = files_write(work, talk, &text, error);
    nw_text_free(&text);
    return status;
}

nw_status bits_run(const cli_request *request, cli_talk *talk, exit_code *exit, nw_error *error)
{
    bits_work work = {.request = request};
    nw_status status = request_check(request, error);
    if (status == NW_OK)
        status = rack_load(request, &work.rack, &work.rack_name, error);
    art_wants wants = {.size = true, .region = true, .page = nw_page_built()};
    if (status == NW_OK)
        status = art_load(request->arts[0], request, wants, talk, &work.art, error);
    if (status == NW_OK) {
        work.options = nw_job_fit_options(&request->job);
        work.options.neck = request->job.neck;
        work.options.with_shapes = true;
        work.options.progress = talk_progress;
        work.options.progress_context = talk;
        status = bits_find(&work, error);
    }
    if (status == NW_OK && !nw_page_built())
        status = page_note(talk, error);
    if (status == NW_OK)
        status = results_deliver(&work, talk, error);
    *exit = work.bits.largest < work.bits.count && !nw_unread_count(&work.report.unread)
                ? EXIT_FITS
                : EXIT_SPOTS;
    free(work.samples);
    nw_pairs_free(&work.pairs);
    nw_bits_free(&work.bits);
    nw_rack_free(&work.rack);
    nw_text_free(&work.rack_name);
    art_free(&work.art);
    return status;
}
