/* ways_words: what ways_list.c asks of ways_words.c. Nothing else includes this. */
#ifndef NARROWS_WAYS_WORDS_H
#define NARROWS_WAYS_WORDS_H

#include <report/parts.h>

#define NW_WAYS_LESS 3

/* The line of each way, which comes with its kind and the cost of what is none; those of a margin
 * and of less stay without text where they do not help. */
void nw_report_way_bit(const nw_ways_report *report, nw_way_line *line);
void nw_report_way_size(const nw_ways_report *report, nw_way_line *line);
void nw_report_way_widen(const nw_ways_report *report, nw_way_line *line);
void nw_report_way_margin(const nw_ways_report *report, nw_way_line *line);
/* which: of NW_WAYS_LESS, what may be left out. */
void nw_report_way_less(const nw_ways_report *report, size_t which, nw_way_line *line);

/* The bit and the size that are told, also where there is room to spare. */
void nw_report_way_bit_add(nw_text *text, const nw_ways_report *report);
void nw_report_way_size_add(nw_text *text, const nw_ways_report *report);

#endif
