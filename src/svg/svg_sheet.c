/*
 * svg_sheet: style sheets -> rules, and the declarations that apply to an element, in the order of
 * the cascade (CSS 2.1, chapters 4 to 6).
 *
 * Rules whose selectors are not read whole (svg_selector.c) are not applied. They are counted where
 * they may match an element, and so are at-rules that may hold rules.
 */
#define _POSIX_C_SOURCE 200809L /* strdup */
#include <svg/svg_internal.h>

#include <stdlib.h>
#include <string.h>

typedef struct {
    nw_svg_selector selector;
    bool missed; /* it is not read whole, and what is matches an element */
    size_t order;
    const char *declarations; /* within the sheet's texts */
} rule;

struct nw_svg_sheet {
    rule *rules;
    size_t count, capacity;
    char **texts;
    size_t text_count, text_capacity;
    size_t at_rules; /* that may hold rules */
    nw_svg_counts counts;
};

/* Every stretch from open to close becomes blanks; an unclosed one goes to the end. */
static void stretches_blank(char *text, const char *open, const char *close)
{
    while ((text = strstr(text, open))) {
        char *end = strstr(text + strlen(open), close);
        end = end ? end + strlen(close) : text + strlen(text);
        memset(text, ' ', (size_t)(end - text));
        text = end;
    }
}

static void comments_blank(char *text)
{
    stretches_blank(text, "/*", "*/");
    /* Marks that hid sheets from old programs; what stands between them counts. */
    stretches_blank(text, "<!--", "");
    stretches_blank(text, "-->", "");
}

/* ---- reading ------------------------------------------------------------------------------- */

typedef struct {
    nw_svg_counts counts;
    bool any;
} counting;

static void declaration_count(void *context, const char *name, const char *value)
{
    counting *c = context;
    c->any |= *value && c->counts(name);
}

/* All selectors before a block, separated by commas. */
static nw_status rule_set_read(nw_svg_sheet *sheet, char *selectors, const char *declarations,
                               nw_error *error)
{
    counting c = {.counts = sheet->counts};
    for (int important = 0; important < 2; important++)
        nw_svg_declarations_read(declarations, important, declaration_count, &c);
    while (c.any && selectors) {
        char *comma = selectors + nw_svg_length_until(selectors, ",");
        comma = *comma ? comma : NULL;
        if (comma)
            *comma = '\0';
        rule r = {.declarations = declarations, .order = sheet->count};
        if (nw_svg_selector_read(selectors, &r.selector)) {
            if (sheet->count >= SVG_MOST_RULES) {
                return nw_fail(error, NW_BAD_INPUT, "the style sheet has more than %d rules",
                               SVG_MOST_RULES);
            }
            if (!nw_push(&sheet->rules, &sheet->count, &sheet->capacity, &r, sizeof r))
                return nw_fail_memory(error, "the style sheet");
        }
        selectors = comma ? comma + 1 : NULL;
    }
    return NW_OK;
}

/* The end of an at-rule that begins at s: behind its block or its semicolon. */
static char *at_rule_end(char *s)
{
    int depth = 0;
    for (; *s; s++) {
        depth += *s == '{';
        if (*s == '}' && --depth <= 0)
            return s + 1;
        if (*s == ';' && depth == 0)
            return s + 1;
    }
    return s;
}

static int compare_rules(const void *a, const void *b)
{
    const rule *p = a, *q = b;
    int order = (p->selector.specificity > q->selector.specificity) -
                (p->selector.specificity < q->selector.specificity);
    return order ? order : p->order < q->order ? -1 : p->order > q->order;
}

static nw_status rules_read(nw_svg_sheet *sheet, char *s, nw_error *error)
{
    static const char *const with_rules[] = {"media", "import", "supports", "layer", NULL};
    nw_status status = NW_OK;
    while (!status && *(s = (char *)nw_svg_skip_space(s))) {
        if (*s == '@') {
            sheet->at_rules += nw_svg_word_is(s + 1, with_rules);
            s = at_rule_end(s);
            continue;
        }
        char *open = strchr(s, '{'), *close = open ? strchr(open, '}') : NULL;
        if (!close)
            break;
        *open = *close = '\0';
        status = rule_set_read(sheet, s, open + 1, error);
        s = close + 1;
    }
    nw_sort(sheet->rules, sheet->count, sizeof *sheet->rules, compare_rules);
    return status;
}

nw_status nw_svg_sheet_add(nw_svg_sheet **sheet, const char *text, nw_svg_counts counts,
                           nw_error *error)
{
    *sheet = *sheet ? *sheet : nw_alloc(1, sizeof **sheet);
    char *copy = *sheet ? strdup(text) : NULL;
    if (!copy || !nw_push(&(*sheet)->texts, &(*sheet)->text_count, &(*sheet)->text_capacity, &copy,
                          sizeof copy)) {
        free(copy);
        return nw_fail_memory(error, "the style sheet");
    }
    comments_blank(copy);
    (*sheet)->counts = counts;
    return rules_read(*sheet, copy, error);
}

void nw_svg_sheet_free(nw_svg_sheet *sheet)
{
    if (!sheet)
        return;
    for (size_t i = 0; i < sheet->text_count; i++)
        free(sheet->texts[i]);
    free(sheet->texts);
    free(sheet->rules);
    free(sheet);
}

/* ---- applying ------------------------------------------------------------------------------ */

/* Copies from s up to end without blanks around; false when it does not fit. */
static bool trim(const char *s, const char *end, char *out, size_t size)
{
    s = nw_svg_skip_space(s);
    while (end > s && nw_svg_skip_space(end - 1) >= end)
        end--;
    if (end < s || (size_t)(end - s) >= size)
        return false;
    memcpy(out, s, (size_t)(end - s));
    out[end - s] = '\0';
    return true;
}

/* Cuts "!important" off a value and tells whether it was there. */
static bool important_cut(char *value)
{
    char *mark = strrchr(value, '!');
    if (!mark || strncmp(nw_svg_skip_space(mark + 1), "important", 9) != 0)
        return false;
    while (mark > value && nw_svg_skip_space(mark - 1) > mark - 1)
        mark--;
    *mark = '\0';
    return true;
}

void nw_svg_declarations_read(const char *text, bool important, nw_svg_declare set, void *context)
{
    for (const char *s = text; *s;) {
        size_t length = strcspn(s, ";");
        const char *colon = memchr(s, ':', length);
        char name[40], value[256];
        if (colon && trim(s, colon, name, sizeof name) &&
            trim(colon + 1, s + length, value, sizeof value) && important_cut(value) == important)
            set(context, name, value);
        s += length + (s[length] == ';');
    }
}

void nw_svg_sheet_apply(nw_svg_sheet *sheet, const nw_svg_element *node, bool important,
                        nw_svg_declare set, void *context)
{
    for (size_t i = 0; sheet && i < sheet->count; i++) {
        rule *r = &sheet->rules[i];
        if (!nw_svg_selector_matches(&r->selector, node))
            continue;
        if (r->selector.unread)
            r->missed = true;
        else
            nw_svg_declarations_read(r->declarations, important, set, context);
    }
}

size_t nw_svg_sheet_unread(const nw_svg_sheet *sheet)
{
    size_t count = sheet ? sheet->at_rules : 0;
    for (size_t i = 0; sheet && i < sheet->count; i++)
        count += sheet->rules[i].missed;
    return count;
}
