/* probe: does clang find a C library and a linker for WebAssembly? */
#include <math.h>
#include <stdlib.h>

__attribute__((export_name("probe"))) double probe(double x);

double probe(double x)
{
    double *place = malloc(sizeof *place);
    *place = sin(x);
    return *place;
}
