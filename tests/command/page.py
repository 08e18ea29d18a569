"""page.html without a browser: what goes into it, and in which form."""
import base64
import html
import json
import os
import re
import struct
import subprocess
import unittest
import zlib

import program
from program import Case, chunk, dumbbell, dumbbell_pixels, pgm, png, svg


def data_of(text):
    """What a page is about; letters as page_packed.c tells."""
    packed = re.search(r'<script type="text/plain" id="data">(.*?)</script>', text, re.S)[1]
    letters = [chr(code) for code in range(33, 127) if chr(code) not in '"<\\']
    values = [letters.index(letter) for letter in packed]
    bits = ''.join(f'{pair[0] + 91 * pair[1]:013b}'[::-1] if len(pair) == 2 else f'{pair[0]:06b}'[::-1]
                   for pair in (values[at:at + 2] for at in range(0, len(values), 2)))
    data = bytes(int(bits[at:at + 8][::-1], 2) for at in range(0, len(bits) - 7, 8))
    text, _, rest = zlib.decompress(data, -15).partition(b'\0')
    data = json.loads(text)
    return {**data, 'bytes': rest[:data['bytes']], 'drawing': rest[data['bytes']:]}


class Missing(Case):
    @unittest.skipIf(os.environ.get('NARROWS_PAGE'), 'narrows was built with the page')
    def test_every_command_that_would_write_one_says_so(self):
        self.write('bell.svg', dumbbell(2))
        for command in (['check', '--bit', '1mm'], ['bits'], ['widen', '--bit', '1/8in']):
            result = self.run_here(*command, 'bell.svg', '--cut', 'inside', '-o', 'out')
            self.assertIn('no page.html: this narrows was built without', result.talk, command)


@unittest.skipUnless(os.environ.get('NARROWS_PAGE'), 'narrows was built without the page')
class Page(Case):
    def page(self, *arguments):
        result = self.run_here('check', '-o', 'out', *arguments)
        self.assertLess(result.status, 2, result.talk)
        return self.read('out', 'page.html').decode()

    def picture(self, name, data):
        """The picture behind the drawing: its type, its bytes, and the place and size it is given."""
        self.write(name, data)
        data = data_of(self.page(name, '--wide', '100mm', '--cut', 'inside', '--bit', '1/8in'))
        self.assertIsNone(data['file'])
        self.assertGreater(len(data['drawing']), 0)
        return data['behind'], data['bytes'], data['width'], data['height']

    def test_one_file_without_any_address(self):
        self.write('bell.svg', dumbbell(2))
        text = self.page('bell.svg', '--cut', 'inside', '--bit', '1/8in')
        # What is packed is letters in any order, an address or a mark of the template among them.
        text, packs = re.subn(r'(<script type="text/plain" id="(?:code|data|engine)">).+?</script>', r'\1</script>',
                              text, flags=re.S)
        self.assertEqual(packs, 3)
        outside = re.sub(r'http://www\.w3\.org/2000/svg', '', text)
        self.assertEqual(re.findall(r'(?:https?:)?//[a-z0-9.-]+\.[a-z]{2,}', outside), [])
        self.assertNotRegex(text, r'@[A-Z]{4,}@')

    def test_the_verdict_stands_in_it_without_scripts(self):
        self.write('bell.svg', dumbbell(2))
        text = self.page('bell.svg', '--cut', 'inside', '--bit', '1/8in')
        self.assertIn('>Does not fit: 1 gap is too narrow for the 3.175 mm bit</h1>', text)

    def test_strange_names_are_escaped(self):
        name = '<b>"&\'<!--.svg'
        self.write(name, svg('<rect width="40" height="30"/>'))
        text = self.page(name, '--cut', 'inside', '--bit', '1/8in')
        self.assertIn(f'<title>{html.escape(name)}: narrows</title>'.replace('&#x27;', '&#39;'), text)
        self.assertEqual(data_of(text)['art'], name)
        inside = re.search(r'id="data">(.*?)</script>', text, re.S)[1]
        self.assertNotIn('<', inside)

    def test_a_picture_that_browsers_show_goes_in_as_it_is(self):
        """And so does a drawing; the page makes the outlines of it, which are not in it then."""
        for name, kind, file in (('bell.png', 'png', png(dumbbell_pixels())), ('bell.svg', 'svg+xml', dumbbell(2))):
            self.write(name, file)
            data = data_of(self.page(name, '--wide', '100mm', '--cut', 'inside', '--bit', '1/8in'))
            self.assertEqual((data['file'], data['bytes']), (f'image/{kind}', file))
            self.assertEqual((data['drawing'], 'numbers' in data), (b'', False))

    def test_a_picture_that_is_read_with_more_care_here_takes_its_outlines_along(self):
        """Sixteen bits of grey: a browser gives eight."""
        rows = dumbbell_pixels()
        deep = struct.pack('>IIBBBBB', len(rows[0]), len(rows), 16, 0, 0, 0, 0)
        packed = zlib.compress(b''.join(b'\0' + bytes(byte for level in row for byte in (level, level)) for row in rows))
        self.write('deep.png', b'\x89PNG\r\n\x1a\n' + chunk(b'IHDR', deep) + chunk(b'IDAT', packed) + chunk(b'IEND', b''))
        data = data_of(self.page('deep.png', '--wide', '100mm', '--cut', 'inside', '--bit', '1/8in'))
        self.assertEqual(data['file'], 'image/png')
        self.assertEqual((data['behind'], data['numbers']), (None, [1, 0]))
        self.assertGreater(len(data['drawing']), 0)

    def test_other_pictures_go_in_as_png(self):
        rows = dumbbell_pixels()
        for name, data in (('bell.pgm', pgm(rows)), ('exif.png', self.with_exif(rows))):
            with self.subTest(name=name):
                kind, inside, wide, high = self.picture(name, data)
                self.assertEqual((kind, wide, high), ('image/png', 360, 160))
                self.assertEqual(self.grey(inside), rows)

    def with_exif(self, rows):
        """Some cameras' notes, in a PNG: which way up is stated, and so may be where."""
        data = png(rows)
        exif = b'MM\0*' + struct.pack('>IHHHIHHI', 8, 1, 274, 3, 1, 1, 0, 0)
        return data[:33] + chunk(b'eXIf', exif) + data[33:]

    def grey(self, data):
        """The rows of an 8-bit grey PNG without interlace; filters as in RFC 2083, section 6."""
        width, height, depth, colour = struct.unpack('>IIBB', data[16:26])
        self.assertEqual((depth, colour), (8, 0))
        packed, at = b'', 8
        while at < len(data):
            size, kind = struct.unpack('>I4s', data[at:at + 8])
            packed += data[at + 8:at + 8 + size] if kind == b'IDAT' else b''
            at += 12 + size
        raw, rows, before = zlib.decompress(packed), [], bytes(width)
        for y in range(height):
            line = raw[y * (width + 1):(y + 1) * (width + 1)]
            row = bytearray()
            for x, byte in enumerate(line[1:]):
                a = row[x - 1] if x else 0
                b, c = before[x], before[x - 1] if x else 0
                p = a + b - c
                near = min((abs(p - a), 0, a), (abs(p - b), 1, b), (abs(p - c), 2, c))[2]
                row.append((byte + (0, a, b, (a + b) // 2, near)[line[0]]) & 255)
            before = bytes(row)
            rows.append(before)
        return rows

    def test_a_large_picture_is_reduced(self):
        # 18 megapixels: too many for a telephone, though they pack into a small file
        rows = [bytes(255 * (not (1000 < y < 2000 and 1000 < x < 4000)) for x in range(6000)) for y in (0, 1500)]
        tall = [rows[1000 < y < 2000] for y in range(3000)]
        kind, inside, wide, high = self.picture('large.png', png(tall))
        width, height = struct.unpack('>II', inside[16:24])
        self.assertEqual(kind, 'image/png')
        self.assertLess(width * height, 2.1e6)
        self.assertLess(abs(wide - 6000) + abs(high - 3000), 10)
        self.assertLess(abs(wide / width - high / height), 1e-9)
        self.assertEqual(self.grey(inside)[height // 2][width // 2], 0)

    def test_the_three_ways_out_and_the_users_rack(self):
        self.write('bell.svg', dumbbell(2))
        self.write('rack', b'stub, 1.5mm\nlong one, 3mm\n')
        text = self.page('bell.svg', '--cut', 'inside', '--bit', '3mm', '--rack', 'rack')
        ways = re.findall('<li>(.*)</li>', text)
        self.assertEqual(len(ways), 3)
        self.assertIn("&#39;stub&#39;", ' '.join(ways))
        self.assertEqual([bit['name'] for bit in data_of(text)['rack']], ['stub', 'long one'])
        self.assertNotIn('<ol>\n<li>', self.page('bell.svg', '--cut', 'inside', '--bit', '1mm'))

    def test_numbers_arrive_to_the_last_bit(self):
        """A size that no decimal tells; the bit goes as it was typed."""
        self.write('bell.pgm', pgm(dumbbell_pixels()))
        data = data_of(self.page('bell.pgm', '--cut', 'inside', '--bit', '1/3in', '--wide', '14/3in'))
        wide, high = struct.unpack('<2d', base64.b64decode(data['size']))
        self.assertEqual(wide, round(25.4 * 14 / 3 * 2 ** 27) / 2 ** 27)  # as the outlines have it
        self.assertIn(['bit', '1/3in'], data['options'])

    def test_widen_writes_one_too(self):
        """With the art as it was, and what is asked of it: the page widens it as the command does."""
        self.write('bell.svg', dumbbell(2))
        result = self.run_here('widen', 'bell.svg', '--cut', 'inside', '--bit', '1/8in', '--ease', '0.1mm', '-o', 'out')
        self.assertEqual(result.status, program.FITS, result.talk)
        text = self.read('out', 'page.html').decode()
        self.assertIn('>Fits: ', text)
        data = data_of(text)
        self.assertEqual((data['art'], data['widened']), ('bell.svg', 'out'))
        self.assertEqual(data['options'], [['cut', 'inside'], ['bit', '1/8in'], ['ease', '0.1mm']])

    def test_widened_outlines_with_lines_beside_them_are_a_file_for_check(self):
        self.write('bell.svg', dumbbell(2))
        options = ['--cut', 'inside', '--bit', '1/8in']
        result = self.run_here('widen', 'bell.svg', *options, '--as-cut', '-o', 'out')
        self.assertEqual(result.status, program.FITS, result.talk)
        self.assertEqual(self.run_here('check', 'out/fixed.svg', *options).status, program.FITS)

    def test_bits_writes_one_with_the_largest_bit_that_cuts_all(self):
        self.write('bell.svg', dumbbell(2))
        result = self.run_here('bits', 'bell.svg', '--cut', 'inside', '-o', 'out')
        self.assertEqual(result.status, program.FITS, result.talk)
        text = self.read('out', 'page.html').decode()
        self.assertIn('>Fits: no gap is too narrow for the 2 mm bit', text)
        self.assertEqual(data_of(text)['options'], [['cut', 'inside'], ['bit', '2mm']])

    def test_scripts_are_well_formed(self):
        """Where node is there, it reads the scripts as a browser would."""
        node = program.shutil.which('node')
        if not node:
            self.skipTest('node is missing')
        self.write('bell.svg', dumbbell(2))
        text = self.page('bell.svg', '--cut', 'inside', '--bit', '1/8in')
        self.write('page.js', re.findall(r'<script>(.*?)</script>', text, re.S)[0].encode())
        done = subprocess.run([node, '--check', self.path('page.js')], capture_output=True, check=False)
        self.assertEqual(done.returncode, 0, done.stderr.decode())


if __name__ == '__main__':
    program.main()
