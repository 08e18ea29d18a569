/* sheet_art: the art with what the bit reaches and what it cannot. */
#include <report/sheet/sheet.h>

static void draw_residue(report_sheet *sheet, const nw_spot *spot)
{
    const nw_drawing *residues = &sheet->report->fit->residues;
    if (!spot->residue_count || spot->residue >= residues->count)
        return;
    bool gap = spot->side == NW_GAP;
    nw_report_pen_paths(&sheet->pen, residues, spot->residue, spot->residue_count, sheet->place,
                        gap ? INK_VERMILLION : REPORT_HATCH, gap ? INK_VERMILLION : INK_BLUE,
                        0.15 * sheet->pen.unit);
}

void nw_report_art_draw(report_sheet *sheet)
{
    if (sheet->change) {
        nw_report_change_draw(sheet);
        return;
    }
    const nw_report *report = sheet->report;
    const nw_fit *fit = report->fit;
    bool outside = fit->options.cut == NW_CUT_OUTSIDE;
    double unit = sheet->pen.unit;
    nw_report_pen_group(&sheet->pen, "art", 0);
    if (outside) { /* the band that the bit sweeps round the art */
        nw_report_pen_drawing(&sheet->pen, &fit->bit_path, sheet->place, NULL, TINT_SKY,
                              fit->options.bit * sheet->place.scale);
    }
    nw_report_pen_drawing(&sheet->pen, report->drawing, sheet->place, outside ? INK_GREY : TINT_SKY,
                          NULL, 0);
    nw_report_pen_drawing(&sheet->pen, &fit->corner_residues, sheet->place, INK_ORANGE, NULL, 0);
    for (size_t i = 0; i < fit->spot_count; i++)
        draw_residue(sheet, &fit->spots[i]);
    nw_report_edges_draw(sheet);
    nw_report_pen_drawing(&sheet->pen, report->drawing, sheet->place, NULL, INK_BLACK, 0.25 * unit);
    nw_report_tabs_draw(sheet);
    for (size_t i = 0; i < fit->lift_count && i < REPORT_LIFTS_MOST; i++)
        nw_report_lift_draw(&sheet->pen, nw_report_placed(fit->lifts[i].at, &sheet->place));
    nw_report_pen_end(&sheet->pen);
}
