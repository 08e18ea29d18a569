/*
 * svg_elements: a tree of elements, built one after the other in blocks of memory that are freed
 * together.
 */
#include <svg/svg_elements.h>

#include <stdlib.h>
#include <string.h>

#define BLOCK_BYTES 65536

struct nw_svg_block {
    struct nw_svg_block *before;
    size_t used, size;
    max_align_t bytes[];
};

/* Cleared memory that lives as long as the tree; NULL, and tree->failed, when there is none. */
static void *take(nw_svg_elements *tree, size_t bytes)
{
    size_t aligned = (bytes + sizeof(max_align_t) - 1) / sizeof(max_align_t) * sizeof(max_align_t);
    struct nw_svg_block *block = tree->blocks;
    if (aligned >= bytes && (!block || block->size - block->used < aligned)) {
        size_t size = aligned > BLOCK_BYTES ? aligned : BLOCK_BYTES;
        block = nw_alloc(1, sizeof *block + size);
        if (block) {
            *block = (struct nw_svg_block){.before = tree->blocks, .size = size};
            tree->blocks = block;
        }
    }
    if (!block || aligned < bytes) {
        tree->failed = true;
        return NULL;
    }
    block->used += aligned;
    return (char *)block->bytes + block->used - aligned;
}

static const char *copied(nw_svg_elements *tree, const char *text)
{
    size_t length = strlen(text);
    char *copy = take(tree, length + 1);
    return copy ? memcpy(copy, text, length) : "";
}

void nw_svg_elements_free(nw_svg_elements *tree)
{
    if (!tree)
        return;
    while (tree->blocks) {
        struct nw_svg_block *block = tree->blocks;
        tree->blocks = block->before;
        free(block);
    }
    free(tree->ids);
    *tree = (nw_svg_elements){0};
}

void nw_svg_element_begin(nw_svg_elements *tree, const char *name, bool foreign, long line)
{
    nw_svg_element *element = tree->failed ? NULL : take(tree, sizeof *element);
    if (!element)
        return;
    *element = (nw_svg_element){.name = copied(tree, name),
                                .foreign = foreign,
                                .line = line,
                                .text = "",
                                .parent = tree->open,
                                .before = tree->open ? tree->open->last : NULL};
    if (tree->open && tree->open->last)
        tree->open->last->next = element;
    else if (tree->open)
        tree->open->first = element;
    else if (!tree->root)
        tree->root = element;
    if (tree->open)
        tree->open->last = element;
    tree->open = element;
}

void nw_svg_attributes_expect(nw_svg_elements *tree, size_t most)
{
    if (!tree->failed && tree->open && most) {
        if (most > SIZE_MAX / 2 / sizeof(nw_svg_attribute))
            tree->failed = true;
        else
            tree->open->attributes = take(tree, most * sizeof(nw_svg_attribute));
    }
}

void nw_svg_attribute_add(nw_svg_elements *tree, const char *name, const char *value, bool foreign)
{
    nw_svg_element *element = tree->open;
    if (tree->failed || !element || !element->attributes)
        return;
    nw_svg_attribute *attribute = &element->attributes[element->attribute_count++];
    *attribute = (nw_svg_attribute){copied(tree, name), copied(tree, value), foreign};
    if (strcmp(name, "id") == 0 && !foreign && *value) {
        tree->failed =
            !nw_push(&tree->ids, &tree->id_count, &tree->id_capacity, &element, sizeof element);
    }
}

void nw_svg_text_set(nw_svg_elements *tree, const char *text)
{
    if (!tree->failed && tree->open)
        tree->open->text = copied(tree, text);
}

void nw_svg_element_end(nw_svg_elements *tree)
{
    if (!tree->failed && tree->open)
        tree->open = tree->open->parent;
}

/* ---- ids ------------------------------------------------------------------------------------ */

static const char *id_of(const nw_svg_element *element)
{
    return nw_svg_attribute_of(element, "id");
}

static int by_id(const void *p, const void *q)
{
    return strcmp(id_of(*(nw_svg_element *const *)p), id_of(*(nw_svg_element *const *)q));
}

void nw_svg_elements_index(nw_svg_elements *tree)
{
    nw_sort(tree->ids, tree->id_count, sizeof *tree->ids, by_id);
}

const nw_svg_element *nw_svg_by_id(const nw_svg_elements *tree, const char *id)
{
    size_t low = 0, high = tree->id_count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (strcmp(id_of(tree->ids[middle]), id) < 0)
            low = middle + 1;
        else
            high = middle;
    }
    bool found = low < tree->id_count && strcmp(id_of(tree->ids[low]), id) == 0;
    return found ? tree->ids[low] : NULL;
}

/* ---- questions ------------------------------------------------------------------------------ */

const char *nw_svg_attribute_of(const nw_svg_element *element, const char *name)
{
    for (size_t i = 0; i < element->attribute_count; i++) {
        const nw_svg_attribute *a = &element->attributes[i];
        /* Of foreign attributes only xlink:href and a layer's label are ever asked for. */
        bool asked = strcmp(name, "href") == 0 || strcmp(name, "label") == 0;
        if (strcmp(a->name, name) == 0 && (!a->foreign || asked))
            return a->value;
    }
    return NULL;
}

bool nw_svg_named(const nw_svg_element *element, const char *name)
{
    return !element->foreign && strcmp(element->name, name) == 0;
}

bool nw_svg_is_text(const nw_svg_element *element)
{
    /* The last three some drawing programs write, and show. */
    static const char *const names[] = {"text",     "tspan",    "textPath",
                                        "flowRoot", "flowPara", "flowSpan"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        if (nw_svg_named(element, names[i]))
            return true;
    return false;
}

static const nw_svg_element *of_svg(const nw_svg_element *element)
{
    while (element && element->foreign)
        element = element->next;
    return element;
}

const nw_svg_element *nw_svg_first_child(const nw_svg_element *element)
{
    return of_svg(element->first);
}

const nw_svg_element *nw_svg_next(const nw_svg_element *element)
{
    return of_svg(element->next);
}

const nw_svg_element *nw_svg_following(const nw_svg_element *element)
{
    if (element->first)
        return element->first;
    while (element && !element->next)
        element = element->parent;
    return element ? element->next : NULL;
}
