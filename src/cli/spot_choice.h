/* What is to become of single spots, as --spots says (spot_choice.c). Internal to cli. */
#ifndef NARROWS_CLI_SPOT_CHOICE_H
#define NARROWS_CLI_SPOT_CHOICE_H

#include <change/change.h>

/* One for each spot of the fit, to be freed in any case; NULL without words. */
nw_status spots_choose(const char *words, const nw_fit *fit, nw_remedy **remedies, nw_error *error);

/* The word that --spots has for this remedy of the spot. */
const char *spot_choice_word(nw_remedy remedy, const nw_spot *spot);

/* Those that are left as they are by choice, to be freed; NULL when memory runs out. */
bool *spots_left(const nw_remedy *remedies, size_t count);

#endif
