/*
 * json_values: values for the lists (RFC 8259, by json-c). Numbers are written as exact decimal
 * strings of our own, so that they are the same in every locale.
 */
#include <report/files/json_values.h>

void nw_report_json_put(report_json *b, struct json_object *object, const char *key,
                        struct json_object *value)
{
    if (json_object_object_add(object, key, value) != 0) {
        json_object_put(value);
        b->failed = true;
    }
}

void nw_report_json_append(report_json *b, struct json_object *array, struct json_object *value)
{
    if (json_object_array_add(array, value) != 0) {
        json_object_put(value);
        b->failed = true;
    }
}

struct json_object *nw_report_json_made(report_json *b, struct json_object *value)
{
    b->failed = b->failed || !value;
    return value;
}

struct json_object *nw_report_json_number(report_json *b, double value)
{
    nw_text digits = {0};
    nw_text_number(&digits, value, REPORT_LIST_DECIMALS);
    struct json_object *object =
        digits.failed ? NULL : json_object_new_double_s(value, digits.data);
    nw_text_free(&digits);
    return nw_report_json_made(b, object);
}

struct json_object *nw_report_json_known(report_json *b, double value)
{
    return value < 0 ? NULL : nw_report_json_number(b, value);
}

struct json_object *nw_report_json_string(report_json *b, const char *text)
{
    nw_text clean = {0};
    nw_text_clean(&clean, text);
    struct json_object *object =
        clean.failed ? NULL : json_object_new_string(clean.data ? clean.data : "");
    nw_text_free(&clean);
    return nw_report_json_made(b, object);
}

struct json_object *nw_report_json_pair(report_json *b, double x, double y)
{
    struct json_object *array = nw_report_json_made(b, json_object_new_array_ext(2));
    if (array) {
        nw_report_json_append(b, array, nw_report_json_number(b, x));
        nw_report_json_append(b, array, nw_report_json_number(b, y));
    }
    return array;
}

void nw_report_json_write(report_json *b, struct json_object *root, nw_text *json)
{
    int style = JSON_C_TO_STRING_PRETTY | JSON_C_TO_STRING_SPACED | JSON_C_TO_STRING_NOSLASHESCAPE;
    const char *text = b->failed ? NULL : json_object_to_json_string_ext(root, style);
    if (text) {
        nw_text_add(json, text);
        nw_text_add(json, "\n");
    }
    json->failed = json->failed || !text;
    json_object_put(root);
}
