"""marked.pdf: put together from its sheets, it is marked.svg at true size, on paper that fits both A4
and Letter. Rendered by poppler (pdftoppm), compared with librsvg's own picture of the SVG."""
import math
import re
import shutil
import subprocess

import program
from program import SAMPLES, SPOTS, WITH_PDF, Case, dumbbell, svg

PIXELS = 4  # per millimetre
OVERLAP, SIDE, TOP, STRIP = 10, 10, 8, 22  # mm, as pdf.c has them
A4, LETTER = (210, 297), (215.9, 279.4)
SHEET = (A4[0], LETTER[1])


def grey(data):
    """Width, height and pixels of a binary PGM."""
    head = re.match(rb'P5\s+(\d+)\s+(\d+)\s+255\s', data)
    return int(head[1]), int(head[2]), data[head.end():]


class Pdf(Case):
    def setUp(self):
        super().setUp()
        if not WITH_PDF:
            self.skipTest('built without librsvg and cairo')
        for tool in 'pdftoppm', 'rsvg-convert':
            if not shutil.which(tool):
                self.skipTest(f'no {tool} here')

    def check(self, art, *options):
        result = self.run_here('check', art, *options, '-o', 'out')
        self.assertNotIn('marked.pdf', result.talk)
        return result

    def sheets(self):
        subprocess.run(['pdftoppm', '-gray', '-aa', 'yes', '-r', str(PIXELS * 25.4),
                        self.path('out', 'marked.pdf'), self.path('sheet')], check=True)
        names = sorted(name for name in self.names() if name.startswith('sheet'))
        return [grey(self.read(name)) for name in names]

    def whole(self):
        """marked.svg as librsvg draws it: width, height, pixels."""
        pdf = subprocess.run(['rsvg-convert', '-f', 'pdf', self.path('out', 'marked.svg')],
                             check=True, capture_output=True).stdout
        self.write('whole.pdf', pdf)
        done = subprocess.run(['pdftoppm', '-gray', '-r', str(PIXELS * 25.4), self.path('whole.pdf')],
                              check=True, capture_output=True)
        return grey(done.stdout)

    def compare(self):
        """Every tile against its part of the whole, without marks and edges."""
        sheets, (width, height, pixels) = self.sheets(), self.whole()
        page = SHEET if sheets[0][0] < sheets[0][1] else SHEET[::-1]
        tile = (page[0] - 2 * SIDE, page[1] - TOP - STRIP)
        columns = max(1, math.ceil((width / PIXELS - tile[0]) / (tile[0] - OVERLAP)) + 1)
        dark = wrong = shifted = 0
        for index, (wide, _, sheet) in enumerate(sheets):
            left = round(index % columns * (tile[0] - OVERLAP) * PIXELS)
            top = round(index // columns * (tile[1] - OVERLAP) * PIXELS)
            for y in range(OVERLAP * PIXELS, int(tile[1] - OVERLAP) * PIXELS, 3):
                for x in range(OVERLAP * PIXELS, int(tile[0] - OVERLAP) * PIXELS, 3):
                    if left + x + PIXELS < width and top + y < height:
                        one = sheet[(y + TOP * PIXELS) * wide + x + SIDE * PIXELS]
                        at = (top + y) * width + left + x
                        dark += pixels[at] < 250
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

    def test_too_many_sheets(self):
        self.write('bell.svg', svg('<path d="M0 0h9000v9000H0z"/>', 9000, 9000))
        result = self.run_here('check', 'bell.svg', '--cut', 'inside', '--bit', '3mm', '-o', 'out')
        self.assertRegex(result.talk, r'no marked.pdf: it would take \d+ sheets')
        self.assertNotIn('marked.pdf', self.names('out'))
        self.assertIn('marked.svg', self.names('out'))


if __name__ == '__main__':
    program.main()
