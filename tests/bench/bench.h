/* bench: the clock. Benchmarks print ratios of times taken in one run; nothing asserts seconds. */
#ifndef NARROWS_BENCH_H
#define NARROWS_BENCH_H

#include <time.h>

#define BENCH_WALL CLOCK_MONOTONIC
#define BENCH_SPENT CLOCK_PROCESS_CPUTIME_ID /* not disturbed by what else runs */

/* Time by the wall's clock, or spent by this process on all its threads, in seconds. */
static inline double bench_now(clockid_t clock)
{
    struct timespec t;
    clock_gettime(clock, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* The shortest of several runs, in seconds: at least three and at least 0.2 s in all, but one when
 * a run takes more than two seconds. */
static inline double bench_best(void (*run)(void *context), void *context, clockid_t clock)
{
    double best = 1e99, total = 0;
    for (int i = 0; (i < 3 || total < 0.2) && i < 200 && total < 2; i++) {
        double start = bench_now(clock);
        run(context);
        double took = bench_now(clock) - start;
        total += took;
        best = took < best ? took : best;
    }
    return best;
}

#endif
