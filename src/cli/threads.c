/*
 * threads: how many OpenMP is to use.
 *
 * One more than there are cores: the runtime of GCC lets threads that wait for others spin for some
 * milliseconds unless there are more of them than cores, which on a machine that does other things
 * as well took a third of all processor time, and made nothing faster.
 */
#include <cli/request.h>

#include <stdlib.h>

#ifdef _OPENMP
#include <omp.h>
#endif

void threads_use(int wanted)
{
#ifdef _OPENMP
    int cores = omp_get_num_procs();
    if (wanted > 0)
        omp_set_num_threads(wanted);
    else if (cores > 1 && !getenv("OMP_NUM_THREADS"))
        omp_set_num_threads(cores + 1);
#else
    (void)wanted;
#endif
}
