/*
 * svg_sheet: style sheets -> rules, and the declarations that apply to an element, in the order of
 * the cascade (CSS 2.1, chapters 4 to 6).
 *
 * Selectors of type, class, id, universal, attributes and :first-child, joined by descendant, child
 * and adjacent sibling; others never match. At-rules are left out.
 */
#define _POSIX_C_SOURCE 200809L /* strdup */
#include <svg/svg_internal.h>

#include <stdlib.h>
#include <string.h>

#define MOST_PARTS 16 /* compounds of one selector */

/* One compound, like path.wing#left; empty parts match everything. */
typedef struct {
    char *text;
    char joint; /* to the one before: '>', '+', or ' ' for any ancestor */
} compound;

typedef struct {
    compound parts[MOST_PARTS];
    size_t part_count;
    unsigned specificity;
    size_t order;
    const char *declarations; /* within the sheet's texts */
} rule;

struct nw_svg_sheet {
    rule *rules;
    size_t count, capacity;
    char **texts;
    size_t text_count, text_capacity;
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

static bool is_name(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' ||
           c == '_' || (unsigned char)c >= 0x80;
}

static size_t name_length(const char *s)
{
    size_t length = 0;
    while (is_name(s[length]))
        length++;
    return length;
}

/* ---- matching ------------------------------------------------------------------------------ */

/* Whether a word stands at the beginning of a value, alone or before a hyphen. */
static bool begins_with(const char *value, const char *word, size_t length)
{
    return strncmp(value, word, length) == 0 && (!value[length] || value[length] == '-');
}

/* [name], or [name=value], also with ~= or |=, after the bracket; moves *s behind it. */
static bool attribute_matches(const char **s, const nw_svg_element *node)
{
    char name[64];
    size_t length = name_length(*s);
    const char *end = strchr(*s, ']');
    if (!length || length >= sizeof name || !end) {
        *s += strlen(*s);
        return false;
    }
    memcpy(name, *s, length);
    name[length] = '\0';
    const char *value = *s + length, *has = nw_svg_attribute_of(node, name);
    *s = end + 1;
    if (*value == ']')
        return has;
    char kind = *value;
    value += kind == '~' || kind == '|';
    if (*value != '=' || !has)
        return false;
    value++;
    if ((*value == '"' || *value == '\'') && end > value + 1) {
        value++;
        end--;
    }
    length = (size_t)(end - value);
    return kind == '~'   ? nw_svg_list_has(has, value, length)
           : kind == '|' ? begins_with(has, value, length)
                         : strlen(has) == length && memcmp(has, value, length) == 0;
}

/* The only pseudo-class that is known. */
static bool is_first_child(const nw_svg_element *node, const char *name, size_t length)
{
    static const char first[] = "first-child";
    return length == strlen(first) && memcmp(name, first, length) == 0 && node->parent &&
           !node->before;
}

static bool part_matches(const char *s, const nw_svg_element *node)
{
    size_t type = name_length(s);
    if (type && (strlen(node->name) != type || memcmp(node->name, s, type) != 0))
        return false;
    s += type ? type : (size_t)(*s == '*');
    while (*s) {
        char kind = *s++;
        if (kind == '[') {
            if (!attribute_matches(&s, node))
                return false;
            continue;
        }
        size_t length = name_length(s);
        const char *has = nw_svg_attribute_of(node, kind == '#' ? "id" : "class");
        bool matches = kind == '#'   ? has && strlen(has) == length && memcmp(has, s, length) == 0
                       : kind == '.' ? nw_svg_list_has(has, s, length)
                                     : kind == ':' && is_first_child(node, s, length);
        if (!matches || !length)
            return false;
        s += length;
    }
    return true;
}

/* The first of the parts that are joined to part k by '+'. */
static size_t siblings_first(const rule *r, size_t k)
{
    while (r->parts[k].joint == '+')
        k--;
    return k;
}

/* Whether part `last` matches the element, and those before it the elements right before this. */
static bool siblings_match(const rule *r, size_t first, size_t last, const nw_svg_element *node)
{
    for (size_t k = last + 1; k-- > first; node = node->before)
        if (!node || !part_matches(r->parts[k].text, node))
            return false;
    return true;
}

/* Which beginnings of the selector match a chain of elements ending at node: bit k stands for its
 * first k parts. *above gathers those that end at any ancestor or here. From the root down, so that
 * no selector can make the search branch. */
static unsigned beginnings_match(const rule *r, const nw_svg_element *node, unsigned *above)
{
    if (!node) {
        *above = 0;
        return 0;
    }
    unsigned parent = beginnings_match(r, node->parent, above), here = 0;
    for (size_t k = 0; k < r->part_count; k++) {
        size_t first = siblings_first(r, k);
        unsigned before =
            first == 0 ? 1u : (r->parts[first].joint == '>' ? parent : *above) >> first & 1u;
        if (before && siblings_match(r, first, k, node))
            here |= 1u << (k + 1);
    }
    *above |= here;
    return here;
}

static bool rule_matches(const rule *r, const nw_svg_element *node)
{
    unsigned above;
    return part_matches(r->parts[r->part_count - 1].text, node) &&
           (r->part_count == 1 || beginnings_match(r, node, &above) >> r->part_count & 1u);
}

/* ---- reading ------------------------------------------------------------------------------- */

/* Ids count most, then classes and attributes, then types: CSS 2.1, 6.4.3. */
static unsigned specificity_of(const char *s)
{
    unsigned value = name_length(s) ? 1 : 0;
    for (; *s; s++)
        value += *s == '#' ? 1u << 16 : *s == '.' || *s == '[' || *s == ':' ? 1u << 8 : 0;
    return value;
}

/* One selector, which it cuts apart in place; false when it is of a kind that never matches. */
static bool selector_read(char *s, rule *r)
{
    if (strchr(s, '\\'))
        return false;
    char joint = ' ';
    while (*(s = (char *)nw_svg_skip_space(s))) {
        if (*s == '>' || *s == '+') {
            joint = *s++;
            continue;
        }
        size_t length = strcspn(s, " \t\r\n\f>+");
        if (r->part_count == MOST_PARTS)
            return false;
        r->parts[r->part_count++] = (compound){s, joint};
        joint = s[length] == '>' || s[length] == '+' ? s[length] : ' ';
        s += length;
        if (*s)
            *s++ = '\0';
    }
    for (size_t i = 0; i < r->part_count; i++)
        r->specificity += specificity_of(r->parts[i].text);
    return r->part_count > 0 && r->parts[0].joint == ' ' && joint == ' ';
}

/* All selectors before a block, separated by commas. */
static nw_status rule_set_read(nw_svg_sheet *sheet, char *selectors, const char *declarations,
                               nw_error *error)
{
    while (selectors) {
        char *comma = strchr(selectors, ',');
        if (comma)
            *comma = '\0';
        rule r = {.declarations = declarations, .order = sheet->count};
        if (selector_read(selectors, &r)) {
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
    int order = (p->specificity > q->specificity) - (p->specificity < q->specificity);
    return order ? order : p->order < q->order ? -1 : p->order > q->order;
}

static nw_status rules_read(nw_svg_sheet *sheet, char *s, nw_error *error)
{
    nw_status status = NW_OK;
    while (!status && *(s = (char *)nw_svg_skip_space(s))) {
        if (*s == '@') {
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

nw_status nw_svg_sheet_add(nw_svg_sheet **sheet, const char *text, nw_error *error)
{
    *sheet = *sheet ? *sheet : nw_alloc(1, sizeof **sheet);
    char *copy = *sheet ? strdup(text) : NULL;
    if (!copy || !nw_push(&(*sheet)->texts, &(*sheet)->text_count, &(*sheet)->text_capacity, &copy,
                          sizeof copy)) {
        free(copy);
        return nw_fail_memory(error, "the style sheet");
    }
    comments_blank(copy);
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

void nw_svg_sheet_apply(const nw_svg_sheet *sheet, const nw_svg_element *node, bool important,
                        nw_svg_declare set, void *context)
{
    for (size_t i = 0; sheet && i < sheet->count; i++) {
        const rule *r = &sheet->rules[i];
        if (rule_matches(r, node))
            nw_svg_declarations_read(r->declarations, important, set, context);
    }
}
