"""narrows.html in Firefox and in WebKit: the whole job from a dropped picture to files, as a user does it by mouse and keys,
the same bytes as the command's; and what Firefox prints.

Each is skipped with a message where the browser is missing."""
import functools
import os
import shlex
import subprocess
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), '..', 'command'))
import program  # noqa: E402
import png_kinds  # noqa: E402
import webdriver  # noqa: E402
from case import ANSWERS, CUT_OFF, SHOTS, drop_script, file_script, seldom, shot, some  # noqa: E402
from program import SAMPLES, Case, dumbbell  # noqa: E402

PAGE = os.environ.get('NARROWS_HTML', '')
DUMP, PICTURE_AS = os.environ.get('PICTURE_DUMP'), os.environ.get('PICTURE_AS')
SCREENS = {'desk': (1400, 900), 'tablet': (1024, 768), 'telephone': (400, 800)}
NARROWEST = 600  # window


class Other:
    """The tests, for a browser that make() starts."""
    browser = None

    @classmethod
    def setUpClass(cls):
        cls.browser = cls.make()

    @classmethod
    def tearDownClass(cls):
        cls.browser.close()

    def living(self, name, test, *words):
        """Runs a test as a subtest, anew in a new browser where the browser itself crashed: three crashes are the page's."""
        with self.subTest(name=name):
            for left in (2, 1, 0):
                try:
                    return test(*words)
                except webdriver.Died:
                    if not left:
                        raise
                    print(f'# {type(self).__name__} crashed: once more in a new one', flush=True)
                    self.browser.close()
                    type(self).browser = self.make()

    def begin(self, frame=None):
        """Twice, for the first time may bring back the art of the test before."""
        for _ in range(2):
            self.browser.open(PAGE, frame)
            self.browser.wait("'runs' in document.documentElement.dataset")
            self.browser.wait('(!engine || engine.idle) && (!job.engine || job.engine.idle)')
            self.browser.run('localStorage.clear()')
        self.browser.run('''window.faults = [];
            addEventListener('error', (event) => faults.push(String(event.message)));
            addEventListener('unhandledrejection', (event) => faults.push(String(event.reason)));''')

    def begin_on(self, screen):
        width, height = SCREENS[screen]
        self.begin()
        self.browser.size(max(width, NARROWEST), height)
        if width < NARROWEST:
            self.begin((width, height))
        self.assertEqual(self.browser.js('innerWidth'), width)

    def drop(self, name, data):
        with open(self.path(name), 'wb') as file:
            file.write(data)
        self.after(drop_script(file_script(name, data)))

    def after(self, action):
        self.answered(lambda: self.browser.run(action))

    def answered(self, action):
        before = self.browser.js(ANSWERS)
        action()
        self.browser.wait(f'{ANSWERS} > {before} && engine.idle && job.engine.idle')

    def set(self, name, value):
        self.after(f"by({name!r}).value = {value!r}; by({name!r}).dispatchEvent(new Event('change', {{ bubbles: true }}))")

    def file(self, name):
        self.browser.run(f"job.saved = null; document.querySelector('[data-file=\"{name}\"]').click()")
        self.browser.wait('!!job.saved')
        return self.browser.js('job.saved.content')

    def sample(self, name):
        with open(os.path.join(SAMPLES, name), 'rb') as file:
            return file.read()

    def on_screen(self, x, y):
        return self.browser.js(f'''(() => {{ const p = new DOMPoint({x}, -({y})).matrixTransform(by('view').getScreenCTM()); return [p.x, p.y]; }})()''')

    def art(self, name, kind):
        """A drawing, a sample, or the sample heron in another format."""
        if name == 'drawn.svg':
            return dumbbell(1.5)
        if not kind:
            return self.sample(name)
        pixels = subprocess.run([DUMP, 'pixels', os.path.join(SAMPLES, 'heron.png')], stdout=subprocess.PIPE, check=True).stdout
        return subprocess.run([PICTURE_AS, kind], input=pixels, stdout=subprocess.PIPE, check=True).stdout

    def in_sight(self, selector):
        """Its middle, on the screen."""
        return self.browser.js(f"""(() => {{
            const control = document.querySelector({selector!r});
            for (let step = control; (step = step.parentElement.closest('details'));) step.open = true;
            control.scrollIntoView({{ block: 'center' }});
            const {{ left, top, width, height }} = control.getBoundingClientRect();
            return [left + width / 2, top + height / 2];
        }})()""")

    def press(self, selector):
        """By the mouse, once it is in sight."""
        self.browser.pointer('mouse', self.in_sight(selector))

    def assert_stays_under_the_pointer(self, selector):
        """While a list above it, the ways out, grows."""
        ways = lambda count: self.browser.run(f"later.engine.worker.onmessage({{ data: {{ what: 'ways', ways: Array({count}).fill(['Another way', '']), room: '' }} }})")
        place = lambda: self.browser.js(f'document.querySelector({selector!r}).getBoundingClientRect().top')
        self.browser.wait('!later.engine || later.engine.idle')
        ways(0)
        self.browser.hover(self.in_sight(selector))
        before = place()
        ways(9)
        self.assertGreater(self.browser.js("by('ways-out').clientHeight"), 100)
        self.assertAlmostEqual(place(), before, delta=1)

    def type(self, selector, words):
        self.press(selector)
        self.browser.run(f'document.querySelector({selector!r}).select()')
        for letter in words:
            self.browser.key(letter)
        self.answered(lambda: self.browser.key('Tab'))

    def assert_same_files(self, *pairs):
        """The page's files are those that the command that it shows writes: names here and there."""
        words = shlex.split(self.browser.js("by('command').textContent"))[1:]
        if '-o' not in words:
            words += ['-o', 'out']
        result = self.run_here(*words)
        self.assertLess(result.status, 2, result.talk)
        for name, written in pairs:
            self.assertEqual(self.file(name), self.read(words[words.index('-o') + 1], written).decode(), written)

    def from_a_dropped_picture_to_files(self, name, kind, wide, screen):
        self.begin_on(screen)
        self.drop(name, self.art(name, kind))
        self.type('#wide', wide)
        self.answered(lambda: self.press('.rack-bit[data-bit="2"] text'))
        self.assert_stays_under_the_pointer('#tabs')
        self.answered(lambda: self.press('#tabs'))
        words = self.browser.js("by('command').textContent")
        for said in (f'--wide {wide}', '--bit 2mm', '--tabs auto', name):
            self.assertIn(said, words)
        self.assert_same_files(*[[written] * 2 for written in ('outline.svg', 'outline.dxf', 'spots.csv', 'marked.svg')])
        self.browser.wait("!by('help').inert")
        self.answered(lambda: self.press('#help button'))
        self.assertIn(f'--wide {wide}', self.browser.js("by('command').textContent"))
        shot(self.browser, f'{type(self).__name__}-{name}-{screen}')
        self.assert_same_files(('outline.svg', 'fixed.svg'), ('outline.dxf', 'fixed.dxf'))
        self.assertEqual(self.browser.js('faults'), [])

    def test_from_a_dropped_picture_to_files(self):
        for job in some([('heron.png', '', '240mm', 'desk'), ('heron.jpg', 'jpeg', '200mm', 'tablet'), ('turned.jpg', 'turned', '180mm', 'telephone'),
                         ('heron.webp', 'webp', '160mm', 'tablet'), ('drawn.svg', '', '120mm', 'desk')], every=5, first=self.first):
            self.living(job[0], self.from_a_dropped_picture_to_files, *job)

    def test_pngs_of_every_kind(self):
        """The pixels of their files, which no canvas gives back."""
        self.living('kinds', lambda: self.begin() or self.assertEqual(png_kinds.read_otherwise(self.browser.js, self.folder), []))

    def touch_and_keys(self, screen):
        self.begin_on(screen)
        self.drop('heron.png', self.sample('heron.png'))
        shot(self.browser, f'{type(self).__name__}-{screen}')
        self.assertLessEqual(self.browser.js('document.documentElement.scrollWidth - innerWidth'), 0)
        share = self.browser.js("(({ width, height }) => width * height / innerWidth / innerHeight)(by('frame').getBoundingClientRect())")
        self.assertGreater(share, .6)
        self.browser.pointer('mouse', self.on_screen(-4, 50))  # beside the art: keys go where the pointer was
        self.browser.run("by('view').focus()")
        self.browser.key('n')
        self.browser.wait('state.selected === 0')
        self.browser.key('Escape')
        self.browser.wait('state.selected === -1')
        self.browser.run("view.whole(); by('ruler').click()")
        self.browser.pointer('mouse', self.on_screen(30, 20), self.on_screen(50, 40))
        shot(self.browser, f'{type(self).__name__}-{screen}-ruler')
        self.browser.wait("/Apart: (2[5-9]|3[01])/.test(by('here').textContent)")
        self.browser.run("document.querySelectorAll('#controls details').forEach((part) => { part.open = true; })")
        self.assertEqual(self.browser.js(CUT_OFF), [])
        self.assertEqual(self.browser.js('faults'), [])

    def test_touch_keys_and_screens(self):
        for screen in some(list(SCREENS), first=2):
            self.living(screen, self.touch_and_keys, screen)


@program.unittest.skipUnless(webdriver.FIREFOX and PAGE, 'firefox is missing')
class Firefox(Other, Case):
    make, first = webdriver.Firefox, 4

    def test_the_paper(self):
        """Firefox lays out nothing that is shown on paper alone unless it was asked where it is."""
        self.begin()
        self.drop('heron.png', self.sample('heron.png'))
        self.set('wide', '240mm')
        self.browser.run('printPrepare()')
        path = os.path.join(SHOTS, 'firefox.pdf')
        self.browser.pdf(path, background=True)
        tiles = self.browser.js("document.querySelectorAll('.tile').length")
        for page in range(1, tiles + 2):
            done = subprocess.run(['pdftoppm', '-gray', '-r', '30', '-f', str(page), '-l', str(page), path], stdout=subprocess.PIPE, check=True)
            kind, wide, high, _ = done.stdout.split(maxsplit=4)[:4]
            pixels = done.stdout[-int(wide) * int(high):]
            self.assertGreater(sum(pixel < 240 for pixel in pixels) / len(pixels), .02, f'page {page} of {tiles + 1} is blank')


@program.unittest.skipUnless(webdriver.WEBKIT and PAGE, 'WebKitWebDriver, its MiniBrowser or Xvfb is missing')
class WebKit(Other, Case):
    make, first = webdriver.WebKit, 2


class Dark:
    """Colours apart the page is the same; that they are legible is seen of both in look.py."""

    def test_colours_for_the_dark(self):
        self.begin()
        self.assertTrue(self.browser.js("matchMedia('(prefers-color-scheme: dark)').matches"))


@seldom
class FirefoxDark(Dark, Firefox):
    make = functools.partial(webdriver.Firefox, dark=True)


@seldom
class WebKitDark(Dark, WebKit):
    make = functools.partial(webdriver.WebKit, dark=True)


if __name__ == '__main__':
    os.makedirs(SHOTS, exist_ok=True)
    program.main()
