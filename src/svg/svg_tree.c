/*
 * svg_tree: bytes -> an XML tree that is safe to walk, its ids and its style sheets.
 *
 * libxml2 parses without network, without loading a DTD and without expanding entities; its own
 * limits on depth (256) and on single texts (10 MB) stay on. Some drawing programs keep styles and
 * namespaces in entities: those whose text holds no further entity and is short are put in where
 * an attribute names them; all others are refused.
 */
#include <svg/svg_internal.h>

#include <libxml/parser.h>
#include <limits.h>
#include <stdlib.h>
#include <string.h>

/* ---- entities ------------------------------------------------------------------------------ */

static nw_status entities_check(svg_reader *reader)
{
    const xmlDtd *dtd = reader->document->intSubset;
    for (const xmlNode *n = dtd ? dtd->children : NULL; n; n = n->next) {
        if (n->type != XML_ENTITY_DECL) {
            continue;
        }
        const xmlEntity *entity = (const xmlEntity *)n;
        const char *text = entity->content ? (const char *)entity->content : "";
        if (entity->etype != XML_INTERNAL_GENERAL_ENTITY) {
            return nw_fail(reader->error, NW_BAD_INPUT,
                           "entity '%.60s' is not plain text; such files are not read",
                           (const char *)entity->name);
        }
        if (strpbrk(text, "&<") || strlen(text) > SVG_MOST_ENTITY) {
            return nw_fail(reader->error, NW_BAD_INPUT,
                           "entity '%.60s' is too long, holds elements or refers to other "
                           "entities; such files are not read",
                           (const char *)entity->name);
        }
    }
    return NW_OK;
}

/* The text of one part of an attribute or style sheet. */
static const char *part_text(const svg_reader *reader, const xmlNode *part)
{
    const xmlChar *text = NULL;
    if (part->type == XML_ENTITY_REF_NODE) {
        const xmlEntity *entity = xmlGetDocEntity(reader->document, part->name);
        text = entity ? entity->content : NULL;
    } else if (part->type == XML_TEXT_NODE || part->type == XML_CDATA_SECTION_NODE) {
        text = part->content;
    }
    return text ? (const char *)text : "";
}

/* Puts the text of entities into an attribute that refers to some. */
static nw_status attribute_expand(svg_reader *reader, xmlAttr *attribute, size_t *expanded)
{
    if (!attribute->children || !attribute->children->next) {
        if (!attribute->children || attribute->children->type != XML_ENTITY_REF_NODE) {
            return NW_OK;
        }
    }
    nw_text text = {0};
    for (const xmlNode *n = attribute->children; n; n = n->next) {
        nw_text_add(&text, part_text(reader, n));
    }
    *expanded += text.length;
    nw_status status = NW_OK;
    xmlNode *whole = NULL;
    if (*expanded > SVG_MOST_EXPANDED) {
        status = nw_fail(reader->error, NW_BAD_INPUT,
                         "line %ld: the entities of this file grow too long",
                         xmlGetLineNo(attribute->parent));
    } else if (text.failed ||
               !(whole = xmlNewDocText(reader->document,
                                       (const xmlChar *)(text.data ? text.data : "")))) {
        status = nw_fail_memory(reader->error, "the drawing");
    } else {
        xmlFreeNodeList(attribute->children);
        attribute->children = attribute->last = whole;
        whole->parent = (xmlNode *)attribute;
    }
    nw_text_free(&text);
    return status;
}

/* ---- the first walk ------------------------------------------------------------------------ */

static nw_status sheet_read(svg_reader *reader, const xmlNode *node)
{
    const char *type = nw_svg_attribute(node, "type");
    if (type && *type && strcmp(type, "text/css") != 0) {
        return NW_OK;
    }
    nw_text text = {0};
    for (const xmlNode *n = node->children; n; n = n->next) {
        nw_text_add(&text, part_text(reader, n));
    }
    nw_status status =
        text.failed ? nw_fail_memory(reader->error, "the style sheet")
                    : nw_svg_sheet_add(&reader->sheet, text.data ? text.data : "", reader->error);
    nw_text_free(&text);
    return status;
}

static nw_status element_prepare(svg_reader *reader, xmlNode *node, size_t *expanded)
{
    nw_status status = NW_OK;
    for (xmlAttr *a = node->properties; a && !status; a = a->next) {
        status = attribute_expand(reader, a, expanded);
    }
    if (status) {
        return status;
    }
    const char *id = nw_svg_attribute(node, "id");
    if (id && *id && !xmlHashLookup(reader->ids, (const xmlChar *)id) &&
        xmlHashAddEntry(reader->ids, (const xmlChar *)id, node) < 0) {
        return nw_fail_memory(reader->error, "the drawing");
    }
    return nw_svg_named(node, "style") ? sheet_read(reader, node) : NW_OK;
}

/* The element after node in document order, or NULL. */
static xmlNode *following(xmlNode *node)
{
    if (nw_svg_is_element(node) && node->children) {
        return node->children;
    }
    while (node && !node->next) {
        node = node->parent && node->parent->type == XML_ELEMENT_NODE ? node->parent : NULL;
    }
    return node ? node->next : NULL;
}

static nw_status document_prepare(svg_reader *reader)
{
    nw_status status = entities_check(reader);
    reader->ids = xmlHashCreate(256);
    if (!status && !reader->ids) {
        status = nw_fail_memory(reader->error, "the drawing");
    }
    size_t expanded = 0;
    for (xmlNode *n = xmlDocGetRootElement(reader->document); n && !status; n = following(n)) {
        if (nw_svg_is_element(n)) {
            status = element_prepare(reader, n, &expanded);
        }
    }
    return status;
}

/* ---- opening ------------------------------------------------------------------------------- */

static nw_status parse_failed(svg_reader *reader, xmlParserCtxt *parser)
{
    const xmlError *why = xmlCtxtGetLastError(parser);
    if (!why || why->code == XML_ERR_NO_MEMORY) {
        return why ? nw_fail_memory(reader->error, "the drawing")
                   : nw_fail(reader->error, NW_BAD_INPUT,
                             "this is not XML; save the drawing again as plain SVG");
    }
    const char *message = why->message ? why->message : "malformed";
    size_t length = strcspn(message, "\r\n");
    return nw_fail(
        reader->error, NW_BAD_INPUT,
        "line %d: this is not well-formed XML: %.*s; save the drawing again as plain SVG",
        why->line, (int)(length < 200 ? length : 200), message);
}

nw_status nw_svg_document_open(svg_reader *reader, const uint8_t *data, size_t length)
{
    if (length > SVG_MOST_BYTES || length > INT_MAX) {
        return nw_fail(reader->error, NW_BAD_INPUT,
                       "the drawing is larger than %zu MB; save it without pictures in it",
                       SVG_MOST_BYTES >> 20);
    }
    xmlParserCtxt *parser = xmlNewParserCtxt();
    if (!parser) {
        return nw_fail_memory(reader->error, "the drawing");
    }
    reader->document = xmlCtxtReadMemory(parser, (const char *)data, (int)length, NULL, NULL,
                                         XML_PARSE_NONET | XML_PARSE_NOERROR | XML_PARSE_NOWARNING);
    nw_status status = NW_OK;
    if (!reader->document) {
        status = parse_failed(reader, parser);
    }
    xmlFreeParserCtxt(parser);
    if (status) {
        return status;
    }
    const xmlNode *root = xmlDocGetRootElement(reader->document);
    if (!root || !nw_svg_named(root, "svg")) {
        return nw_fail(reader->error, NW_BAD_INPUT,
                       "the file is XML, but not an SVG drawing; save it as plain SVG");
    }
    return document_prepare(reader);
}

void nw_svg_document_close(svg_reader *reader)
{
    if (reader->ids) {
        xmlHashFree(reader->ids, NULL);
    }
    xmlFreeDoc(reader->document);
    nw_svg_sheet_free(reader->sheet);
}
