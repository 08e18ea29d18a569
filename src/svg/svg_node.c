/* svg_node: what the other files ask of an element: its name, its neighbours, its attributes. */
#include <svg/svg_internal.h>

#include <string.h>

#define SVG_NAMESPACE "http://www.w3.org/2000/svg"

bool nw_svg_is_element(const xmlNode *node)
{
    return node->type == XML_ELEMENT_NODE;
}

/* Files without a namespace, and those that hide it in an entity, are meant as SVG too. */
static bool is_svg(const xmlNode *node)
{
    if (!nw_svg_is_element(node)) {
        return false;
    }
    const char *space = node->ns && node->ns->href ? (const char *)node->ns->href : "";
    return !*space || *space == '&' || strcmp(space, SVG_NAMESPACE) == 0;
}

bool nw_svg_named(const xmlNode *node, const char *name)
{
    return is_svg(node) && strcmp((const char *)node->name, name) == 0;
}

xmlNode *nw_svg_first_child(const xmlNode *node)
{
    xmlNode *child = node->children;
    while (child && !is_svg(child)) {
        child = child->next;
    }
    return child;
}

xmlNode *nw_svg_next(const xmlNode *node)
{
    xmlNode *next = node->next;
    while (next && !is_svg(next)) {
        next = next->next;
    }
    return next;
}

const char *nw_svg_attribute(const xmlNode *node, const char *name)
{
    for (const xmlAttr *a = node->properties; a; a = a->next) {
        if (strcmp((const char *)a->name, name) != 0) {
            continue;
        }
        /* Of foreign attributes only xlink:href is ever asked for. */
        if (a->ns && strcmp(name, "href") != 0) {
            continue;
        }
        if (!a->children || !a->children->content) {
            return "";
        }
        return (const char *)a->children->content;
    }
    return NULL;
}

xmlNode *nw_svg_find(const svg_reader *reader, const char *reference)
{
    reference = nw_svg_skip_space(reference);
    if (*reference != '#') {
        return NULL;
    }
    return xmlHashLookup(reader->ids, (const xmlChar *)reference + 1);
}
