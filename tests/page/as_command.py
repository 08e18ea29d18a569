"""The page's engine and the command on samples and on art that nobody made for us (Debian's packages openclipart-png
and openclipart-svg, public domain): the same numbers, the same files to the last byte, those of widening and of
what is left where a piece goes too.

NARROWS_CORPUS=1 looks at 20 pictures and 20 drawings, NARROWS_CORPUS=N at N of each, in NARROWS_TEST_ART or
/usr/share/openclipart; otherwise there are the samples alone."""
import os
import random
import shlex
import shutil
import unittest

import case
from program import BAD, pixels, png
from whole import FILES, Whole

CLIP_ART = os.path.dirname(os.environ.get('NARROWS_TEST_ART', '/usr/share/openclipart/svg'))
ASKED = os.environ.get('NARROWS_CORPUS', '')
COUNT = int(ASKED) if ASKED.isdigit() and int(ASKED) > 1 else 20
CHOICE = {'wide': '120mm', 'cut': 'inside', 'bit': '1/8in'}
BESIDE = ['as-cut', 'bit-path']
FIXED = {'outline.svg': 'fixed.svg', 'outline.dxf': 'fixed.dxf'}


def clip_art(kind):
    """Every so many of all files, in the order of their names."""
    top = os.path.join(CLIP_ART, kind)
    found = sorted(os.path.join(folder, name) for folder, _, names in os.walk(top) for name in names if name.endswith(kind))
    step = max(1, len(found) // COUNT)
    return found[step // 2::step][:COUNT]


class Same(Whole):
    def setUp(self):
        super().setUp()
        self.files = 0

    def choose(self, choice):
        for name in ('stock', 'cut', 'bit', 'wide'):
            if self.browser.js(f'by({name!r}).value') != choice.get(name, ''):
                self.set(name, choice.get(name, ''))

    def taken(self, name, data):
        """Drops art; false, and the command refuses it too, where the page does."""
        self.browser.js("jobSay('')")
        before = self.browser.js(case.ANSWERS)
        with open(self.path(name), 'wb') as file:
            file.write(data)
        self.drop(name, data)
        self.browser.wait(f"job.engine.idle && ({case.ANSWERS} > {before} && engine.idle || by('job-said').className === 'bad' && by('job-said').textContent)")
        if self.browser.js(case.ANSWERS) > before:
            return True
        if 'up to 100 million' in self.browser.js("by('job-said').textContent"):
            return False  # as much as a page is given memory for
        asked = [word for option in CHOICE.items() for word in (f'--{option[0]}', option[1])]
        self.assertEqual(self.run_here('check', name, *asked, '-o', 'out').status, BAD, self.browser.js("by('job-said').textContent"))
        return False

    def assert_same_widened(self, remedies=''):
        command = self.browser.js("by('command').textContent").replace('narrows check', 'narrows widen') + remedies
        self.browser.js("jobSay('')")
        before = self.browser.js(case.ANSWERS)
        self.browser.js(f'jobWiden({command!r})')
        self.browser.wait(f"(!later.engine || later.engine.idle) && engine.idle && ({case.ANSWERS} > {before} || by('job-said').className === 'bad')")
        result = self.run_here(*shlex.split(command)[1:], '-o', 'wide')
        self.assertEqual(self.browser.js(case.ANSWERS) > before, result.status != BAD, result.talk)
        if result.status == BAD:
            return
        for name in ('outline.svg', 'outline.dxf'):
            self.assertEqual(self.file(name), self.read('wide', FIXED[name]).decode(), name)
            self.files += 1
        shutil.rmtree(self.path('wide'))

    def assert_same_lines(self):
        """The outlines with the outline as cut and the bit's path beside them."""
        for name in BESIDE:
            self.js_after(f'by({name!r}).click()')
        words = shlex.split(self.browser.js("by('command').textContent"))[1:]
        for name in ('outline.svg', 'outline.dxf'):
            result = self.run_here(*words, '-o', name)
            self.assertLess(result.status, BAD, result.talk)
            self.assertEqual(self.file(name), self.read(name).decode(), name)
            self.files += 1
        for name in BESIDE:
            self.js_after(f'by({name!r}).click()')

    def assert_same_without_a_piece(self):
        """The largest, which is taken back afterwards."""
        if self.browser.js('pieceCount') < 2:
            return
        leave = "document.querySelector('#pieces-list input').click()"
        self.js_after(leave)
        self.browser.wait('job.engine.idle && engine.idle')
        self.assertIn('--drop ', self.browser.js("by('command').textContent"))
        self.assert_same_files()
        self.files += len(FILES) + 1
        self.js_after(leave)
        self.browser.wait('job.engine.idle && engine.idle')

    def assert_same(self, name, data, choice, remedies=''):
        self.begin()
        if not self.taken(name, data):
            return
        self.choose(choice)
        self.assert_same_files()
        self.files += len(FILES) + 1
        self.assert_same_lines()
        self.assert_same_without_a_piece()
        if not self.browser.js('state.answer.result.fits'):
            self.assert_same_widened(remedies)


class Samples(Same):
    def test_samples(self):
        for picture, options in case.sample_list(every=12, first=8):
            with self.subTest(picture=picture):
                self.assert_same(picture, self.sample(picture), {name[2:]: value for name, value in zip(options[::2], options[1::2])})
        print(f'# {self.files} files are the same')


@unittest.skipUnless(os.environ.get('NARROWS_PAGE_POTRACE'), "the page was built without libpotrace's source")
class Rough(Same):
    def test_what_is_as_rough_as_noise_is(self):
        chance = random.Random(1)
        self.begin()
        self.assertTrue(self.taken('noise.png', png(pixels(40, 40, lambda x, y: chance.random() < 0.55))))
        self.choose(CHOICE)
        self.assert_same_files()
        self.assertIn('traced by libpotrace', self.browser.js("by('notes').textContent"))


@unittest.skipUnless(ASKED not in ('', '0'), 'takes minutes; NARROWS_CORPUS=1 runs it')
@unittest.skipUnless(os.path.isdir(CLIP_ART), 'the clip art of the packages openclipart-png and openclipart-svg is missing')
class ClipArt(Same):
    def assert_all_same(self, kind):
        found = clip_art(kind)
        self.assertGreaterEqual(len(found), COUNT)
        for number, path in enumerate(found):
            with self.subTest(path=path), open(path, 'rb') as file:
                self.assert_same(os.path.basename(path), file.read(), CHOICE, ' --stubs open --misses open' if number % 2 else '')
        print(f'# {self.files} files of {len(found)} {kind} are the same')

    def test_pictures(self):
        self.assert_all_same('png')

    def test_drawings(self):
        self.assert_all_same('svg')


if __name__ == '__main__':
    case.main()
