"""Pictures in, one SVG on standard output: six samples, each beside the outlines found in it.

usage: gallery.py SAMPLES RESULTS (as sh samples/run.sh leaves them)"""
import base64
import os
import re
import sys

PAIRS = [('heron', 'a scan, with grain and dust'), ('perch', 'a photo in uneven light'),
         ('slate', 'chalk on slate'), ('cygnets', 'pale on white'),
         ('swan', 'transparent ground'), ('kingfisher', '120 pixels')]
WIDE, HIGH, EDGE = 290, 210, 8  # a cell, and the margin within it


def frame(x, y, words):
    return (f'<rect x="{x + 2}" y="{y + 2}" width="{2 * WIDE - 4}" height="{HIGH - 4}" fill="white" '
            f'stroke="#bbbbbb"/>\n<text x="{x + WIDE}" y="{y + HIGH - 12}">{words}</text>\n')


def picture(samples, name, x, y):
    with open(os.path.join(samples, name + '.png'), 'rb') as file:
        data = base64.b64encode(file.read()).decode()
    return (f'<image x="{x + EDGE}" y="{y + EDGE}" width="{WIDE - 2 * EDGE}" '
            f'height="{HIGH - 28 - EDGE}" xlink:href="data:image/png;base64,{data}"/>\n')


def outline(results, name, x, y):
    with open(os.path.join(results, name, 'outline.svg'), encoding='utf-8') as file:
        text = file.read()
    view = re.search(r'viewBox="([^"]*)"', text).group(1)
    body = text[text.index('<g '):text.rindex('</svg>')]
    return (f'<svg x="{x + WIDE + EDGE}" y="{y + EDGE}" width="{WIDE - 2 * EDGE}" '
            f'height="{HIGH - 28 - EDGE}" viewBox="{view}">{body}</svg>\n')


def main():
    samples, results = sys.argv[1:]
    rows = (len(PAIRS) + 1) // 2
    parts = []
    for number, (name, words) in enumerate(PAIRS):
        x, y = 2 * WIDE * (number % 2), HIGH * (number // 2)
        parts += [frame(x, y, words), picture(samples, name, x, y), outline(results, name, x, y)]
    print(f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
          f'width="{4 * WIDE}" height="{rows * HIGH}" font-family="sans-serif" font-size="13" '
          f'text-anchor="middle" fill="#444444">\n{"".join(parts)}</svg>')


main()
