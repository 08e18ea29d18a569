"""Drawings in, one SVG on standard output: the boat shed as drawn and what --lines makes of it.

usage: lines_picture.py FOLDER (with as-drawn.svg, outer.svg, inner.svg and middle.svg)"""
import os
import re
import sys

MODES = ['as-drawn', 'outer', 'inner', 'middle']
WIDE, HIGH, EDGE = 350, 300, 10  # a cell, and the margin within it


def cell(folder, mode, x):
    with open(os.path.join(folder, mode + '.svg'), encoding='utf-8') as file:
        text = file.read()
    view = re.search(r'viewBox="([^"]*)"', text).group(1)
    # Curves are drawn hair-thin, for machines; here they are to be seen.
    body = text[text.index('<g '):text.rindex('</svg>')].replace('stroke-width="0.1"', 'stroke-width="0.8"')
    return (f'<svg x="{x + EDGE}" y="{EDGE}" width="{WIDE - 2 * EDGE}" height="{HIGH - 28 - EDGE}" '
            f'viewBox="{view}" overflow="visible">{body}</svg>\n'
            f'<text x="{x + WIDE / 2}" y="{HIGH - 8}">--lines {mode}</text>\n')


def main():
    cells = ''.join(cell(sys.argv[1], mode, WIDE * i) for i, mode in enumerate(MODES))
    print(f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDE * len(MODES)}" height="{HIGH}" '
          f'font-family="sans-serif" font-size="14" text-anchor="middle" fill="#444444">\n'
          f'<rect width="100%" height="100%" fill="white"/>\n{cells}</svg>')


main()
