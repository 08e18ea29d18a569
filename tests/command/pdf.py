"""marked.pdf: put together from its sheets, it is marked.svg at true size, on paper that fits both A4
and Letter. Rendered by poppler (pdftoppm), compared with librsvg's own picture of the SVG."""
import math
import os
import re
import shutil
import subprocess
import unittest

import program
from program import SAMPLES, SPOTS, Case, dumbbell, svg

PIXELS = 4  # per millimetre
OVERLAP, SIDE, TOP, STRIP = 10, 10, 8, 22  # mm, as pdf_file.c has them
A4, LETTER = (210, 297), (215.9, 279.4)
SHEET = (A4[0], LETTER[1])
MM = 72 / 25.4  # PDF's points
# The free twin of Helvetica, letter by letter as wide
NIMBUS = '/usr/share/fonts/type1/urw-base35/NimbusSans-Regular.t1'


def grey(data):
    """Width, height and pixels of a binary PGM."""
    head = re.match(rb'P5\s+(\d+)\s+(\d+)\s+255\s', data)
    return int(head[1]), int(head[2]), data[head.end():]


class Pdf(Case):
    def setUp(self):
        super().setUp()
        for tool in 'pdftoppm', 'pdftotext', 'pdfinfo', 'rsvg-convert':
            if not shutil.which(tool):
                self.skipTest(f'no {tool} here')

    def check(self, art, *options):
        result = self.run_here('check', art, *options, '-o', 'out')
        self.assertNotIn('marked.pdf', result.talk)
        return result

    def sheets(self):
        """All sheets as pictures; without the plan, which comes first where there are three or more."""
        done = subprocess.run(['pdftoppm', '-gray', '-aa', 'yes', '-r', str(PIXELS * 25.4),
                               self.path('out', 'marked.pdf'), self.path('sheet')],
                              check=True, capture_output=True)
        self.assertEqual(done.stderr, b'')  # where it complains of mistakes
        names = sorted(name for name in self.names() if name.startswith('sheet'))
        return [grey(self.read(name)) for name in (names if len(names) < 3 else names[1:])]

    def words(self):
        done = subprocess.run(['pdftotext', '-raw', self.path('out', 'marked.pdf'), '-'],
                              check=True, capture_output=True)
        self.assertEqual(done.stderr, b'')
        return done.stdout.decode()

    def drawn(self, svg):
        """The SVG as librsvg draws it, as PDF."""
        done = subprocess.run(['rsvg-convert', '-f', 'pdf'], input=svg, check=True,
                              capture_output=True)
        self.write('whole.pdf', done.stdout)
        return self.path('whole.pdf')

    def whole(self):
        """marked.svg as librsvg draws it, without letters: width, height, pixels."""
        shapes = re.sub(rb'<text.*?</text>', b'', self.read('out', 'marked.svg'))
        done = subprocess.run(['pdftoppm', '-gray', '-r', str(PIXELS * 25.4), self.drawn(shapes)],
                              check=True, capture_output=True)
        return grey(done.stdout)

    def plan_misses(self):
        """The share of marked.svg's dark places, as librsvg draws it as large, that the plan lacks."""
        size = [float(v) for v in re.search(rb'viewBox="[\d.-]+ [\d.-]+ ([\d.]+) ([\d.]+)"',
                                            self.read('out', 'marked.svg')).groups()]
        scale = max(min((page[0] - 2 * SIDE) / size[0], (page[1] - TOP - STRIP) / size[1])
                    for page in (SHEET, SHEET[::-1]))
        def drawn(dots, pdf):
            return grey(subprocess.run(['pdftoppm', '-gray', '-r', str(dots), '-singlefile', pdf],
                                       check=True, capture_output=True).stdout)
        shapes = re.sub(rb'<text.*?</text>', b'', self.read('out', 'marked.svg'))
        width, height, whole = drawn(PIXELS * 25.4 * scale, self.drawn(shapes))
        wide, _, plan = drawn(PIXELS * 25.4, self.path('out', 'marked.pdf'))
        dark = missed = 0
        for y in range(2, height - 2):
            for x in range(2, width - 2):
                if whole[y * width + x] < 120:
                    dark += 1
                    missed += all(plan[(y + TOP * PIXELS + v) * wide + x + SIDE * PIXELS + u] > 200
                                  for v in (-1, 0, 1) for u in (-1, 0, 1))
        self.assertGreater(dark, 1000)
        return missed / dark

    def white(self):
        """How far from the sheet's left edge words begin, mm: so much is white along the others too."""
        return float(re.search(rb'<text x="([\d.]+)"', self.read('out', 'marked.svg'))[1])

    def compare(self):
        """Every tile against its part of the whole, without marks and edges."""
        sheets, (width, height, pixels) = self.sheets(), self.whole()
        page = SHEET if sheets[0][0] < sheets[0][1] else SHEET[::-1]
        tile = (page[0] - 2 * SIDE, page[1] - TOP - STRIP)
        columns = max(1, math.ceil((width / PIXELS - self.white() - tile[0]) / (tile[0] - OVERLAP)) + 1)
        dark = wrong = shifted = 0
        for index, (wide, _, sheet) in enumerate(sheets):
            left = round(index % columns * (tile[0] - OVERLAP) * PIXELS)
            top = round(index // columns * (tile[1] - OVERLAP) * PIXELS)
            for y in range(OVERLAP * PIXELS, int(tile[1] - OVERLAP) * PIXELS, 3):
                for x in range(OVERLAP * PIXELS, int(tile[0] - OVERLAP) * PIXELS, 3):
                    if left + x + PIXELS < width and top + y < height:
                        one = sheet[(y + TOP * PIXELS) * wide + x + SIDE * PIXELS]
                        at = (top + y) * width + left + x
                        if pixels[at] < 250:
                            dark += 1
                            wrong += abs(one - pixels[at]) > 90
                            shifted += abs(one - pixels[at + PIXELS]) > 90
        self.assertGreater(dark, 1000)
        # Pixels do not lie on one another to the last part; a millimetre's shift shows.
        self.assertLess(wrong, 0.05 * dark)
        self.assertLess(wrong, 0.3 * shifted)
        return sheets

    def test_sheets_make_the_drawing(self):
        self.assertEqual(self.check(f'{SAMPLES}/single-scull.png', '--wide', '400mm', '--cut',
                                    'inside', '--bit', '1/8in').status, SPOTS)
        sheets = self.compare()
        self.assertGreater(len(sheets), 2)

    def test_no_sheet_for_a_white_edge(self):
        self.write('tall.svg', svg('<path d="M0 0h350v560h-350z"/>', 350, 560))
        self.check('tall.svg', '--cut', 'inside', '--bit', '3mm')
        sheets = self.compare()
        for width, height, pixels in sheets:
            inside = [pixels[y * width + x] for y in range(25 * PIXELS, height - 45 * PIXELS, 2)
                      for x in range(25 * PIXELS, width - 25 * PIXELS, 2)]
            self.assertLess(min(inside), 250)

    def test_a_page_fits_a4_and_letter(self):
        self.write('bell.svg', dumbbell())
        self.check('bell.svg', '--cut', 'inside', '--bit', '3mm')
        for wide, high, _ in self.sheets():
            sides = sorted((wide / PIXELS, high / PIXELS))
            for paper in A4, LETTER:
                self.assertLessEqual(sides[0], paper[0] + 0.3)
                self.assertLessEqual(sides[1], paper[1] + 0.3)

    def test_the_ruler_is_100_mm(self):
        self.write('bell.svg', dumbbell())
        self.check('bell.svg', '--cut', 'inside', '--bit', '3mm')
        wide, high, sheet = self.sheets()[0]
        rows = range(high - (STRIP - 2) * PIXELS, high - 4 * PIXELS)
        longest = max(len(run) for y in rows
                      for run in re.findall(rb'[\x00-\xc0]+', sheet[y * wide:(y + 1) * wide]))
        self.assertAlmostEqual(longest / PIXELS, 101.6, delta=0.6)  # the line: four inches

    def test_a_plan_comes_before_many_sheets(self):
        self.check(f'{SAMPLES}/heron.png', '--wide', '400mm', '--cut', 'inside', '--bit', '1/8in')
        pages = self.words().split('\f')[:-1]
        sheets = len(pages) - 1
        self.assertGreater(sheets, 2)
        self.assertIn(f'the {sheets} sheets that follow', pages[0])
        self.assertIn('Does not fit', pages[0])
        self.assertLess(self.plan_misses(), 0.01)
        for number, page in enumerate(pages[1:], 1):
            self.assertIn(f'Sheet {number} of {sheets}:', page)
            self.assertNotIn('Plan', page)

    @unittest.skipUnless(os.path.exists(NIMBUS), 'fonts-urw-base35 is missing')
    def test_words_stand_where_librsvg_has_them(self):
        def places(pdf, x, y):
            done = subprocess.run(['pdftotext', '-bbox', pdf, '-'], check=True, capture_output=True)
            found = re.findall(r'xMin="([\d.]+)" yMin="[\d.]+" xMax="([\d.]+)" '
                               r'yMax="([\d.]+)">(.*?)</word>', done.stdout.decode())
            return sorted((text, float(bottom) / MM - y, (float(left) + float(right)) / 2 / MM - x)
                          for left, right, bottom, text in found)
        self.write('bell.svg', dumbbell())
        self.check('bell.svg', '--cut', 'inside', '--bit', '3mm')
        whole = self.read('out', 'marked.svg').replace(b'"sans-serif"', b'"Nimbus Sans"')
        theirs = places(self.drawn(whole), 0, 0)  # which kerns letters
        ours = [word for word in places(self.path('out', 'marked.pdf'), SIDE, TOP)
                if word[1] < SHEET[1] - STRIP - TOP]
        self.assertEqual([word[0] for word in theirs], [word[0] for word in ours])
        self.assertGreater(len(theirs), 100)
        for their, our in zip(theirs, ours):
            self.assertAlmostEqual(their[1], our[1], delta=1, msg=our)
            self.assertAlmostEqual(their[2], our[2], delta=1.5, msg=our)
        self.assertLess(sum(abs(their[2] - our[2]) for their, our in zip(theirs, ours)),
                        0.4 * len(ours))

    def test_letters(self):
        """What the standard fonts lack is drawn as its code point, and copied as itself."""
        name = 'Schäre (\u0153uf) \\ \u0444 \U0001f6a3.svg'
        self.write(name, dumbbell())
        self.check(name, '--cut', 'inside', '--bit', '3mm')
        self.assertIn(f'{name}, ', self.words())
        title = subprocess.run(['pdfinfo', self.path('out', 'marked.pdf')], check=True,
                               capture_output=True).stdout.decode()
        self.assertIn(name, title)
        self.assertNotIn('Date', title)
        drawn = self.read('out', 'marked.pdf').decode('ascii')
        self.assertIn(r'(Sch\344re \050\234uf\051 \134 [U+0444] [U+1F6A3].svg, ', drawn)

    def test_long_names_stay_on_the_sheet(self):
        name = 50 * '\u0444' + '.svg'
        self.write(name, dumbbell())
        self.check(name, '--cut', 'inside', '--bit', '3mm')
        self.assertEqual(re.sub(r'[^\u0444]', '', self.words()), 50 * '\u0444')
        places = subprocess.run(['pdftotext', '-bbox', self.path('out', 'marked.pdf'), '-'],
                                check=True, capture_output=True).stdout.decode()
        ends = [float(right) for right in re.findall(r'xMax="([\d.]+)"', places)]
        self.assertLess(max(ends) / MM, SHEET[0] - SIDE)

    def test_same_bytes(self):
        """Each of the file's objects is where its table says; nothing depends on when it is written."""
        self.write('bell.svg', dumbbell())
        self.check('bell.svg', '--cut', 'inside', '--bit', '3mm')
        first = self.read('out', 'marked.pdf')
        table = re.search(rb'xref\n0 (\d+)\n0{10} 65535 f \n((?:\d{10} 00000 n \n)+)trailer', first)
        places = [int(line[:10]) for line in table[2].splitlines()]
        self.assertEqual(len(places), int(table[1]) - 1)
        for number, place in enumerate(places, 1):
            self.assertTrue(first.startswith(b'%d 0 obj\n' % number, place))
        self.assertEqual(int(first.split()[-2]), table.start())
        for length, contents in re.findall(rb'/Length (\d+)>>\nstream\n(.*?)endstream', first, re.S):
            self.assertEqual(int(length), len(contents))
        os.remove(self.path('out', 'marked.pdf'))
        self.check('bell.svg', '--cut', 'inside', '--bit', '3mm')
        self.assertEqual(self.read('out', 'marked.pdf'), first)

    def test_too_many_sheets(self):
        self.write('bell.svg', svg('<path d="M0 0h9000v9000H0z"/>', 9000, 9000))
        result = self.run_here('check', 'bell.svg', '--cut', 'inside', '--bit', '3mm', '-o', 'out')
        self.assertRegex(result.talk, r'no marked.pdf: it would take \d+ sheets')
        self.assertNotIn('marked.pdf', self.names('out'))
        self.assertIn('marked.svg', self.names('out'))


if __name__ == '__main__':
    program.main()
