"""Debian's clip art (packages openclipart-png and openclipart-svg, public domain): pictures that
nobody made for us. Every file is checked as a user would: it must end right (exit 0 or 1 with a list
that makes sense) or be refused with one clear line.

NARROWS_CORPUS=1 runs it; NARROWS_CORPUS=N looks at about N files in place of 420."""
import json
import math
import os
import re
import subprocess
import sys
import unittest
import xml.etree.ElementTree as ElementTree

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), '..', 'command'))

import program  # noqa: E402
from program import BAD, FITS, Case  # noqa: E402

PICTURES = '/usr/share/openclipart/png'
DRAWINGS = '/usr/share/openclipart/svg'
ASKED = os.environ.get('NARROWS_CORPUS', '')
COUNT = int(ASKED) if ASKED.isdigit() and int(ASKED) > 1 else 420
WIDE = 200.0

# Clean silhouettes: no slits or stems of a few pixels, no lines beside the filled shapes.
TWINS = ['animals/mammals/contour_baboon', 'animals/mammals/contour_beaver',
         'animals/mammals/contour_camel', 'animals/mammals/contour_elephant',
         'animals/mammals/contour_fox', 'animals/mammals/contour_giraffe',
         'animals/mammals/contour_kangaroo', 'animals/mammals/contour_orangutan',
         'animals/mammals/fawn_mo_01', 'signs_and_symbols/map_symbols/aiga_air_transportation1',
         'signs_and_symbols/map_symbols/aiga_bar1', 'signs_and_symbols/map_symbols/aiga_bar_',
         'signs_and_symbols/padlock_silhouette_a.j.__01']
# Fine slits and tips.
FINE = ['animals/mammals/contour_bat', 'animals/mammals/contour_chipmunk',
        'animals/mammals/contour_hamster', 'animals/mammals/echidna_01']
EDGE_PX = 0.1 * 2 ** 0.5  # a tenth of what a traced pixel edge allows

# Trouble is never left to chance.
TROUBLE = ['animals/mammals/echidna_01', 'signs_and_symbols/font_samples_revdoug_01',
           'geography/western-australia-outline', 'animals/bat_orlando_karam_',
           'recreation/games/cards/celtic-vine-corner_steve_01', 'shapes/arrows/arrow3-1-1',
           'signs_and_symbols/_italy__lauris_kaplinski_01']


def all_pictures():
    found = [os.path.relpath(os.path.join(folder, name), PICTURES)
             for folder, _, names in os.walk(PICTURES) for name in names if name.endswith('.png')]
    return sorted(found)


def chosen():
    """Every so many of all files, in the order of their names, and those that spell trouble."""
    found = all_pictures()
    step = max(1, len(found) // COUNT)
    return sorted(set(found[step // 2::step]) | {name + '.png' for name in TROUBLE + TWINS})


class Corpus(Case):
    def setUp(self):
        super().setUp()
        if not ASKED or ASKED == '0':
            self.skipTest('takes minutes; NARROWS_CORPUS=1 runs it')
        if not os.path.isdir(PICTURES):
            self.skipTest('the clip art of the package openclipart-png is missing')

    def drawn(self, path):
        """The art's area as a part of its box, and its outlines' length against its area, per mm."""
        result = self.run_here('check', path, '--wide', f'{WIDE}mm', '--cut', 'inside', '--bit',
                               '1mm', '--json', '-o', 'out')
        found = json.loads(result.out)
        length = 0
        for path_data in re.findall(' d="([^"]*)"', self.read('out', 'outline.svg').decode()):
            for step, numbers in re.findall('([MLCZ])([^MLCZ]*)', path_data):
                places = [float(number) for number in numbers.split()]
                to = start if step == 'Z' else places[-2:]
                length += 0 if step == 'M' else math.dist(at, to)
                start, at = (to if step == 'M' else start), to
        wide, high = found['size']
        return found['area']['cut'] / (wide * high), length / found['area']['cut']

    def test_areas_are_those_of_the_vector_twins(self):
        """Within 0.1 % for clean silhouettes. For others an edge may be off by EDGE_PX all along,
        and so may the four sides of the box that the area is measured against."""
        if not os.path.isdir(DRAWINGS):
            self.skipTest('the clip art of the package openclipart-svg is missing')
        for name in TWINS + FINE:
            with self.subTest(name):
                picture, _ = self.drawn(os.path.join(PICTURES, name + '.png'))
                drawing, edge = self.drawn(os.path.join(DRAWINGS, name + '.svg'))
                listed = self.run_here('pieces', os.path.join(PICTURES, name + '.png'), '--json')
                wide, high = json.loads(listed.out)['size']
                fine = EDGE_PX * (edge * WIDE / wide + 2 / wide + 2 / high)
                self.assertLess(abs(picture / drawing - 1), 1e-3 if name in TWINS else fine, name)

    def sane(self, result, name):
        found = json.loads(result.out)
        self.assertEqual(result.status == FITS, found['fits'], name)
        self.assertEqual(found['fits'], not found['spots'], name)
        wide, high = found['size']
        self.assertAlmostEqual(wide, WIDE, delta=0.01, msg=name)
        area = found['area']
        self.assertGreater(area['cut'], 0, name)
        self.assertLessEqual(area['cut'], wide * high * 1.0001, name)
        self.assertAlmostEqual(area['reached'] + area['unreached'], area['cut'],
                               delta=0.01 + area['cut'] * 1e-3, msg=name)
        for spot in found['spots']:
            x, y = spot['at']
            self.assertTrue(-4 <= x <= wide + 4 and -4 <= y <= high + 4, f'{name}: {spot}')
            self.assertIn(spot['form'], ('pinch', 'stub', 'miss'), name)
            if spot['form'] == 'pinch':
                self.assertLess(spot['width'], found['bit'] if spot['side'] == 'gap'
                                else found['least_neck'], f'{name}: {spot}')
        for file in ('outline.svg', 'marked.svg'):
            ElementTree.fromstring(self.read('out', file))

    def test_every_file_is_right_or_refused(self):
        refused = 0
        names = chosen()
        for name in names:
            with self.subTest(name):
                try:
                    result = self.run_here('check', os.path.join(PICTURES, name), '--wide',
                                           f'{WIDE}mm', '--cut', 'inside', '--bit', '1/8in', '--json',
                                           '-o', 'out')
                except subprocess.TimeoutExpired:
                    self.fail('takes too long')
                if result.status == BAD:
                    refused += 1
                    self.refused(result)
                    self.assertEqual(self.names(), [])
                    print(f'# {name}: {result.talk.splitlines()[-1]}', file=sys.stderr)
                else:
                    self.sane(result, name)
                    subprocess.run(['rm', '-r', self.path('out')], check=True)
        print(f'# {len(names)} files, {refused} refused', file=sys.stderr)
        self.assertGreaterEqual(len(names), COUNT)
        self.assertLess(refused, len(names) / 10)


if __name__ == '__main__':
    program.main()
