"""narrows check as a user runs it: results, files, exit status."""
import json
import math
import os
import random
import re
import subprocess
import xml.etree.ElementTree as ElementTree

import program
from program import BAD, FILES, FITS, SPOTS, Case, counted, dumbbell, dumbbell_pixels, pgm, png, svg

INSIDE = ['--cut', 'inside', '--bit']


class Verdict(Case):
    def check(self, *arguments, **more):
        result = self.run_here('check', *arguments, '--json', **more)
        self.assertIn(result.status, (FITS, SPOTS), result.talk)
        found = json.loads(result.out)
        self.assertEqual(found['fits'], result.status == FITS)
        return found

    def test_a_bar_narrower_than_the_bit_is_a_pinch(self):
        self.write('bell.svg', dumbbell(2))
        found = self.check('bell.svg', *INSIDE, '1/8in')
        self.assertEqual(len(found['spots']), 1)
        spot = found['spots'][0]
        self.assertEqual((spot['id'], spot['side'], spot['form']), (1, 'gap', 'pinch'))
        self.assertAlmostEqual(spot['width'], 2, delta=0.005)
        self.assertAlmostEqual(spot['widen'], 3.175 - 2, delta=0.01)
        self.assertAlmostEqual(spot['at'][1], 20, delta=0.05)
        self.assertAlmostEqual(found['narrowest_gap'], 2, delta=0.005)
        self.assertIsNone(spot['depth'])
        self.assertIsNone(found['narrowest_neck'])

    def test_a_bar_as_wide_as_the_bit_fits(self):
        self.write('bell.svg', dumbbell(2))
        found = self.check('bell.svg', *INSIDE, '2mm')
        self.assertEqual(found['spots'], [])
        self.assertIsNone(found['narrowest_gap'])

    def test_outside_the_bar_is_a_neck(self):
        self.write('bell.svg', dumbbell(2))
        found = self.check('bell.svg', '--cut', 'outside', '--bit', '3mm')
        self.assertEqual([(s['side'], s['form']) for s in found['spots']], [('neck', 'pinch')])
        self.assertAlmostEqual(found['narrowest_neck'], 2, delta=0.005)

    def test_art_in_the_corner_of_its_sheet_fits(self):
        self.write('square.svg', svg('<path d="M0 0h100v100h-100z"/>', 100, 100))
        found = self.check('square.svg', *INSIDE, '1/8in', '--stock-size', '600mm,300mm')
        self.assertEqual((found['fits'], found['doubts'], found['spots']), (True, 0, []))

    def test_the_fields_are_those_of_the_contract(self):
        self.write('bell.svg', dumbbell(2))
        found = self.check('bell.svg', *INSIDE, '3mm')
        self.assertEqual(list(found), ['narrows', 'art', 'size', 'cut', 'bit', 'least_neck', 'fits',
                                       'doubts', 'not_judged', 'narrowest_gap', 'narrowest_neck', 'sure',
                                       'too_close', 'spots', 'corners', 'lifts', 'area',
                                       'islands', 'tabs', 'bridges', 'stock', 'origin', 'notes'])
        self.assertEqual(list(found['spots'][0]), ['id', 'side', 'form', 'at', 'width', 'length',
                                                   'depth', 'area', 'widen', 'left'])
        self.assertEqual(list(found['corners']), ['count', 'deepest', 'area'])
        self.assertEqual(list(found['area']), ['cut', 'reached', 'unreached'])
        self.assertEqual((found['art'], found['cut'], found['bit']), ('bell.svg', 'inside', 3))
        area = found['area']
        self.assertAlmostEqual(area['cut'], area['reached'] + area['unreached'], delta=1e-3)
        # Two discs of 40 mm and the strip between their chords; chords of curves leave them by up
        # to 0.002 mm along 330 mm of outline.
        strip = 2 * (80 - 2 * math.sqrt(20 ** 2 - 1))
        caps = 2 * (400 * math.asin(1 / 20) - math.sqrt(399))
        self.assertAlmostEqual(area['cut'], 2 * math.pi * 400 + strip - caps, delta=0.6)

    def test_a_picture_of_the_same(self):
        self.write('bell.png', png(dumbbell_pixels(bar=14)))
        found = self.check('bell.png', '--wide', '160mm', *INSIDE, '8mm')
        self.assertEqual([(s['side'], s['form']) for s in found['spots']], [('gap', 'pinch')])
        # Half a millimetre a pixel; a width of pixels is uncertain by sqrt(2) of them (Lachaud and
        # Thibert, J. Math. Imaging and Vision 54(2):162-180, 2016).
        self.assertAlmostEqual(found['spots'][0]['width'], 7, delta=0.5 * math.sqrt(2))

    def test_what_pixels_cannot_tell_is_counted_apart(self):
        self.write('bell.png', png(dumbbell_pixels(bar=14)))
        width = self.check('bell.png', '--wide', '160mm', *INSIDE, '8mm')['spots'][0]['width']
        for bit, close in [(width + 0.4, 1), (width + 1, 0)]:
            arguments = ['bell.png', '--wide', '160mm', *INSIDE, f'{bit}mm']
            found = self.check(*arguments)
            self.assertAlmostEqual(found['sure'], 0.5 * math.sqrt(2), delta=0.01)
            self.assertEqual((len(found['spots']), found['too_close']), (1, close))
            result = self.run_here('check', *arguments)
            self.assertIn('a pixel is 0.50 mm of the art', ' '.join(result.talk.split()))
            self.assertEqual('The spot is too close to tell (1)' in result.out.decode(),
                             close == 1)
            self.assertEqual(' ?\n' in result.out.decode(), close == 1)
            marked = self.read('bell-png-check', 'marked.svg').decode()
            self.assertEqual('too close to tell in this picture' in marked, close == 1)
        large = [b''.join(bytes([level]) * 3 for level in row) for row in dumbbell_pixels(bar=14) for _ in range(3)]
        self.write('large.png', png(large))
        arguments = ['large.png', '--wide', '160mm', *INSIDE, f'{width + 0.4}mm']
        found = self.check(*arguments)
        self.assertAlmostEqual(found['sure'], 0.5 * math.sqrt(2), delta=0.01)
        self.assertEqual(found['too_close'], 1)
        result = self.run_here('check', *arguments)
        self.assertIn('enlarged from a smaller picture, whose pixels are 0.50 mm of the art',
                      ' '.join(result.talk.split()))
        self.write('bells.png', png(dumbbell_pixels(bar=14) * 2))
        result = self.run_here('check', 'bells.png', '--wide', '160mm', *INSIDE, f'{width + 0.4}mm')
        self.assertIn('All 2 spots are too close to tell (1, 2): they fall short',
                      ' '.join(result.out.decode().split()))
        self.write('bell.svg', dumbbell(2))
        found = self.check('bell.svg', *INSIDE, '2.05mm')
        self.assertEqual((found['sure'], found['too_close']), (0, 0))

    def test_a_picture_in_greys_is_said_to_be_one(self):
        """A ball in the light, a spot out of focus, and the same ball as a disc; flat greys."""
        def ball(x, y):
            far = math.hypot(x - 60, y - 60)
            return 255 if far > 50 else int(255 - 4 * math.hypot(x - 75, y - 75) / 1.6)

        def blurred(x, y):
            return int(127.5 + 127.5 * math.tanh((math.hypot(x - 60, y - 60) - 40) / 2))

        def flat(x, y):
            far = math.hypot(x - 60, y - 60)
            return 255 if far > 50 else 110 if x > 60 else 0

        for level, greys in ((ball, True), (blurred, False), (flat, False)):
            self.write('ball.pgm', pgm([bytes(max(0, min(255, level(x, y))) for x in range(120))
                                        for y in range(120)]))
            found = self.check('ball.pgm', *INSIDE, '1mm', '--wide', '120mm')
            self.assertEqual(found['not_judged']['shadings'], int(greys), level)
            self.assertEqual('photograph' in ' '.join(found['notes']), greys)
            self.assertEqual(found['fits'], not greys)
            found = self.check('ball.pgm', *INSIDE, '1mm', '--wide', '120mm', '--skip-unread')
            self.assertTrue(found['fits'])
            self.assertNotIn('--skip-unread', ' '.join(found['notes']))

    def test_a_ground_that_is_not_equally_light_is_said(self):
        """A disc on paper in light that falls off, and on white paper."""
        for fall, told in ((0.6, True), (0, False)):
            rows = [bytes(int((30 if math.hypot(x - 150, y - 100) < 60 else 250) * (1 - fall * x / 300))
                          for x in range(300)) for y in range(200)]
            self.write('disc.pgm', pgm(rows))
            talk = ' '.join(self.run_here('pieces', 'disc.pgm', '-o', 'disc').talk.split())
            self.assertEqual('told apart by neighbourhood, since the ground is not equally light' in talk, told, talk)

    def test_small_pieces_that_are_lost_are_counted(self):
        """Discs whose chords hold a part in a hundred and fifty less than their curves."""
        discs = ''.join(f'<circle cx="{x}" cy="36" r=".4"/>' for x in (10, 25, 40))
        self.write('discs.svg', svg('<path d="M0,0h60v30h-60z"/>' + discs, 60, 40))
        said = self.run_here('check', 'discs.svg', '--cut', 'outside', '--bit', '2mm', '-o', 'discs')
        self.assertIn('3 whole pieces are too thin all over', ' '.join(said.text.split()))

    def test_a_screenshot_is_said_to_be_one(self):
        """Rows of small letters, of larger ones, and a few under a window's bar."""
        letters = [['1  1', '1  1', '1111', '1  1', '1  1', '1  1'], ['1   ', '1   ', '1   ', '1   ', '1   ', '1111'],
                   ['11111', '  1  ', '  1  ', '  1  ', '  1  ', '  1  '], ['1', '1', '1', '1', '1', '1'],
                   ['111', '1  ', '111', '1  ', '1  ', '111']]

        def page(rows, columns, dot, bar, figures=0):
            ink = [bytearray(b'\xff' * 80 * 4 * dot) for _ in range((rows + figures + 4) * 10 * dot)]
            for y in range(bar):
                ink[y][:] = bytes(len(ink[y]))
            for k in range((rows + figures) * columns):
                letter = letters[k * k % 7 % 5 if k < rows * columns else k % columns % 5]
                for y, x in ((y, x) for y in range(6 * dot) for x in range(len(letter[0]) * dot)):
                    if letter[y // dot][x // dot] == '1':
                        ink[(20 + k // columns * 10) * dot + y][(10 + k % columns * 7) * dot + x] = 0
            return pgm([bytes(row) for row in ink])

        for told, *what in ((True, 4, 12, 2, 0), (False, 4, 12, 8, 0), (False, 4, 8, 2, 0),
                            (True, 4, 8, 2, 12), (True, 5, 12, 2, 0, 9), (False, 3, 12, 2, 0, 9)):
            self.write('page.pgm', page(*what))
            talk = self.run_here('pieces', 'page.pgm').talk
            self.assertEqual('looks like a screenshot' in talk, told, (what, talk))
            refused = self.run_here('check', 'page.pgm', *INSIDE, '1mm', '--wide', '200mm', '--max-points', '99')
            self.refused(refused, 'crop it to its art' if told else 'simplify it')
        # Labels have less ink than the drawing that they name; much text is a page whatever is beside it.
        for told, rows, block in ((True, 5, 0), (False, 5, 120), (True, 25, 120)):
            head, _, grey = page(rows, 12, 2, 0).partition(b'255\n')
            wide = int(head.split()[1])
            ink = [grey[at:at + wide] for at in range(0, len(grey), wide)]
            ink += [b'\xff' * 20 + bytes(block) + b'\xff' * (wide - 20 - block)] * block
            self.write('page.pgm', pgm(ink))
            talk = self.run_here('pieces', 'page.pgm').talk
            self.assertEqual('looks like a screenshot' in talk, told, (rows, block, talk))
        # A page on its side, and a line by itself, no higher than 24 pixels and of 16 letters.
        for told, turned, *what in ((True, True, 5, 12, 2, 0), (False, True, 3, 12, 2, 0), (True, False, 2, 20, 2, 0),
                                    (True, True, 2, 20, 2, 0), (False, False, 2, 15, 2, 0), (False, False, 2, 20, 5, 0)):
            first, _, grey = page(*what).partition(b'255\n')
            wide = int(first.split()[1])
            rows = [grey[at:at + wide] for at in range(0, len(grey), wide)]
            if what[0] == 2: # without the second row
                rows = rows[:28 * what[2]]
            rows = [bytes(row) for row in zip(*reversed(rows))] if turned else rows
            self.write('page.pgm', pgm(rows))
            talk = self.run_here('pieces', 'page.pgm').talk
            self.assertEqual('looks like a screenshot' in talk, told, (turned, what, talk))

    def test_the_note_on_ink_has_two_lines_at_most(self):
        """Five colours on white paper, framed by the first, on clear ground: the longest that it can say."""
        colours = ((200, 0, 0), (0, 120, 0), (0, 0, 200), (230, 190, 0), (120, 0, 120))

        def pixel(x, y):
            if min(x, y, 219 - x, 99 - y) < 6:
                return (255, 255, 255, 0)
            if min(x, y, 219 - x, 99 - y) < 8:
                return (*colours[0], 255)
            inside = 30 <= y < 70 and 10 <= x < 210 and 8 < (x - 10) % 40 < 26
            return (*(colours[(x - 10) // 40] if inside else (255, 255, 255)), 255)

        self.write('bars.png', program.png_of([bytes(v for x in range(220) for v in pixel(x, y)) for y in range(100)],
                                              colour=6))
        err = self.run_here('pieces', 'bars.png').err.decode()
        note = re.search(r'narrows: the ink is all but paper.*?(?=\nnarrows|\Z)', err.strip(), re.S)[0]
        self.assertLessEqual(len(note.splitlines()), 2, note)
        self.assertIn('--ink alpha takes all', ' '.join(note.split()))

    def test_notes_have_two_lines_at_most(self):
        """A noisy picture of few pixels, and a drawing of effects with long names."""
        grain = random.Random(1)
        self.write('noisy.pgm', pgm([bytes(max(0, min(255, int((60 if math.hypot(x - 200, y - 200) < 150 else 200)
                                                               + grain.gauss(0, 30)))) for x in range(400))
                                     for y in range(400)]))
        masked = ''.join(f'<g id="a-mask-of-the-name-{k}" mask="url(#m)"><path d="M{k}0 5h8v8h-8z"/></g>'
                         for k in range(6))
        self.write('masked.svg', svg(masked + masked.replace('mask', 'filter'), 100, 100))
        for name, *size in (('noisy.pgm', '--wide', '200mm'), ('masked.svg',)):
            notes = re.split(r'\n(?=narrows: )', self.run_here('check', name, *size, *INSIDE, '3mm').err.decode().strip())
            self.assertTrue(any('with noise' in note or 'not applied' in note for note in notes), notes)
            self.assertEqual([note for note in notes if len(note.splitlines()) > 2], [])

    def test_what_was_not_judged_is_in_the_verdict(self):
        square, text = '<path d="M5 5h40v40h-40z"/>', '<text x="5" y="70">Row</text>'
        self.write('sign.svg', svg(square + text, 100, 100))
        found = self.check('sign.svg', *INSIDE, '3mm')
        self.assertEqual((found['fits'], found['spots'], found['not_judged']['texts']),
                         (False, [], 1))
        self.assertIn('1,doubt,text', self.read('sign-svg-check', 'spots.csv').decode())
        result = self.run_here('check', 'sign.svg', *INSIDE, '3mm')
        self.assertEqual(result.status, SPOTS)
        self.assertIn('Fits, but 1 lettering was not judged', ' '.join(result.text.split()))
        self.assertIn('--skip-unread does without', result.talk)
        found = self.check('sign.svg', *INSIDE, '3mm', '--skip-unread')
        self.assertTrue(found['fits'])
        notes = ' '.join(found['notes'])
        self.assertIn('1 text is not outlines and is left out', notes)
        self.assertNotIn('--skip-unread', notes)
        rules = '<style>path:nth-child(2n) { fill: none } text:not(.a) { fill: none }</style>'
        self.write('styled.svg', svg(rules + square, 100, 100))
        result = self.run_here('check', 'styled.svg', *INSIDE, '3mm')
        self.assertEqual(result.status, SPOTS)
        self.assertIn('Fits, but 1 style rule was not judged', ' '.join(result.text.split()))
        self.assertIn('1 rule of the style sheet is of a kind that is not read', ' '.join(result.talk.split()))
        self.assertEqual(self.check('styled.svg', *INSIDE, '3mm')['not_judged']['style_rules'], 1)
        self.assertIn('1,doubt,rule', self.read('styled-svg-check', 'spots.csv').decode())
        self.assertTrue(self.check('styled.svg', *INSIDE, '3mm', '--skip-unread')['fits'])
        self.write('text.svg', svg(text, 100, 100))
        result = self.run_here('check', 'text.svg', *INSIDE, '3mm')
        self.assertEqual(result.status, BAD)
        self.assertIn('or take its picture', result.talk)

    def test_the_least_neck(self):
        self.write('bell.svg', dumbbell(2))
        for options, neck, words in [([], 3, 'as wide as the bit'),
                                     (['--stock', '6mm'], 6, 'as thick as the stock'),
                                     (['--stock', '1mm'], 3, 'as wide as the bit'),
                                     (['--stock', '6mm', '--neck', '1mm'], 1, 'least neck 1 mm')]:
            self.assertEqual(self.check('bell.svg', *INSIDE, '3mm', *options)['least_neck'], neck)
            table = self.run_here('check', 'bell.svg', *INSIDE, '3mm', *options).text
            self.assertIn(words, ' '.join(table.split()))

    def test_numbers_of_crowded_parts_cover_nothing(self):
        """Enlarged as much as they need: three times does not do for these."""
        dots = ''.join(f'<rect x="{10 + 1.05 * k}" y="{70 + 1.05 * row}" width="0.4" height="0.4"/>'
                       for k in range(16) for row in range(5))
        self.write('dots.svg', svg(f'<rect width="100" height="60"/>{dots}', 100, 75))
        self.run_here('check', 'dots.svg', *INSIDE, '3mm', '--neck', '0.3mm', '-o', 'out')
        drawn = self.read('out/details.svg').decode()
        self.assertIn(re.findall('enlarged [0-9]+ : 1', drawn), [['enlarged 5 : 1'], ['enlarged 10 : 1']])
        numbers = 0
        for window in drawn.split('<svg x=')[2:]:
            def corner(name, of):
                return float(re.search(f' {name}="([-0-9.]+)"', of)[1])
            boxes = [[corner(name, box) for name in ('x', 'y', 'width', 'height')]
                     for box in re.findall('<rect [^>]*fill="#ffffff"/>', window)]
            marks = [[corner('cx', mark) - corner('r', mark), corner('cy', mark) - corner('r', mark),
                      2 * corner('r', mark), 2 * corner('r', mark)]
                     for mark in re.findall('<circle [^>]*r="0.6"[^>]*/>', window)]
            numbers += len(boxes)
            for i, (x, y, wide, high) in enumerate(boxes):
                for left, top, width, height in boxes[:i] + marks:
                    self.assertFalse(x < left + width and left < x + wide and y < top + height and top < y + high)
        self.assertGreater(numbers, 30)

    def test_no_leader_runs_far_over_the_art(self):
        """Below a row there is room for some balloons; the others lie in the plain art above it, not beyond."""
        row = ''.join(f'<rect x="{15 + 2 * k}" y="56" width="1.24" height="3"/>' for k in range(30))
        self.write('row.svg', svg(f'<rect width="90" height="50"/>{row}', 90, 59))
        self.run_here('check', 'row.svg', *INSIDE, '3mm', '-o', 'out')
        drawn = self.read('out/marked.svg').decode()
        corners = [[tuple(map(float, place)) for place in re.findall('([-0-9.]+) ([-0-9.]+)', path)]
                   for path in re.findall('<path fill="#ddf0fb"[^>]* d="([^"]*)"', drawn)]
        low, *_, high = next(sorted(places) for places in corners
                             if max(places)[0] - min(places)[0] > 89)
        leaders = re.findall('<g id="leader-[0-9]+">(.*?)</g>', drawn, re.DOTALL)
        self.assertEqual(len(leaders), 30)
        for leader in leaders:
            over = 0
            for line in re.findall('x1="([-0-9.]+)" y1="([-0-9.]+)" x2="([-0-9.]+)" y2="([-0-9.]+)"[^>]*#000000', leader):
                x1, y1, x2, y2 = map(float, line)
                parts = [(x1 + (x2 - x1) * (k + 0.5) / 200, y1 + (y2 - y1) * (k + 0.5) / 200) for k in range(200)]
                inside = sum(low[0] < x < high[0] and low[1] < y < high[1] for x, y in parts)
                over += math.hypot(x2 - x1, y2 - y1) * inside / 200
            self.assertLess(over, 20)

    def test_crowded_spots_share_leaders(self):
        """A crowd in a corner, with one way out: each has a balloon, and those in stacks are enlarged with their numbers."""
        slots = ''.join(f'M{4 + 3 * (k % 7)} {4 + 3.4 * (k // 7)}h1.2v2.4h-1.2z' for k in range(42))
        self.write('crowd.svg', svg(f'<path fill-rule="evenodd" d="M0 0H120V80H0ZM2 2V28H27V2Z"/><path d="{slots}"/>', 120, 80))
        self.run_here('check', 'crowd.svg', *INSIDE, '3mm', '-o', 'out')
        drawn, details = self.read('out/marked.svg').decode(), self.read('out/details.svg').decode()
        self.assertEqual(drawn.count('<g id="balloon-'), 30)
        guests = re.findall('<g id="leader-([0-9]+)">[^g]*?</g>\\s*<circle [^>]*r="0.45"', drawn)
        self.assertGreater(len(guests), 5)
        for guest in guests:
            self.assertIn(f'>{guest}<', details[:details.index('at x, y')])

    def test_what_tips_may_lose_is_said(self):
        # As above but upright on a square of 30 mm: by default 4 % of the art's greatest extent, which is aslant.
        self.write('spike.svg', svg('<path d="M0 70H30V40H18L15 30L12 40H0Z"/>', 30, 70))
        for accepted, most in ([], 0.04 * math.hypot(40, 15)), (['--blunt', '3mm'], 3):
            words = ' '.join(self.run_here('check', 'spike.svg', *INSIDE, '1mm', *accepted).text.split())
            found = re.search(r'by ([0-9.]+) mm at most; tips may lose ([0-9.]+) mm\.', words)
            self.assertTrue(found, words)
            self.assertLessEqual(float(found[1]), float(found[2]))
            self.assertAlmostEqual(float(found[2]), most, delta=0.006)
        self.write('square.svg', svg('<path d="M0 0H30V30H0Z"/>', 30, 30))
        self.assertNotIn('tips may', self.run_here('check', 'square.svg', *INSIDE, '1mm').text)

    def test_blunt_tells_tips_from_legs(self):
        # A wedge of 20 degrees on a disc: its tip is 3.175/2 (1/sin(10°) - 1) = 7.55 mm deep.
        wedge = '<path d="M 60 10 L 53 49.7 A 20 20 0 1 0 67 49.7 Z"/>'
        self.write('drop.svg', svg(wedge, 120, 100))
        few = self.check('drop.svg', *INSIDE, '1/8in', '--blunt', '10mm')
        self.assertEqual((few['spots'], few['corners']['count'] > 0), ([], True))
        self.assertAlmostEqual(few['corners']['deepest'], 7.55, delta=0.05)
        for accepted in [], ['--blunt', '5mm']:
            many = self.check('drop.svg', *INSIDE, '1/8in', *accepted)
            self.assertEqual([s['form'] for s in many['spots']], ['stub'])
        none = self.check('drop.svg', *INSIDE, '1/8in', '--blunt', '0')
        self.assertEqual(none['corners']['count'], 0)
        words = self.run_here('check', 'drop.svg', *INSIDE, '1/8in', '--blunt', '10mm').text
        self.assertTrue(words.startswith('Fits; 1 tip comes out blunter, by 7.5'), words)


class Size(Case):
    def size(self, *arguments):
        result = self.run_here('check', *arguments, *INSIDE, '1mm', '--json', '-o', 'out')
        self.assertIn(result.status, (FITS, SPOTS), result.talk)
        return json.loads(result.out)['size'], result

    def test_size_is_that_of_the_art_not_of_the_page(self):
        self.write('bell.png', png(dumbbell_pixels()))
        size, _ = self.size('bell.png', '--wide', '4.5in')
        self.assertAlmostEqual(size[0], 114.3, delta=0.02)
        root = ElementTree.fromstring(self.read('out', 'outline.svg'))
        self.assertTrue(root.get('width').endswith('mm'))
        self.assertAlmostEqual(float(root.get('width')[:-2]), 114.3, delta=0.02)
        size, _ = self.size('bell.png', '--high', '50')
        self.assertAlmostEqual(size[1], 50, delta=0.02)

    def test_size_is_that_of_what_is_kept(self):
        body = '<rect width="10" height="10"/><rect x="50" width="30" height="20"/>'
        self.write('two.svg', svg(body))
        size, _ = self.size('two.svg', '--keep', '1')
        self.assertEqual(size, [30, 20])
        size, _ = self.size('two.svg', '--drop', '1', '--wide', '77mm')
        self.assertEqual(size, [77, 77])

    def test_a_drawing_has_its_own_size(self):
        self.write('bell.svg', dumbbell())
        size, _ = self.size('bell.svg')
        self.assertAlmostEqual(size[0], 120, delta=1e-3)
        self.assertAlmostEqual(size[1], 40, delta=1e-3)

    def test_the_picture_may_state_its_size(self):
        self.write('bell.png', png(dumbbell_pixels(), ppi=254))
        size, result = self.size('bell.png')
        self.assertAlmostEqual(size[0], 32, delta=0.1)
        self.assertIn('254', result.talk)
        size, _ = self.size('bell.png', '--ppi', '127')
        self.assertAlmostEqual(size[0], 64, delta=0.2)

    def test_an_absurd_size_is_said(self):
        self.write('bell.png', png(dumbbell_pixels(), ppi=3))
        _, result = self.size('bell.png')
        self.assertIn('--wide', result.talk)

    def test_without_a_size_it_says_what_to_add(self):
        self.write('bell.png', png(dumbbell_pixels()))
        self.refused(self.run_here('check', 'bell.png', *INSIDE, '1mm'), '--wide')
        self.assertEqual(self.names(), ['bell.png'])

    def test_contradicting_sizes_are_refused(self):
        self.write('bell.svg', dumbbell())
        self.refused(self.run_here('check', 'bell.svg', '--wide', '90mm', '--high', '90mm', *INSIDE,
                                   '1mm'), '--high')
        self.refused(self.run_here('check', 'bell.svg', '--wide', '9mm', '--ppi', '90', *INSIDE,
                                   '1mm'), '--ppi')
        size, _ = self.size('bell.svg', '--wide', '60mm', '--high', '20mm')
        self.assertAlmostEqual(size[0], 60, delta=1e-3)

    def test_turn_and_mirror(self):
        self.write('flag.svg', svg('<path d="M0 0 H40 V10 H10 V30 H0 Z"/>'))
        size, _ = self.size('flag.svg', '--turn', '90', '--wide', '60mm')
        self.assertAlmostEqual(size[0], 60, delta=1e-6)
        self.assertAlmostEqual(size[1], 80, delta=1e-6)
        for mirror, wide_top in ([], True), (['--mirror'], True):
            size, _ = self.size('flag.svg', *mirror)
            outline = self.read('out', 'outline.svg').decode()
            self.assertEqual(size, [40, 30])
            self.assertEqual('M 40' in outline or ' 40,' in outline or '40 ' in outline, wide_top)

    def test_smooth_is_a_length(self):
        self.write('bell.png', png(dumbbell_pixels()))
        _, plain = self.size('bell.png', '--wide', '160mm', '--verbose')
        for most in 0.5, 2:
            _, smooth = self.size('bell.png', '--wide', '160mm', '--smooth', f'{most}mm', '--verbose')
            for result, least in (plain, 1.0), (smooth, most):
                found = re.search(r"within ([0-9.]+) mm of the pixels' boundary", result.talk)
                self.assertTrue(found, result.talk)
                self.assertLessEqual(float(found.group(1)), least)
        for name, most in ('boat-shed', '0.05'), ('kingfisher', '0.5'), ('heron', '0.02'):
            art = os.path.join(program.SAMPLES, f'{name}.png')
            result = self.run_here('outline', art, '--wide', '150mm', '--smooth', f'{most}mm',
                                   '-o', 'smooth.svg', '--verbose')
            found = re.search(r"within ([0-9.]+) mm of the picture's edges", result.talk)
            self.assertLessEqual(float(found.group(1)), float(most))
            self.assertNotIn('too coarse', result.talk)
        _, finer = self.size('bell.png', '--wide', '160mm', '--smooth', '0.01mm')
        self.assertIn('the pixels are too coarse for --smooth', finer.talk)


class Files(Case):
    def test_five_files_and_no_more(self):
        self.write('bell.svg', dumbbell())
        result = self.run_here('check', 'bell.svg', *INSIDE, '3mm')
        self.assertEqual(result.status, SPOTS, result.talk)
        self.assertEqual(self.names(), ['bell-svg-check', 'bell.svg'])
        self.assertEqual(self.names('bell-svg-check'), FILES)
        for name in FILES:
            self.assertGreater(len(self.read('bell-svg-check', name)), 100 if name != 'spots.csv' else 40)
        for name in 'outline.svg', 'marked.svg':
            ElementTree.fromstring(self.read('bell-svg-check', name))
        self.assertEqual(self.read('bell-svg-check', 'spots.csv').decode().count('\n'), 2)
        self.assertIn('bell', result.text.splitlines()[-1])

    def test_json_is_the_file(self):
        self.write('bell.svg', dumbbell())
        result = self.run_here('check', 'bell.svg', *INSIDE, '3mm', '--json', '-o', 'there')
        self.assertEqual(result.out, self.read('there', 'spots.json'))

    def test_results_are_data_and_messages_are_talk(self):
        self.write('bell.png', png(dumbbell_pixels()))
        arguments = ['check', 'bell.png', '--wide', '160mm', *INSIDE, '8mm']
        result = self.run_here(*arguments)
        self.assertIn('pinch', result.text)
        self.assertNotIn('narrows: ', result.text)
        self.assertIn('narrows: stock needed', result.talk)
        self.assertNotIn('Otsu', result.talk)
        verbose = self.run_here(*arguments, '--verbose')
        self.assertEqual(verbose.text, result.text)
        self.assertRegex(verbose.talk, 'narrows: dark ink on light paper, .*Otsu')
        notes = json.loads(self.run_here(*arguments, '--json').text)['notes']
        self.assertEqual(''.join(f'narrows: {note}\n' for note in notes), verbose.talk)
        quiet = self.run_here(*arguments, '--quiet')
        self.assertEqual((quiet.status, quiet.out, quiet.err), (SPOTS, b'', b''))
        both = self.run_here(*arguments, '--quiet', '--json')
        self.assertEqual((both.out[:1], both.err), (b'{', b''))

    def test_the_table_keeps_to_80_columns(self):
        self.write('bell.svg', dumbbell())
        self.keeps_to_80_columns(self.run_here('check', 'bell.svg', *INSIDE, '3mm').text)

    def test_notes_follow_in_two_lines_each_at_most(self):
        for name in 'sign', 'heron', 'badge', 'slate', 'eight':
            art = os.path.join(program.SAMPLES, f'{name}.png')
            result = self.run_here('check', art, '--wide', '120mm', *INSIDE, '1/4in', '-o', name,
                                   '--verbose')
            self.assertRegex(result.text, '^(Fits|Does not fit|Too thin|Not sure)')
            lines = result.err.decode().splitlines()
            self.assertTrue(lines[0].startswith('narrows: '), lines)
            for number, line in enumerate(lines):
                self.assertLessEqual(program.columns(line), 80, line)
                if number > 1:  # of three lines that follow each other one begins a note
                    self.assertTrue(any(line.startswith('narrows: ')
                                        for line in lines[number - 1:number + 1]), lines)

    def test_what_is_lost_as_a_whole_has_its_name(self):
        sign = os.path.join(program.SAMPLES, 'sign.png')
        for cut, fate in ('inside', 'not cut at all'), ('outside', 'too thin all over'):
            text = self.run_here('check', sign, '--wide', '120mm', '--cut', cut, '--bit', '8mm',
                                 '-o', cut).text
            self.assertRegex(' '.join(text.split()), rf'(The lettering \(20 pieces\)|letters) (is|are) '
                                                     rf'{fate}\. The frame is {fate}\.')

    def keeps_to_80_columns(self, text):
        for line in text.splitlines():
            if not line.startswith('   narrows '):  # commands stay whole, to be copied
                self.assertLessEqual(len(line), 80, line)

    def test_inches_are_for_readers(self):
        self.write('art.svg', dumbbell(2))
        options = ['art.svg', '--cut', 'inside', '--bit', '1/8in']
        self.run_here('check', *options, '-o', 'plain')
        result = self.run_here('check', *options, '--inch', '-o', 'inch')
        self.assertIn('0.1250 in (1/8) bit', result.text)
        self.assertIn(' 0.0787 (5/64) ', result.text)
        self.assertIn(' 4.7244 in (4 23/32 + 0.0057) x 1.5748 in', ' '.join(result.text.split()))
        self.assertNotIn(' mm', result.text.replace("'2 mm'", 'a bit by its own name'))
        self.keeps_to_80_columns(result.text)
        for name in FILES:
            plain, inch = self.read('plain', name), self.read('inch', name)
            if name == 'spots.json':  # but for what it says in words
                plain, inch = ({**json.loads(text), 'notes': []} for text in (plain, inch))
            same = plain == inch
            self.assertEqual(same, name not in ('marked.svg', 'marked.pdf', 'page.html'), name)
        result = self.run_here('check', '--each', *options, '--inch', '-o', 'each')
        self.assertIn('least in', result.text)
        self.assertIn(b'0.0787 in (5/64', self.read('each', 'index.html'))

    def test_names_of_folders(self):
        for name, folder in [('a.b.svg', 'a.b-svg-check'), ('plain', 'plain-check'),
                             ('.svg', '.svg-check'), ('a.b', 'a-b-check')]:
            self.write(name, dumbbell())
            self.assertEqual(self.run_here('check', name, *INSIDE, '1mm').status, FITS)
            self.assertEqual(self.names(folder), FILES)
        os.mkdir(self.path('sub'))
        os.rename(self.path('a.b.svg'), self.path('sub', 'c.svg'))
        self.run_here('check', os.path.join('sub', 'c.svg'), *INSIDE, '1mm')
        self.assertEqual(self.names('sub', 'c-svg-check'), FILES)

    def test_what_cannot_be_written_is_refused_before_any_work(self):
        self.write('art', b'no art at all, which would be told first')
        os.mkdir(self.path('there'))
        for command, output, word in (
                ('check', 'missing/out', 'make the one'), ('check', 'art', 'is a file'),
                ('bits', 'missing/out', 'make the one'), ('sizes', 'art/out', 'Not a directory'),
                ('widen', 'missing/out.svg', 'make the folder'), ('outline', 'there.svg', 'is a folder'),
                ('outline', 'missing/a.dxf', 'make the folder'), ('pieces', 'missing/a', 'make the one')):
            with self.subTest(command=command, output=output):
                os.makedirs(self.path('there.svg'), exist_ok=True)
                cut = [] if command in ('outline', 'pieces') else [*INSIDE[:2]]
                bit = [] if command in ('outline', 'pieces', 'bits') else ['--bit', '1mm']
                self.refused(self.run_here(command, 'art', *cut, *bit, '-o', output), word)
                self.assertEqual(self.names(), ['art', 'there', 'there.svg'])

    def test_standard_input(self):
        for data, more in [(dumbbell(), []), (png(dumbbell_pixels()), ['--wide', '160mm']),
                           (pgm(dumbbell_pixels()), ['--wide', '160mm'])]:
            result = self.run_here('check', '-', *more, *INSIDE, '1mm', data=data)
            self.assertEqual(result.status, FITS, result.talk)
            self.assertEqual(self.names('narrows-check'), FILES)

    def test_a_folder_that_is_there_keeps_other_files(self):
        self.write('bell.svg', dumbbell())
        os.mkdir(self.path('bell-svg-check'))
        self.write('bell-svg-check/mine.txt', b'mine')
        self.run_here('check', 'bell.svg', *INSIDE, '1mm')
        self.assertEqual(self.names('bell-svg-check'), sorted([*FILES, 'mine.txt']))

    def test_no_result_of_an_earlier_run_stays(self):
        self.write('bell.svg', dumbbell())
        self.run_here('check', 'bell.svg', *INSIDE, '1mm')
        self.write('bell-svg-check/fixed.svg', b'of another command')
        result = self.run_here('check', 'bell.svg', *INSIDE, '1mm', '--wide', '5000mm')
        self.assertEqual(result.status, FITS, result.talk)
        left = [name for name in FILES if name != 'marked.pdf']  # it would take too many sheets
        self.assertEqual(self.names('bell-svg-check'), sorted([*left, 'fixed.svg']))

    def test_all_or_nothing(self):
        self.write('bell.svg', dumbbell())
        os.makedirs(self.path('out', 'spots.csv'))
        self.write('out/outline.svg', b'old')
        self.refused(self.run_here('check', 'bell.svg', *INSIDE, '1mm', '-o', 'out'), 'spots.csv')
        self.assertEqual(self.names('out'), ['outline.svg', 'spots.csv'])
        self.assertEqual(self.read('out', 'outline.svg'), b'old')

    def test_the_art_is_never_overwritten(self):
        os.mkdir(self.path('art'))
        self.write('art/outline.svg', dumbbell())
        for folder in 'art', './art/':
            result = self.run_here('check', 'art/outline.svg', *INSIDE, '1mm', '-o', folder)
            self.refused(result, 'overwritten')
            self.assertEqual(self.read('art', 'outline.svg'), dumbbell())
            self.assertEqual(self.names('art'), ['outline.svg'])

    def test_a_full_device_is_an_error(self):
        self.write('bell.svg', dumbbell())
        if not os.path.exists('/dev/full'):
            self.skipTest('no /dev/full here')
        with open('/dev/full', 'wb') as full:
            done = subprocess.run([program.NARROWS, 'check', 'bell.svg', *INSIDE, '1mm'],
                                  cwd=self.folder, stdout=full, stderr=subprocess.PIPE, check=False)
        self.assertEqual(done.returncode, BAD)
        self.assertIn(b'standard output', done.stderr)


class Repeatable(Case):
    def files(self, folder, *arguments, **more):
        result = self.run_here('check', *arguments, '-o', folder, **more)
        self.assertIn(result.status, (FITS, SPOTS), result.talk)
        table = result.text.replace(f'Written to {folder}\n', '').replace(f' -o {folder}-', ' -o ')
        return [table, result.talk] + [self.read(folder, name) for name in FILES]

    def art(self):
        """A row of teeth: many spots, many corners, several pieces."""
        teeth = ''.join(f'<path d="M{10 * i} 0 h9 l-{3 + i % 4} {20 + i} h-2 z"/>'
                        for i in range(40))
        self.write('teeth.svg', svg(teeth, 400, 80))
        return ['teeth.svg', *INSIDE, '3mm']

    def test_two_runs_and_any_threads_give_the_same_bytes(self):
        arguments = self.art()
        first = self.files('a', *arguments)
        self.assertEqual(first, self.files('b', *arguments))
        for threads in '1', '2', '5':
            self.assertEqual(first, self.files('c', *arguments, '--threads', threads))

    @counted
    def test_the_locale_changes_nothing(self):
        made = subprocess.run(['localedef', '-i', 'de_DE', '-f', 'UTF-8', self.path('de_DE.UTF-8')],
                              capture_output=True, check=False)
        if made.returncode > 1:  # 1: made, with warnings
            self.skipTest('localedef cannot make a locale with a decimal comma here')
        comma = {'LOCPATH': self.folder, 'LC_ALL': 'de_DE.UTF-8'}
        arguments = self.art()
        self.assertEqual(self.files('a', *arguments),
                         self.files('b', *arguments, environment=comma))


if __name__ == '__main__':
    program.main()
