"""Input that is bad: exit status 2 and one clear line, or a right result; never a crash, never a
file written by half, never more than 1 GiB of memory for a small file."""
import json
import os
import random
import re
import resource
import signal
import socket
import struct
import subprocess
import sys
import xml.etree.ElementTree as ElementTree
import zlib

sys.path.insert(0, os.path.join(os.path.dirname(__file__), '..', 'command'))
import program  # noqa: E402
from program import BAD, FILES, FITS, SPOTS, Case, chunk, dumbbell, dumbbell_pixels  # noqa: E402
from program import pgm, png, svg  # noqa: E402

WIDE = ['--wide', '100mm', '--cut', 'inside', '--bit', '2mm']
MOST_MEMORY = 1 << 30
APART = 1 if program.ALL else 20 if program.SANITIZED else 5  # picture.c tries all within one process


def limit_memory():
    if not program.SANITIZED:  # which maps terabytes
        resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))


class BadCase(Case):
    def check(self, name, *arguments, **more):
        """Runs check under the limit of memory; the exit status is one of the three."""
        result = self.run_here('check', *WIDE, *arguments, '--', name, preexec_fn=limit_memory,
                               **more)
        self.assertIn(result.status, (FITS, SPOTS, BAD), (name, result.talk))
        return result

    def is_refused(self, data, *words, name='art'):
        self.write(name, data)
        lines = self.refused(self.check(name), *words)
        self.assertEqual(len([line for line in lines if not line.startswith('narrows: dark ink')]), 1, lines)
        self.assertEqual(self.names(), [name])


class Pictures(BadCase):
    def test_empty_and_unknown(self):
        self.is_refused(b'', 'empty')
        for data in (b'\0' * 1000, b'P', b'P5', b'P7\n', b'\x89PNG', b'hello\n' * 99, b'<html/>',
                     b'\xff\xd8\xff', b'GIF89a', b'%PDF-1.4\n'):
            self.is_refused(data)

    def test_truncations_of_a_png(self):
        whole = png(dumbbell_pixels(20, 6, 40))
        for length in range(1, len(whole) - 12, 7 * APART):
            self.is_refused(whole[:length], *['it ends too early'] * (length >= 8))

    def test_truncated_pnm(self):
        whole = pgm(dumbbell_pixels(20, 6, 40))
        for length in (3, 8, 12, 40, len(whole) // 2, len(whole) - 1):
            self.is_refused(whole[:length])
        self.is_refused(b'P2\n3 3\n255\n1 2 3')
        self.is_refused(b'P2\n3 3\n255\n1 2 x 4 5 6 7 8 9')
        self.is_refused(b'P5\n3 3\n0\n123456789')
        self.is_refused(b'P5\n-3 3\n255\n123456789')

    def test_corrupt_png(self):
        whole = png(dumbbell_pixels(20, 6, 40))
        for place in range(8, len(whole) - 12, 5 * APART):
            self.write('art', whole[:place] + bytes([whole[place] ^ 0x5a]) + whole[place + 1:])
            result = self.check('art')
            if result.status == BAD:
                self.refused(result)

    def test_a_header_that_claims_too_much(self):
        header = chunk(b'IHDR', struct.pack('>IIBBBBB', 100000, 100000, 8, 0, 0, 0, 0))
        small = chunk(b'IDAT', zlib.compress(b'\0' * 100)) + chunk(b'IEND', b'')
        self.is_refused(b'\x89PNG\r\n\x1a\n' + header + small)
        for size in b'100000 100000', b'99999999999 99999999999', b'4294967297 1', b'20000 20000':
            self.is_refused(b'P5\n' + size + b'\n255\n123')
            self.is_refused(b'P6\n' + size + b'\n65535\n123')
        self.write('art', pgm(dumbbell_pixels()))
        self.refused(self.check('art', '--max-pixels', '1000'), '1000 in all',
                     'allow more by --max-pixels')

    def test_no_ink_and_nothing_but_ink(self):
        for value in b'\0', b'\xff', b'\x80':
            for width, height in (1, 1), (2, 1), (64, 64):
                self.is_refused(pgm([value * width] * height))
                self.is_refused(png([value * width] * height))
        self.write('art', pgm([b'\0' * 9] * 9))
        for ink in 'dark', 'light', 'alpha', 'red':
            self.refused(self.check('art', '--ink', ink))

    def test_tiny_pictures(self):
        for rows in ([b'\0\xff'], [b'\0\xff\xff'] * 2, [b'\xff' * 5, b'\xff\xff\0\xff\xff', b'\xff' * 5]):
            self.write('art', pgm(rows))
            for more in [], ['--dirt', '0']:
                result = self.check('art', *more)
                if result.status == BAD:
                    self.refused(result)
                else:
                    self.assertEqual(self.names('art-check'), FILES)


    def test_a_checkerboard_in_little_time_and_memory(self):
        # Some hundreds of bytes: half a million holes.
        rows = [bytes(255 * ((x // 4 + y // 4) % 2) for x in range(1600)) for y in range(1600)]
        self.write('art', png(rows))
        result = self.run_here('check', *WIDE, 'art', preexec_fn=lambda: resource.setrlimit(
            resource.RLIMIT_CPU, (10, 10)))
        self.refused(result, 'more than 10000', '--dirt', '--max-outlines')
        self.assertEqual(self.run_here('check', *WIDE, 'art', '--dirt', '17px', preexec_fn=limit_memory)
                         .status, BAD)


    def test_outlines_as_long_as_no_art_has_them(self):
        def frugal():
            limit_memory()
            if not program.SANITIZED:
                resource.setrlimit(resource.RLIMIT_CPU, (10, 10))
        size = 2400 if program.SANITIZED else 6000  # of either it is too much; here also for memory and time
        for name, rows in (('across', [bytes([255 * (y // 2 % 2)]) * size for y in range(size)]),
                           ('down', [b'\0\0\xff\xff' * (size // 4)] * size)):
            self.write(name, png(rows))
            result = self.run_here('check', *WIDE, name, preexec_fn=frugal)
            self.refused(result, 'run along', 'more than 10 times 200000', '--max-points')
        self.write('few', png([bytes([255 * (y // 2 % 2)]) * 100 for y in range(100)]))
        self.refused(self.check('few', '--max-points', '400'), 'run along 4900 pixels')
        self.assertNotEqual(self.check('few', '--max-points', '5000').status, BAD)

    def test_noise(self):
        state, rows = 1, []
        for y in range(700):
            row = bytearray()
            for x in range(700):
                state = (state * 1103515245 + 12345) & 0x7fffffff
                row.append(state >> 16 & 255)
            rows.append(bytes(row))
        self.write('noise', png(rows))
        result = self.run_here('check', *WIDE, 'noise', '--dirt', '0', '--max-outlines', '1000000',
                               preexec_fn=limit_memory)
        self.refused(result, 'points, more than 200000', '--max-points')


class Drawings(BadCase):
    def test_not_well_formed(self):
        for data in (b'<svg', b'<svg xmlns="http://www.w3.org/2000/svg">', svg('<rect>'),
                     svg('<rect width="10" height="10"'), dumbbell()[:-3],
                     svg('<rect width="9" height="9"/>\x00')):
            self.is_refused(data)

    def test_nothing_in_it(self):
        for body in ('', '<g/>', '<text>hello</text>', '<rect width="0" height="9"/>',
                     '<path d="M 0 0 L 9 9"/>', '<path stroke="none" fill="none" d="M0 0H9V9Z"/>',
                     '<rect width="9" height="9" display="none"/>', '<path d="M0 0 H1e-9 V1e-9 Z"/>'):
            self.is_refused(svg(body))

    def test_numbers_that_are_none(self):
        for path in ('M nan nan L 1 1 2 2 Z', 'M 1e999 0 L 1 1 2 2 Z', 'M inf 0 L 1 1 2 2 Z',
                     'M 1e308 0 H -1e308 V 1e308 Z', 'M 0 0 H 1e30 V 1e30 Z', 'garbage',
                     'M0 0 C 1 1', 'M0 0 A 0 0 0 9 9 1 1'):
            for more in ('', '<rect width="20" height="20"/>'):
                self.write('art.svg', svg(f'<path d="{path}"/>{more}'))
                result = self.check('art.svg')
                if result.status == BAD:
                    self.refused(result)
                else:
                    self.assertNotIn(b'nan', self.read('art-svg-check', 'outline.svg').lower())
                    self.assertNotIn(b'inf', self.read('art-svg-check', 'outline.dxf').lower().replace(b'insunits', b''))

    def test_transforms_that_are_none(self):
        for transform in ('scale(0)', 'scale(1e300)', 'matrix(1 2 2 4 0 0)', 'rotate(nan)', 'scale('):
            self.write('art.svg', svg(f'<rect transform="{transform}" width="9" height="9"/>'))
            result = self.check('art.svg')
            if result.status == BAD:
                self.refused(result)

    def test_deep_nesting(self):
        for depth in 300, 100000:
            body = '<g>' * depth + '<rect width="9" height="9"/>' + '</g>' * depth
            self.write('art.svg', svg(body))
            result = self.check('art.svg')
            if result.status == BAD:
                self.refused(result)

    def test_entity_bombs(self):
        lines = ''.join(f'<!ENTITY a{i} "{f"&a{i - 1};" * 10}">' for i in range(1, 12))
        data = (f'<!DOCTYPE svg [<!ENTITY a0 "M0 0H9V9Z">{lines}]>'
                '<svg xmlns="http://www.w3.org/2000/svg"><path d="&a11;"/></svg>')
        self.is_refused(data.encode())
        secret = self.path('..', os.path.basename(self.folder) + '-secret')
        data = (f'<!DOCTYPE svg [<!ENTITY x SYSTEM "file://{secret}">]>'
                '<svg xmlns="http://www.w3.org/2000/svg"><text>&x;</text></svg>')
        self.is_refused(data.encode())

    def test_use_that_eats_itself(self):
        for body in ('<use id="a" href="#a"/>',
                     '<g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g>',
                     ''.join(f'<g id="g{i}">' + f'<use href="#g{i - 1}"/>' * 10 + '</g>'
                             for i in range(1, 12)) + '<rect id="g0" width="9" height="9"/>'):
            self.write('art.svg', svg(body))
            result = self.check('art.svg')
            if result.status == BAD:
                self.refused(result)

    def test_points_of_a_drawing(self):
        self.write('art.svg', svg('<path d="M0 0H40V40H0Z"/>'))
        self.refused(self.check('art.svg', '--max-points', '3'), 'have 4 points, more than 3',
                     '--max-points')
        self.assertNotEqual(self.check('art.svg', '--max-points', '4').status, BAD)

    def test_a_comb_of_endless_outlines(self):
        # Each tooth is nearly as long as the art: 10335 sides of it, of 10000 that it may have.
        teeth = ''.join(f'L{120 - i * 0.01:.2f} {118 if i % 2 else 1}' for i in range(10601))
        comb = svg(f'<path d="M0 0H120V1{teeth}Z"/>', height=120)
        self.is_refused(comb, 'times as long as its longer side', '--max-points', name='art.svg')

    def test_drawings_too_complicated_to_be_one(self):
        generator = random.Random(1)
        curves = ' '.join(f'{generator.randrange(1000)}' for _ in range(120000))
        lines = ' '.join(f'{generator.random() * 40:.3f}' for _ in range(12000))
        copies = ''.join(f'<g id="g{i}">' + f'<use href="#g{i - 1}"/>' * 10 + '</g>' for i in range(1, 7))
        for body, said in ((f'<path d="M0 0C{curves}"/>', r'more than (\d+) points'),
                           (f'<path d="M{lines}Z"/>', 'outlines cross'),
                           (f'<rect id="g0" width="9" height="9"/>{copies}',
                            r'more than (\d+) elements, copies counted')):
            with self.subTest(said=said):
                self.write('art.svg', svg(body))
                result = self.run_here('check', *WIDE, 'art.svg', preexec_fn=limit_memory)
                self.refused(result, '--max-points')
                found = re.search(said, result.talk)
                self.assertTrue(found, result.talk)
                if 'points' in said:
                    usual = int(found[1])
        # The option raises what a drawing may hold before it is one. No other code: seldom with the sanitizers.
        if program.ALL or not program.SANITIZED:
            self.write('art.svg', svg(f'<path d="M0 0C{curves}"/>'))
            twice = self.check('art.svg', '--max-points', '400000')
            self.refused(twice, f'more than {2 * usual} points')

    def test_paths_that_cross_themselves_or_stay_open(self):
        for path, spots in (('M0 0 L40 40 H0 L40 0 Z', True), ('M0 0 H40 V40 H0', False)):
            self.write('art.svg', svg(f'<path d="{path}"/>'))
            result = self.check('art.svg')
            self.assertEqual(result.status, SPOTS if spots else FITS, result.talk)


class Places(BadCase):
    def test_what_cannot_be_read(self):
        os.mkdir(self.path('folder'))
        self.refused(self.check('folder'), "'folder'")
        self.refused(self.check('missing.png'), "'missing.png'")
        self.refused(self.check('missing/art.png'), "'missing/art.png'")
        self.write('locked.svg', dumbbell())
        os.chmod(self.path('locked.svg'), 0)
        if os.geteuid() != 0:
            self.refused(self.check('locked.svg'), "'locked.svg'")
        self.assertEqual(self.names(), ['folder', 'locked.svg'])

    def test_what_is_no_file(self):
        os.mkfifo(self.path('pipe'))
        with socket.socket(socket.AF_UNIX) as here:
            here.bind(self.path('socket'))
        for name, word in (('pipe', 'nobody writes'), ('socket', 'socket'), ('/dev/zero', 'device'),
                           ('/dev/null', 'device')):
            self.refused(self.check(name), word)
        with open('/dev/zero', 'rb') as zero:
            result = subprocess.run([program.NARROWS, 'check', *WIDE, '-'], stdin=zero,
                                    capture_output=True, timeout=60)
            self.assertEqual(result.returncode, BAD, result.stderr)
        endless = subprocess.Popen(['yes'], stdout=subprocess.PIPE)
        result = subprocess.run([program.NARROWS, 'check', *WIDE, '-'], stdin=endless.stdout,
                                capture_output=True, timeout=60)
        endless.stdout.close()
        endless.wait()
        self.assertEqual(result.returncode, BAD, result.stderr)
        self.assertEqual(self.names(), ['pipe', 'socket'])

    def test_standard_output_that_takes_nothing(self):
        self.write('art.svg', dumbbell(4))
        before = self.names()
        commands = [['check', 'art.svg', *WIDE, '-o', 'out'], ['widen', 'art.svg', *WIDE, '-o', 'out'],
                    ['bits', 'art.svg', '--cut', 'inside', '-o', 'out'],
                    ['sizes', 'art.svg', '--cut', 'inside', '--bit', '2mm', '-o', 'out'],
                    ['pieces', 'art.svg', '-o', 'out'], ['outline', 'art.svg']]
        for command in commands:
            for to in '>/dev/full', '>&-':
                with self.subTest(command=command, to=to):
                    line = ' '.join(['exec', program.NARROWS, *command, to])
                    done = subprocess.run(['sh', '-c', line], cwd=self.folder, capture_output=True,
                                          timeout=60)
                    self.assertEqual(done.returncode, BAD, done.stderr)
                    self.assertIn(b'cannot write standard output', done.stderr)
                    self.assertEqual(self.names(), before)

    def test_a_folder_that_holds_files_of_others(self):
        self.write('art.svg', dumbbell(4))
        self.assertEqual(self.check('art.svg', '-o', 'out').status, FITS)
        old = {name: self.read('out', name) for name in self.names('out')}
        os.mkdir(self.path('out', 'folder'))
        self.write('out/mine', b'mine')
        line = f"exec {program.NARROWS} check art.svg --wide 90mm --cut inside --bit 3mm -o out"
        done = subprocess.run(['sh', '-c', line + ' >/dev/full'], cwd=self.folder,
                              capture_output=True, timeout=60)
        self.assertEqual(done.returncode, BAD)
        self.assertEqual({name: self.read('out', name) for name in old}, old)
        self.assertEqual(self.check('art.svg', '--turn', '90', '-o', 'out').status, FITS)
        self.assertEqual(self.names('out'), sorted([*old, 'folder', 'mine']))
        self.assertNotEqual(self.read('out', 'spots.json'), old['spots.json'])
        self.assertEqual(self.read('out', 'mine'), b'mine')

    def test_what_cannot_be_written(self):
        self.write('art.svg', dumbbell())
        self.write('file', b'in the way')
        for folder in 'file', 'missing/deep', '/proc/narrows', '/dev/null':
            self.refused(self.check('art.svg', '-o', folder))
        for path in 'missing/out.svg', '/proc/out.svg', 'file/out.svg':
            self.refused(self.run_here('outline', 'art.svg', '-o', path))
        os.mkdir(self.path('taken.svg'))
        self.refused(self.run_here('outline', 'art.svg', '-o', 'taken.svg'), "'taken.svg'")
        self.assertEqual(self.names(), ['art.svg', 'file', 'taken.svg'])
        self.assertEqual(self.read('file'), b'in the way')

    def test_a_device_that_fills_up(self):
        self.write('art.svg', dumbbell())

        def small_files():
            signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
            resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))
        for command in (['check', 'art.svg', *WIDE], ['outline', 'art.svg', '-o', 'out.dxf'],
                        ['pieces', 'art.svg', '-o', 'out']):
            result = self.run_here(*command, preexec_fn=small_files)
            self.refused(result, 'cannot write')
            self.assertEqual(self.names(), ['art.svg'])

    def test_names_of_every_kind(self):
        for name in ("o'ar.svg", 'a"b.svg', 'a&b<c>.svg', 'two\nlines.svg', '-dash.svg',
                     '--help', 'sp ace.svg', '$(x).svg', '100%s%n.svg', 'ü→漢.svg',
                     'bad\udcff.svg', ']]>.svg', 'tab\t.svg'):
            with self.subTest(name=name):
                self.write(name, dumbbell(4))
                result = self.check(name)
                self.assertEqual(result.status, FITS, result.talk)
                folder = name.replace('.svg', '-svg') + '-check'
                self.assertEqual(self.names(folder), FILES)
                self.well_formed(folder)
                self.assertEqual(result.talk.count('\n'), len(result.talk.splitlines()))
                missing = self.check(name + '.missing')
                self.assertEqual(self.refused(missing).__len__(), 1)

    def well_formed(self, folder):
        json.loads(self.read(folder, 'spots.json'))
        for name in 'outline.svg', 'marked.svg':
            ElementTree.fromstring(self.read(folder, name))


if __name__ == '__main__':
    program.main()
