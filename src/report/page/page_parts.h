/* page_parts: the page's fixed text, made at build time by page/embed.py. Internal to report. */
#ifndef NARROWS_REPORT_PAGE_PARTS_H
#define NARROWS_REPORT_PAGE_PARTS_H

#include <stddef.h>

/* What goes in after a part. */
typedef enum {
    REPORT_PAGE_TITLE,
    REPORT_PAGE_VERDICT,
    REPORT_PAGE_DATA,
    REPORT_PAGE_STILL,
    REPORT_PAGE_END
} report_page_fill;

typedef struct {
    const char *text;
    size_t length;
    report_page_fill fill;
} report_page_part;

extern const report_page_part report_page_parts[]; /* the first one is empty: there is no page */
extern const size_t report_page_part_count;

#endif
