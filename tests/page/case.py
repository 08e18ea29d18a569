"""A test with page.html in a real browser. Where NARROWS_TEST_SHOTS is set, screenshots go to SHOTS, for
people to look at.

The tests are skipped with a message where chromium or the page is missing."""
import base64
import json
import os
import shlex
import shutil
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), '..', 'command'))
import browser  # noqa: E402
import program  # noqa: E402
from program import ALL, SAMPLES, Case, seldom  # noqa: E402, F401

SHOTS = os.environ.get('SHOTS', '/tmp')
ANSWERS = 'Number(document.documentElement.dataset.answers || 0)'
FORMS = ['pinch', 'stub', 'miss']
# What is wider than the panel, or holds words that are wider than itself.
CUT_OFF = """(() => {
    const { right } = by('controls').getBoundingClientRect(), pen = document.createElement('canvas').getContext('2d');
    return [...document.querySelectorAll('#controls *')].filter((one) => one.checkVisibility() && !one.closest('#rack, .held, table, svg')).filter((one) => {
        if (one.type === 'text') pen.font = getComputedStyle(one).font;
        return one.getBoundingClientRect().right > right + 1 || (one.type === 'text' && pen.measureText(one.value || one.placeholder).width + 12 > one.clientWidth);
    }).map((one) => one.id || one.outerHTML.slice(0, 90)); })()"""

# The page's answer in the words and with the digits of spots.json (nw_text_number: six decimals).
AS_JSON = '''(() => {
    const { result: r, cutName, bit, neck } = state.answer;
    const n = (x) => Number(x.toFixed(6)) + 0;
    const known = (x) => x < 0 ? null : n(x);
    return { size: state.shape.size.map(n), cut: cutName, bit: n(bit), least_neck: n(neck), fits: r.fits, doubts: r.unpaired,
        not_judged: Object.fromEntries(["texts", "pictures", "marks", "effects", "style_rules", "shadings"].map((name, k) => [name, data.doubts[k + 1]])),
        narrowest_gap: known(r.narrowestGap), narrowest_neck: known(r.narrowestNeck),
        spots: r.spots.map((s, k) => ({ id: k + 1, side: s.side, form: s.form, at: s.at.map(n), width: known(s.width),
            length: n(s.length), depth: known(s.depth), area: n(s.area), widen: known(s.widen) })),
        corners: { count: r.corners.count, deepest: n(r.corners.deepest), area: n(r.corners.area) },
        lifts: r.lifts.map((l) => ({ at: l.at.map(n), width: n(l.width) })),
        area: { cut: n(r.area.cut), reached: n(r.area.reached), unreached: n(r.area.unreached) },
        loose: r.loose.count, tabs: state.tabCount };
})()'''


def file_script(name, data):
    """An expression for a file."""
    return f'new File([Uint8Array.from(atob({base64.b64encode(data).decode()!r}), (letter) => letter.charCodeAt(0))], {json.dumps(name)})'


def drop_script(file):
    """Drops a file, an expression, on the page as a reader does."""
    return f'''(() => {{
        const dataTransfer = new DataTransfer();
        dataTransfer.items.add({file});
        by('job').dispatchEvent(new DragEvent('drop', {{ bubbles: true, cancelable: true, dataTransfer }}));
    }})()'''


def some(rows, every=3, first=0):
    """Every third of what is tried alike; all when NARROWS_TEST_ALL is set."""
    return rows if ALL else rows[first::every]


def sample_list(every=6, first=0):
    """Of the samples; tests that take others see more of them together."""
    return some(program.samples(), every, first)


def shot(browser, name):
    if os.environ.get('NARROWS_TEST_SHOTS'):
        browser.screenshot(os.path.join(SHOTS, f'{name}.png'))


class PageCase(Case):
    """A test with the browser that all of them share."""
    browser = None

    @classmethod
    def setUpClass(cls):
        if not PageCase.browser:
            PageCase.browser = browser.Browser()
        cls.browser = PageCase.browser

    def setUp(self):
        super().setUp()
        self.browser.console.clear()
        self.browser.requests.clear()
        self.browser.theme('light')
        self.browser.size(1280, 900)

    def tearDown(self):
        self.assertEqual(self.browser.console, [])
        self.assertEqual(self.browser.requests, [])

    def open(self, *names):
        self.browser.open(self.path(*names))
        self.browser.wait(f'{ANSWERS} > 0 && engine.idle && (data.before || !written.widened)')

    def check(self, *arguments):
        result = self.run_here('check', '-o', 'out', *arguments)
        self.assertLess(result.status, 2, result.talk)
        self.open('out', 'page.html')

    def after(self, action):
        """Does something and waits until the page has answered and has nothing left to ask."""
        before = self.browser.js(ANSWERS)
        action()
        self.browser.wait(f'{ANSWERS} > {before} && engine.idle')

    def js_after(self, script):
        self.after(lambda: self.browser.js(script))

    def set(self, name, value):
        self.js_after(f'''by({name!r}).value = {value!r};
                          by({name!r}).dispatchEvent(new Event('change', {{ bubbles: true }}))''')

    def found(self, *names):
        found = json.loads(self.read(*names))
        held = {name: found.pop(name, None) for name in ('islands', 'parts', 'tabs', 'stock', 'origin', 'bridges')}
        found['loose'] = len(held['islands'] or held['parts'] or [])
        found['tabs'] = len(held['tabs']['places']) if held['tabs'] else 0
        # What the picture cannot tell is the file's answer; the page has a drawing.
        del found['narrows'], found['art'], found['sure'], found['too_close'], found['notes']
        for spot in found['spots']:
            self.assertFalse(spot.pop('left')) # no choices were made
        return found

    def assert_near(self, one, other):
        """The same, but for numbers that may differ by 1e-5: sizes that were reached on two ways differ in
        their last bits, and areas of thousands of pieces then do by more."""
        if isinstance(one, dict):
            self.assertEqual(list(one), list(other))
            one, other = list(one.values()), list(other.values())
        if isinstance(one, list):
            self.assertEqual(len(one), len(other))
            for pair in zip(one, other):
                self.assert_near(*pair)
        elif isinstance(one, (int, float)) and not isinstance(one, bool):
            self.assertAlmostEqual(one, other, delta=1e-5)
        else:
            self.assertEqual(one, other)

    def run_shown(self, *more):
        """Runs what the page shows as its command, one after the other where there are several, the last one with more options."""
        *before, last = [shlex.split(command) for command in self.browser.js("by('command').textContent").split(' && ')]
        for name, command, *words in [*before, [*last[:2], *more, *last[2:]]]:
            self.assertEqual(name, 'narrows')
            result = self.run_here(command, *words)
            self.assertLess(result.status, 2, result.talk)

    def assert_same_as_command(self):
        """The command that the page shows gives what the page shows: to the last digit, unless the art
        was changed as well."""
        shutil.rmtree(self.path('out'))
        self.run_shown('-o', 'out')
        shown, found = self.browser.js(AS_JSON), self.found('out', 'spots.json')
        if self.browser.js('state.shape.factor === 1 && state.off.size === 0'):
            self.assertEqual(shown, found)
        else:
            self.assert_near(shown, found)

    def wait_for_ways(self):
        """Out of what is shown now."""
        root = 'document.documentElement.dataset'
        self.browser.wait(f"{root}.ways === {root}.answers && !by('help').inert")

    def assert_same_ways(self):
        """The ways out of what the page shows are those that the command prints."""
        self.wait_for_ways()
        shown = self.browser.js("[...by('ways').children].map((li) => li.firstChild.textContent)")
        words = shlex.split(self.browser.js("by('command').textContent"))
        printed = ' '.join(self.run_here(words[1], '-o', 'out', *words[2:]).text.split()).replace(' -o out', '')
        self.assertEqual(len(shown), 3)
        for number, line in enumerate(shown):
            self.assertIn(f'{number + 1}. {line}', printed)
        for line in self.browser.js("[...document.querySelectorAll('#ways code')].map((code) => code.textContent)"):
            self.assertIn(line, printed)

    def shot(self, name):
        shot(self.browser, name)

    def middle(self, selector):
        """Where to touch it, once it is there: what follows its place's size is drawn with the next frame."""
        self.browser.wait(f'!!document.querySelector({selector!r})')
        return self.browser.js(f'''(() => {{ const node = document.querySelector({selector!r});
            node.scrollIntoView({{ block: 'nearest' }});
            const box = node.getBoundingClientRect();
            return [box.x + box.width / 2, box.y + box.height / 2]; }})()''')

    def on_screen(self, x, y):
        return self.browser.js(f'''(() => {{ const p = new DOMPoint({x}, -({y}))
            .matrixTransform(by('view').getScreenCTM()); return [p.x, p.y]; }})()''')


def main():
    if not os.environ.get('NARROWS_PAGE'):
        print('1..0 # SKIP no page: clang, lld and wasi-libc were missing when narrows was built')
    elif not browser.CHROMIUM:
        print('1..0 # SKIP chromium is missing')
    else:
        os.makedirs(SHOTS, exist_ok=True)
        try:
            program.main()
        finally:
            if PageCase.browser:
                PageCase.browser.close()
