/*
 * svg_elements: a drawing's elements as a tree that is safe to walk: names, attributes, the words
 * of style sheets and texts, nothing else. Whoever parses the file builds it, element by element:
 * libxml2 (svg_tree.c), or a browser that has parsed the file itself.
 */
#ifndef NARROWS_SVG_ELEMENTS_H
#define NARROWS_SVG_ELEMENTS_H

#include <base/base.h>

typedef struct {
    const char *name; /* without its prefix */
    const char *value;
    bool foreign; /* of a namespace of its own, as xlink:href */
} nw_svg_attribute;

typedef struct nw_svg_element {
    const char *name; /* without its prefix */
    bool foreign;     /* not SVG's */
    long line;        /* where it stands in the file; 0: not known */
    nw_svg_attribute *attributes;
    size_t attribute_count;
    const char *text; /* the characters right in it, where it is a style sheet or a text; else "" */
    struct nw_svg_element *parent, *first, *last, *before, *next;
} nw_svg_element;

/* Start from {0}. Everything hangs on `blocks` and goes with nw_svg_elements_free. A failed
 * allocation sets failed, and later calls do nothing. */
typedef struct {
    nw_svg_element *root;
    nw_svg_element *open; /* the element that is being built */
    nw_svg_element **ids; /* elements with an id, once indexed: by id, then in order */
    size_t id_count, id_capacity;
    struct nw_svg_block *blocks; /* the memory of all of it */
    bool failed;
} nw_svg_elements;

void nw_svg_elements_free(nw_svg_elements *tree);

/* An element begins, in the one that is open. A second root is left out with all that is in it. */
void nw_svg_element_begin(nw_svg_elements *tree, const char *name, bool foreign, long line);

/* Attributes follow right on the beginning, at most `most` of them as said there. */
void nw_svg_attributes_expect(nw_svg_elements *tree, size_t most);
void nw_svg_attribute_add(nw_svg_elements *tree, const char *name, const char *value, bool foreign);
void nw_svg_text_set(nw_svg_elements *tree, const char *text);
void nw_svg_element_end(nw_svg_elements *tree);

/* Makes the index of ids. */
void nw_svg_elements_index(nw_svg_elements *tree);

/* The first element of this id, or NULL. */
const nw_svg_element *nw_svg_by_id(const nw_svg_elements *tree, const char *id);

/* An attribute's text, or NULL. Namespaced ones by their local name. */
const char *nw_svg_attribute_of(const nw_svg_element *element, const char *name);

/* Whether it is SVG's element of this name. */
bool nw_svg_named(const nw_svg_element *element, const char *name);

/* Whether it is SVG's text or a part of one. */
bool nw_svg_is_text(const nw_svg_element *element);

/* SVG's elements only. */
const nw_svg_element *nw_svg_first_child(const nw_svg_element *element);
const nw_svg_element *nw_svg_next(const nw_svg_element *element);

/* The element after it in document order, or NULL. */
const nw_svg_element *nw_svg_following(const nw_svg_element *element);

#endif
