/*
 * files: what goes into written drawings and folders, under which names, and PDF for printing
 * (files.c, layers.c, names.c, print.c). Internal to cli.
 */
#ifndef NARROWS_CLI_FILES_H
#define NARROWS_CLI_FILES_H

#include <cli/load.h>

/* A file under construction. */
typedef struct {
    const char *name; /* within the folder */
    nw_text text;
} cli_file;

/* Writes all files that have a text into the folder, removes those that have none, for they are of
 * an earlier run and say what no longer holds, and prints text: all of it or nothing; never over
 * ART itself. Empties *text. */
nw_status files_save(const char *art, const char *folder, const cli_file *files, size_t count,
                     cli_talk *talk, nw_text *text, nw_error *error);

/* The same with one file, or standard output for -, which then takes nothing else. */
nw_status file_save(const char *path, nw_text *file, cli_talk *talk, nw_text *text,
                    nw_error *error);
void files_free(cli_file *files, size_t count);

/* The line that says where the results are. */
void add_written(nw_text *text, const char *path);

/* ---- names (names.c) ------------------------------------------------------------------------- */

/* A file's format, told by its ending; - is SVG. */
typedef enum { FORMAT_NONE, FORMAT_SVG, FORMAT_DXF } cli_format;

cli_format format_of(const char *path);

/* Where results go when the user does not say: a folder beside ART, named after it and the command;
 * own keeps its name. Refuses before any work what -o cannot mean and what cannot be written: a
 * file where a folder is to be and the other way round, ART itself, a place that takes nothing. */
nw_status output_choose(cli_request *request, nw_text *own, nw_error *error);

/* The same of the folder beside one of many. */
nw_status beside_check(const char *art, const char *folder, const cli_command *command,
                       nw_error *error);

/* True when path is the very file that ART is. */
bool art_is_file(const char *art, const char *path);

/* The folder for ART when the user names none, and that for it within another. */
void folder_beside(const char *art, const cli_request *request, nw_text *folder);
void folder_within(const char *art, nw_text *folder);

/* How the names of the folders of other ways begin: as the one that was given, else as ART. */
void ways_folder(const cli_request *request, const char *art, nw_text *folder);

/* ---- layers (layers.c) ----------------------------------------------------------------------- */

/* What goes into one written drawing. */
typedef struct {
    nw_layer items[8];
    size_t count;
    nw_drawing broken;           /* the outlines with gaps for tabs, where those were asked for */
    nw_drawing as_cut, bit_path; /* in few elements */
    nw_drawing shapes, middles;  /* the outlines in two, where --lines middle was asked for */
    nw_point place;              /* of the origin, unless that is the art's lower left corner */
} cli_layers;

/* Whether something is asked for that only the fit knows. */
bool layers_need_fit(const cli_request *request);

/* The outlines, filled when they stand alone, and what else was asked for. Free with
 * layers_free. */
nw_status layers_make(const cli_request *request, const nw_drawing *outline, const nw_fit *fit,
                      const cli_hold *hold, cli_layers *layers, nw_error *error);
void layers_free(cli_layers *layers);
nw_status layers_write(const cli_layers *layers, const cli_request *request, cli_format format,
                       const char *title, nw_text *text, nw_error *error);
/* As SVG and as DXF. */
nw_status layers_write_both(const cli_layers *layers, const cli_request *request, const char *title,
                            nw_text *svg, nw_text *dxf, nw_error *error);
/* Into the one file that was asked for, in the format that its ending tells; as file_save. */
nw_status layers_save(const cli_layers *layers, const cli_request *request, const char *title,
                      cli_talk *talk, nw_text *text, nw_error *error);

/* ---- print (print.c) ------------------------------------------------------------------------- */

/* The marked drawing as PDF; where that cannot be, pdf stays empty and a line says so. */
nw_status print_make(const nw_report *report, const char *name, cli_talk *talk, nw_text *pdf,
                     nw_error *error);

#endif
