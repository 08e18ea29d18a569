/* JSON (RFC 8259), written as it comes. Internal to report. */
#ifndef NARROWS_REPORT_JSON_TEXT_H
#define NARROWS_REPORT_JSON_TEXT_H

#include <report/report.h>

#define REPORT_LIST_DECIMALS 6

/* A document under construction; what fails is kept by the text. */
typedef struct {
    nw_text *text;
    int depth;
    bool any; /* something stands already in the object or array in hand */
} nw_json;

/* Values of an object come with their keys, those of an array with NULL. */
void nw_json_open(nw_json *j, const char *key, char bracket);
/* After the outermost a line end too. */
void nw_json_close(nw_json *j, char bracket);
void nw_json_number(nw_json *j, const char *key, double value);
/* null where value is negative: it does not apply. */
void nw_json_known(nw_json *j, const char *key, double value);
void nw_json_count(nw_json *j, const char *key, size_t count);
void nw_json_flag(nw_json *j, const char *key, bool flag);
/* null where there is none; clean as nw_text_clean makes it. */
void nw_json_string(nw_json *j, const char *key, const char *string);
void nw_json_pair(nw_json *j, const char *key, double x, double y);

/* A spot, left open for more, and the array of a fit's spots, as spots.json has them
 * (spots_file.c). */
void nw_json_spot_open(nw_json *j, const nw_spot *spot, size_t id);
void nw_json_spots(nw_json *j, const char *key, const nw_report *report);

void nw_json_unread(nw_json *j, const nw_unread *unread);

/* A comma and the number, or nothing behind it where it is not known: of the CSV files. */
void nw_report_csv_number(nw_text *csv, double value, bool known);

/* "yes", "no", or "unsure" where not all could be judged. */
const char *nw_report_csv_fits(const nw_fit *fit, const nw_unread *unread);

/* Every note, weightiest first, as "notes". */
void nw_json_notes(nw_json *j, const nw_report *report);

/* What comes loose and what holds it; nothing for a held of NULL (held_json.c). */
void nw_json_held(nw_json *j, const nw_held *held, nw_cut cut);

#endif
