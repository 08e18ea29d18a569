/*
 * json_text: values -> JSON (RFC 8259), indented. Numbers are written as exact decimal strings of
 * our own, so that they are the same in every locale.
 */
#include <report/files/json_text.h>

#include <string.h>

static void value_begin(nw_json *j, const char *key)
{
    nw_text_format(j->text, "%s%*s", j->any ? ",\n" : j->depth ? "\n" : "", 2 * j->depth, "");
    if (key)
        nw_text_format(j->text, "\"%s\": ", key);
    j->any = true;
}

void nw_json_open(nw_json *j, const char *key, char bracket)
{
    value_begin(j, key);
    nw_text_add_bytes(j->text, &bracket, 1);
    j->depth++;
    j->any = false;
}

void nw_json_close(nw_json *j, char bracket)
{
    j->depth--;
    nw_text_format(j->text, "\n%*s%c", 2 * j->depth, "", bracket);
    nw_text_add(j->text, j->depth ? "" : "\n");
    j->any = true;
}

void nw_json_number(nw_json *j, const char *key, double value)
{
    value_begin(j, key);
    nw_text_number(j->text, value, REPORT_LIST_DECIMALS);
}

void nw_json_known(nw_json *j, const char *key, double value)
{
    if (value < 0)
        nw_json_string(j, key, NULL);
    else
        nw_json_number(j, key, value);
}

void nw_json_count(nw_json *j, const char *key, size_t count)
{
    value_begin(j, key);
    nw_text_format(j->text, "%zu", count);
}

void nw_json_flag(nw_json *j, const char *key, bool flag)
{
    value_begin(j, key);
    nw_text_add(j->text, flag ? "true" : "false");
}

void nw_json_string(nw_json *j, const char *key, const char *string)
{
    static const char plain[] = "bfnrt\"\\", meant[] = "\b\f\n\r\t\"\\";
    nw_text clean = {0};
    value_begin(j, key);
    if (!string) {
        nw_text_add(j->text, "null");
        return;
    }
    nw_text_clean(&clean, string);
    nw_text_add(j->text, "\"");
    for (const char *s = nw_text_string(&clean); *s;) {
        size_t length = strcspn(s, meant);
        nw_text_add_bytes(j->text, s, length);
        s += length;
        if (*s)
            nw_text_format(j->text, "\\%c", plain[strchr(meant, *s++) - meant]);
    }
    nw_text_add(j->text, "\"");
    j->text->failed = j->text->failed || clean.failed;
    nw_text_free(&clean);
}

void nw_json_pair(nw_json *j, const char *key, double x, double y)
{
    nw_json_open(j, key, '[');
    nw_json_number(j, NULL, x);
    nw_json_number(j, NULL, y);
    nw_json_close(j, ']');
}
