"""narrows pieces, and --keep, --drop and --dirt in every command."""
import json
import os
import re
import xml.etree.ElementTree as ElementTree

import program
from program import BAD, FITS, Case, glass_and_dot, pixels, png, svg

# Width and height in pixels of blocks on a page of 300 by 100, from their left upper corners.
BLOCKS = {(20, 10): (100, 80), (140, 30): (60, 40), (220, 20): (30, 30), (260, 70): (2, 2)}


def blocks():
    def is_ink(x, y):
        return any(left <= x < left + wide and top <= y < top + high
                   for (left, top), (wide, high) in BLOCKS.items())
    return png(pixels(300, 150, is_ink))


def squares():
    return svg('<rect width="10" height="10"/><rect x="20" y="5" width="20" height="20"/>'
               '<path fill-rule="evenodd" d="M50 0h30v30h-30z M55 5h20v20h-20z"/>', 100, 40)


class Pieces(Case):
    def test_a_speck_of_one_pixel(self):
        self.write('speck.png', png(pixels(300, 100, lambda x, y: y > 40 and x > 40 or int(x) == int(y) == 9)))
        self.assertIn('dropped 1 speck of dirt, the largest 1 pixel; --dirt 0 keeps it',
                      ' '.join(self.run_here('pieces', 'speck.png').talk.replace('narrows:', '').split()))

    def list(self, *arguments):
        result = self.run_here('pieces', *arguments, '--json')
        self.assertEqual(result.status, FITS, result.talk)
        return json.loads(result.out)

    def test_pieces_of_a_picture(self):
        self.write('blocks.png', blocks())
        found = self.list('blocks.png')
        self.assertEqual(list(found), ['narrows', 'art', 'unit', 'size', 'pieces'])
        self.assertEqual(found['unit'], 'px')
        rows = found['pieces']
        self.assertEqual(list(rows[0]), ['number', 'at', 'size', 'area', 'holes', 'guess', 'kept'])
        self.assertEqual([row['number'] for row in rows], [1, 2, 3, 4])
        self.assertEqual([row['size'] for row in rows], [[100, 80], [60, 40], [30, 30], [2, 2]])
        self.assertEqual([row['area'] for row in rows], [8000, 2400, 900, 4])
        self.assertEqual([row['kept'] for row in rows], [True, True, True, False])
        self.assertEqual(rows[3]['guess'], 'speck')
        # From the lower left corner of what is kept, y up: the largest block's.
        self.assertEqual(rows[0]['at'], [50, 40])
        self.assertEqual(rows[2]['at'], [215, 55])

    def test_a_lattice_is_no_lettering_and_a_sign_has_some(self):
        shutter = self.list(os.path.join(program.SAMPLES, 'shutter.png'))['pieces']
        self.assertEqual({row['guess'] for row in shutter}, {'art'})
        sign = self.list(os.path.join(program.SAMPLES, 'sign.png'), '--drop', 'lettering')
        self.assertEqual([row['guess'] for row in sign['pieces'] if row['kept']], ['art', 'frame'])
        self.assertEqual(sum(row['guess'] == 'lettering' for row in sign['pieces']), 20)

    def test_a_size_makes_millimetres(self):
        self.write('blocks.png', blocks())
        found = self.list('blocks.png', '--wide', '115mm')
        self.assertEqual(found['unit'], 'mm')
        self.assertAlmostEqual(found['size'][0], 115, delta=0.02)
        self.assertAlmostEqual(found['pieces'][0]['area'], 2000, delta=40)

    def test_a_piece_is_as_large_as_its_outline(self):
        heron = os.path.join(program.SAMPLES, 'heron.png')
        found = self.list(heron, '--wide', '360mm')
        self.assertEqual(found['pieces'][0]['size'][0], 360)
        self.assertEqual(found['pieces'][0]['size'], found['size'])
        self.assertRegex(self.run_here('pieces', heron, '--verbose').talk,
                         'tips are drawn out by up to [0-9.]+ mm')

    def test_pieces_of_a_drawing(self):
        self.write('squares.svg', squares())
        rows = self.list('squares.svg')['pieces']
        self.assertEqual([row['area'] for row in rows], [500, 400, 100])
        self.assertEqual([row['holes'] for row in rows], [1, 0, 0])
        self.assertEqual([row['at'] for row in rows], [[65, 15], [30, 15], [5, 25]])
        small = self.list('squares.svg', '--dirt', '200mm2')
        self.assertEqual([row['kept'] for row in small['pieces']], [True, True, False])
        self.assertEqual(small['size'], [60, 30])

    def test_the_table(self):
        self.write('blocks.png', blocks())
        lines = self.run_here('pieces', 'blocks.png').text.splitlines()
        self.assertEqual(len(lines), 5)
        self.assertEqual(lines[1].split(), ['1', '100', '80', '8000', '0', 'art', 'kept'])
        self.assertEqual(lines[4].split(), ['4', '2', '2', '4', '0', 'speck', 'dropped'])
        for line in lines:
            self.assertLessEqual(len(line), 80)

    def test_keep_and_drop(self):
        self.write('blocks.png', blocks())
        for arguments, kept in [(['--keep', '2-3'], [2, 3]), (['--drop', '1'], [2, 3]),
                                (['--keep', '1-3', '--drop', '2'], [1, 3]),
                                (['--keep', 'art'], [1, 2, 3]), (['--keep', 'speck,1'], [1, 4])]:
            rows = self.list('blocks.png', *arguments)['pieces']
            self.assertEqual([row['number'] for row in rows if row['kept']], kept)
            self.assertEqual(len(rows), 4)
        self.refused(self.run_here('pieces', 'blocks.png', '--drop', 'art'))

    def test_what_is_dropped_changes_no_outline_of_the_others(self):
        self.write('glass.png', png(glass_and_dot()))
        sure, dots = [], []
        for folder, drop in (('whole', ()), ('dot', ('--drop', '1'))):
            self.run_here('check', '--cut', 'inside', '--bit', '1mm', '--ppi', '100', *drop, '-o', folder, 'glass.png')
            sure.append(json.loads(self.read(folder, 'spots.json'))['sure'])
            paths = ElementTree.fromstring(self.read(folder, 'outline.svg')).iter('{http://www.w3.org/2000/svg}path')
            rings = [ring for path in paths for ring in path.get('d').split('M') if ring]
            places = [[float(number) for number in re.findall(r'-?[\d.]+', ring)] for ring in rings]
            dots.append([[number - numbers[k % 2] for k, number in enumerate(numbers)] for numbers in places])
        self.assertEqual(sure[0], sure[1])
        self.assertEqual([len(found) for found in dots], [3, 1])
        whole = min(dots[0], key=lambda dot: abs(len(dot) - len(dots[1][0])) + max(map(abs, dot)))
        self.assertEqual(len(whole), len(dots[1][0]))
        self.assertLess(max(abs(one - other) for one, other in zip(whole, dots[1][0])), 3e-4)

    def test_specks(self):
        self.write('blocks.png', blocks())
        for arguments, count in [(['--dirt', '0'], 4), (['--dirt', '4px'], 4),
                                 (['--dirt', '5px'], 3), (['--dirt', '1000px'], 2),
                                 (['--wide', '230mm', '--dirt', '1000mm2'], 2),
                                 (['--wide', '230mm', '--dirt', '3mm2'], 4)]:
            rows = self.list('blocks.png', *arguments)['pieces']
            self.assertEqual(sum(row['kept'] for row in rows), count, arguments)
        result = self.run_here('pieces', 'blocks.png')
        self.assertIn('dropped 1 speck', result.talk)
        self.refused(self.run_here('pieces', 'blocks.png', '--dirt', '1e6px'), '--dirt')
        self.refused(self.run_here('pieces', 'blocks.png', '--dirt', '3mm2'), '--wide')
        self.write('squares.svg', squares())
        self.refused(self.run_here('pieces', 'squares.svg', '--dirt', '3px'), '0.5mm2')

    def test_outlines_that_are_united_anew_are_of_their_pieces(self):
        """Arrows with soft slopes, each on the tips of two: their edges run along one another."""
        def grey(x, y):
            across, down = x % 50, y % 50
            if down < 25 and 24 - down <= across <= 25 + down:
                return 124 if across == 24 - down else 126 if across == 25 + down else 173
            return 173 if down >= 25 and 10 <= across < 40 else 76

        def framed(x, y):
            value = grey(x, y)
            return {76: 38, 124: 96, 126: 98}.get(value, value) if x in (0, 99) or y in (0, 99) else value
        self.write('arrows.png', png([bytes(framed(x, y) for x in range(100)) for y in range(100)]))
        result = self.run_here('pieces', 'arrows.png', '--wide', '100mm', '--ink', 'light', '--json')
        self.assertEqual(result.status, FITS, result.talk)
        for row in json.loads(result.text)['pieces']:
            self.assertGreater(min(row['size']), 20, row)

    def test_dust_that_is_left_is_said(self):
        def is_ink(x, y):
            dust = 10 <= x % 60 < 14 and 10 <= y % 40 < 14 and y < 60
            return 20 <= x < 380 and 100 <= y < 380 or dust
        self.write('dusty.png', png(pixels(400, 400, is_ink)))
        talk = self.run_here('pieces', 'dusty.png').talk
        self.assertIn('14 pieces are hardly larger than dirt; --drop dust leaves', talk)
        cleaned = self.run_here('pieces', 'dusty.png', '--dirt', '17px')
        self.assertIn('dropped 14 specks', cleaned.talk)
        self.assertNotIn('hardly', cleaned.talk)

    def test_what_is_left_of_much_dust_is_said_of_one_piece_too(self):
        def is_ink(x, y):
            side = 4 if (x // 60, y // 40) == (2, 1) else 2
            dust = 10 <= x % 60 < 10 + side and 10 <= y % 40 < 10 + side and y < 60
            return 20 <= x < 380 and 100 <= y < 380 or dust
        self.write('dusty.png', png(pixels(400, 400, is_ink)))
        talk = self.run_here('pieces', 'dusty.png').talk
        self.assertIn('dropped 13 specks', talk)
        self.assertIn('piece 2 is hardly larger than dirt; --drop dust leaves it out', ' '.join(talk.split()))

    def test_dust_of_like_size_is_said_once_dirt_was_asked_for(self):
        """Specks of 2 to 9 pixels a side, without a gap; and a disc of the art's own."""
        def is_ink(x, y):
            side = 2 + (x // 40 + y // 40) % 8
            dust = 10 <= x % 40 < 10 + side and 10 <= y % 40 < 10 + side and y < 80
            return 20 <= x < 380 and 120 <= y < 360 or dust or (x - 200) ** 2 + (y - 380) ** 2 < 100
        self.write('dusty.png', png(pixels(400, 400, is_ink)))
        talk = ' '.join(self.run_here('pieces', 'dusty.png', '--dirt', '20px').talk.split())
        self.assertIn('pieces are hardly larger than dirt; --drop dust leaves them out', talk)
        for cure in (['--dirt', '82px'], ['--dirt', '20px', '--drop', 'dust']):
            cleaned = self.run_here('pieces', 'dusty.png', *cure, '--json')
            self.assertNotIn('hardly', cleaned.talk)
            self.assertEqual(sum(piece['kept'] for piece in json.loads(cleaned.text)['pieces']), 2, cure)

    def test_colours_that_are_taken_as_one_are_said(self):
        """A disc of two halves: of two colours, of a colour and its shade, of two greys."""
        def picture(left, right):
            rows = (bytes(left if x < 100 else right) if (x - 100) ** 2 + (y - 100) ** 2 < 6400 else b'\xff\xff\xff'
                    for y in range(200) for x in range(200))
            return b'P6 200 200 255\n' + b''.join(rows)
        red, blue, dark_red, black, grey = (200, 20, 40), (0, 50, 160), (110, 10, 20), (0, 0, 0), (120, 120, 120)
        for left, right, told in [(red, blue, True), (black, red, True), (red, dark_red, False),
                                  (black, grey, False), (red, red, False)]:
            self.write('disc.ppm', picture(left, right))
            talk = ' '.join(self.run_here('pieces', 'disc.ppm').talk.split())
            self.assertEqual('its colours as one' in talk, told, (left, right, talk))
        apart = (bytes(red if 20 <= x < 95 else blue) if 20 <= y < 180 and (20 <= x < 95 or 98 <= x < 180)
                 else b'\xff\xff\xff' for y in range(200) for x in range(200))
        self.write('apart.ppm', b'P6 200 200 255\n' + b''.join(apart))
        self.assertNotIn('its colours as one', ' '.join(self.run_here('pieces', 'apart.ppm').talk.split()))
        self.write('disc.ppm', picture(red, blue))
        halves = self.list('disc.ppm', '--ink', '#0032a0')['pieces']
        self.assertEqual([piece['size'] for piece in halves], [[80, 159]])

    def test_pinholes_are_filled_and_counted(self):
        holes = {(30, 30): 2, (60, 30): 2, (80, 60): 6}
        rows = pixels(150, 150, lambda x, y: 10 < x < 110 and 10 < y < 90 and not any(
            left <= x < left + side and top <= y < top + side
            for (left, top), side in holes.items()))
        self.write('pinned.png', png(rows))
        for arguments, count in [([], 1), (['--dirt', '0'], 3), (['--dirt', '36px'], 1),
                                 (['--dirt', '37px'], 0), (['--fill', '37px'], 0),
                                 (['--wide', '99mm', '--dirt', '35mm2'], 1),
                                 (['--wide', '99mm', '--dirt', '37mm2'], 0),
                                 (['--wide', '99mm', '--dirt', '0', '--fill', '37mm2'], 0)]:
            self.assertEqual(self.list('pinned.png', *arguments)['pieces'][0]['holes'], count)
        self.assertIn('filled 2 pinholes', self.run_here('pieces', 'pinned.png').talk)
        talk = self.run_here('pieces', 'pinned.png', '--fill', '37px').talk
        self.assertIn('filled 3 holes of less than 37 pixels', talk)
        self.write('squares.svg', squares())
        self.refused(self.run_here('pieces', 'squares.svg', '--fill', '3mm2'), '--fill')

    def test_the_numbered_drawing(self):
        for name, data, count in [('blocks.png', blocks(), 4), ('squares.svg', squares(), 3)]:
            self.write(name, data)
            result = self.run_here('pieces', name, '--drop', '2', '-o', 'out')
            self.assertEqual(result.status, FITS, result.talk)
            self.assertEqual(self.names('out'), ['pieces.svg'])
            root = ElementTree.fromstring(self.read('out', 'pieces.svg'))
            numbers = {text.text for text in root.iter('{http://www.w3.org/2000/svg}text')}
            self.assertEqual(numbers, {str(n + 1) for n in range(count)})
            paths = list(root.iter('{http://www.w3.org/2000/svg}path'))
            self.assertEqual(len(paths), count)
            self.assertEqual(len({path.get('fill') for path in paths}), 2)

    def test_numbers_of_letters_are_clear_of_each_other(self):
        result = self.run_here('pieces', os.path.join(program.SAMPLES, 'sign.png'), '-o', 'out',
                               '--verbose')
        self.assertIn("of the picture's edges", result.talk)
        boxes = {}
        root = ElementTree.fromstring(self.read('out', 'pieces.svg'))
        for text in root.iter('{http://www.w3.org/2000/svg}text'):
            x, y, high = (float(text.get(name)) for name in ('x', 'y', 'font-size'))
            half = 0.35 * len(text.text) * high
            boxes[text.text] = (x - half, y - 0.7 * high, x + half, y)
        self.assertGreater(len(boxes), 20)
        for one, a in boxes.items():
            for other, b in boxes.items():
                meet = a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
                self.assertFalse(meet and one != other, f'{one} and {other}')

    def test_nothing_is_written_without_a_folder(self):
        self.write('squares.svg', squares())
        self.run_here('pieces', 'squares.svg')
        self.assertEqual(self.names(), ['squares.svg'])
        quiet = self.run_here('pieces', 'squares.svg', '--quiet', '-o', 'out')
        self.assertEqual((quiet.status, quiet.out, quiet.err), (FITS, b'', b''))

    def test_the_numbered_drawing_never_overwrites_the_art(self):
        self.write('pieces.svg', squares())
        result = self.run_here('pieces', 'pieces.svg', '-o', '.')
        self.assertEqual(result.status, BAD)
        self.assertEqual(self.read('pieces.svg'), squares())


if __name__ == '__main__':
    program.main()
