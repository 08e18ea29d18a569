"""The page on paper: the marked drawing in tiles at true size, and where scripts or WebAssembly are
missing the same drawing on the screen."""
import os
import re
import shutil
import subprocess
import tempfile
import unittest
import zlib

import browser
import case
from case import SHOTS, PageCase, sample_list
from page import data_of
from program import SAMPLES, dumbbell, run

A4, LETTER = (210, 297), (215.9, 279.4)
PER_MM = 10  # pixels of a tile that is looked at
TILE, STEP = 180, 170  # mm across, and from one to the next


def marked_body(text):
    """A marked drawing without the declaration that only a file begins with."""
    return text[text.index('<svg'):].strip()


class Paper(PageCase):
    def pdf(self, width, height):
        margins = {f'margin{side}': 10 / 25.4 for side in ('Top', 'Bottom', 'Left', 'Right')}
        self.browser.js("printPrepare()")
        if 'landscape' in self.browser.js("document.querySelector('#print style').textContent"):
            width, height = height, width
        return self.browser.pdf(os.path.join(SHOTS, f'print-{width}.pdf'), paperWidth=width / 25.4,
                                paperHeight=height / 25.4, preferCSSPageSize=False, **margins)

    def test_true_size_on_a4_and_letter(self):
        self.write('bell.svg', dumbbell(2))
        self.check('bell.svg', '--cut', 'inside', '--bit', '1/8in', '--wide', '400mm')
        self.browser.call('Emulation.setEmulatedMedia', media='print')
        self.browser.js("printPrepare()")
        tiles, ruler, wide = self.browser.js('''(() => {
            const long = (node) => node.getBoundingClientRect().width * 25.4 / 96;
            const frame = document.querySelector('.tile').getBoundingClientRect();
            return [document.querySelectorAll('.tile').length, long(document.querySelector('.ruler path')), frame.width * 25.4 / 96];
        })()''')
        art = self.browser.js('''(() => {
            return document.querySelector('.tile-art #art').getBoundingClientRect().width * 25.4 / 96;
        })()''')
        self.browser.call('Emulation.setEmulatedMedia', media='')
        self.assertAlmostEqual(ruler, 100, delta=0.3)
        self.assertLess(wide, 259)  # Letter, across
        self.assertAlmostEqual(art, 400, delta=1)
        for paper in (A4, LETTER):
            self.assertEqual(len(re.findall(rb'/Type\s*/Page\b', self.pdf(*paper))), tiles + 1)  # and the words

    def grey(self, data, page):
        """The rows of a printed page, PER_MM pixels a millimetre, as pdftoppm (Poppler) sees it."""
        with tempfile.TemporaryDirectory() as folder:
            path = os.path.join(folder, 'print.pdf')
            with open(path, 'wb') as file:
                file.write(data)
            done = subprocess.run(['pdftoppm', '-gray', '-r', str(PER_MM * 25.4), '-f', str(page), '-l', str(page), path],
                                  stdout=subprocess.PIPE, check=True)
        kind, width, height, _ = done.stdout.split(maxsplit=4)[:4]
        self.assertEqual(kind, b'P5')
        size = int(width) * int(height)
        pixels = done.stdout[-size:]
        return [pixels[k:k + int(width)] for k in range(0, size, int(width))]

    def longest(self, line):
        """Where the longest dark run of a line begins, and how long it is."""
        return max(((m.start(), m.end() - m.start()) for m in re.finditer(rb'[\x00-\x60]+', bytes(line))),
                   key=lambda run: run[1], default=(0, 0))

    @unittest.skipUnless(shutil.which('pdftoppm'), 'pdftoppm is missing')
    def test_rulers_and_overlaps_of_the_printed_pages(self):
        self.write('bell.svg', dumbbell(2))
        self.check('bell.svg', '--cut', 'inside', '--bit', '1/8in', '--wide', '300mm')
        for paper in (A4, LETTER):
            with self.subTest(paper=paper):
                data = self.pdf(*paper)
                pages = [self.grey(data, page) for page in (1, 2)]
                for rows in pages:
                    across = [self.longest(row) for row in rows[230 * PER_MM:]]
                    down = [self.longest([row[x] for row in rows]) for x in range(190 * PER_MM, 200 * PER_MM)]
                    for found in (across, down):
                        self.assertAlmostEqual(max(run for _, run in found) / PER_MM, 100, delta=0.5)
                # What is seen at the right of one tile is seen at the left of the next.
                left = 10 * PER_MM
                strips = [[row[from_mm * PER_MM + left:(from_mm + TILE - STEP) * PER_MM + left] for row in rows[40 * PER_MM:220 * PER_MM]]
                          for rows, from_mm in zip(pages, (STEP, 0))]
                differing = sum(abs(a - b) > 128 for one, other in zip(*strips) for a, b in zip(one, other))
                dark = sum(a < 128 for row in strips[0] for a in row)
                self.assertGreater(dark, 500)
                self.assertLess(differing, dark / 10)

    def test_what_was_checked_prints_as_its_marked_drawing(self):
        for picture, options in sample_list(every=12, first=9):
            with self.subTest(picture=picture):
                run('check', os.path.join(SAMPLES, picture), *options, '-o', self.path(picture[:-4]))
                self.open(picture[:-4], 'page.html')
                marked, shown = self.read(picture[:-4], 'marked.svg').decode(), self.browser.js('printDrawing().trim()')
                self.assertEqual(shown, marked_body(marked))

    def test_no_samples_page_is_larger_than_a_telephone_likes(self):
        """Without the picture in it, whose size is the reader's. All of them: one or the other is always the largest."""
        for picture, options in sample_list(every=1):
            with self.subTest(picture=picture):
                run('check', os.path.join(SAMPLES, picture), *options, '-o', self.path(picture[:-4]))
                text = self.read(picture[:-4], 'page.html').decode()
                held = len(zlib.compress(data_of(text)['bytes'], 9)) * 8 / 6.5
                self.assertLess(len(text) - held, 450000)

    def test_an_origin_of_its_own_does_not_move_the_tiles(self):
        self.write('bell.svg', dumbbell(2))
        self.check('bell.svg', '--cut', 'inside', '--bit', '1/8in', '--origin', 'centre')
        left, top = (float(x) for x in self.browser.js("/viewBox=\"(\\S+) (\\S+)/.exec(printDrawing()).slice(1)"))
        self.assertLess(max(left, top), -20)
        self.browser.js("printPrepare()")
        shown = self.browser.js("document.querySelector('.tile-art').getAttribute('viewBox').split(' ').map(Number)")
        for at, edge in zip(shown, (left, top)):
            self.assertTrue(edge < at < edge + 60, (at, edge))

    def test_upright_or_across_as_needs_fewer_sheets(self):
        """The art alone decides: words stand on a sheet of their own."""
        for wide, tiles, size in (('170mm', 1, 'portrait'), ('235mm', 1, 'landscape'), ('400mm', 2, 'landscape')):
            with self.subTest(wide=wide):
                self.write('bell.svg', dumbbell(2))
                self.check('bell.svg', '--cut', 'inside', '--bit', '1/8in', '--wide', wide)
                self.browser.js("printPrepare()")
                self.assertEqual(self.browser.js("document.querySelectorAll('.tile').length"), tiles)
                self.assertIn(size, self.browser.js("document.querySelector('#print style').textContent"))
                words = self.browser.js("document.querySelector('.words').innerText")
                for part in ("document.querySelector('h1').textContent", "by('subject').textContent", 'front.caution()', "by('command').textContent"):
                    self.assertIn(self.browser.js(part).strip(), words)
                self.assertFalse(self.browser.js("[...document.querySelectorAll('.tile text')].some((text) => /Does not fit/.test(text.textContent))"))

    def test_what_was_changed_prints_with_its_command(self):
        self.write('bell.svg', dumbbell(2))
        self.check('bell.svg', '--cut', 'inside', '--bit', '1/8in')
        self.set('bit', '2.5mm')
        marked = self.browser.js('printDrawing()')
        self.assertIn('too narrow for the 2.5 mm bit', re.sub('<[^>]*>', '', marked))
        self.browser.js('printPrepare()')
        self.assertIn('narrows check --cut inside --bit 2.5mm --neck 3.175mm bell.svg', self.browser.js("by('print').lastElementChild.textContent"))

    @unittest.skipUnless(shutil.which('pdftotext'), 'pdftotext is missing')
    def test_the_engine_makes_the_same_pdf(self):
        """The engine is asked for the PDF too; the command's own says the same."""
        def words(pdf):
            done = subprocess.run(['pdftotext', '-raw', self.path(pdf), '-'], capture_output=True, check=True)
            self.assertEqual(done.stderr, b'')
            return done.stdout.decode()

        self.write('bell.svg', dumbbell(2))
        self.check('bell.svg', '--cut', 'inside', '--bit', '1/8in')
        self.set('bit', '2.5mm')
        self.browser.js("later.ask({ ...laterQuestion(), what: 'file', name: 'marked.pdf' })")
        self.browser.wait('job.saved')
        self.write('page.pdf', self.browser.js('job.saved.content').encode())
        ours = words('page.pdf')
        self.assertIn('too narrow for the 2.5 mm bit', ours)
        run('check', self.path('bell.svg'), '--cut', 'inside', '--bit', '2.5mm', '--neck', '3.175mm', '-o', self.path('again'))
        legend = 'cut: the bit gets here'
        self.assertEqual(ours.partition(legend)[2], words('again/marked.pdf').partition(legend)[2])
        self.assertGreater(len(ours.partition(legend)[2]), 300)

    def test_a_print_is_of_what_is_asked(self):
        """Though the browser waits for nothing that a worker works out."""
        self.write('bell.svg', dumbbell(2))
        self.check('bell.svg', '--cut', 'inside', '--bit', '1/8in')
        self.browser.js("""window.print = () => dispatchEvent(new Event('beforeprint'));
            change({ bit: '2.5mm' }); ask(); by('print-it').click()""")
        self.assertIn('2.5 mm', self.browser.js('printDrawing()'))
        self.assertEqual(self.browser.js("by('print').querySelectorAll('.tile').length"), 1)


class Still(PageCase):
    """Where the page cannot work anything out, it shows what was found when it was written."""

    def assert_still(self, window, words):
        shown = window.js("""(() => {
            const svg = document.querySelector('noscript svg, #still svg').getBoundingClientRect();
            return [document.body.innerText, svg.width, svg.height, [...document.querySelectorAll('main, #slider')].map((node) => node.offsetHeight),
                document.documentElement.scrollWidth - innerWidth];
        })()""")
        self.assertIn('Does not fit: 1 gap is too narrow for the 3.175 mm bit', shown[0])
        self.assertIn(words, shown[0])
        self.assertIn('Take the bit', shown[0])
        self.assertGreater(min(shown[1:3]), 200)
        self.assertEqual(shown[3], [0, 0])
        self.assertLessEqual(shown[4], 0)

    def write_page(self):
        self.write('bell.svg', dumbbell(2))
        result = self.run_here('check', 'bell.svg', '--cut', 'inside', '--bit', '1/8in', '-o', 'out')
        self.assertLess(result.status, 2, result.talk)
        return self.path('out', 'page.html')

    def test_without_scripts(self):
        page = self.write_page()
        self.browser.call('Emulation.setScriptExecutionDisabled', value=True)
        try:
            for width in (1280, 400):
                self.browser.size(width, 900)
                self.browser.open(page)
                self.assert_still(self.browser, 'Without JavaScript')
        finally:
            self.browser.call('Emulation.setScriptExecutionDisabled', value=False)

    def test_without_webassembly(self):
        page = self.write_page()
        other = browser.Browser('--js-flags=--jitless')
        try:
            other.open(page)
            other.wait("!!document.querySelector('#still svg')")
            self.assertEqual(other.js('typeof WebAssembly'), 'undefined')
            self.assert_still(other, 'no WebAssembly')
            self.assertEqual(other.console, [])
            case.shot(other, 'still')
        finally:
            other.close()

    def test_scripts_that_do_not_run_at_all(self):
        """A browser too old for the page's language, which a fault at the beginning stands for."""
        page = self.write_page()
        with open(page, encoding='utf-8') as file:
            text = file.read()
        with open(page, 'w', encoding='utf-8') as file:
            file.write(text.replace('<script>', '<script>;(;', 1))
        self.browser.open(page)
        self.browser.wait("!!document.querySelector('#still svg')")
        self.assert_still(self.browser, 'cannot run this page')
        self.browser.console.clear()


if __name__ == '__main__':
    case.main()
