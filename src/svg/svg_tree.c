/*
 * svg_tree: bytes -> a tree of elements, by libxml2.
 *
 * libxml2 parses without network, without loading a DTD and without expanding entities; its own
 * limits on depth (256) and on single texts (10 MB) stay on. Some drawing programs keep styles and
 * namespaces in entities: those whose text holds no further entity and is short are put in where
 * an attribute names them; all others are refused.
 */
#include <svg/svg_internal.h>

#include <libxml/parser.h>
#include <libxml/tree.h>
#include <limits.h>
#include <string.h>

#define SVG_NAMESPACE "http://www.w3.org/2000/svg"

typedef struct {
    xmlDoc *document;
    nw_svg_elements *tree;
    size_t expanded;
    nw_error *error;
} conversion;

/* ---- entities ------------------------------------------------------------------------------ */

static nw_status entities_check(const conversion *c)
{
    const xmlDtd *dtd = c->document->intSubset;
    for (const xmlNode *n = dtd ? dtd->children : NULL; n; n = n->next) {
        if (n->type != XML_ENTITY_DECL)
            continue;
        const xmlEntity *entity = (const xmlEntity *)n;
        const char *text = entity->content ? (const char *)entity->content : "";
        if (entity->etype != XML_INTERNAL_GENERAL_ENTITY) {
            return nw_fail(c->error, NW_BAD_INPUT,
                           "entity '%.60s' is not plain text; such files are not read",
                           (const char *)entity->name);
        }
        if (strpbrk(text, "&<") || strlen(text) > SVG_MOST_ENTITY) {
            return nw_fail(c->error, NW_BAD_INPUT,
                           "entity '%.60s' is too long, holds elements or refers to other "
                           "entities; such files are not read",
                           (const char *)entity->name);
        }
    }
    return NW_OK;
}

/* Adds the text of an attribute's or an element's parts, entities put in. */
static nw_status parts_join(conversion *c, const xmlNode *parts, long line, nw_text *text)
{
    text->length = 0;
    nw_text_add(text, "");
    for (const xmlNode *n = parts; n; n = n->next) {
        const xmlChar *part = NULL;
        if (n->type == XML_ENTITY_REF_NODE) {
            const xmlEntity *entity = xmlGetDocEntity(c->document, n->name);
            part = entity ? entity->content : NULL;
            c->expanded += part ? strlen((const char *)part) : 0;
        } else if (n->type == XML_TEXT_NODE || n->type == XML_CDATA_SECTION_NODE) {
            part = n->content;
        }
        if (part)
            nw_text_add(text, (const char *)part);
        if (c->expanded > SVG_MOST_EXPANDED) {
            return nw_fail(c->error, NW_BAD_INPUT,
                           "line %ld: the entities of this file grow too long", line);
        }
    }
    return text->failed ? nw_fail_memory(c->error, "the drawing") : NW_OK;
}

/* ---- elements ------------------------------------------------------------------------------ */

/* Files without a namespace, and those that hide it in an entity, are meant as SVG too. */
static bool is_foreign(const xmlNode *node)
{
    const char *space = node->ns && node->ns->href ? (const char *)node->ns->href : "";
    return *space && *space != '&' && strcmp(space, SVG_NAMESPACE) != 0;
}

static nw_status element_convert(conversion *c, const xmlNode *node, nw_text *text)
{
    nw_svg_element_begin(c->tree, (const char *)node->name, is_foreign(node), xmlGetLineNo(node));
    size_t count = 0;
    for (const xmlAttr *a = node->properties; a; a = a->next)
        count++;
    nw_svg_attributes_expect(c->tree, count);
    nw_status status = NW_OK;
    for (const xmlAttr *a = node->properties; a && !status; a = a->next) {
        status = parts_join(c, a->children, xmlGetLineNo(node), text);
        if (!status)
            nw_svg_attribute_add(c->tree, (const char *)a->name, text->data, a->ns);
    }
    const nw_svg_element *made = c->tree->open;
    if (!status && made && (nw_svg_named(made, "style") || nw_svg_is_text(made))) {
        status = parts_join(c, node->children, xmlGetLineNo(node), text);
        if (!status)
            nw_svg_text_set(c->tree, text->data);
    }
    return status;
}

/* Walks the document's elements in order; libxml2 bounds how deep they nest. */
static nw_status document_convert(conversion *c)
{
    nw_text text = {0};
    nw_status status = entities_check(c);
    const xmlNode *root = xmlDocGetRootElement(c->document), *node = root;
    while (node && !status) {
        if (node->type == XML_ELEMENT_NODE) {
            status = element_convert(c, node, &text);
            if (node->children) {
                node = node->children;
                continue;
            }
            nw_svg_element_end(c->tree);
        }
        while (node != root && !node->next) {
            node = node->parent;
            nw_svg_element_end(c->tree);
        }
        node = node == root ? NULL : node->next;
    }
    nw_text_free(&text);
    nw_svg_elements_index(c->tree);
    return status ? status : c->tree->failed ? nw_fail_memory(c->error, "the drawing") : NW_OK;
}

/* ---- opening ------------------------------------------------------------------------------- */

/* Errors that follow on one of memory hide it, so it is kept. */
static void error_note(void *context, xmlError *what)
{
    xmlParserCtxt *parser = context;
    if (what->code == XML_ERR_NO_MEMORY)
        *(bool *)parser->_private = true;
}

static nw_status parse_failed(xmlParserCtxt *parser, nw_error *error)
{
    const xmlError *why = xmlCtxtGetLastError(parser);
    if (*(bool *)parser->_private || (why && why->code == XML_ERR_NO_MEMORY))
        return nw_fail_memory(error, "the drawing");
    if (!why)
        return nw_fail(error, NW_BAD_INPUT, "this is not XML; save the drawing again as plain SVG");
    const char *message = why->message ? why->message : "malformed";
    size_t length = strcspn(message, "\r\n");
    return nw_fail(
        error, NW_BAD_INPUT,
        "line %d: this is not well-formed XML: %.*s; save the drawing again as plain SVG",
        why->line, (int)(length < 200 ? length : 200), message);
}

static nw_status elements_read(const uint8_t *data, size_t length, nw_svg_elements *tree,
                               nw_error *error)
{
    *tree = (nw_svg_elements){0};
    if (length > SVG_MOST_BYTES || length > INT_MAX) {
        return nw_fail(error, NW_BAD_INPUT,
                       "the drawing is larger than %zu MB; save it without pictures in it",
                       SVG_MOST_BYTES >> 20);
    }
    xmlParserCtxt *parser = xmlNewParserCtxt();
    if (!parser)
        return nw_fail_memory(error, "the drawing");
    bool no_memory = false;
    parser->_private = &no_memory;
    parser->sax->serror = error_note;
    conversion c = {.tree = tree, .error = error};
    c.document = xmlCtxtReadMemory(parser, (const char *)data, (int)length, NULL, NULL,
                                   XML_PARSE_NONET | XML_PARSE_NOERROR | XML_PARSE_NOWARNING);
    nw_status status = c.document ? document_convert(&c) : parse_failed(parser, error);
    xmlFreeDoc(c.document);
    xmlFreeParserCtxt(parser);
    if (c.document && status == NW_BAD_INPUT && error)
        error->advice = NW_ADVICE_RENDER;
    if (status)
        nw_svg_elements_free(tree);
    return status;
}

nw_status nw_drawing_read_svg(const uint8_t *data, size_t length, nw_drawing *drawing,
                              nw_svg_notes *notes, nw_error *error)
{
    return nw_drawing_read_as(data, length, &(nw_svg_options){.more = 1}, drawing, notes, error);
}

nw_status nw_drawing_read_as(const uint8_t *data, size_t length, const nw_svg_options *options,
                             nw_drawing *drawing, nw_svg_notes *notes, nw_error *error)
{
    nw_svg_elements tree;
    *drawing = (nw_drawing){0};
    nw_status status = elements_read(data, length, &tree, error);
    if (!status && (!tree.root || !nw_svg_named(tree.root, "svg"))) {
        status = nw_fail(error, NW_BAD_INPUT,
                         "the file is XML, but not an SVG drawing; save it as plain SVG");
    }
    status =
        status ? status : nw_drawing_read_elements(&tree, length, options, drawing, notes, error);
    nw_svg_elements_free(&tree);
    return status;
}
