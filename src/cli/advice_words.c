/* advice: what the library leaves to its callers to say in a message: which option is to blame, or
 * may help. */
#include <cli/load.h>

#define AS_PICTURE                                                                                 \
    "or take its picture: a screenshot of it in a browser, as large as it goes, or what "          \
    "'rsvg-convert --width 3000 ART.svg > ART.png' makes"

static const struct {
    const char *before, *after;
} advice_words[] = {
    [NW_ADVICE_NONE] = {"", ""},
    [NW_ADVICE_PIXELS] = {"", ", or allow more by --max-pixels"},
    [NW_ADVICE_INK] = {"", "; say what is art with --ink or --level"},
    [NW_ADVICE_NOT_ALPHA] = {"", "; leave --ink alpha out"},
    [NW_ADVICE_NOT_COLOUR] = {"", ", or leave --ink out"},
    [NW_ADVICE_PIECES] = {"", "; 'narrows pieces' lists them"},
    [NW_ADVICE_KEEP] = {"--keep: ", ""},
    [NW_ADVICE_KEEP_LIST] = {"--keep: ", "; 'narrows pieces' lists them"},
    [NW_ADVICE_DROP] = {"--drop: ", ""},
    [NW_ADVICE_DROP_LIST] = {"--drop: ", "; 'narrows pieces' lists them"},
    [NW_ADVICE_DIRT] = {"--dirt: ", ""},
    [NW_ADVICE_FILL] = {"--fill: ", ""},
    [NW_ADVICE_NO_DIRT] = {"", "; --dirt 0 keeps them"},
    [NW_ADVICE_SMOOTH] = {"--smooth: ", ""},
    [NW_ADVICE_MIDDLES] = {"--lines middle: ", "; 'narrows outline' writes them, alone"},
    [NW_ADVICE_SIZE] = {"", "; add for example --wide 120mm, --high 80mm or --ppi 300"},
    [NW_ADVICE_ONE_SIZE] = {"", "; give --ppi, or --wide or --high"},
    [NW_ADVICE_ONE_SIDE] = {"", "; leave --high out, for the art is not stretched"},
    [NW_ADVICE_SIDES] = {"", "; scale it by --wide or --high, not --ppi"},
    [NW_ADVICE_OUTLINES] = {"", "; --dirt leaves small ones out, --max-outlines allows more"},
    [NW_ADVICE_POINTS] = {"", "; simplify it, or allow more by --max-points"},
    [NW_ADVICE_CROP] = {"",
                        "; it looks like a screenshot or a page of text: crop it to its art, or "
                        "allow more by --max-points"},
    [NW_ADVICE_SIMPLER] = {"", "; simplify it, allow more by --max-points, " AS_PICTURE},
    [NW_ADVICE_RENDER] = {"", "; " AS_PICTURE},
    [NW_ADVICE_EASE] = {"--ease: ", ""},
};

nw_status advice_add(nw_status status, nw_error *error)
{
    if (status == NW_OK || error->advice == NW_ADVICE_NONE)
        return status;
    nw_error inner = *error;
    return nw_fail(error, status, "%s%s%s", advice_words[inner.advice].before, inner.message,
                   advice_words[inner.advice].after);
}
