"""How closely a picture tells a width: passages of known widths, drawn as SVG and rendered by librsvg
at several sizes of a pixel, turned and moved within one, as PNG and through JPEG. Each width is as
sure as check says, and what is thinner than THIN_PX is so to a pixel.

usage: picture_widths.py NARROWS

Prints what it found; src/art/art_picture.c quotes it."""

import json
import os
import shutil
import subprocess
import sys
import tempfile

try:
    from PIL import Image
except ImportError:
    print('SKIPPED: python3-skimage is not installed')
    sys.exit(77)
if not shutil.which('rsvg-convert'):
    print('SKIPPED: librsvg2-bin is not installed')
    sys.exit(77)

NARROWS = sys.argv[1]
SIDE = 160  # mm
WIDTHS = [0.9, 1.4, 1.9, 2.3, 2.8]  # mm
PIXELS = [1.0, 0.7, 0.5, 0.35, 0.2]  # mm
TURNS = [3, 7, 23, 45]
MOVES = [0, 0.31, 0.5]
THIN_PX = 1.5


def drawing(turn, move):
    """Plates in pairs, each pair joined by a passage."""
    paths = ''.join(f'<path d="M10 {5 + 18 * i}h12v{5 - w / 2}h14v{w / 2 - 5}h12v10h-12v{w / 2 - 5}'
                    f'h-14v{5 - w / 2}h-12z"/>' for i, w in enumerate(WIDTHS))
    return (f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {SIDE} {SIDE}">'
            f'<rect width="{SIDE}" height="{SIDE}" fill="#fff"/>'
            f'<g transform="translate({50 + move * 0.37},{30 + move * 0.29}) rotate({turn})">{paths}</g></svg>')


def measured(folder, picture, pixel):
    """The widths, ascending, and to what they are said to be sure."""
    done = subprocess.run([NARROWS, 'check', picture, '--ppi', repr(25.4 / pixel), '--cut', 'inside', '--bit',
                           '3.5mm', '--neck', '0.1mm', '--dirt', '0', '--json', '-o', folder + '/out'],
                          capture_output=True, text=True, check=False)
    found = json.loads(done.stdout)
    return sorted(s['width'] for s in found['spots'] if s['form'] == 'pinch' and s['side'] == 'gap'), found['sure']


def main():
    off = {}  # by whether it is thin and the kind of file: errors in pixels
    wrong = []
    with tempfile.TemporaryDirectory() as folder:
        png, jpeg = folder + '/art.png', folder + '/art.jpg'
        for turn in TURNS:
            for move in MOVES:
                for across in (round(SIDE / pixel) for pixel in PIXELS):
                    subprocess.run(['rsvg-convert', '-w', str(across), '-o', png], check=True,
                                   input=drawing(turn, move).encode())
                    Image.open(png).convert('L').save(jpeg, quality=85)
                    pixel = SIDE / across
                    for picture in png, jpeg:
                        widths, sure = measured(folder, picture, pixel)
                        wide = [w for w in WIDTHS if w >= THIN_PX * pixel]
                        for width, true in zip(widths[-len(wide):], wide):
                            off.setdefault((False, picture[-3:]), []).append(abs(width - true) / pixel)
                            if abs(width - true) > sure:
                                wrong.append((picture[-3:], pixel, turn, move, true, width, sure))
                        if len(widths) == len(WIDTHS):
                            for width, true in zip(widths, WIDTHS[:-len(wide)]):
                                off.setdefault((True, picture[-3:]), []).append(abs(width - true) / pixel)
                                if abs(width - true) > pixel:
                                    wrong.append((picture[-3:], pixel, turn, move, true, width, 'a pixel'))
                        if len(widths) < len(wide):
                            wrong.append((picture[-3:], pixel, turn, move, widths))
    for (thin, kind), errors in sorted(off.items()):
        errors.sort()
        print(f'{kind}, {"under" if thin else "at least"} {THIN_PX} px: {len(errors)} widths, off by '
              f'{errors[len(errors) // 2]:.3f} px at the median, {errors[int(0.9 * len(errors))]:.3f} at nine '
              f'of ten, {errors[-1]:.3f} at most')
    for case in wrong:
        print('wrong:', case)
    return 1 if wrong or len(off) < 4 else 0


if __name__ == '__main__':
    sys.exit(main())
