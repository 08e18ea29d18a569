/* Art, its fit and a name of any bytes: all that is written of them. Drawings are XML that can be
 * read, lists have no control characters but line ends. */
#include "shapes.h"

#include <report/report.h>
#include <svg/svg.h>

#include <string.h>

#define SHAPES 4
#define NAME_MOST 40

static void plain_hold(const nw_text *text)
{
    for (size_t i = 0; i < text->length; i++) {
        uint8_t c = (uint8_t)text->data[i];
        fuzz_hold(c >= 0x20 || c == '\n' || c == '\r');
    }
}

static void lists_hold(const nw_report *report)
{
    nw_text csv = {0}, json = {0}, table = {0};
    nw_error error;
    fuzz_hold(nw_write_spots_csv(report, &csv, &error) == NW_OK);
    fuzz_hold(nw_write_spots_json(report, &json, &error) == NW_OK);
    fuzz_hold(nw_write_table(report, false, &table, &error) == NW_OK);
    plain_hold(&json);
    nw_text_free(&csv);
    nw_text_free(&json);
    nw_text_free(&table);
}

/* That it is XML is all that is asked: art that is a point has no shape to be read. */
static void read_hold(const nw_text *svg)
{
    nw_drawing again;
    nw_svg_notes notes;
    nw_error error;
    if (!svg->length)
        return;
    const uint8_t *data = (const uint8_t *)svg->data;
    fuzz_hold(nw_svg_known(data, svg->length));
    nw_status status = nw_drawing_read_svg(data, svg->length, &again, &notes, &error);
    fuzz_hold_status(status, &error);
    fuzz_hold(status == NW_OK || !strstr(error.message, "not well-formed"));
    nw_drawing_free(&again);
}

static void sheets_hold(nw_report report)
{
    nw_text svg = {0}, details = {0}, pdf = {0}, anew = {0};
    nw_layout *layout;
    size_t sheets;
    nw_error error;
    fuzz_hold(nw_write_marked(&report, &anew, NULL, &error) == NW_OK);
    fuzz_hold(nw_layout_find(&report, &layout, &error) == NW_OK);
    report.layout = layout;
    fuzz_hold(nw_write_marked(&report, &svg, &details, &error) == NW_OK);
    fuzz_hold(nw_write_marked_pdf(&report, &sheets, &pdf, &error) == NW_OK);
    read_hold(&svg);
    read_hold(&anew);
    read_hold(&details);
    nw_layout_free(layout);
    nw_text_free(&svg);
    nw_text_free(&details);
    nw_text_free(&pdf);
    nw_text_free(&anew);
}

static void reports_hold(fuzz_case *made, const char *name)
{
    nw_region region;
    nw_fit fit;
    nw_error error;
    fuzz_hold(nw_drawing_flatten(&made->art, NW_FLATNESS_MM, &region, &error) == NW_OK);
    made->cut.with_shapes = true;
    nw_status status = nw_fit_run(&region, &made->cut, &fit, &error);
    fuzz_hold_status(status, &error);
    if (status == NW_OK) {
        nw_report report = {
            .art = name, .drawing = &made->art, .fit = &fit, .inch = made->what & 1};
        lists_hold(&report);
        sheets_hold(report);
        nw_fit_free(&fit);
    }
    nw_region_free(&region);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t length)
{
    fuzz_bytes bytes = {data, length};
    fuzz_case made;
    char name[NAME_MOST + 1] = "";
    size_t named = length < NAME_MOST ? length : NAME_MOST;
    if (length)
        memcpy(name, data + length - named, named);
    name[named] = '\0';
    if (!fuzz_case_read(&bytes, SHAPES, &made))
        return 0;
    reports_hold(&made, name);
    nw_drawing_free(&made.art);
    return 0;
}
