/* notes: what the library decided on the way to a drawing, as lines, with the options that would
 * have it otherwise. */
#include <cli/talk.h>

#include <math.h>

#define SOME_TAKEN "--ink dark, light or a colour takes some"
#ifdef NW_WITH_POTRACE
#define ROUGH_TRACER ", traced by libpotrace"
#else
#define ROUGH_TRACER ", united anew where it crossed itself"
#endif
#define LARGE_MM 1500 /* wider than sheets that small machines take */
#define SMALL_MM 5
#define TIPS_TOLD_MM 1 /* what is drawn out further shows in the cut */

/* ---- pictures -------------------------------------------------------------------------------- */

/* Grey levels: what a maker may want otherwise is how the light fell and which half is art. */
static nw_weight level_write(const nw_picture *picture, bool auto_ink, nw_text *line)
{
    bool light = picture->ink == NW_INK_LIGHT, local = picture->level_kind == NW_LEVEL_LOCAL;
    nw_text_add(line, light ? "light ink on dark ground" : "dark ink on light paper");
    if (local) {
        nw_text_add(line,
                    picture->asked
                        ? ", told apart by neighbourhood as asked"
                        : ", told apart by neighbourhood, since the ground is not equally light");
    } else {
        nw_text_format(line, ", told apart at the grey level %d%s", picture->level,
                       picture->asked ? ", as asked" : " (Otsu 1979)");
    }
    nw_text_add(line, light && auto_ink ? "; --ink dark takes the rest" : "");
    bool surprising = (light && auto_ink) || (local && !picture->asked);
    return surprising ? NW_WEIGHT_USUAL : NW_WEIGHT_DETAIL;
}

static nw_weight colour_write(const nw_picture *picture, nw_text *line)
{
    const uint8_t *c = picture->colour;
    if (!picture->colours) {
        nw_text_format(line,
                       "the ink is what is near the colour #%02x%02x%02x, up to %d levels away",
                       c[0], c[1], c[2], picture->level);
        return NW_WEIGHT_DETAIL;
    }
    nw_text_format(line, "the ink is all but paper (#%02x%02x%02x), %zu %s", c[0], c[1], c[2],
                   picture->colours, picture->colours == 1 ? "colour" : "colours; " SOME_TAKEN);
    return picture->colours == 1 ? NW_WEIGHT_DETAIL : NW_WEIGHT_USUAL;
}

static nw_weight kind_write(const nw_picture *picture, bool auto_ink, nw_text *line)
{
    if (picture->ink == NW_INK_COLOUR)
        return colour_write(picture, line);
    if (picture->ink != NW_INK_ALPHA)
        return level_write(picture, auto_ink, line);
    nw_text_add(line, "the ink is what is not transparent, whatever its colour");
    nw_text_add(line, picture->several ? "; it has several: " SOME_TAKEN : "");
    return picture->several ? NW_WEIGHT_USUAL : NW_WEIGHT_DETAIL;
}

/* What else a maker may want to know of the ink, or to have otherwise. */
static void ink_more(const nw_picture *picture, nw_text *line)
{
    if (picture->several && picture->ink != NW_INK_ALPHA)
        nw_text_add(line, ", its colours as one, with no edge where they meet: --ink with a colour "
                          "takes one");
    nw_text_add(line, picture->checkered ? "; its checkered ground is paper" : "");
    if (picture->mark_level) {
        nw_text_format(line, "; what is paler, as a watermark, is left out: --level %d takes it",
                       picture->mark_level);
    }
    if (picture->palest_level) {
        nw_text_format(line, "; --level %d leaves out its palest grey, if that is a watermark",
                       picture->palest_level);
    }
    if (picture->shaded)
        nw_text_add(line, "; its colours are shaded: --level or --ink with a colour may find more");
    if (picture->squares > 1) {
        nw_text_format(line, "; its %s averaged over %u x %u pixels",
                       picture->sigma > 0 ? "noise is" : "soft edges are", picture->squares,
                       picture->squares);
    } else if (picture->sigma > 0) {
        nw_text_add(line, "; its noise is smoothed");
    }
    nw_text_add(line, picture->dark_too ? "; --ink dark takes the dark part" : "");
    nw_text_add(line, picture->clear_too ? "; --ink alpha takes all that is not transparent" : "");
}

static nw_weight ink_write(const note_about *report, nw_text *line)
{
    const nw_picture *picture = &report->art->picture;
    bool levels = picture->ink == NW_INK_DARK || picture->ink == NW_INK_LIGHT;
    nw_text more = {0};
    ink_more(picture, &more);
    bool any = more.length > 0;
    nw_weight weight = NW_WEIGHT_USUAL;
    if (any && levels) /* how they were told apart is of use to few */
        nw_text_add(line, picture->ink == NW_INK_LIGHT ? "the light parts are taken for the art"
                                                       : "the dark parts are taken for the art");
    else
        weight = kind_write(picture, report->options->picture.ink == NW_INK_AUTO, line);
    nw_text_take(line, &more, 0);
    return any ? NW_WEIGHT_USUAL : weight;
}

static void add_length(nw_text *line, double pixels, bool inch, const nw_art *art)
{
    if (art->sized && inch) {
        nw_write_length(line, pixels * art->unit_mm, true);
    } else {
        nw_text_number(line, pixels * art->unit_mm, pixels * art->unit_mm < 1 ? 3 : 1);
        nw_text_add(line, art->sized ? " mm" : " px");
    }
}

/* Their ends are the tracer's, not the picture's. */
static nw_weight tips_write(const note_about *report, nw_text *line)
{
    const nw_art *art = report->art;
    bool shows = art->sized && art->trace.tips_px * art->unit_mm > TIPS_TOLD_MM;
    nw_text_add(line, "pointed tips are drawn out by up to ");
    add_length(line, art->trace.tips_px, report->inch, art);
    nw_text_add(line, " beyond their last pixel");
    nw_text_add(line, shows ? ": look at them in the marked drawing" : "");
    return shows ? NW_WEIGHT_USUAL : NW_WEIGHT_DETAIL;
}

static nw_weight outline_write(const note_about *report, nw_text *line)
{
    const nw_art *art = report->art;
    const nw_trace_notes *trace = &art->trace;
    double smooth = report->options->smooth;
    bool coarse = smooth > 0 && trace->largest_px * art->unit_mm > smooth * (1 + 1e-9);
    nw_text_add(line, "the outlines are within ");
    add_length(line, trace->largest_px, report->inch, art);
    nw_text_add(line, trace->grey ? " of the picture's edges" : " of the pixels' boundary");
    nw_text_add(line, coarse ? ", for the pixels are too coarse for --smooth" : "");
    nw_text_add(line,
                trace->too_rough ? ROUGH_TRACER ", for the pixels are as rough as noise" : "");
    return coarse || trace->too_rough ? NW_WEIGHT_USUAL : NW_WEIGHT_DETAIL;
}

static nw_weight size_write(const note_about *report, nw_text *line)
{
    const nw_art *art = report->art;
    double largest = fmax(art->drawing.width, art->drawing.height);
    bool absurd = largest > LARGE_MM || largest < SMALL_MM;
    nw_text_add(line, "no size was given: ");
    if (art->from_picture) {
        nw_text_number(line, art->own_ppi, 1);
        nw_text_add(line, " pixels per inch, as the picture states, make the art ");
    } else {
        nw_text_add(line, "96 units to the inch make the art ");
    }
    nw_write_length(line, art->drawing.width, report->inch);
    nw_text_add(line, " x ");
    nw_write_length(line, art->drawing.height, report->inch);
    nw_text_add(line, absurd ? ", which is hardly meant; give the real size with --wide" : "");
    return absurd ? NW_WEIGHT_HIGH : NW_WEIGHT_USUAL;
}

/* ---- lines ----------------------------------------------------------------------------------- */

/* What has become of the lines, or what could. */
static const char *outcome(const note_about *report)
{
    static const char *const taken[] = {
        [NW_LINES_AS_DRAWN] = ": both edges are kept, as asked",
        [NW_LINES_OUTER] = ": only the outer edge is kept, filled",
        [NW_LINES_INNER] = ": only the inner edges are kept, filled",
        [NW_LINES_MIDDLE] = ": only the middle is kept, as curves without area",
    };
    return report->lines_given ? taken[report->options->lines]
                               : ": --lines outer or inner keeps one of their two edges, "
                                 "middle (outline only) gives curves";
}

/* What stays as it was drawn though something else was asked for. */
static void unchanged_write(const nw_line_notes *lines, nw_lines mode, nw_text *line)
{
    bool edges = mode == NW_LINES_OUTER || mode == NW_LINES_INNER;
    if (edges && lines->open) {
        nw_text_format(line, "; %zu of the lines enclose%s nothing and stay%s as drawn",
                       lines->open, lines->open == 1 ? "s" : "", lines->open == 1 ? "s" : "");
    }
    if (lines->wide) {
        nw_text_format(line, "; %zu part%s of them %s too wide for a line and keep%s %s edges",
                       lines->wide, lines->wide == 1 ? "" : "s", lines->wide == 1 ? "is" : "are",
                       lines->wide == 1 ? "s" : "", lines->wide == 1 ? "its" : "their");
    }
    if (lines->others && mode != NW_LINES_AS_DRAWN) {
        nw_text_format(line, "; %zu other piece%s no line%s", lines->others,
                       lines->others == 1 ? " is" : "s are", lines->others == 1 ? "" : "s");
        nw_text_add(line, edges ? "" : " and keep");
        nw_text_add(line, edges ? "" : lines->others == 1 ? "s its edges" : " their edges");
    }
}

static void lines_write(const note_about *report, const nw_art *art, nw_text *line)
{
    nw_text_format(line, "%zu piece%s drawn as lines about ", art->lines.pieces,
                   art->lines.pieces == 1 ? " is" : "s are");
    if (art->sized) {
        nw_write_length(line, art->lines.width * art->unit_mm, report->inch);
    } else {
        nw_text_number(line, art->lines.width, 2);
        nw_text_add(line, " px");
    }
    nw_text_add(line, " wide");
    nw_text_add(line, outcome(report));
    unchanged_write(&art->lines, report->options->lines, line);
}

/* ---- things that are counted ----------------------------------------------------------------- */

/* What follows the count of one, and of several. */
static const struct {
    const char *one, *several;
} counted[] = {
    [NW_NOTE_FRAME] = {"looks like a frame round the art", "look like frames round the art"},
    [NW_NOTE_LETTERING] = {"looks like lettering", "look like lettering"},
    [NW_NOTE_DUST] = {"is hardly larger than dirt", "are hardly larger than dirt"},
    [NW_NOTE_EDGE] = {"touches the picture's edge and may be cut off there",
                      "touch the picture's edge and may be cut off there"},
    [NW_NOTE_HAIRLINES] = {"line under 0.1 mm wide in the file counts as an area that thin",
                           "lines under 0.1 mm wide in the file count as areas that thin"},
    [NW_NOTE_HAIRLINES_OUT] = {"line under 0.1 mm wide in the file is left out",
                               "lines under 0.1 mm wide in the file are left out"},
    [NW_NOTE_UNSCALED] = {"line is as wide however it is scaled, and is taken as wide as in the "
                          "file's own size",
                          "lines are as wide however they are scaled, and are taken as wide as in "
                          "the file's own size"},
    [NW_NOTE_BESIDE] =
        {"line beside the outlines, as narrows writes tabs and paths, is left out",
         "lines beside the outlines, as narrows writes tabs and paths, are left out"},
    [NW_NOTE_RINGS] = {"line without fill in the layer of outlines encloses the art",
                       "lines without fill in the layer of outlines enclose the art"},
    [NW_NOTE_TEXTS] = {"text is not outlines and is left out",
                       "texts are not outlines and are left out"},
    [NW_NOTE_IMAGES] = {"picture in the drawing is left out",
                        "pictures in the drawing are left out"},
    [NW_NOTE_MARKS] = {"line has arrowheads or other marks, which are left out",
                       "lines have arrowheads or other marks, which are left out"},
    [NW_NOTE_EFFECTS] = {"mask, filter or the like is not applied",
                         "masks, filters or the like are not applied"},
    [NW_NOTE_RULES] = {"rule of the style sheet is of a kind that is not read",
                       "rules of the style sheets are of kinds that are not read"},
    [NW_NOTE_SHADES] =
        {"shape is of a fading colour or a pattern; it counts as all art, or as none if it is "
         "white",
         "shapes are of fading colours or patterns; they count as all art, or as none if they "
         "are white"},
    [NW_NOTE_OFF_PAGE] = {"shape lies beyond the page's edge or is clipped away",
                          "shapes lie beyond the page's edge or are clipped away"},
};

/* What can be done about what was not read, unless it is not wanted. */
static const struct {
    bool by_paths;
    const char *or_else;
} cures[] = {
    [NW_NOTE_TEXTS] = {true, ", or check the drawing's picture; --skip-unread does without"},
    [NW_NOTE_IMAGES] = {false, "; check the drawing's own picture, or --skip-unread does without"},
    [NW_NOTE_MARKS] = {true, "; --skip-unread does without"},
    [NW_NOTE_EFFECTS] = {false, "; check the drawing's picture, or --skip-unread does without"},
    [NW_NOTE_RULES] = {false, "; check the drawing's picture, or --skip-unread does without"},
    [NW_NOTE_SHADES] = {false, "; --skip-unread takes that as meant"},
};

static void cure_write(const note_about *report, const nw_note *note, nw_text *line)
{
    const char *them = note->count == 1 ? "it" : "them";
    if (note->code == NW_NOTE_HAIRLINES) {
        if (!note->number) /* else nothing would be left */
            nw_text_format(line, ": --skip-hairlines leaves %s out", them);
        nw_text_format(line, "; to cut along %s, fill %s", them,
                       note->count == 1 ? "its shape" : "their shapes");
    } else if ((size_t)note->code < sizeof cures / sizeof *cures && cures[note->code].or_else &&
               !report->options->skip_unread) {
        if (cures[note->code].by_paths)
            nw_text_format(line, "; turn %s into paths", them);
        nw_text_add(line, cures[note->code].or_else);
    }
}

/* What the user may not have seen among the kept pieces. */
static void guess_write(const nw_note *note, nw_piece_guess guess, nw_text *line)
{
    if (note->count == 1)
        nw_text_format(line, "piece %zu %s", note->number, counted[note->code].one);
    else
        nw_text_format(line, "%zu pieces %s", note->count, counted[note->code].several);
    nw_text_format(line, "; --drop %s leaves %s out", nw_piece_guess_name(guess),
                   note->count == 1 ? "it" : "them");
}

/* What is not in the drawing, with the first few by name, where there are any. */
static void left_out_write(const note_about *report, const nw_note *note, const char *names,
                           nw_text *line)
{
    nw_text_format(line, "%zu %s", note->count,
                   note->count == 1 ? counted[note->code].one : counted[note->code].several);
    cure_write(report, note, line);
    nw_text_add(line, *names ? ": " : "");
    nw_text_add(line, names);
}

static void unused_write(const char *option, nw_text *line)
{
    nw_text_format(line, "%s does nothing here: it is for pictures, and this is a drawing", option);
}

/* ---- any of them ----------------------------------------------------------------------------- */

/* About a drawing. */
static nw_weight drawing_note_write(const note_about *report, const nw_note *note, nw_text *line)
{
    const nw_art *art = report->art;
    switch (note->code) {
    case NW_NOTE_IMAGES:
    case NW_NOTE_EFFECTS:
        left_out_write(report, note, art->svg.others, line);
        return NW_WEIGHT_HIGH;
    case NW_NOTE_SEAMS:
        nw_text_format(line, "%zu seam%s between shapes, under ", note->count,
                       note->count == 1 ? "" : "s");
        nw_text_number(line, note->value * art->unit_mm, 4);
        nw_text_format(line, " mm wide, %s closed", note->count == 1 ? "is" : "are");
        return NW_WEIGHT_DETAIL;
    case NW_NOTE_COLOURS:
        nw_text_add(line, "its colours count as one art, with no edge where they meet; the "
                          "drawing's picture and --ink with a colour have one alone");
        return NW_WEIGHT_USUAL;
    case NW_NOTE_LIGHT:
        nw_text_add(line, "every shape is near white, so all of them are taken for art");
        return NW_WEIGHT_USUAL;
    case NW_NOTE_INK_UNUSED:
        unused_write("--ink", line);
        return NW_WEIGHT_USUAL;
    case NW_NOTE_LEVEL_UNUSED:
        unused_write("--level", line);
        return NW_WEIGHT_USUAL;
    case NW_NOTE_SMOOTH_UNUSED:
        unused_write("--smooth", line);
        return NW_WEIGHT_USUAL;
    default:
        left_out_write(report, note, "", line);
        if (note->code == NW_NOTE_RINGS && note->number) {
            nw_text_format(line, "; %zu gap%s, as for tabs, %s bridged", note->number,
                           note->number == 1 ? "" : "s", note->number == 1 ? "is" : "are");
        }
        return note->code == NW_NOTE_TEXTS || note->code == NW_NOTE_HAIRLINES ? NW_WEIGHT_HIGH
                                                                              : NW_WEIGHT_USUAL;
    }
}

/* Where the art ends is as a level would have it, rather than as an edge shows. */
static void shades_write(const note_about *report, const nw_note *note, nw_text *line)
{
    if (report->art->from_picture) {
        nw_text_add(line,
                    "a photograph or a drawing in greys: where the art ends is a guess, which "
                    "--level moves");
        cure_write(report, note, line);
    } else
        left_out_write(report, note, "", line);
}

static void coarse_write(const note_about *report, nw_text *line)
{
    const nw_art *art = report->art;
    bool enlarged = art->source_px > 0;
    nw_text_add(line,
                enlarged ? "enlarged from a smaller picture, whose pixels are " : "a pixel is ");
    nw_write_length(line, art->unit_mm * (enlarged ? art->source_px : 1), report->inch);
    nw_text_add(line, " of the art");
    nw_text_add(line, art->picture.off > 0 ? ", with noise" : "");
    nw_text_add(line, enlarged ? ": widths are sure to about " : ", so widths are sure to about ");
    nw_write_length(line, art->sure, report->inch);
    nw_text_add(line, enlarged ? "; a larger original tells more"
                               : ", the thinnest to a pixel; a larger picture tells more");
}

nw_weight note_write(const note_about *report, const nw_note *note, nw_text *line)
{
    const nw_art *art = report->art;
    switch (note->code) {
    case NW_NOTE_INK:
        return ink_write(report, line);
    case NW_NOTE_SHADES:
        shades_write(report, note, line);
        return NW_WEIGHT_HIGH;
    case NW_NOTE_PINHOLES:
    case NW_NOTE_DIRT:
    case NW_NOTE_DOTS:
    case NW_NOTE_FAINT:
        return dirt_note_write(report, note, line);
    case NW_NOTE_CHOSEN:
        nw_text_format(line, "kept %zu of %zu pieces", note->count, art->pieces.count);
        return NW_WEIGHT_USUAL;
    case NW_NOTE_FRAME:
        guess_write(note, NW_PIECE_FRAME, line);
        return NW_WEIGHT_HIGH;
    case NW_NOTE_LETTERING:
        guess_write(note, NW_PIECE_LETTERING, line);
        return NW_WEIGHT_USUAL;
    case NW_NOTE_PRINT:
        nw_text_format(line,
                       "this looks like a screenshot or a page of text: %zu of its %zu pieces are "
                       "small letters; cropped to its art it tells more",
                       note->count, note->number);
        return NW_WEIGHT_HIGH;
    case NW_NOTE_EDGE:
        guess_write(note, NW_PIECE_EDGE, line);
        return NW_WEIGHT_HIGH;
    case NW_NOTE_DUST:
        guess_write(note, NW_PIECE_DUST, line);
        return NW_WEIGHT_HIGH;
    case NW_NOTE_OUTLINE:
        return outline_write(report, line);
    case NW_NOTE_TIPS:
        return tips_write(report, line);
    case NW_NOTE_COARSE:
        coarse_write(report, line);
        return NW_WEIGHT_HIGH;
    case NW_NOTE_SIZE:
        return size_write(report, line);
    case NW_NOTE_LINES:
        lines_write(report, art, line);
        return NW_WEIGHT_HIGH;
    case NW_NOTE_LINES_UNUSED:
        nw_text_add(line, "--lines does nothing here: no piece is drawn as a line");
        return NW_WEIGHT_USUAL;
    default:
        return drawing_note_write(report, note, line);
    }
}
