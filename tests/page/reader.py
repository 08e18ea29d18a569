"""page.html in a real browser: it answers as the command does, to the last digit, and obeys slider,
list, keyboard, theme and a small screen.

Skipped with a message where chromium or the page is missing."""
import os
import shlex
import shutil

import case
from case import ANSWERS, AS_JSON, FORMS, PageCase, sample_list, some
import program
from program import SAMPLES, dumbbell, run, svg


class Samples(PageCase):
    """check's, bits' and widen's pages of every sample say what the command says, to the last digit."""

    def assert_as_check(self, folder, *arguments, same=None):
        same = same or self.assertEqual
        result = run('check', '-o', self.path('found'), *arguments)
        self.assertLess(result.status, 2, result.talk)
        self.open(folder, 'page.html')
        same(self.browser.js(AS_JSON), self.found('found', 'spots.json'))
        verdict = self.browser.js("by('verdict').textContent")
        self.assertEqual(' '.join(result.text.split())[:len(verdict)], verdict)

    def milliseconds(self, question):
        """The least that one of a few answers took in the engine."""
        times = []
        for factor in ('1.01', '1 / 1.01') * 2:
            self.js_after(f"change({{ bit: `${{state.bit * {factor}}}mm` }}); engine.ask({question})")
            times.append(self.browser.js('state.answer.result.milliseconds'))
        return min(times)

    def test_check(self):
        times = []
        for picture, options in sample_list():
            with self.subTest(picture=picture):
                art = os.path.join(SAMPLES, picture)
                run('check', art, *options, '-o', self.path(picture[:-4]))
                self.assert_as_check(picture[:-4], art, *options)
                self.shot(f'sample-{picture[:-4]}')
                rest, moving = self.milliseconds('fitQuestion(0)'), self.milliseconds('fitQuestion(view.pixel / 4)')
                times.append(f'{picture} {moving:.0f} of {rest:.0f} ms')
        print('# a fit in the page while the slider moves, and from scratch: ' + ', '.join(times))

    def test_bits(self):
        for picture, options in sample_list(every=12):
            with self.subTest(picture=picture):
                at = options.index('--bit')
                art, rest = os.path.join(SAMPLES, picture), options[:at] + options[at + 2:]
                run('bits', art, *rest, '-o', self.path(picture[:-4]))
                self.open(picture[:-4], 'page.html')
                words = shlex.split(self.browser.js("by('command').textContent"))
                self.assert_as_check(picture[:-4], *words[2:])

    def test_widen(self):
        for picture, options in sample_list(every=12, first=2):
            with self.subTest(picture=picture):
                run('widen', os.path.join(SAMPLES, picture), *options, '-o', self.path(picture[:-4]))
                self.open(picture[:-4], 'page.html')
                words = shlex.split(self.browser.js("by('command').textContent"))
                self.assertEqual([*words[:2], *words[-3:]], ['narrows', 'widen', '-o', self.path(picture[:-4]), os.path.join(SAMPLES, picture)])
                asked = [word for name, value in zip(options[::2], options[1::2]) if name != '--wide' for word in (name, value)]
                self.assert_as_check(picture[:-4], self.path(picture[:-4], 'fixed.svg'), *asked)


class Reader(PageCase):
    def setUp(self):
        super().setUp()
        self.write('bell.svg', dumbbell(2))

    def test_the_slider_by_keyboard(self):
        self.check('bell.svg', '--cut', 'inside', '--bit', '1.5mm')
        self.assertTrue(self.browser.js('state.answer.result.fits'))
        self.browser.js("by('slider').focus()")
        for _ in range(120):
            self.browser.key('ArrowRight')
        self.browser.wait('state.bit > 2.1 && engine.idle')
        self.assertFalse(self.browser.js('state.answer.result.fits'))
        self.assertIn('Does not fit: 1 gap', self.browser.js("by('verdict').textContent"))
        self.assert_same_as_command()

    def test_a_bit_of_the_rack(self):
        self.check('bell.svg', '--cut', 'inside', '--bit', '1.5mm')
        self.after(lambda: self.browser.click(*self.middle('#rack [data-bit="3.175"] .hit')))
        self.assertEqual(self.browser.js('state.bit'), 3.175)
        self.assert_same_as_command()

    def test_size_cut_and_neck_can_be_changed(self):
        self.check('bell.svg', '--cut', 'inside', '--bit', '1/8in', '--high', '50mm')
        self.set('wide', '4 5/8in')
        self.assertAlmostEqual(self.browser.js('state.shape.size[0]'), 117.475)
        self.set('cut', 'outside')
        self.set('neck', '5mm')
        self.set('bit', '1/4in')
        self.assert_same_as_command()
        self.assert_same_ways()
        command = self.browser.js("by('command').textContent")
        self.assertNotIn('--high', command)
        for words in ("--wide '4 5/8in'", '--cut outside', '--neck 5mm', '--bit 1/4in'):
            self.assertIn(words, command)
        self.js_after("by('again').click()")
        self.assertNotIn('--wide', self.browser.js("by('command').textContent"))
        self.assert_same_as_command()

    def test_a_sheet_with_edges_and_tabs(self):
        self.check('bell.svg', '--cut', 'outside', '--bit', '3mm', '--stock-size', '150mm,70mm', '--margin', '2mm',
                   '--tabs', '4')
        self.assertEqual(self.browser.js("document.querySelector('.tab').getAttribute('d').match(/M/g).length"), 4)
        self.assert_same_as_command()
        self.set('bit', '4mm')
        self.assert_same_as_command()
        self.browser.js("by('bit').value = '40mm'; by('bit').dispatchEvent(new Event('change'))")
        self.browser.wait("by('wrong').textContent.includes('the sheet is too small; stock needed')")

    def test_tabs_are_switched_on_and_off(self):
        self.check('bell.svg', '--cut', 'inside', '--bit', '3mm', '--wide', '240mm')
        self.js_after("by('tabs').click()")
        self.assertIn('--tabs auto', self.browser.js("by('command').textContent"))
        self.assertGreater(self.browser.js('state.tabCount'), 0)
        self.assert_same_as_command()
        drawn = [text.count('#009e73') for text in (self.browser.js('printDrawing()'), self.read('out', 'marked.svg').decode())]
        self.assertEqual(drawn[0], drawn[1])
        self.assertGreaterEqual(drawn[0], self.browser.js('state.tabCount'))
        self.set('cut', 'pocket')
        self.assertNotIn('--tabs', self.browser.js("by('command').textContent"))
        self.assert_same_as_command()

    def test_inches(self):
        self.check('bell.svg', '--cut', 'inside', '--bit', '1/8in', '--inch')
        fields = "['bit', 'neck', 'wide'].map((id) => `${by(id).value} ${by(id + '-unit').textContent}`)"
        self.assertEqual(self.browser.js(fields), ['1/8 in', '1/8 in', '4.72 in'])
        self.assertEqual(self.browser.js("by('bit-shown').textContent"), '0.1250 in (1/8)')
        for words, shown, given in (('1/16', '1/16 in', '1/16in'), ('0.2', '0.2 in (13/64 \u2212 0.0031)', '0.2in'),
                                    ('3 mm', '0.1181 in (1/8 \u2212 0.0069)', "'3 mm'"), ('1/4in', '1/4 in', '1/4in')):
            with self.subTest(words=words):
                self.set('bit', words)
                self.assertEqual(self.browser.js(fields)[0], shown)
                self.assertIn(f'--bit {given}', self.browser.js("by('command').textContent"))
                self.assert_same_as_command()
        self.js_after("by('slider').value = 300; by('slider').dispatchEvent(new Event('input'))")
        self.browser.wait('state.answer.skip === 0')
        self.assertRegex(self.browser.js("by('command').textContent"), r'--bit [0-9./]+in\b')
        self.assert_same_as_command()
        self.browser.mouse('mouseMoved', *self.on_screen(60, 19.5))
        self.browser.wait("by('here').textContent.includes('Largest circle here: 0.0787 in (5/64 + 0.0006)')")

    def test_the_command_is_copied(self):
        """As it is with a clipboard, and in browsers that give none to a page from disk."""
        self.check('bell.svg', '--cut', 'inside', '--bit', '1/8in')
        self.set('bit', '2.5mm')
        self.browser.js("for (const name of ['take', 'size']) by(`step-${name}`).open = true")
        command = self.browser.js("by('command').textContent")
        for clipboard in ('', "Object.defineProperty(navigator, 'clipboard', { value: undefined })"):
            with self.subTest(clipboard=clipboard):
                self.browser.wait("by('copy').textContent === 'Copy'")
                self.browser.js(f"{clipboard}; by('copy').focus()")
                self.browser.key('Enter')
                self.browser.wait("by('copy').textContent === 'Copied'")
                self.browser.js("by('neck').value = ''; by('neck').focus()")
                self.browser.call('Input.dispatchKeyEvent', type='keyDown', key='v', modifiers=2, commands=['paste'])
                self.browser.wait("by('neck').value !== ''")
                self.assertEqual(self.browser.js("by('neck').value"), command)

    def test_names_of_bits_keep_apart(self):
        bits = '\n'.join(f'number {k}, {0.8 + 0.11 * k}mm' for k in range(60))
        self.write('many', bits.encode())
        for width, rack in ((1280, []), (400, []), (400, ['--rack', 'many'])):
            with self.subTest(width=width, rack=rack):
                self.browser.size(width, 900)
                self.check('bell.svg', '--cut', 'inside', '--bit', '3mm', *rack)
                self.browser.wait("document.querySelectorAll('#rack text').length > 9")
                # Slanted lines of text: what lies between two of them, across.
                gaps = self.browser.js('''(() => {
                    const at = [...document.querySelectorAll('#rack text')].map((t) => Number(/translate\\(([-\\d.]+)/.exec(t.getAttribute('transform'))[1]));
                    return at.slice(1).map((x, k) => (x - at[k]) * Math.sin(RACK.slant * Math.PI / 180));
                })()''')
                self.assertGreater(min(gaps), self.browser.js('RACK.size'))

    def test_nonsense_is_refused_in_words(self):
        self.check('bell.svg', '--cut', 'inside', '--bit', '1/8in')
        self.wait_for_ways()
        answers = self.browser.js(ANSWERS)
        self.assertEqual(answers, 1, 'it is worked out once')
        self.browser.js("by('bit').value = 'wide'; by('bit').dispatchEvent(new Event('change'))")
        self.assertIn("'wide' is not a length", self.browser.js("by('wrong').textContent"))
        self.assertEqual(self.browser.js("by('bit').getAttribute('aria-invalid')"), 'true')
        self.assertEqual(self.browser.js(ANSWERS), answers)

    def test_the_list_jumps_to_the_place(self):
        self.check('bell.svg', '--cut', 'inside', '--bit', '1/8in')
        self.assertEqual(self.browser.js("by('spots').children.length"), 1)
        self.browser.click(*self.middle('#spots button'))
        self.browser.wait('state.selected === 0')
        place = self.browser.js('[view.x, view.y, ...state.answer.result.spots[0].at]')
        self.assertEqual(place[:2], place[2:])
        self.assertEqual(self.browser.js("document.querySelector('#spots button').getAttribute('aria-current')"), 'true')
        self.assertLess(self.browser.js("view.height"), 62)

    def test_the_chosen_spot_is_seen_in_the_list(self):
        art = os.path.join(SAMPLES, 'heron.png')
        self.check(art, '--wide', '240mm', '--cut', 'inside', '--bit', '1/8in')
        for _ in range(17):
            self.browser.key('n') if self.browser.js("document.activeElement.id") == 'view' else self.browser.js("by('view').focus()")
        self.browser.wait('state.selected >= 15 && engine.idle')
        top, bottom, high = self.browser.js('''(() => { const b = document.querySelector('#spots [aria-current=true]').getBoundingClientRect();
            return [b.top, b.bottom, innerHeight]; })()''')
        self.assertGreater(top, 0)
        self.assertLessEqual(bottom, high)

    def test_keys_in_the_drawing(self):
        self.check('bell.svg', '--cut', 'inside', '--bit', '1/8in')
        self.browser.js("by('view').focus()")
        height, x = self.browser.js('[view.height, view.x]')
        self.browser.key('+')
        self.browser.key('ArrowRight')
        self.assertLess(self.browser.js('view.height'), height)
        self.assertGreater(self.browser.js('view.x'), x)
        self.browser.key('0')
        self.assertEqual(self.browser.js('[view.height, view.x]'), [height, x])
        self.browser.key('n')
        self.browser.wait('state.selected === 0')
        self.assertEqual(self.browser.js('document.activeElement.id'), 'view')

    def test_ways_out_of_what_was_shown_before_are_pale(self):
        self.check('bell.svg', '--cut', 'inside', '--bit', '1/8in')
        pale = "['help', 'ways-out'].map((id) => getComputedStyle(by(id)).opacity < .6)"
        self.browser.wait("!by('help').inert")
        self.assertEqual(self.browser.js(pale), [False, False])
        self.browser.js('waysStale()')
        self.assertEqual(self.browser.js(pale), [True, True])

    def test_a_window_that_changes_shows_what_it_showed(self):
        self.check('bell.svg', '--cut', 'inside', '--bit', '1/8in')
        seen = '''(() => { const [art, all] = [view.layers.outline, view.svg].map((node) => node.getBoundingClientRect());
            return all.left < art.left && art.right < all.right && all.top < art.top && art.bottom < all.bottom; })()'''
        self.browser.size(1000, 900)
        self.browser.wait('innerWidth === 1000')
        self.browser.wait(seen)
        self.browser.js("by('view').focus()")
        self.browser.key('ArrowRight') # from here on, the reader's own place
        x = self.browser.js('view.x')
        self.browser.size(1280, 900)
        self.browser.wait('innerWidth === 1280 && !view.all')
        self.assertEqual(self.browser.js('view.x'), x)

    def test_the_circle_under_the_pointer(self):
        self.check('bell.svg', '--cut', 'inside', '--bit', '1/8in')
        self.browser.mouse('mouseMoved', *self.on_screen(60, 19.5))
        self.browser.wait("by('pointer').textContent.includes('Largest')")
        words = self.browser.js("by('pointer').textContent")
        self.assertIn('Largest circle here: 2.00 mm', words)
        self.assertIn('does not cut', words)
        self.browser.mouse('mouseMoved', *self.on_screen(2, 20))
        self.browser.wait("/ (39.99|40.00) mm/.test(by('pointer').textContent)")
        self.assertIn('bit cuts this place', self.browser.js("by('pointer').textContent"))

    def test_nothing_hides_a_spots_number(self):
        """Neither another number nor the buttons in the frame, at any size of it."""
        self.write('comb.svg', svg('<rect y="55" width="60" height="60"/>' + ''.join(f'<rect x="{x}" width="1" height="8"/>' for x in range(61, 200, 6)), 200, 115))
        for width, phone in ((1280, False), (820, True), (400, True)):
            with self.subTest(width=width):
                self.browser.size(width, 900, phone)
                self.check('comb.svg', '--cut', 'inside', '--bit', '1/8in')
                boxes = self.browser.js('''[...document.querySelectorAll('.spot'), ...document.querySelectorAll('#frame button')]
                    .filter((node) => node.style.display !== 'none').map((node) => {
                        const b = (node.querySelector('.balloon') || node).getBoundingClientRect(); return [b.left, b.top, b.right, b.bottom]; })''')
                self.assertGreater(len(boxes), 8)
                hidden = [(a, b) for k, a in enumerate(boxes[:-3]) for b in boxes[k + 1:]
                          if min(a[2], b[2]) - max(a[0], b[0]) > 1 and min(a[3], b[3]) - max(a[1], b[1]) > 1]
                self.assertEqual(hidden, [])

    def test_layers_are_switched(self):
        self.check('bell.svg', '--cut', 'inside', '--bit', '1/8in')
        self.browser.js("by('show').open = true")
        for layer in ('outline', 'reach', 'lost'):
            shown = f"view.layers.{layer}.style.display"
            self.assertEqual(self.browser.js(shown), '')
            self.browser.click(*self.middle(f'[data-layer={layer}]'))
            self.assertEqual(self.browser.js(shown), 'none')

    def test_themes_differ_and_read_well(self):
        self.check('bell.svg', '--cut', 'inside', '--bit', '1/8in')
        looks = {}
        for theme in ('light', 'dark'):
            self.browser.theme(theme)
            looks[theme] = self.browser.js('''['color', 'background-color'].map((name) =>
                getComputedStyle(document.body)[name].match(/\\d+/g).slice(0, 3).map(Number))''')
            for selector in ('#verdict', '#subject', '#bit-shown', '#caution', '#command'):
                self.assertGreater(self.contrast(selector), 4.5, f'{theme} {selector}')
            self.shot(f'theme-{theme}')
        self.assertNotEqual(looks['light'], looks['dark'])

    def contrast(self, selector):
        """WCAG 2.1, 1.4.3, of a text on the first ground behind it that is not transparent."""
        colours = self.browser.js(f'''(() => {{
            let node = document.querySelector({selector!r});
            const text = getComputedStyle(node).color;
            const clear = (n) => /rgba\\(.*, 0\\)/.test(getComputedStyle(n).backgroundColor);
            while (clear(node)) node = node.parentElement;
            return [text, getComputedStyle(node).backgroundColor].map((c) => c.match(/[\\d.]+/g).slice(0, 3).map(Number));
        }})()''')

        def luminance(colour):
            parts = [c / 255 for c in colour]
            parts = [c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
            return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2]
        light, dark = sorted(map(luminance, colours), reverse=True)
        return (light + 0.05) / (dark + 0.05)

    def test_a_telephone(self):
        self.browser.size(400, 800, phone=True)
        self.check('bell.svg', '--cut', 'inside', '--bit', '1/8in')
        self.assertLessEqual(self.browser.js('document.documentElement.scrollWidth'), 400)
        wrong = self.browser.js('''[...document.querySelectorAll('header *, main *')].filter((node) => {
            const box = node.getBoundingClientRect();
            return !node.closest('svg') && node.checkVisibility() && box.width && (box.left < -1 || box.right > 401);
        }).map((node) => node.id || node.tagName + ' ' + node.textContent)''')
        self.assertEqual(wrong, [])
        self.shot('telephone')


class Pieces(PageCase):
    def test_a_piece_is_clicked_off(self):
        self.write('three.svg', svg('<rect x="5" y="5" width="30" height="30"/>'
                                    '<rect x="45" y="5" width="1" height="40"/><circle cx="80" cy="25" r="15"/>'))
        for more in ([], ['--drop', '2'], ['--wide', '90mm']):
            with self.subTest(more=more):
                self.check('three.svg', '--cut', 'inside', '--bit', '1/8in', *more)
                self.after(lambda: self.browser.click(*self.on_screen(*self.browser.js(
                    '(() => { const [w, h] = state.shape.size; return [w * .1, h / 2]; })()'))))
                self.assertEqual(self.browser.js('state.off.size'), 1 + ('--drop' in more))
                self.assertRegex(self.browser.js("by('command').textContent"), '--drop [1-3]')
                self.assert_same_as_command()

    def test_pieces_of_widened_outlines(self):
        self.write('two.svg', svg('<rect x="45" y="5" width="1" height="40"/><circle cx="80" cy="25" r="15"/>'))
        result = self.run_here('widen', 'two.svg', '--cut', 'inside', '--bit', '1/8in', '--misses', 'open', '-o', 'fixed')
        self.assertLess(result.status, 2, result.talk)
        self.open('fixed', 'page.html')
        self.browser.js("by('pieces').open = true")
        self.after(lambda: self.browser.click(*self.middle('#pieces-list input')))
        self.assertEqual(self.browser.js('state.off.size'), 1)
        self.run_here('check', 'two.svg', '--cut', 'inside', '--bit', '1mm', '-o', 'out')
        self.assert_same_as_command()

    def test_a_finger_measures_and_may_leave_a_piece_out(self):
        self.write('two.svg', svg('<rect x="45" y="5" width="10" height="40"/><circle cx="80" cy="25" r="15"/>'))
        self.browser.size(400, 800, phone=True)
        self.browser.call('Emulation.setTouchEmulationEnabled', enabled=True)
        self.check('two.svg', '--cut', 'inside', '--bit', '1/8in')
        x, y = self.on_screen(5, 20)
        self.browser.call('Input.dispatchTouchEvent', type='touchStart', touchPoints=[{'x': x, 'y': y}])
        self.browser.call('Input.dispatchTouchEvent', type='touchEnd', touchPoints=[])
        self.browser.wait("by('here').textContent.includes('Largest circle here: 10.00 mm')")
        self.assertEqual(self.browser.js('state.off.size'), 0)
        self.after(lambda: self.browser.js("by('leave').click()"))
        self.browser.call('Emulation.setTouchEmulationEnabled', enabled=False)
        self.assertEqual(self.browser.js('state.off.size'), 1)
        self.assert_same_as_command()

    def test_a_piece_of_a_picture(self):
        shutil.copy(os.path.join(SAMPLES, 'sign.png'), self.path('sign.png'))
        self.check('sign.png', '--wide', '420mm', '--cut', 'pocket', '--bit', '1/8in')
        pieces = self.browser.js('pieceCount')
        self.assertGreater(pieces, 3)
        for piece in (1, pieces - 1):
            self.js_after(f'''document.querySelector('.ink[data-piece="{piece}"]').dispatchEvent(new MouseEvent('click', {{ bubbles: true }}))''')
        self.assertEqual(self.browser.js('state.off.size'), 2)
        self.assert_same_as_command()

    def test_the_picture_lies_behind_the_drawing(self):
        """An L whose corners are known in pixels, and where they come to lie."""
        def is_ink(x, y):
            return 30 < x < 60 and 20 < y < 100 or 30 < x < 130 and 80 < y < 100
        self.write('l.png', program.png(program.pixels(160, 120, is_ink)))
        for turn in ([], ['--turn', '90'], ['--mirror'], ['--turn', '30', '--mirror']):
            with self.subTest(turn=turn):
                self.check('l.png', '--wide', '100mm', '--cut', 'inside', '--bit', '1mm', *turn)
                apart = self.browser.js('''(() => {
                    const [a, b, c, d, e, f] = doublesOf(data.picture.place);
                    const ends = paths[0].steps.flatMap((s) => [[s[5], s[6]], ...(s[0] ? [[s[1], s[2]], [s[3], s[4]]] : [])]);
                    return [[30, 20], [60, 20], [130, 80], [130, 100], [30, 100]].map(([u, v]) => {
                        const x = a * u + c * v + e, y = b * u + d * v + f;
                        return Math.min(...ends.map((p) => Math.hypot(p[0] - x, p[1] - y))) / Math.hypot(a, b);
                    });
                })()''')
                self.assertLess(max(apart), 1.5)  # pixels; tracing may round a corner a little


class Strangers(PageCase):
    def test_names_cannot_become_markup(self):
        folder = 'a<', 'script><script>window.strange = 1<'
        os.makedirs(self.path(*folder))
        art = '/'.join(folder) + "/script><img src=x onerror='window.strange = 2'>&quot;\".svg"
        self.write(art, svg('<path id="&lt;/script>&lt;script>window.strange=3&lt;/script>" d="M0 0H9" '
                            'stroke="red" fill="none"/><rect width="40" height="30"/><rect x="60" width="40" height="30"/>'))
        self.check(art, '--cut', 'inside', '--bit', '1/8in')
        self.assertIsNone(self.browser.js('window.strange'))
        self.assertEqual(self.browser.js("document.querySelectorAll('img, iframe').length"), 0)
        self.assertEqual(self.browser.js('data.art'), art)
        self.assertIn('onerror', self.browser.js('document.title'))
        self.assert_same_as_command()

    def test_names_that_are_hard_to_quote(self):
        """Ends of lines of every kind, quotes, what shells expand, ends of elements; also on the paper and in the
        drawing for browsers without WebAssembly."""
        for name in some(['\'"`$(touch x)${HOME}!1', 'a\u2028b\u2029c\u0085', 'a\nb', '</noscript><img src=x onerror=window.strange=4>', 'a\tb', '<!--<script>',
                          'a\\u003cb%00?#', '&lt;img src=x>', ']]>']):
            with self.subTest(name=name):
                art = name + '.svg'
                os.makedirs(os.path.dirname(self.path(art)), exist_ok=True)
                self.write(art, dumbbell(2))
                self.check(art, '--cut', 'inside', '--bit', '1/8in')
                self.assertEqual(self.browser.js('data.art'), art)
                self.assert_same_as_command()
                self.browser.js("printPrepare(); rescue('')")
                self.assertIn('svg', self.browser.js("document.querySelector('#still title').textContent"))
                self.assertEqual(self.browser.js("[window.strange || 0, document.querySelectorAll('img').length, document.scripts.length]"),
                                 [0, 0, 7])
                self.assertFalse(os.path.exists(self.path('x')))

    def test_a_name_that_looks_like_an_option(self):
        self.write('-wide.svg', dumbbell(2))
        self.check('--cut', 'inside', '--bit', '1/8in', '--', '-wide.svg')
        self.assert_same_as_command()

    def test_nothing_is_fetched(self):
        self.write('bell.svg', dumbbell(2))
        self.check('bell.svg', '--cut', 'inside', '--bit', '1/8in')
        names = self.browser.js("performance.getEntriesByType('resource').map((entry) => entry.name)")
        self.assertEqual([name for name in names if not name.startswith(('data:', 'blob:'))], [])


if __name__ == '__main__':
    case.main()
