"""Debian's clip art (packages openclipart-png and openclipart-svg, public domain): pictures that
nobody made for us. Every file is checked as a user would: it must end right (exit 0 or 1 with a list
that makes sense) or be refused with one clear line.

NARROWS_CORPUS=1 runs it; NARROWS_CORPUS=N looks at about N files in place of 420."""
import json
import os
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

# Silhouettes in black alone, at least 300 pixels large, whose picture and drawing show the same.
TWINS = ['animals/mammals/contour_camel', 'animals/mammals/fawn_mo_01']

# What CHECKS.md names as trouble is never left to chance.
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
