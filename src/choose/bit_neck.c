/* bit_neck: options, a bit and the stock -> the least neck that may stay: the rule stands here
 * alone. */
#include <choose/choose.h>

#include <math.h>

double nw_bit_neck(const nw_fit_options *options, double diameter, double stock)
{
    return options->neck > 0 ? options->neck : fmax(diameter, stock);
}
