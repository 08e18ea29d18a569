"""Makes the page's fixed text into C: page_parts.c, as page_parts.h declares it; and the page without
art: narrows.html.

usage: embed.py OUT                                       there is no page
       embed.py OUT NARROWS.html page.html page.css engine.wasm expand.wasm rescue.js unpack.js SCRIPT.js...

@STYLE@, @UNPACK@, @CODE@, @RESCUE@, @ENGINE@, @EXPAND@ and @WITHOUT@ are filled in here; @TITLE@, @VERDICT@, @STILL@ and
@DATA@ when a page is written, so the text is cut there."""
import functools
import lzma
import re
import sys
import zlib

FILLS = {'@TITLE@': 'REPORT_PAGE_TITLE', '@VERDICT@': 'REPORT_PAGE_VERDICT',
         '@DATA@': 'REPORT_PAGE_DATA', '@STILL@': 'REPORT_PAGE_STILL'}
WITHOUT_ART = {'REPORT_PAGE_TITLE': 'narrows', 'REPORT_PAGE_VERDICT': 'Drop a picture here',
               'REPORT_PAGE_DATA': '', 'REPORT_PAGE_STILL': '', 'REPORT_PAGE_END': ''}
WITHOUT = {'art': 'Without JavaScript this page cannot work out other bits and sizes. This is the result as it '
                  'was worked out when the page was written.',
           'no art': 'Without JavaScript this page can do nothing.'}


def read(path):
    with open(path, encoding='utf-8') as file:
        return file.read()


def no_end_tag(text, path):
    if re.search(r'</(script|style)|<!--', text, re.IGNORECASE):
        sys.exit(f'{path} holds a tag that would end its element')
    return text


COMMENT = r'(?m)^ *//.*\n|/\*[^*]*\*/'  # lines of a script, and what is in a style


def lean(path):
    """Comments and indents are for those who read the sources."""
    return re.sub(r'(?m)^ +', '', re.sub(COMMENT, '', no_end_tag(read(path), path)))


def lean_style(path):
    """So are spaces round what is set."""
    return re.sub(r' *([{};,]) *\n*| *(:) ', r'\1\2', lean(path)).replace(';}', '}')


def deflated(data):
    """What every browser unpacks fast: what has to be there first."""
    packer = zlib.compressobj(9, wbits=-15, memLevel=9)
    return packer.compress(data) + packer.flush()


def expandable(data):
    """A ninth shorter, as expand.c has it."""
    return lzma.compress(data, format=lzma.FORMAT_RAW, filters=[
        {'id': lzma.FILTER_LZMA1, 'preset': 9 | lzma.PRESET_EXTREME, 'lc': 3, 'lp': 0, 'pb': 0, 'nice_len': 273}])


@functools.cache  # both pages hold the same
def letters(data):
    """As page_packed.c has them."""
    bits, digits = 8 * len(data), ''.join(chr(code) for code in range(33, 127) if chr(code) not in '"<\\')
    text = []
    for at in range(0, len(data), 13 * 8):  # 64 pairs
        whole = int.from_bytes(data[at:at + 13 * 8], 'little')
        for first in range(8 * at, min(bits, 8 * (at + 13 * 8)), 13):
            high, low = divmod(whole & 8191, 91)
            text.append(digits[low] + (digits[high] if bits - first > 6 else ''))
            whole >>= 13
    return ''.join(text)


def parts(without, html, style, engine, expand, rescue, unpack, scripts):
    """The page's text, cut at the places that are filled in later: [(text, fill)]."""
    with open(engine, 'rb') as file, open(expand, 'rb') as small:
        wasm, expander = letters(expandable(file.read())), letters(deflated(small.read()))
    code = '\n'.join(lean(path) for path in scripts)
    inside = {'@WITHOUT@': without, '@STYLE@': lean_style(style), '@ENGINE@': wasm, '@EXPAND@': expander, '@RESCUE@': lean(rescue), '@UNPACK@': lean(unpack),
              '@CODE@': letters(deflated(code.encode()))}
    cut = [['', 'REPORT_PAGE_END']]
    for piece in re.split(r'(@[A-Z]+@)', read(html)):
        if piece in FILLS:
            cut[-1][1] = FILLS[piece]
            cut.append(['', 'REPORT_PAGE_END'])
        else:
            cut[-1][0] += inside.get(piece, piece)
    return cut


def literal(text):
    """C string literals, a few dozen bytes a line."""
    data = text.encode()
    plain = {ord('"'): '\\"', ord('\\'): '\\\\', ord('\n'): '\\n', ord('?'): '\\?'}
    for at in range(0, len(data), 96):
        line = ''.join(plain.get(b) or (chr(b) if 32 <= b < 127 else f'\\{b:03o}')
                       for b in data[at:at + 96])
        yield f'    "{line}"'


def main():
    out, empty, inputs = sys.argv[1], sys.argv[2:3], sys.argv[3:]
    cut = parts(WITHOUT['art'], *inputs[:6], inputs[6:]) if inputs else [['', 'REPORT_PAGE_END']]
    if inputs:
        with open(*empty, 'w', encoding='utf-8') as file:
            for text, fill in parts(WITHOUT['no art'], *inputs[:6], inputs[6:]):
                file.write(text + WITHOUT_ART[fill])
    with open(out, 'w', encoding='ascii') as file:
        file.write('/* Made by embed.py. */\n#include <report/page/page_parts.h>\n\n')
        file.write('const report_page_part report_page_parts[] = {\n')
        for text, fill in cut:
            file.write('{\n' + '\n'.join(literal(text) or ['    ""']) + ('' if text else '    ""') +
                       f',\n    {len(text.encode())}, {fill}}},\n')
        file.write(f'}};\nconst size_t report_page_part_count = {len(cut) if inputs else 0};\n')


main()
