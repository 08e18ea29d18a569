/* json: values of the JSON files under construction. Internal to report. */
#ifndef NARROWS_REPORT_JSON_H
#define NARROWS_REPORT_JSON_H

#include <report/report.h>

#include <json-c/json.h>

#define REPORT_LIST_DECIMALS 6

/* A document under construction; the first failure is kept, as in nw_text. */
typedef struct {
    bool failed;
} report_json;

/* Hand value over to an object or array; on failure it is freed. */
void nw_report_json_put(report_json *b, struct json_object *object, const char *key,
                        struct json_object *value);
void nw_report_json_append(report_json *b, struct json_object *array, struct json_object *value);

/* NULL is JSON's null, so a failed allocation must be told apart: notes it and returns value. */
struct json_object *nw_report_json_made(report_json *b, struct json_object *value);

struct json_object *nw_report_json_number(report_json *b, double value);
/* null where value is negative: it does not apply. */
struct json_object *nw_report_json_known(report_json *b, double value);
struct json_object *nw_report_json_string(report_json *b, const char *text);
struct json_object *nw_report_json_pair(report_json *b, double x, double y);

/* A spot, and the array of a fit's spots, as spots.json has them (spots.c). */
struct json_object *nw_report_json_spot(report_json *b, const nw_spot *spot, size_t id);
struct json_object *nw_report_json_spots(report_json *b, const nw_fit *fit);

/* What comes loose and what holds it; nothing for a held of NULL (held_json.c). */
void nw_report_json_held(report_json *b, struct json_object *root, const nw_held *held, nw_cut cut);
struct json_object *nw_report_json_bridges(report_json *b, const nw_held *held);

/* The finished document and a line end into json, or its failure; frees root. */
void nw_report_json_write(report_json *b, struct json_object *root, nw_text *json);

#endif
