/*
 * spot_choice: what --spots says of the spots that a check lists, as in 3:leave,5-8:fill,rest:widen
 * -> a remedy for each. Numbers without a choice are widened, and where there are such, the rest is
 * left unless something is said of it; else the rest is treated as its form is.
 */
#include <cli/spot_choice.h>

#include <string.h>

typedef enum { WIDEN, LEAVE, FILL, SHORTEN, DROP, CHOICES } choice;

static const char *const choice_words[CHOICES] = {"widen", "leave", "fill", "shorten", "drop"};

static const char *const choice_done[CHOICES] = {"widened", "left", "filled", "shortened",
                                                 "dropped"};

/* What is taken out of the art is called by what it is. */
static choice taking_out(const nw_spot *spot)
{
    if (spot->form == NW_STUB)
        return SHORTEN;
    return spot->form == NW_PINCH && spot->side == NW_GAP ? FILL : DROP;
}

const char *spot_choice_word(nw_remedy remedy, const nw_spot *spot)
{
    return choice_words[remedy == NW_OPEN ? WIDEN : remedy == NW_KEEP ? LEAVE : taking_out(spot)];
}

/* A whole piece may be an eye. */
static bool suits(choice chosen, const nw_spot *spot)
{
    return chosen == WIDEN || chosen == LEAVE || chosen == taking_out(spot) ||
           (chosen == FILL && spot->form == NW_MISS);
}

static nw_remedy remedy_of(choice chosen)
{
    return chosen == WIDEN ? NW_OPEN : chosen == LEAVE ? NW_KEEP : NW_TRIM;
}

/* Reads ":word" at *at and moves on; without one it is WIDEN. */
static bool choice_read(const char **at, choice *chosen)
{
    *chosen = WIDEN;
    if (**at != ':')
        return true;
    size_t length = strcspn(++*at, ",");
    for (*chosen = 0; *chosen < CHOICES; ++*chosen)
        if (strlen(choice_words[*chosen]) == length &&
            strncmp(*at, choice_words[*chosen], length) == 0)
            break;
    *at += length;
    return *chosen < CHOICES;
}

typedef struct {
    const char *words;
    const nw_fit *fit;
    nw_remedy *remedies;
    nw_remedy rest; /* NW_AS_FORM: nothing was said of it */
    bool bare;      /* there are numbers without a choice */
} reading;

static nw_status part_refuse(const reading *r, nw_error *error)
{
    return nw_fail(error, NW_BAD_REQUEST,
                   "--spots: '%s' says nothing of spots; there are %zu: write for example 1,4-6 or "
                   "3:leave,rest:widen; the choices are widen, leave, fill, shorten and drop",
                   r->words, r->fit->spot_count);
}

static nw_status range_mark(reading *r, size_t first, size_t last, choice chosen, nw_error *error)
{
    for (size_t i = first; i <= last; i++) {
        const nw_spot *spot = &r->fit->spots[i - 1];
        if (!suits(chosen, spot)) {
            return nw_fail(error, NW_BAD_REQUEST,
                           "--spots: %zu is a %s %s; it can be widened, left or %s, not %s", i,
                           nw_side_name(spot->side), nw_form_name(spot->form),
                           choice_done[taking_out(spot)], choice_done[chosen]);
        }
        r->remedies[i - 1] = remedy_of(chosen);
    }
    return NW_OK;
}

/* One part of the list at *at, up to a comma or the end. */
static nw_status part_read(reading *r, const char **at, nw_error *error)
{
    size_t first = 0, last = 0, count = r->fit->spot_count;
    bool rest = strncmp(*at, "rest:", 5) == 0;
    *at += rest ? 4 : 0;
    bool good = rest || (nw_range_read(at, &first, &last) && last <= count);
    choice chosen;
    bool bare = !rest && **at != ':';
    if (!good || !choice_read(at, &chosen) || (**at && **at != ',') ||
        (rest && (chosen != WIDEN && chosen != LEAVE)))
        return part_refuse(r, error);
    r->bare = r->bare || bare;
    if (!rest)
        return range_mark(r, first, last, chosen, error);
    r->rest = remedy_of(chosen);
    return NW_OK;
}

nw_status spots_choose(const char *words, const nw_fit *fit, nw_remedy **remedies, nw_error *error)
{
    *remedies = NULL;
    if (!words)
        return NW_OK;
    reading r = {.words = words, .fit = fit, .rest = NW_AS_FORM};
    r.remedies = nw_alloc(fit->spot_count, sizeof *r.remedies);
    if (!r.remedies)
        return nw_fail_memory(error, "the choice of spots");
    for (size_t i = 0; i < fit->spot_count; i++)
        r.remedies[i] = NW_AS_FORM;
    const char *at = words;
    nw_status status = part_read(&r, &at, error);
    while (status == NW_OK && *at++)
        status = part_read(&r, &at, error);
    if (r.bare && r.rest == NW_AS_FORM)
        r.rest = NW_KEEP;
    for (size_t i = 0; i < fit->spot_count; i++)
        if (r.remedies[i] == NW_AS_FORM)
            r.remedies[i] = r.rest;
    *remedies = r.remedies;
    return status;
}

bool *spots_left(const nw_remedy *remedies, size_t count)
{
    bool *left = nw_alloc(count, sizeof *left);
    for (size_t i = 0; left && remedies && i < count; i++)
        left[i] = remedies[i] == NW_KEEP;
    return left;
}
