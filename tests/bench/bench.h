/* bench: the clock. Benchmarks print ratios of times taken in one run; nothing asserts seconds. */
#ifndef NARROWS_BENCH_H
#define NARROWS_BENCH_H

#include <time.h>

static inline double bench_now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* The shortest of several runs, in seconds: at least three and at least 0.2 s in all, but one when
 * a run takes more than two seconds. */
static inline double bench_best(void (*run)(void *context), void *context)
{
    double best = 1e99, total = 0;
    for (int i = 0; (i < 3 || total < 0.2) && i < 200 && total < 2; i++) {
        double start = bench_now();
        run(context);
        double took = bench_now() - start;
        total += took;
        best = took < best ? took : best;
    }
    return best;
}

#endif
