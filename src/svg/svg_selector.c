/*
 * svg_selector: a style rule's selector -> whether it matches an element (CSS 2.1, chapter 5).
 *
 * Selectors of type, class, id, universal, attributes, :first-child and :root, joined by
 * descendant, child and adjacent sibling. What goes beyond that is passed over as if it matched,
 * and said.
 */
#include <svg/svg_internal.h>

#include <string.h>

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

size_t nw_svg_length_until(const char *s, const char *ends)
{
    const char *from = s;
    int depth = 0;
    char quote = '\0';
    for (; *s && (depth || quote || !strchr(ends, *s)); s++)
        if (*s == '"' || *s == '\'')
            quote = !quote ? *s : quote == *s ? '\0' : quote;
        else if (!quote)
            depth += (*s == '(' || *s == '[') - (depth && (*s == ')' || *s == ']'));
    return (size_t)(s - from);
}

/* ---- matching ------------------------------------------------------------------------------ */

/* Whether a word stands at the beginning of a value, alone or before a hyphen. */
static bool begins_with(const char *value, const char *word, size_t length)
{
    return strncmp(value, word, length) == 0 && (!value[length] || value[length] == '-');
}

/* [name], or [name=value], also with ~= or |=, after the bracket; moves *s behind it. */
static bool attribute_matches(const char **s, const nw_svg_element *node, bool *unread)
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
    if (*value == ']' || !has)
        return has;
    char kind = *value;
    value += kind == '~' || kind == '|';
    if (*value != '=')
        return *unread = true;
    value++;
    bool quoted = *value == '"' || *value == '\'';
    if (quoted && end[-1] != *value)
        return *unread = true; /* whatever the case of its letters */
    if (quoted && end > value + 1) {
        value++;
        end--;
    }
    length = (size_t)(end - value);
    return kind == '~'   ? nw_svg_list_has(has, value, length)
           : kind == '|' ? begins_with(has, value, length)
                         : strlen(has) == length && memcmp(has, value, length) == 0;
}

bool nw_svg_word_is(const char *s, const char *const *words)
{
    size_t length = name_length(s);
    for (; *words; words++)
        if (strlen(*words) == length && memcmp(s, *words, length) == 0)
            return true;
    return false;
}

/* A pseudo-class after its colon; moves *s behind it. What only somebody at a screen brings about,
 * and what is no element, never matches. */
static bool pseudo_matches(const char **s, const nw_svg_element *node, bool *unread)
{
    static const char *const first[] = {"first-child", NULL}, *const root[] = {"root", NULL},
                             *const never[] = {
                                 "hover",      "active",       "focus",  "visited", "target",
                                 "first-line", "first-letter", "before", "after",   "",
                                 NULL};
    const char *name = *s;
    *s += name_length(name);
    if (nw_svg_word_is(name, never))
        return false;
    if (**s != '(' && nw_svg_word_is(name, first))
        return node->parent && !node->before;
    if (**s != '(' && nw_svg_word_is(name, root))
        return !node->parent;
    *s += nw_svg_length_until(*s, "#.:[");
    return *unread = true;
}

/* *unread is set where a part that is not read was passed over. */
static bool part_matches(const char *s, const nw_svg_element *node, bool *unread)
{
    size_t type = *s == '*' ? 1 : name_length(s);
    if (s[type] == '|') {
        *unread = true; /* a namespace */
        s += type + 1;
    }
    type = name_length(s);
    if (type && (strlen(node->name) != type || memcmp(node->name, s, type) != 0))
        return false;
    s += type ? type : (size_t)(*s == '*');
    while (*s) {
        char kind = *s++;
        if (kind == '[' || kind == ':') {
            if (!(kind == ':' ? pseudo_matches : attribute_matches)(&s, node, unread))
                return false;
            continue;
        }
        if (kind != '#' && kind != '.')
            return *unread = true; /* what CSS may yet invent */
        size_t length = name_length(s);
        const char *has = nw_svg_attribute_of(node, kind == '#' ? "id" : "class");
        bool matches = kind == '#' ? has && strlen(has) == length && memcmp(has, s, length) == 0
                                   : nw_svg_list_has(has, s, length);
        if (!matches || !length)
            return false;
        s += length;
    }
    return true;
}

/* The first of the parts that are joined to part k by '+'. */
static size_t siblings_first(const nw_svg_selector *r, size_t k)
{
    while (r->parts[k].joint == '+')
        k--;
    return k;
}

/* Whether part `last` matches the element, and those before it the elements right before this. */
static bool siblings_match(nw_svg_selector *r, size_t first, size_t last,
                           const nw_svg_element *node)
{
    for (size_t k = last + 1; k-- > first; node = node->before)
        if (!node || !part_matches(r->parts[k].text, node, &r->unread))
            return false;
    return true;
}

/* Which beginnings of the selector match a chain of elements ending at node: bit k stands for its
 * first k parts. *above gathers those that end at any ancestor or here. From the root down, so that
 * no selector can make the search branch. */
static unsigned beginnings_match(nw_svg_selector *r, const nw_svg_element *node, unsigned *above)
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

bool nw_svg_selector_matches(nw_svg_selector *r, const nw_svg_element *node)
{
    unsigned above;
    return part_matches(r->parts[r->part_count - 1].text, node, &r->unread) &&
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

bool nw_svg_selector_read(char *s, nw_svg_selector *r)
{
    char joint = ' ';
    while (*(s = (char *)nw_svg_skip_space(s))) {
        if (strchr(">+~", *s)) {
            joint = *s++;
            continue;
        }
        if (r->part_count && (joint == '~' || r->part_count == SVG_MOST_PARTS)) {
            r->part_count = 0;
            r->unread = true;
            joint = ' ';
        }
        size_t length = nw_svg_length_until(s, " \t\r\n\f>+~");
        char end = s[length];
        s[length] = '\0';
        bool escaped = strchr(s, '\\');
        r->unread |= escaped;
        r->parts[r->part_count++] = (nw_svg_compound){escaped ? "*" : s, joint};
        joint = end && strchr(">+~", end) ? end : ' ';
        s += length + (end != '\0');
    }
    for (size_t i = 0; i < r->part_count; i++)
        r->specificity += specificity_of(r->parts[i].text);
    return r->part_count > 0 && r->parts[0].joint == ' ' && joint == ' ';
}
