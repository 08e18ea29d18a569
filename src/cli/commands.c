/* commands: one row each. */
#include <cli/cli.h>

#include <string.h>

const cli_command cli_commands[] = {
    {"check", CHECK, check_run, true,
     "ART... --cut KIND --bit DIAMETER [--wide LENGTH] [-o FOLDER]",
     "does this bit fit? lists the spots and draws them",
     "Finds every gap that is too narrow for the bit and every neck of stock that comes out too "
     "thin. Prints the list and writes into a folder: page.html to look at, marked.svg and "
     "marked.pdf to print, details.svg where there is much to show, outline.svg and outline.dxf to "
     "cut, spots.csv and spots.json."},
    {"bits", BITS, bits_run, false,
     "ART --cut KIND [--bit DIAMETER] [--wide LENGTH] [--rack FILE] [-o FOLDER]",
     "every bit side by side, and the ways out for one",
     "Checks the art with every bit of your rack, or of common sizes, and marks the largest that "
     "cuts it all. With --bit adds the ways out for that bit, or how small the art may become. "
     "Writes into a folder page.html to look at, bits.csv, bits.json and the drawing bits.svg: a "
     "chart, and a picture of each bit's cut. Exit status 1: no bit of the rack cuts it all."},
    {"sizes", SIZES, sizes_run, false, "ART --cut KIND --bit DIAMETER [--wide LENGTH] [-o FOLDER]",
     "every size side by side, for one bit",
     "Checks the art with one bit at widths from half its own to four times, and at the smallest "
     "at which the bit cuts it all; marks that, or where none does the closest, if that leaves at "
     "most 60 spots and a tenth of the cut area. Writes into a folder sizes.csv, sizes.json and "
     "the chart sizes.svg. Exit status 1: the bit cuts it all at none."},
    {"widen", WIDEN, widen_run, false,
     "ART --cut KIND --bit DIAMETER [--wide LENGTH] [-o FOLDER|FILE.svg|FILE.dxf|-]",
     "the outlines with the spots widened, and checked again",
     "Makes every pinch wide enough for the bit and every neck thick enough, with the least "
     "change, and checks the result. With -o naming a file it writes the new outlines there; into "
     "a folder "
     "it writes fixed.svg and fixed.dxf, page.html to look at, the drawing widened.svg with old "
     "and new on top of one another, widened.json, spots-before.csv and "
     "spots-after.csv."},
    {"outline", OUTLINE, outline_run, false, "ART [--wide LENGTH] [-o FOLDER|FILE.svg|FILE.dxf|-]",
     "the clean outlines only",
     "Writes the outlines of the art at their real size into a folder: outline.svg and "
     "outline.dxf. With -o naming a file it writes only that, with -o - SVG to standard output."},
    {"pieces", PIECES, pieces_run, false, "ART [--wide LENGTH] [-o FOLDER]",
     "what is in the art, numbered, for --keep and --drop",
     "Lists the pieces of the art, largest first, with a guess at what each is. With -o writes "
     "pieces.svg, where every piece carries its number."},
};

const size_t cli_command_count = sizeof cli_commands / sizeof *cli_commands;

const cli_command *command_find(const char *name)
{
    for (size_t i = 0; i < cli_command_count; i++)
        if (strcmp(cli_commands[i].name, name) == 0)
            return &cli_commands[i];
    return NULL;
}
