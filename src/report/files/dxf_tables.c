/*
 * dxf_tables: the sections of a DXF file round its entities: HEADER, CLASSES, TABLES and BLOCKS
 * before them, OBJECTS after them, each with the records that the DXF reference (Autodesk, DXF
 * Reference for AutoCAD 2000) asks for in an AC1015 file. Handles below REPORT_DXF_FIRST_HANDLE
 * are fixed here; every record names its owner (group 330).
 */
#include <report/parts.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define FIRST_LAYER_HANDLE 0x40 /* REPORT_LAYERS_MOST of them */
#define HANDLE_SEED "7FFFFFF"   /* above every handle that an entity can get */

static void add_corner(nw_text *dxf, const char *name, nw_point at)
{
    nw_text_format(dxf, "  9\n%s\n 10\n", name);
    nw_text_number(dxf, at.x, 6);
    nw_text_add(dxf, "\n 20\n");
    nw_text_number(dxf, at.y, 6);
    nw_text_add(dxf, "\n 30\n0\n");
}

static void add_header(nw_text *dxf, nw_box box)
{
    nw_text_add(dxf, "  0\nSECTION\n  2\nHEADER\n"
                     "  9\n$ACADVER\n  1\nAC1015\n"
                     "  9\n$DWGCODEPAGE\n  3\nANSI_1252\n"
                     "  9\n$INSBASE\n 10\n0\n 20\n0\n 30\n0\n");
    add_corner(dxf, "$EXTMIN", box.min);
    add_corner(dxf, "$EXTMAX", box.max);
    nw_text_add(dxf, "  9\n$LTSCALE\n 40\n1\n"
                     "  9\n$MEASUREMENT\n 70\n1\n"
                     "  9\n$INSUNITS\n 70\n4\n"
                     "  9\n$LUNITS\n 70\n2\n"
                     "  9\n$LUPREC\n 70\n4\n"
                     "  9\n$HANDSEED\n  5\n" HANDLE_SEED "\n"
                     "  0\nENDSEC\n"
                     "  0\nSECTION\n  2\nCLASSES\n  0\nENDSEC\n");
}

static void open_table(nw_text *dxf, const char *name, const char *handle, size_t records)
{
    nw_text_format(dxf, "  0\nTABLE\n  2\n%s\n  5\n%s\n330\n0\n100\nAcDbSymbolTable\n 70\n%zu\n",
                   name, handle, records);
}

static void open_record(nw_text *dxf, const char *type, const char *handle, const char *owner,
                        const char *kind, const char *name)
{
    nw_text_format(dxf, "  0\n%s\n%s\n%s\n330\n%s\n100\nAcDbSymbolTableRecord\n100\n%s\n  2\n%s\n",
                   type, strcmp(type, "DIMSTYLE") ? "  5" : "105", handle, owner, kind, name);
}

/* Red, yellow, green, cyan, blue, magenta and black or white are colours 1 to 7 of the format: the
 * one nearest to "#rrggbb", 7 for anything else. */
static int colour_index(const char *colour)
{
    static const int shades[7][3] = {{255, 0, 0}, {255, 255, 0}, {0, 255, 0}, {0, 255, 255},
                                     {0, 0, 255}, {255, 0, 255}, {0, 0, 0}};
    char *end;
    if (!colour || *colour != '#' || strlen(colour) != 7)
        return 7;
    long value = strtol(colour + 1, &end, 16);
    long least = 0;
    int nearest = 7;
    for (int i = 0; i < 7 && !*end; i++) {
        long red = (value >> 16) - shades[i][0], green = (value >> 8 & 255) - shades[i][1];
        long blue = (value & 255) - shades[i][2];
        long distance = red * red + green * green + blue * blue;
        if (i == 0 || distance < least) {
            least = distance;
            nearest = i + 1;
        }
    }
    return nearest;
}

static void add_layer_record(nw_text *dxf, const char *name, int colour, unsigned handle)
{
    char digits[16];
    snprintf(digits, sizeof digits, "%X", handle);
    open_record(dxf, "LAYER", digits, "2", "AcDbLayerTableRecord", name);
    nw_text_format(dxf, " 70\n0\n 62\n%d\n  6\nContinuous\n370\n-3\n390\nF\n", colour);
}

static void add_layers(nw_text *dxf, const nw_layer *layers, size_t count)
{
    open_table(dxf, "LAYER", "2", count + 1);
    add_layer_record(dxf, "0", 7, 0x10);
    for (size_t i = 0; i < count; i++) {
        add_layer_record(dxf, layers[i].name, colour_index(layers[i].colour),
                         FIRST_LAYER_HANDLE + (unsigned)i);
    }
    nw_text_add(dxf, "  0\nENDTAB\n");
}

static void add_view_port(nw_text *dxf, nw_box box)
{
    double width = nw_box_width(box), height = nw_box_height(box);
    open_table(dxf, "VPORT", "8", 1);
    open_record(dxf, "VPORT", "29", "8", "AcDbViewportTableRecord", "*Active");
    nw_text_add(dxf, " 70\n0\n 10\n0\n 20\n0\n 11\n1\n 21\n1\n 12\n");
    nw_text_number(dxf, (box.min.x + box.max.x) / 2, 6);
    nw_text_add(dxf, "\n 22\n");
    nw_text_number(dxf, (box.min.y + box.max.y) / 2, 6);
    nw_text_add(dxf, "\n 13\n0\n 23\n0\n 14\n10\n 24\n10\n 15\n10\n 25\n10\n"
                     " 16\n0\n 26\n0\n 36\n1\n 17\n0\n 27\n0\n 37\n0\n 40\n");
    nw_text_number(dxf, height > width ? height : width, 6);
    nw_text_add(dxf, "\n 41\n1\n 42\n50\n 43\n0\n 44\n0\n 50\n0\n 51\n0\n 71\n0\n 72\n100\n"
                     " 73\n1\n 74\n3\n 75\n0\n 76\n0\n 77\n0\n 78\n0\n  0\nENDTAB\n");
}

static void add_line_types(nw_text *dxf)
{
    static const char *const names[] = {"ByBlock", "ByLayer", "Continuous"};
    static const char *const handles[] = {"14", "15", "16"};
    open_table(dxf, "LTYPE", "5", 3);
    for (int i = 0; i < 3; i++) {
        open_record(dxf, "LTYPE", handles[i], "5", "AcDbLinetypeTableRecord", names[i]);
        nw_text_add(dxf, " 70\n0\n  3\n\n 72\n65\n 73\n0\n 40\n0\n");
    }
    nw_text_add(dxf, "  0\nENDTAB\n");
}

static void add_small_tables(nw_text *dxf)
{
    open_table(dxf, "STYLE", "3", 1);
    open_record(dxf, "STYLE", "11", "3", "AcDbTextStyleTableRecord", "Standard");
    nw_text_add(dxf, " 70\n0\n 40\n0\n 41\n1\n 50\n0\n 71\n0\n 42\n2.5\n  3\ntxt\n  4\n\n"
                     "  0\nENDTAB\n");
    open_table(dxf, "VIEW", "6", 0);
    nw_text_add(dxf, "  0\nENDTAB\n");
    open_table(dxf, "UCS", "7", 0);
    nw_text_add(dxf, "  0\nENDTAB\n");
    open_table(dxf, "APPID", "9", 1);
    open_record(dxf, "APPID", "12", "9", "AcDbRegAppTableRecord", "ACAD");
    nw_text_add(dxf, " 70\n0\n  0\nENDTAB\n");
    open_table(dxf, "DIMSTYLE", "A", 1);
    nw_text_add(dxf, "100\nAcDbDimStyleTable\n");
    open_record(dxf, "DIMSTYLE", "27", "A", "AcDbDimStyleTableRecord", "Standard");
    nw_text_add(dxf, " 70\n0\n340\n11\n  0\nENDTAB\n");
}

static void add_blocks(nw_text *dxf)
{
    static const char *const names[] = {"*Model_Space", "*Paper_Space"};
    static const char *const records[] = {REPORT_DXF_MODEL, "1B"};
    static const char *const begins[] = {"20", "1C"}, *const ends[] = {"21", "1D"};
    static const char *const layouts[] = {"22", "1E"};
    open_table(dxf, "BLOCK_RECORD", "1", 2);
    for (int i = 0; i < 2; i++) {
        open_record(dxf, "BLOCK_RECORD", records[i], "1", "AcDbBlockTableRecord", names[i]);
        nw_text_format(dxf, "340\n%s\n", layouts[i]);
    }
    nw_text_add(dxf, "  0\nENDTAB\n  0\nENDSEC\n  0\nSECTION\n  2\nBLOCKS\n");
    for (int i = 0; i < 2; i++) {
        nw_text_format(dxf,
                       "  0\nBLOCK\n  5\n%s\n330\n%s\n100\nAcDbEntity\n%s  8\n0\n"
                       "100\nAcDbBlockBegin\n  2\n%s\n 70\n0\n 10\n0\n 20\n0\n 30\n0\n  3\n%s\n"
                       "  1\n\n  0\nENDBLK\n  5\n%s\n330\n%s\n100\nAcDbEntity\n%s  8\n0\n"
                       "100\nAcDbBlockEnd\n",
                       begins[i], records[i], i ? " 67\n1\n" : "", names[i], names[i], ends[i],
                       records[i], i ? " 67\n1\n" : "");
    }
    nw_text_add(dxf, "  0\nENDSEC\n");
}

void nw_report_dxf_head(nw_text *dxf, const nw_layer *layers, size_t count, nw_box box)
{
    add_header(dxf, box);
    nw_text_add(dxf, "  0\nSECTION\n  2\nTABLES\n");
    add_view_port(dxf, box);
    add_line_types(dxf);
    add_layers(dxf, layers, count);
    add_small_tables(dxf);
    add_blocks(dxf);
    nw_text_add(dxf, "  0\nSECTION\n  2\nENTITIES\n");
}

static void add_dictionary(nw_text *dxf, const char *handle, const char *owner, const char *entries)
{
    nw_text_format(dxf, "  0\nDICTIONARY\n  5\n%s\n330\n%s\n100\nAcDbDictionary\n281\n1\n%s",
                   handle, owner, entries);
}

static void add_layout(nw_text *dxf, const char *name, bool model, const char *handle,
                       const char *record)
{
    nw_text_format(dxf,
                   "  0\nLAYOUT\n  5\n%s\n330\n1A\n100\nAcDbPlotSettings\n  1\n\n  2\nnone_device\n"
                   "  4\nA4\n  6\n\n 40\n0\n 41\n0\n 42\n0\n 43\n0\n 44\n210\n 45\n297\n 46\n0\n"
                   " 47\n0\n 48\n0\n 49\n0\n140\n0\n141\n0\n142\n1\n143\n1\n 70\n%d\n 72\n1\n"
                   " 73\n0\n 74\n%d\n  7\n\n 75\n16\n147\n1\n148\n0\n149\n0\n",
                   handle, model ? 1712 : 688, model ? 0 : 5);
    nw_text_format(dxf,
                   "100\nAcDbLayout\n  1\n%s\n 70\n1\n 71\n%d\n 10\n0\n 20\n0\n 11\n420\n 21\n297\n"
                   " 12\n0\n 22\n0\n 32\n0\n 14\n0\n 24\n0\n 34\n0\n 15\n0\n 25\n0\n 35\n0\n"
                   "146\n0\n 13\n0\n 23\n0\n 33\n0\n 16\n1\n 26\n0\n 36\n0\n 17\n0\n 27\n1\n"
                   " 37\n0\n 76\n0\n330\n%s\n",
                   name, model ? 0 : 1, record);
}

void nw_report_dxf_tail(nw_text *dxf)
{
    nw_text_add(dxf, "  0\nENDSEC\n  0\nSECTION\n  2\nOBJECTS\n");
    add_dictionary(dxf, "C", "0",
                   "  3\nACAD_GROUP\n350\nD\n  3\nACAD_LAYOUT\n350\n1A\n"
                   "  3\nACAD_PLOTSTYLENAME\n350\nE\n");
    add_dictionary(dxf, "D", "C", "");
    add_dictionary(dxf, "1A", "C", "  3\nModel\n350\n22\n  3\nLayout1\n350\n1E\n");
    add_layout(dxf, "Model", true, "22", REPORT_DXF_MODEL);
    add_layout(dxf, "Layout1", false, "1E", "1B");
    nw_text_add(dxf, "  0\nACDBDICTIONARYWDFLT\n  5\nE\n330\nC\n100\nAcDbDictionary\n281\n1\n"
                     "  3\nNormal\n350\nF\n100\nAcDbDictionaryWithDefault\n340\nF\n"
                     "  0\nACDBPLACEHOLDER\n  5\nF\n330\nE\n"
                     "  0\nENDSEC\n  0\nEOF\n");
}
