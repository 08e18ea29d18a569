/* options: the table of all options, one row each. */
#include <cli/request.h>

#include <stdlib.h>
#include <string.h>

#define FIELD(name) offsetof(cli_request, name)

const cli_option cli_options[] = {
    {"wide", "LENGTH", NULL, ALL_COMMANDS, GROUP_SIZE, read_length, FIELD(art.wide),
     "width of the art itself, not of the page: 120mm, 4.5in, 12cm; a bare number is millimetres"},
    {"high", "LENGTH", NULL, ALL_COMMANDS, GROUP_SIZE, read_length, FIELD(art.high),
     "height of the art, in place of its width"},
    {"ppi", "NUMBER", NULL, ALL_COMMANDS, GROUP_SIZE, read_positive, FIELD(art.ppi),
     "pixels per inch, in place of a width; default: what the picture states"},
    {"turn", "DEGREES", NULL, CHECK | BITS | SIZES | OUTLINE | WIDEN, GROUP_SIZE, read_angle,
     FIELD(art.turn_deg), "turn the art counter-clockwise before it is measured"},
    {"mirror", NULL, NULL, CHECK | BITS | SIZES | OUTLINE | WIDEN, GROUP_SIZE, NULL,
     FIELD(art.mirror), "mirror the art left to right, for parts cut from the back"},

    {"ink", "KIND", INK_WORDS, ALL_COMMANDS, GROUP_INK, read_ink, FIELD(art.picture),
     "what in the picture is art: auto, dark, light, alpha (not transparent), or a colour such as "
     "red or #c0392b; default auto"},
    {"level", "LEVEL", LEVEL_WORDS, ALL_COMMANDS, GROUP_INK, read_level, FIELD(art.picture),
     "where ink ends and paper begins: auto, local (for uneven light), or a grey level from 0 to "
     "255; default auto"},
    {"keep", "PIECES", "art dust edge frame lettering speck", ALL_COMMANDS, GROUP_INK, read_text,
     FIELD(art.keep),
     "keep only these pieces: numbers, ranges and guesses as in 1,4-6,art; 'narrows pieces' lists "
     "them"},
    {"drop", "PIECES", "dust edge frame lettering speck", ALL_COMMANDS, GROUP_INK, read_text,
     FIELD(art.drop), "leave these pieces out, as in 3 or frame,lettering"},
    {"dirt", "AREA", NULL, ALL_COMMANDS, GROUP_INK, read_dirt, FIELD(art),
     "smaller pieces are dirt, and smaller holes of a picture's art too: 0.5mm2, or 20px in "
     "pixels of the picture; 0 keeps everything; default: 8px, more in large pictures; nothing is "
     "dirt in an SVG drawing"},
    {"fill", "AREA", NULL, ALL_COMMANDS, GROUP_INK, read_fill, FIELD(art),
     "also fill larger holes of a picture's art, up to this area, with what lies in them"},
    {"lines", "EDGES", "as-drawn outer inner middle", ALL_COMMANDS & ~PIECES, GROUP_INK, NULL,
     FIELD(art.lines),
     "what becomes of art that is drawn as thick lines: as-drawn keeps both edges of each line, "
     "outer fills the outer edge, inner fills what the lines enclose, middle (outline only) gives "
     "curves to engrave; default as-drawn"},
    {"smooth", "LENGTH", NULL, ALL_COMMANDS, GROUP_INK, read_length, FIELD(art.smooth),
     "how far an outline may leave the picture to become simpler; default: about a pixel"},
    {"skip-unread", NULL, NULL, ALL_COMMANDS & ~PIECES, GROUP_INK, NULL, FIELD(art.skip_unread),
     "what cannot be read of an SVG drawing is not wanted: lettering that is text, pictures, "
     "masks; and shapes that fade, and photographs, are meant as they come out; without this the "
     "answer is never that all fits"},
    {"skip-hairlines", NULL, NULL, ALL_COMMANDS, GROUP_INK, NULL, FIELD(art.skip_hairlines),
     "lines that are under 0.1 mm wide in an SVG drawing are not wanted; without this they "
     "count as areas that thin"},
    {"max-pixels", "COUNT", NULL, ALL_COMMANDS, GROUP_INK, read_pixels,
     FIELD(art.picture.max_pixels), "refuse pictures of more pixels; default 8e8"},

    {"max-outlines", "COUNT", NULL, ALL_COMMANDS, GROUP_INK, read_pixels, FIELD(art.most_outlines),
     "refuse art of more outlines, pieces and holes together; default 10000"},
    {"max-points", "COUNT", NULL, ALL_COMMANDS, GROUP_INK, read_pixels, FIELD(art.most_points),
     "refuse art whose outlines have more points, or in a picture run along ten times as many "
     "pixels; what a drawing may hold before it is one grows along; default 200000"},

    {"cut", "KIND", "inside outside pocket", CHECK | BITS | SIZES | WIDEN | OUTLINE, GROUP_CUT,
     NULL, FIELD(job.cut),
     "inside: the art is an opening; outside: the art is the part; pocket: the art is cleared to "
     "a depth"},
    {"bit", "DIAMETER", NULL, CHECK | BITS | SIZES | WIDEN | OUTLINE, GROUP_CUT, read_length,
     FIELD(job.bit), "the bit's diameter, measured: 1/8in, 3.175mm"},
    {"neck", "LENGTH", NULL, CHECK | BITS | SIZES | WIDEN | OUTLINE, GROUP_CUT, read_length,
     FIELD(job.neck),
     "least width of stock that may be left; default: the bit's diameter, or the stock's "
     "thickness if that is more"},
    {"stock", "THICKNESS", NULL, CHECK | BITS | SIZES | WIDEN | OUTLINE, GROUP_CUT, read_length,
     FIELD(job.stock), "thickness of the sheet"},
    {"blunt", "LENGTH", NULL, CHECK | BITS | SIZES | WIDEN | OUTLINE, GROUP_CUT,
     read_length_or_zero, FIELD(job.blunt),
     "what a pointed tip of the art may lose, and any other blind end an eighth of; default: "
     "4 % of the art's greatest extent, whichever way that runs"},
    {"rack", "FILE", NULL, CHECK | BITS, GROUP_CUT, read_text, FIELD(rack),
     "your own bits, one a line: name, diameter; default: narrows/rack in the configuration "
     "folder, else common sizes"},

    {"ease", "LENGTH", NULL, WIDEN, GROUP_WIDEN, read_length, FIELD(ease),
     "how much wider than the bit, or thicker than the least neck, a place becomes; default "
     "0.05mm"},
    {"stubs", "REMEDY", "keep open trim", WIDEN, GROUP_WIDEN, NULL, FIELD(stubs),
     "what ends blind: keep it as it is, open it to its end, or trim it off; default keep"},
    {"misses", "REMEDY", "keep open drop", WIDEN, GROUP_WIDEN, NULL, FIELD(misses),
     "what is lost as a whole: keep it as it is, open it for the bit, or drop it; default keep, "
     "but crumbs, under a fiftieth of the bit's square, are dropped, and what is smaller than half "
     "the bit's disc where it leaves a pinch no room"},
    {"spots", "CHOICES", NULL, CHECK | WIDEN, GROUP_WIDEN, read_text, FIELD(spots),
     "what becomes of spots, by their numbers in the list of 'narrows check', in widen of the art "
     "without bridges, as in 3:leave,5-8:fill,rest:widen. widen; leave: the verdict accepts it; "
     "fill a gap, shorten what "
     "ends blind, drop a piece or a strip; 1,4-6 widens these and leaves the rest"},

    {"bridge", "WIDTH", NULL, CHECK | WIDEN | OUTLINE, GROUP_HOLD, read_length, FIELD(job.bridge),
     "hold islands, or join separate parts, by the fewest and shortest strips of this width"},
    {"bridge-count", "COUNT", "1 2", CHECK | WIDEN | OUTLINE, GROUP_HOLD, read_bridges,
     FIELD(job.bridge_count),
     "how many bridges each of them gets; two keep it from twisting; default 2 on what is longer "
     "than 60 mm or larger than 1500 mm2 (common practice), else 1"},
    {"bridge-at", "PLACES", NULL, CHECK | WIDEN | OUTLINE, GROUP_HOLD, read_places,
     FIELD(job.bridge_at),
     "put bridges across the cut at these places and nowhere else: x,y from the art's lower left "
     "corner, as in 10mm,20mm:45mm,20mm"},

    {"tabs", "COUNT", "auto", CHECK | WIDEN | OUTLINE, GROUP_HOLD, read_tabs, FIELD(job),
     "mark places for so many holding tabs on each part, and on what falls out of each opening; "
     "auto: by perimeter and weight, none for waste under 1500 mm2"},
    {"tab-at", "PLACES", NULL, CHECK | WIDEN | OUTLINE, GROUP_HOLD, read_tab_places, FIELD(job),
     "put holding tabs at these places of the outlines and nowhere else, in place of --tabs: x,y "
     "from the art's lower left corner, as in 10mm,20mm:45mm,20mm"},
    {"tab-width", "LENGTH", NULL, CHECK | WIDEN | OUTLINE, GROUP_HOLD, read_length,
     FIELD(job.tab_width), "width of a tab; default one and a half bits"},
    {"break-tabs", NULL, NULL, CHECK | WIDEN | OUTLINE, GROUP_HOLD, NULL, FIELD(break_tabs),
     "leave gaps in the outlines for the tabs, in place of lines across the cut"},
    {"origin", "PLACE", ORIGIN_WORDS, CHECK | WIDEN | OUTLINE, GROUP_OUTPUT, read_origin,
     FIELD(origin),
     "where written drawings have their origin: left-bottom, centre, or x,y from the art's lower "
     "left corner, from which the lists always count; default left-bottom"},
    {"margin", "LENGTH", NULL, CHECK | WIDEN, GROUP_CUT, read_length, FIELD(job.margin),
     "room for clamps on every side of the art, counted in the stock needed"},
    {"stock-size", "SIZE", NULL, CHECK | WIDEN, GROUP_CUT, read_sheet, FIELD(job),
     "the sheet, as in 600mm,300mm: does the art fit on it, and its edge ends the stock"},
    {"as-cut", NULL, NULL, WIDEN | OUTLINE, GROUP_OUTPUT, NULL, FIELD(as_cut),
     "also write the outline that the bit really produces, corners rounded, as lines and arcs in a "
     "layer of its own"},
    {"bit-path", NULL, NULL, WIDEN | OUTLINE, GROUP_OUTPUT, NULL, FIELD(bit_path),
     "also write the centre line of the bit, as lines and arcs in a layer of its own"},
    {"each", NULL, NULL, CHECK, GROUP_RUN, NULL, FIELD(each),
     "check each of the files; -o names a folder that gets a folder for each, and an index.html"},
    {"jobs", "COUNT", NULL, CHECK, GROUP_RUN, read_threads, FIELD(jobs),
     "with --each, how many files at a time; default: as many as there are cores"},
    {"longer", "COUNT", NULL, WIDEN, GROUP_RUN, read_threads, FIELD(longer),
     "widening may take so many times as long as usual before the best so far stands; 1 to 1024"},
    {"file-seconds", "COUNT", NULL, CHECK, GROUP_RUN, read_threads, FIELD(file_seconds),
     "with --each, so much processor time for each file; default 120"},
    {"file-memory", "SIZE", NULL, CHECK, GROUP_RUN, read_memory, FIELD(file_memory),
     "with --each, so much memory for each file, as in 500MB; default 4GB"},
    {"o", "PATH", NULL, ALL_COMMANDS, GROUP_RUN, read_text, FIELD(output),
     "where to write: a folder, for outline and widen also a file or -; default: a folder named "
     "after the art and the command, beside it"},
    {"json", NULL, NULL, CHECK | BITS | SIZES | PIECES | WIDEN, GROUP_RUN, NULL, FIELD(json),
     "print JSON in place of the table"},
    {"inch", NULL, NULL, ALL_COMMANDS, GROUP_OUTPUT, NULL, FIELD(inch),
     "show lengths in inches, with the nearest 64th; the files for programs stay in millimetres"},
    {"pair", NULL, NULL, BITS, GROUP_OUTPUT, NULL, FIELD(pair),
     "also pairs of a large and a small bit, with pair.svg and pair.dxf of the best one"},
    {"csv", NULL, NULL, BITS | SIZES, GROUP_RUN, NULL, FIELD(csv),
     "print CSV in place of the table"},
    {"quiet", NULL, NULL, ALL_COMMANDS, GROUP_RUN, NULL, FIELD(quiet),
     "no table and no notes: the files and the exit status are the answer"},
    {"verbose", NULL, NULL, ALL_COMMANDS, GROUP_RUN, NULL, FIELD(verbose),
     "also notes of use to few: how ink was told from paper, how close the outlines are, "
     "and with --each the time and memory of each file"},
    {"threads", "COUNT", NULL, CHECK | BITS | SIZES | WIDEN | OUTLINE, GROUP_RUN, read_threads,
     FIELD(job.threads), "how many cores to use; default: all"},
    {"help", NULL, NULL, ALL_COMMANDS, GROUP_RUN, NULL, FIELD(help), "show this help"},
};

const size_t cli_option_count = sizeof cli_options / sizeof *cli_options;

const nw_option_words option_words = {.check = "narrows check",
                                      .widen = "narrows widen",
                                      .bit = "--bit",
                                      .wide = "--wide",
                                      .blunt = "--blunt",
                                      .margin = "--margin",
                                      .stubs = "--stubs open",
                                      .misses = "--misses open",
                                      .longer = "--longer",
                                      .drop = "--drop",
                                      .stock = "--stock",
                                      .spots = "--spots",
                                      .all = "--json"};

const char *option_group_name(option_group group)
{
    static const char *names[] = {"Size",         "What is art",        "The cut",
                                  "Widening",     "Holding the pieces", "What is written",
                                  "Where and how"};
    return names[group];
}

const char *option_dashes(const cli_option *option)
{
    return option->name[1] ? "--" : "-";
}

const cli_option *option_find(const char *name, size_t length)
{
    for (size_t i = 0; i < cli_option_count; i++)
        if (strlen(cli_options[i].name) == length && memcmp(cli_options[i].name, name, length) == 0)
            return &cli_options[i];
    return NULL;
}

bool option_outlasts_widening(const cli_option *option)
{
    static const char *const names[] = {"inch", "tabs", "tab-at", "tab-width"};
    bool named = option->group == GROUP_CUT;
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        named = named || strcmp(option->name, names[i]) == 0;
    return named;
}

bool option_given(const cli_request *request, const char *name)
{
    return request->texts[option_find(name, strlen(name)) - cli_options] != NULL;
}

nw_status option_take(const cli_option *option, const char *value, cli_request *request,
                      nw_error *error)
{
    void *field = (char *)request + option->field;
    request->texts[option - cli_options] = value;
    if (!option->argument) {
        *(bool *)field = true;
        return NW_OK;
    }
    nw_error inner;
    nw_status status = option->read ? option->read(value, field, &inner)
                                    : read_word(value, option->choices, field, &inner);
    if (status != NW_OK) {
        return nw_fail(error, status, "%s%s: %s", option_dashes(option), option->name,
                       inner.message);
    }
    return NW_OK;
}
