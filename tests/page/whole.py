"""narrows.html: the whole job in one file, from a dropped picture or drawing to written files: the same bytes
as the command's."""
import base64
import json
import lzma
import math
import os
import shlex
import shutil
import struct
import zlib

import case
import png_kinds
from case import ANSWERS, CUT_OFF, PageCase, drop_script, file_script, sample_list, seldom, some
from program import SAMPLES, chunk, pixels, png, png_of, svg

PAGE = os.environ.get('NARROWS_HTML', '')
LARGEST = 450000  # bytes
FILES = ['outline.svg', 'outline.dxf', 'spots.csv', 'marked.svg', 'marked.pdf']
STYLED = '''<?xml version="1.0" encoding="ISO-8859-1"?>
<!DOCTYPE svg [<!ENTITY dark "#102030">]>
<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" xmlns:own="urn:own" width="160mm"
 height="80mm" viewBox="0 0 160 80"><title>R\u00fcckenlage</title>
<style>.oar{fill:none;stroke:&dark;stroke-width:2.5} <![CDATA[#hull{fill:#123}]]></style>
<defs><path id="hull" d="M10 40Q80 10 150 40Q80 70 10 40Z"/></defs>
<own:rect width="900" height="900"/><use xlink:href="#hull" own:x="5"/><g transform="rotate(20 80 40)">
<path class="oar" d="M60 5V75"/><circle cx="100" cy="20" r="6" style="fill:white"/></g>
<script>window.strange = 1</script><image href="x" onerror="window.strange = 2"/></svg>
'''.encode('latin-1')


STEPS = ['picture', 'size', 'spots', 'hold', 'take']


class Whole(PageCase):
    def setUp(self):
        super().setUp()
        if not os.path.exists(PAGE):
            self.skipTest('narrows.html was not built')
        self.begin()

    def begin(self, again=False):
        """Opens the page; again: with what the browser has kept of the last time."""
        if not again:
            self.forget()
        self.browser.open(PAGE)
        self.browser.wait("'runs' in document.documentElement.dataset")

    def forget(self):
        """Has the browser forget what it kept, and the page that is left keep nothing more."""
        self.browser.js("if (location.protocol === 'file:') { localStorage.clear(); Storage.prototype.setItem = () => {}; }")

    def drop(self, name, data):
        """Drops a file on the page as a reader does."""
        self.browser.js(drop_script(file_script(name, data)))

    def drop_art(self, name, data):
        with open(self.path(name), 'wb') as file:
            file.write(data)
        self.after(lambda: self.drop(name, data))

    def sample(self, name):
        with open(os.path.join(SAMPLES, name), 'rb') as file:
            return file.read()

    def drop_sample(self, name):
        self.drop_art(name, self.sample(name))

    def after(self, action):
        before = self.browser.js(ANSWERS)
        action()
        self.browser.wait(f'{ANSWERS} > {before} && engine.idle && job.engine.idle')

    def file(self, name):
        """As its button gives it; what has none, as the button would."""
        self.browser.js(f"""job.saved = null;
            (document.querySelector('[data-file="{name}"]') || {{ click: () => jobFile({name!r}) }}).click()""")
        self.browser.wait('job.saved')
        return self.browser.js('job.saved.content')

    def assert_same_files(self):
        self.assert_same_as_command()
        for name in FILES:
            self.assertEqual(self.file(name), self.read('out', name).decode(), name)
        self.assert_same_numbers()
        if os.path.exists(self.path('out', 'details.svg')):
            self.assertEqual(self.file('details.svg'), self.read('out', 'details.svg').decode())
            return
        self.browser.js('document.querySelector(\'[data-file="details.svg"]\').click()')
        self.browser.wait("by('job-said').textContent === 'The marked drawing shows all of it.'")

    def assert_same_numbers(self):
        """All of spots.json; but the file of what was widened does not tell how sure the picture was."""
        shown, found = json.loads(self.file('spots.json')), json.loads(self.read('out', 'spots.json'))
        if self.browser.js('!!data.before'):
            del shown['sure'], found['sure']
        self.assertEqual(shown, found)

    def assert_same_as_command(self):
        os.makedirs(self.path('out'), exist_ok=True)
        super().assert_same_as_command()


class Samples(Whole):
    def test_every_sample_gives_the_files_of_the_command(self):
        for picture, options in sample_list(every=12, first=4):
            with self.subTest(picture=picture):
                self.begin()
                asked = dict(zip(options[::2], options[1::2]))
                self.drop_sample(picture)
                for name in ('stock', 'cut', 'bit', 'wide'):
                    if self.browser.js(f"by({name!r}).value") != asked.get('--' + name, ''):
                        self.set(name, asked.get('--' + name, ''))
                self.shot(f'whole-{picture[:-4]}')
                self.assertIn(f"--wide {asked['--wide']}", self.browser.js("by('command').textContent"))
                self.assert_same_files()


class Drawings(Whole):
    def test_a_drawing_with_all_that_a_browser_resolves(self):
        self.drop_art('styled.svg', STYLED)
        self.assert_same_files()
        self.assertFalse(self.browser.js('window.strange || false'))

    def test_what_is_about_pixels_is_not_offered_for_a_drawing(self):
        asked = "['ink', 'pick', 'level-how', 'level', 'fill', 'smooth', 'ppi', 'dirt', 'lines'].map((id) => by(id).checkVisibility())"
        self.drop_art('styled.svg', STYLED)
        self.browser.js("document.querySelectorAll('.step').forEach((step) => { step.open = true; })")
        self.assertEqual(self.browser.js(asked), 7 * [False] + 2 * [True])
        self.drop_sample('swan.png')
        self.browser.js("document.querySelectorAll('.step').forEach((step) => { step.open = true; })")
        self.assertEqual(self.browser.js(asked), 9 * [True])

    def test_elements_of_an_entity_have_no_line(self):
        self.drop_art('entity.svg', b'<!DOCTYPE svg [<!ENTITY crew "<image href=\'crew.png\'/>">]>\n' + svg('<path d="M0 0h60v30H0z"/>&crew;'))
        self.assertRegex(' '.join(json.loads(self.file('spots.json'))['notes']), r'\bimage\b(?! in line)')

    def test_written_outlines_come_back_the_same(self):
        shutil.copy(os.path.join(SAMPLES, 'heron.png'), self.path('heron.png'))
        self.run_here('outline', 'heron.png', '--wide', '200mm', '-o', 'heron.svg')
        self.drop_art('heron.svg', self.read('heron.svg'))
        self.set('wide', '7 1/2in')
        self.assert_same_files()

    def test_what_is_no_drawing_is_told_in_a_line(self):
        for name, data, words in [('a.svg', b'<svg xmlns="http://www.w3.org/2000/svg"><path', 'not well-formed'),
                                  ('b.svg', b'<html></html>', 'not an SVG drawing'),
                                  ('c.svg', svg(''), 'no shape'),
                                  ('d.png', b'nothing', 'cannot read')]:
            with self.subTest(name=name):
                self.browser.js("jobSay('')")
                self.drop(name, data)
                self.browser.wait(f"by('job-said').textContent.includes({words!r})")
                self.assertTrue(self.browser.js("'empty' in document.documentElement.dataset"))


class Use(Whole):
    def drop_kingfisher(self):
        """So small that a bit more and a bit less both help."""
        self.drop_sample('kingfisher.png')
        for name, value in (('wide', '90mm'), ('cut', 'outside'), ('bit', '1/16in'), ('neck', '')):
            self.set(name, value)
        self.wait_for_ways()

    def test_height_ink_and_inches(self):
        self.drop_sample('swan.png')
        self.set('high', '150mm')
        self.assertAlmostEqual(self.browser.js('state.shape.size[1]'), 150)
        self.set('unit', 'in')
        self.set('bit', '1/16')
        self.set('ink', 'dark')
        command = self.browser.js("by('command').textContent")
        for words in ('--high 150mm', '--ink dark', '--inch', '--bit 1/16in'):
            self.assertIn(words, command)
        self.assert_same_files()

    def test_lengths_say_what_is_good(self):
        self.drop_sample('heron.png')
        for name, value, words in (('bit', '1/8', "'1/8' has no unit; write 1/8in"), ('stock', '1 1/2', 'write 1 1/2in'), ('wide', '2000000', 'longer than a kilometre'),
                                   ('bit', '2000', 'from 0.01mm to 1000mm'), ('neck', '0.001', 'from 0.01mm to 1000mm'), ('high', 'tall', 'write for example 120mm')):
            with self.subTest(name=name):
                self.browser.js(f"by({name!r}).value = {value!r}; by({name!r}).dispatchEvent(new Event('change'))")
                self.assertIn(words, self.browser.js("by('wrong').textContent"))
        self.assert_same_as_command()

    def test_the_neck_stays_when_the_bit_changes(self):
        self.drop_sample('heron.png')
        self.set('bit', '1/16in')
        self.assertEqual(self.browser.js('[state.neck, state.answer.neck]'), [3.175, 3.175])
        self.assertIn('--neck 3.175mm', self.browser.js("by('command').textContent"))
        self.assert_same_as_command()

    def test_escape_lets_go_of_a_spot(self):
        self.drop_sample('heron.png')
        self.browser.js('select(2)')
        self.assertEqual(self.browser.js("document.querySelectorAll('.spot.current').length"), 1)
        self.browser.key('Escape')
        self.assertEqual(self.browser.js("[state.selected, document.querySelectorAll('.spot.current').length]"), [-1, 0])

    def test_the_legend_lists_what_is_shown(self):
        self.drop_sample('heron.png')
        legend = "[...document.querySelectorAll('#legend li:not([hidden])')].map((li) => li.dataset.key)"
        self.assertEqual(self.browser.js(legend), ['reach', 'gap', 'corner', 'neck', 'loose'])
        self.browser.js("document.querySelector('[data-layer=lost]').click()")
        self.js_after("document.querySelector('[data-layer=path]').click()")
        self.assertEqual(self.browser.js(legend), ['reach', 'path', 'loose'])

    def test_no_two_keys_of_the_legend_share_a_colour(self):
        self.drop_sample('heron.png')
        for theme in ('light', 'dark'):
            self.browser.theme(theme)
            colours = self.browser.js("""[...document.querySelectorAll('#legend li > *')].map((key) => key.firstElementChild || key).map((key) => {
                const { fill, stroke, strokeDasharray, background } = getComputedStyle(key);
                return key.localName === 'path' ? `${fill === 'none' ? stroke + strokeDasharray : fill}` : background; })""")
            self.assertEqual(len(set(colours)), 12, colours)

    def test_words_in_the_drawing_leave_room_for_the_buttons(self):
        self.browser.size(1024, 768)
        self.begin()
        self.drop_sample('heron.png')
        self.set('unit', 'in')
        self.browser.js("by('circle').click()")
        self.drag((60, 50), (40, 60))
        pointer, zoom = self.browser.js("['pointer', 'zoom'].map((id) => { const { right, left } = by(id).getBoundingClientRect(); return [left, right]; })")
        self.assertIn('circle', self.browser.js("by('here').textContent"))
        self.assertLess(pointer[1], zoom[0])

    def test_no_bar_hides_some_of_the_art(self):
        """Nor its spots' places: at first, and where all of it is asked for."""
        tall = '<path d="M2 0H98L60 100L98 200H2L40 100Z"/><path d="M10 205h80v3h-80z"/>'
        for window in ((400, 800, True), (1024, 768), (1400, 900)):
            self.browser.size(*window)
            self.begin()
            for art in (svg(tall, 100, 210), svg(f'<g transform="rotate(90) translate(0 -210)">{tall}</g>', 210, 100)):
                self.drop_art('bar.svg', art)
                for again in ('', "view.zoom(.5); by('whole').click()"):
                    self.browser.js(again)
                    hidden = self.browser.js("""(() => {
                        const art = view.layers.outline.getBoundingClientRect(), box = view.svg.getBoundingClientRect();
                        const apart = (bar) => bar.right <= art.left || bar.left >= art.right || bar.bottom <= art.top || bar.top >= art.bottom;
                        return [['zoom', 'card'].filter((id) => !apart(by(id).getBoundingClientRect())), art.top < box.top, art.bottom > box.bottom,
                            Math.max(art.width / box.width, art.height / box.height) < .5]; })()""")
                    self.assertEqual(hidden, [[], False, False, False], (window, again))

    def test_notes_name_the_controls_of_the_page(self):
        self.drop_sample('heron.png')
        self.assertIn('\u201cSmaller is dirt\u201d at 0 keeps them', self.browser.js("by('notes').textContent"))
        self.assertEqual(self.browser.js("withControls('; --ink dark takes the dark part')"), '; \u201cArt is: what is dark\u201d takes the dark part')
        self.assertEqual(self.browser.js("by('hold-gist').textContent"), '8 islands')

    def test_a_least_neck_that_was_given_stays_with_a_bit_that_helps(self):
        self.drop_sample('cygnets.png')
        self.set('cut', 'outside')
        self.set('neck', '1.2mm')
        self.wait_for_ways()
        self.js_after("[...by('help').children].find(({ textContent }) => /^Use /.test(textContent)).click()")
        self.assertEqual(self.browser.js('[state.bit < 3, state.neck, state.answer.result.fits]'), [True, 1.2, True])

    def test_a_name_from_right_to_left_is_isolated(self):
        self.drop_art('\u05d0\u05e0\u05e4\u05d4 12.png', self.sample('heron.png'))
        self.assertEqual(self.browser.js("document.querySelector('#subject bdi').textContent"), '\u05d0\u05e0\u05e4\u05d4 12.png')

    def test_a_piece_left_out_stays_out_at_another_size(self):
        self.drop_sample('cygnets.png')
        self.js_after('togglePiece(1)')
        self.set('wide', '200mm')
        self.assertEqual(self.browser.js('[...state.off]'), [1])
        self.assertIn('--drop', self.browser.js("by('command').textContent"))
        self.assert_same_files()

    def test_what_was_asked_survives_a_reload(self):
        self.drop_sample('heron.png')
        for name, value in (('wide', '230mm'), ('bit', '3mm'), ('cut', 'outside'), ('neck', '2mm')):
            self.set(name, value)
        command = self.browser.js("by('command').textContent")
        self.begin(again=True)
        self.browser.wait(f'{ANSWERS} > 0 && !job.restore.length && engine.idle && job.engine.idle')
        self.assertEqual(self.browser.js("by('command').textContent"), command)
        self.assert_same_as_command()

    def test_another_picture_takes_the_place_of_the_first(self):
        self.drop_sample('heron.png')
        self.drop_art('styled.svg', STYLED)
        self.assertEqual(self.browser.js("[document.title, document.querySelectorAll('#view').length, view.svg.isConnected]"),
                         ['styled.svg: narrows', 1, True])
        self.assert_same_files()

    def test_what_is_worked_out_for_nobody_is_not_seen_and_waits_for_a_picture(self):
        self.browser.wait("document.documentElement.dataset.warm === ''")
        self.assertTrue(self.browser.js("'empty' in document.documentElement.dataset && job.engine.idle && engine.idle"))
        self.drop_sample('heron.png')
        self.assert_same_files()
        self.begin()
        # From the drop on; a busy machine may have begun before.
        self.browser.js('''(() => {
            const ask = Engine.prototype.ask;
            window.warmed = false;
            Engine.prototype.ask = function (request) { window.warmed ||= request.what === 'warm'; return ask.call(this, request); };
        })(); ''' + drop_script(file_script('heron.png', self.sample('heron.png'))))
        self.browser.wait(f'{ANSWERS} > 0 && engine.idle')
        self.browser.js('new Promise((done) => setTimeout(done, 2 * IDLE_MS))')
        self.assertFalse(self.browser.js('window.warmed'))

    def test_new_art_is_shown_with_its_verdict_or_after_a_while(self):
        self.browser.js("""{
            const whole = begin, clear = () => getComputedStyle(by('main')).opacity;
            window.seen = [];
            begin = (...given) => { whole(...given); seen.push(clear()); };
            window.clear = clear;
        }""")
        self.drop_sample('heron.png')
        self.assertEqual(self.browser.js('[seen[0], clear()]'), ['0', '1'])
        self.browser.js("Engine.prototype.next = () => {}; by('verdict').textContent = '';"
                        'begin(data, JSON.parse(begun))') # none answers from here on
        self.assertEqual(self.browser.js('seen[1]'), '0')
        self.browser.wait("clear() === '1'")
        self.assertEqual(self.browser.js("by('verdict').textContent"), '')

    def test_widening_and_taking_it_back(self):
        """The files are the command's, and what is shown is what check finds in them."""
        self.drop_sample('heron.png')
        self.set('wide', '240mm')
        spots = self.browser.js('state.answer.result.spots.length')
        self.browser.wait("[...document.querySelectorAll('#ways button')].some((button) => button.textContent === 'Widen')")
        self.wait_for_ways()
        self.assertEqual(self.browser.js("[...by('help').children].map((button) => button.textContent)"), ['Widen 25 places'])
        self.js_after("[...document.querySelectorAll('#ways button')].find((button) => button.textContent === 'Widen').click()")
        self.shot('whole-widened')
        self.run_shown()
        for one, other in (('outline.svg', 'fixed.svg'), ('outline.dxf', 'fixed.dxf')):
            self.assertEqual(self.file(one), self.read('heron-widened', other).decode(), one)
        self.run_here('check', 'heron-widened/fixed.svg', '--cut', 'inside', '--bit', '1/8in', '-o', 'out')
        self.assert_near(self.browser.js(case.AS_JSON), self.found('out', 'spots.json'))
        self.assertLess(self.browser.js('state.answer.result.spots.length'), spots)
        self.assertIn(f'Before widening: {spots} spots', self.browser.js("by('account').textContent"))
        place = """(() => { const [i, o] = ['image', '.NAME'].map((name) => document.querySelector(name).getBoundingClientRect());
            return [(i.left - o.left) / o.width, (i.top - o.top) / o.width, i.width / o.width]; })()"""
        picture = self.browser.js(place.replace('NAME', 'before'))
        self.js_after("by('unwiden').click()")
        self.assertEqual(self.browser.js('[state.answer.result.spots.length, data.change]'), [spots, None])
        for one, two in zip(picture, self.browser.js(place.replace('NAME', 'edge'))):
            self.assertAlmostEqual(one, two, delta=1e-3)
        self.assert_same_as_command()

    @seldom
    def test_what_takes_long_tells_how_much_is_done_and_can_be_stopped(self):
        self.drop_sample('eight.png')
        self.set('wide', '150mm')
        verdict, command = self.browser.js("['verdict', 'command'].map((id) => by(id).textContent)")
        self.browser.js("jobWiden(by('command').textContent.replace('check', 'widen') + ' --stubs open --misses open')")
        self.browser.wait("'share' in by('job-said').dataset && by('stop').checkVisibility()")
        self.assertRegex(self.browser.js("by('job-said').dataset.share"), r'^\d+ %$')
        self.js_after("by('stop').click()")
        self.browser.wait('(!later.engine || later.engine.idle) && job.engine.idle && engine.idle')
        self.assertEqual(self.browser.js("[by('job-said').textContent, by('stop').checkVisibility(), !!data.before]"), ['Stopped.', False, False])
        self.assertEqual(self.browser.js("['verdict', 'command'].map((id) => by(id).textContent)"), [verdict, command])
        # So can another picture's coming; what was there goes on, and what it was made of is still known.
        self.browser.js(drop_script(file_script('heron.png', self.sample('heron.png'))))
        self.js_after('jobStop()')
        self.assertEqual(self.browser.js("by('verdict').textContent"), verdict)
        self.set('bit', '2mm')
        self.set('dirt', '30px')
        self.assertRegex(self.browser.js("by('command').textContent"), '--dirt 30px .*eight.png')
        self.assert_same_as_command()

    def test_what_was_widened_has_a_command_whatever_changes(self):
        """The commands that are shown make the very files that the page gives, at another bit, after a reload and on the way back."""
        self.drop_kingfisher()
        self.js_after("by('help').firstChild.click()")
        self.assertEqual(self.browser.js("[by('help').textContent, by('ways').textContent]"), ['', ''])
        widening = self.browser.js("by('command').textContent")
        self.assertRegex(widening, '^narrows widen .* -o kingfisher-widened kingfisher.png$')
        self.set('bit', '2mm')
        command = self.browser.js("by('command').textContent")
        self.assertEqual(command.split(' && ')[0], widening)
        self.assert_same_files()
        self.begin(again=True)
        self.browser.wait('data && data.before && state.bit === 2 && !job.restore.length && engine.idle')
        self.assertEqual(self.browser.js("by('command').textContent"), command)
        self.assert_same_files()
        self.js_after("by('undo').click()")
        self.assertEqual(self.browser.js("by('command').textContent"), widening)
        self.js_after("by('undo').click()")
        self.assertNotIn('widen', self.browser.js("by('command').textContent"))
        self.assert_same_files()

    def test_art_that_is_too_much_is_refused_in_the_words_of_the_page(self):
        squares = ''.join(f'M{2 * x} {2 * y}h1v1h-1z' for x in range(101) for y in range(100))
        self.drop('many.svg', svg(f'<path d="{squares}"/>', 202, 200))
        self.browser.wait("by('job-said').className === 'bad'")
        self.assertIn("“Smaller is dirt” leaves small ones out, the command's --max-outlines allows more", self.browser.js("by('job-said').textContent"))

    def test_notes_on_widened_art_are_about_the_pieces_that_are_kept(self):
        self.drop_art('crew.svg', svg('<circle cx="20" cy="30" r="20"/><path d="M20 29H100V31H20Z"/><circle cx="100" cy="30" r="20"/><path d="M125 20h10v10h-10z"/>', 140))
        self.wait_for_ways()
        self.js_after("by('help').firstChild.click()")
        for left_out in (True, False):
            self.js_after('togglePiece(1)')
            self.assertEqual(self.browser.js("by('notes').textContent.includes('kept 1 of 2 pieces')"), left_out)
            if left_out:
                self.assert_same_files()

    def test_a_file_that_is_asked_for_before_the_notes_are_there_is_written(self):
        self.drop_art('crew.svg', svg('<path d="M10 10H60V60H10Z"/><path d="M80 10h20v20h-20z"/>', 140))
        self.wait_for_ways()
        self.browser.js("""new Promise((asked) => {
            const { worker } = job.engine, post = worker.postMessage;
            worker.postMessage = (...question) => { post.apply(worker, question); asked(jobFile('outline.dxf')); };
            job.saved = null;
            togglePiece(1); })""")
        self.browser.wait('job.saved')
        self.assert_same_files()

    def test_the_height_that_comes_out_is_told_in_three_figures(self):
        self.drop_sample('heron.png')
        self.assertEqual(self.browser.js("[by('wide').value, by('high').value, state.shape.size[1].toFixed(4)]"), ['120', '104', '104.4428'])
        self.set('high', '150.25')
        self.assertEqual(self.browser.js("[by('wide').value, by('high').value]"), ['173', '150.25'])

    def test_no_choice_is_cut_off(self):
        self.drop_sample('heron.png')
        for width in (1400, 1024, 400):
            self.browser.size(width, 900)
            self.browser.js("document.querySelectorAll('.step').forEach((step) => { step.open = true; })")
            cut = self.browser.js("""(() => {
                const pen = document.createElement('canvas').getContext('2d'), arrow = 24;
                return [...document.querySelectorAll('#controls select')].filter((select) => select.checkVisibility()).filter((select) => {
                    pen.font = getComputedStyle(select).font;
                    return Math.max(...[...select.options].map(({ text }) => pen.measureText(text).width)) + arrow > select.getBoundingClientRect().width;
                }).map(({ id }) => id); })()""")
            self.assertEqual(cut, [], width)

    def test_the_legend_is_not_cut_off(self):
        """Three lines of it are seen on a telephone, two on a tablet; where there are more it begins with the first."""
        usual = ['reach', 'gap', 'corner', 'neck', 'lift', 'loose']
        for size, rows in (((400, 900), ((usual, True), ([], False))), ((1024, 768), ((['before', 'added', 'removed', *usual[:4]], True),))):
            self.browser.size(*size)
            self.drop_sample('heron.png')
            for keys, whole in rows:
                above, hidden = self.browser.js(f"""(() => {{ const legend = by('legend'), keys = {keys};
                    for (const item of legend.children) item.hidden = keys.length && !keys.includes(item.dataset.key);
                    return [[...legend.children].filter((item) => !item.hidden)[0].getBoundingClientRect().top - legend.getBoundingClientRect().top,
                        legend.scrollHeight - legend.clientHeight]; }})()""")
                self.assertGreaterEqual(above, 0)
                self.assertEqual(hidden <= 0, whole)

    def drag(self, *places):
        """From place to place, in millimetres."""
        places = [self.on_screen(*place) for place in places]
        self.browser.mouse('mouseMoved', *places[0])
        self.browser.mouse('mousePressed', *places[0], button='left', clickCount=1)
        for place in places[1:]:
            self.browser.mouse('mouseMoved', *place, button='left', buttons=1)
        self.browser.mouse('mouseReleased', *places[-1], button='left', clickCount=1)
        self.browser.wait('engine.idle')

    def test_choices_for_spots_are_drawn_at_once(self):
        self.drop_sample('heron.png')
        self.set('wide', '240mm')
        self.browser.js('select(13)')
        self.assertEqual(self.browser.js("[by('plan').hidden, view.layers.plan.children.length]"), [True, 0])
        self.set('choice', '2')
        self.browser.wait('state.plan')
        self.shot('whole-plan')
        words = self.browser.js("by('plan-said').textContent")
        self.assertRegex(words, r'^Before widening: \d+ spots, now \d+')
        x, y = self.browser.js('state.answer.result.spots[13].at')
        box = self.browser.js("(({ left, top, right, bottom }) => [left, top, right, bottom])(view.layers.plan.querySelector('.added').getBoundingClientRect())")
        at = self.on_screen(x, y)
        self.assertTrue(box[0] < at[0] < box[2] and box[1] < at[1] < box[3], (box, at))
        legend = "[...document.querySelectorAll('#legend li:not([hidden])')].map((li) => li.dataset.key)"
        self.assertIn('added', self.browser.js(legend))
        # Taken, the art is what was planned, and the command for it has the choice.
        self.js_after("by('plan-take').click()")
        self.assertEqual(self.browser.js("by('account').textContent"), words)
        self.assertIn('--spots 14:widen', self.browser.js("by('command').textContent"))
        self.js_after("by('unwiden').click()")
        # What was chosen is another thing to undo.
        self.browser.js('select(0)')
        self.set('choice', '1')
        self.assertTrue(self.browser.js("by('plan').hidden"))

    def test_tabs_by_hand(self):
        self.drop_art('swan.png', self.sample('swan.png'))
        self.set('wide', '260mm')
        self.set('cut', 'outside')
        self.js_after("by('tabs').click()")
        count = self.browser.js('tabPlaces().length')
        self.assertGreater(count, 1)
        self.browser.js("by('tab-hand').click(); view.whole()")
        tab = self.browser.js('tabPlaces()[0]')
        self.after(lambda: self.drag(tab))  # a tap takes it away
        self.assertEqual(self.browser.js("[tabPlaces().length, state.options.has('tabs')]"), [count - 1, False])
        self.after(lambda: self.drag(tab))  # and puts it there
        self.assertEqual(self.browser.js('tabPlaces().length'), count)
        self.shot('whole-tabs')
        words = shlex.split(self.browser.js("by('command').textContent"))
        self.assertEqual(len(words[words.index('--tab-at') + 1].split(':')), count)
        self.assert_same_files()
        place = self.browser.js('tabPlaces().at(-1)')
        target = self.browser.js(f"""(() => {{ const {{ factor, corner }} = state.shape, far = ([x, y]) => Math.hypot(x - {place[0]}, y - {place[1]});
            return paths.flatMap(({{ steps }}) => steps.map((step) => [(step[5] - corner[0]) * factor, (step[6] - corner[1]) * factor])).filter((at) => far(at) > 8)
                .reduce((best, at) => far(at) < far(best) ? at : best); }})()""")
        self.after(lambda: self.drag(place, [(a + b) / 2 for a, b in zip(place, target)], target))
        moved = self.browser.js('tabPlaces().at(-1)')
        self.assertEqual(self.browser.js('tabPlaces().length'), count)
        self.assertLess(max(abs(a - b) for a, b in zip(moved, target)), 3)
        # Where nothing holds a tab all stays as it was, and it says so.
        before = self.browser.js("by('command').textContent")
        self.after(lambda: self.drag(moved, (130, 60)))
        self.browser.wait("state.answer.result.tabs.missing === 0 && engine.idle")
        self.assertEqual(self.browser.js("by('command').textContent"), before)
        self.assertEqual(self.browser.js("by('here').textContent"), 'Nothing holds a tab there')
        # From the list, by keyboard; at another size the places go with the art.
        self.after(lambda: self.browser.js("document.querySelector('#tab-list button').click()"))
        self.assertEqual(self.browser.js('tabPlaces().length'), count - 1)
        before = self.browser.js('tabPlaces()')
        self.set('wide', '390mm')
        self.assertEqual(self.browser.js('tabPlaces().length'), len(before))
        for one, other in zip(before, self.browser.js('tabPlaces()')):
            self.assertLess(max(abs(1.5 * a - b) for a, b in zip(one, other)), 1)
        self.browser.key('Escape')
        self.assert_same_files()

    def test_bridges_by_hand(self):
        """What comes loose is shown; each bridge that is added, moved or taken away is a place in the command."""
        self.drop_art('ring.svg', svg('<path fill-rule="evenodd" d="M5 5H95V65H5ZM25 20H75V50H25Z"/>', 100, 70))
        self.set('wide', '90mm')
        legend = "[...document.querySelectorAll('#legend li:not([hidden])')].map((li) => li.dataset.key)"
        self.assertIn('loose', self.browser.js(legend))
        self.assertIn('1 island of stock comes loose', self.browser.js("by('loose').textContent"))
        self.assertIn('\u201cBridges\u201d may hold it', self.browser.js("by('loose').textContent"))
        self.assertEqual(self.browser.js("by('hold-gist').textContent"), '1 island')
        self.browser.js("by('bridge-hand').click()")
        self.after(lambda: self.drag((45, 7)))
        self.after(lambda: self.drag((10, 30)))
        self.assertEqual(self.browser.js("[bridgePlaces().length, by('loose').textContent]"), [2, ''])
        self.assertIn('bridge', self.browser.js(legend))
        self.assertEqual(self.browser.js("by('hold-gist').textContent"), '2 bridges')
        self.shot('whole-bridges')
        self.assertIn('--bridge-at 45mm,7.5mm:10mm,30mm --bridge 5mm', self.browser.js("by('command').textContent"))
        self.assert_same_files()
        x, y = self.browser.js('bridgePlaces()[0]')
        self.after(lambda: self.drag((x, y), (x + 5, y), (x + 12, y)))
        self.assertAlmostEqual(self.browser.js('bridgePlaces()[0][0]'), x + 12, delta=1)
        before = self.browser.js("by('command').textContent")
        self.after(lambda: self.drag((40, 30)))  # in the island's middle
        self.browser.wait('state.answer.result.bridges.nowhere === 0 && engine.idle')
        self.assertEqual(self.browser.js("[by('command').textContent, by('here').textContent]"), [before, 'Nothing holds a bridge there'])
        self.set('wide', '180mm')
        self.assertAlmostEqual(self.browser.js('bridgePlaces()[0][0]'), 2 * (x + 12), delta=2)
        self.after(lambda: self.browser.js("document.querySelector('#bridge-list button').click()"))
        self.assertEqual(self.browser.js('bridgePlaces().length'), 1)
        self.assert_same_files()
        self.set('bridge', '')
        self.assertNotIn('--bridge', self.browser.js("by('command').textContent"))

    def test_colours_that_are_half_transparent(self):
        """A browser holds colours multiplied by their alpha, and gives others back: the answer is the command's all the same."""
        def pixel(x, y):
            apart = math.hypot(x - 150, y - 100) + 12 * math.sin(x / 9) + 12 * math.cos(y / 7)
            return (30 + x // 3, 10 + y // 3, 90 - x // 5, 255 if apart < 70 else max(0, round(255 - 6 * (apart - 70))))
        self.drop_art('disc.png', png_of([bytes(part for x in range(300) for part in pixel(x, y)) for y in range(200)], colour=6))
        for ink in ('auto', 'dark', '#1e0a5a'):
            if ink != 'auto':
                self.js_after(f"change({{ ink: {ink!r} }}); reask()")
            self.assert_same_files()

    def test_pngs_of_every_kind(self):
        """Their pixels are those that the command finds, and those of a WebP with alpha; also without the browser's inflate."""
        for _ in range(2):
            self.assertEqual(png_kinds.read_otherwise(self.browser.js, self.folder), [])
            self.browser.js('window.DecompressionStream = null')

    def test_a_png_that_its_exif_data_turn(self):
        rows = pixels(60, 40, lambda x, y: 5 < x < 55 and 5 < y < 12 or x < 12)
        turned = chunk(b'eXIf', b'MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x06\0\0\0\0\0\0')
        data = png(rows, ppi=100)
        at = data.index(b'IDAT') - 4
        self.drop_art('turned.png', data[:at] + turned + data[at:])
        self.assertGreater(self.browser.js('state.shape.size[1]'), 121)
        self.assert_same_files()
        self.js_after("change({ wide: null }); reask()")
        self.assertNotIn('--wide', self.browser.js("by('command').textContent"))
        self.assert_same_files()

    def test_a_webp_that_its_exif_data_turn(self):
        """With colours that half show: its pixels are the file's all the same."""
        def part(name, body):
            return name + struct.pack('<I', len(body)) + body + bytes(len(body) % 2)
        rows = [bytes(level for x in range(60) for level in (40 + 3 * x, 90 - y, 3 * y, 255 if 5 < x < 55 and 5 < y < 12 or x < 12 else 7 * x % 200))
                for y in range(40)]
        self.write('clear.png', png_of(rows, colour=6))
        still = png_kinds.webp_of(self.path('clear.png'))
        body = still[still.index(b'VP8L'):]
        turned = b'MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x06\0\0\0\0\0\0'
        for exif in (turned, b'Exif\0\0' + turned):
            parts = part(b'VP8X', bytes([0x18, 0, 0, 0, 59, 0, 0, 39, 0, 0])) + body + part(b'EXIF', exif)
            data = b'RIFF' + struct.pack('<I', 4 + len(parts)) + b'WEBP' + parts
            read = self.browser.js(f"readFile({file_script('turned.webp', data)}).then(({{ pixels }}) => btoa(String.fromCharCode(...pixels)))")
            self.assertEqual(base64.b64decode(read), png_kinds.pixels_of(self.path('clear.png')).partition(b'\n')[2])
            self.drop_art('turned.webp', data)
            self.assertGreater(self.browser.js('state.shape.size[1]'), 121)
            self.assert_same_files()

    def test_the_ruler(self):
        with open(self.path('bar.svg'), 'wb') as file:
            file.write(svg('<rect x="10" y="10" width="60" height="20"/>'))
        self.drop_art('bar.svg', self.read('bar.svg'))
        self.set('wide', '60mm')
        seen = self.browser.js('[view.x, view.y, view.height]')
        self.browser.js("by('ruler').click()")
        self.drag((30, .2), (30, 10), (30.3, 19.8))  # both ends take the outline
        self.assertIn('up 20.00 mm', self.browser.js("by('here').textContent"))
        self.assertAlmostEqual(self.browser.js('tool.ends[1][1]'), 20, delta=1e-6)
        self.drag((30.3, 19.9), (40, 10))  # an end is taken up again
        self.assertIn('across 10.00 mm, up 10.00 mm', self.browser.js("by('here').textContent"))
        # By keys: from the middle five steps to the right.
        self.browser.key('Enter')
        for _ in range(5):
            self.browser.key('ArrowRight')
        self.browser.key('Enter')
        self.browser.wait('engine.idle')
        self.assertAlmostEqual(self.browser.js('tool.ends[1][0] - tool.ends[0][0]'), self.browser.js('25 * view.pixel'), delta=1e-6)
        self.assertEqual(self.browser.js('[view.x, view.y, view.height]'), seen)
        self.browser.key('Escape')
        self.assertEqual(self.browser.js("[tool.name, view.layers.ruler.children.length]"), ['', 0])

    def test_the_circle_is_dragged_along(self):
        self.drop_sample('heron.png')
        seen = self.browser.js('[view.x, view.y]')
        self.browser.js("by('circle').click()")
        self.drag((60, 50), (40, 60))
        self.assertIn('bit cuts this place', self.browser.js("by('here').textContent"))
        self.assertEqual(self.browser.js("[view.x, view.y, state.off.size, document.querySelectorAll('.bit').length]"), [*seen, 0, 1])
        x, y = self.browser.js('state.answer.result.spots[1].at')
        self.drag((60, 50), (x, y))
        self.assertIn('does not cut', self.browser.js("by('here').textContent"))

    def test_two_fingers_move_and_zoom_about_where_they_are(self):
        self.browser.size(400, 800, phone=True)
        self.browser.call('Emulation.setTouchEmulationEnabled', enabled=True)
        self.drop_sample('heron.png')
        height = self.browser.js('view.height')
        before, after = [(100, 300), (200, 400)], [(120, 260), (320, 460)]
        at = "((x, y) => view.toMillimetres({ clientX: x, clientY: y }))"
        held = [self.browser.js(f'{at}({x}, {y})') for x, y in before]
        touch = lambda kind, points: self.browser.call('Input.dispatchTouchEvent', type=kind, touchPoints=[
            {'x': x, 'y': y, 'id': k} for k, (x, y) in enumerate(points)])
        touch('touchStart', before[:1])
        touch('touchStart', before)
        for step in (.25, .5, .75, 1):
            touch('touchMove', [(a + (c - a) * step, b + (d - b) * step) for (a, b), (c, d) in zip(before, after)])
        touch('touchEnd', [])
        self.browser.call('Emulation.setTouchEmulationEnabled', enabled=False)
        self.assertAlmostEqual(self.browser.js('view.height'), height / 2, delta=height / 50)
        for (x, y), was in zip(after, held):
            now = self.browser.js(f'{at}({x}, {y})')
            self.assertLess(max(abs(a - b) for a, b in zip(now, was)), 3 * self.browser.js('view.pixel'))

    def test_the_wheel_zooms_about_the_pointer(self):
        self.drop_sample('heron.png')
        at = 'view.toMillimetres({ clientX: 300, clientY: 300 })'
        before = self.browser.js(at)
        self.browser.mouse('mouseWheel', 300, 300, deltaX=0, deltaY=-400)
        self.browser.wait('view.height < 90')
        for a, b in zip(before, self.browser.js(at)):
            self.assertAlmostEqual(a, b, delta=1e-3)

    def test_numbers_that_wait_are_told(self):
        self.browser.size(400, 800, phone=True)
        self.begin()
        self.drop_sample('eight.png')
        count, shown = self.browser.js("[state.answer.result.spots.length, [...document.querySelectorAll('.spot')].filter((spot) => spot.style.display !== 'none').length]")
        self.assertLess(shown, count)
        self.assertEqual(self.browser.js("by('chosen').textContent"), f'{count} spots, {shown} numbered here: look nearer for more')

    def test_the_legend_has_the_colours_of_the_screen(self):
        self.drop_sample('heron.png')
        for theme in ('light', 'dark'):
            self.browser.theme(theme)
            x, y = self.on_screen(60, 50)
            sx, sy = self.middle('.key-reach')
            data = self.browser.screenshot(self.path('shot.png'))
            self.assertGreater(len(data), 1000)
            colours = self.browser.js(f"""(async () => {{
                const bitmap = await createImageBitmap(new Blob([Uint8Array.from(atob({base64.b64encode(data).decode()!r}), (c) => c.charCodeAt(0))]));
                const canvas = Object.assign(document.createElement('canvas'), {{ width: bitmap.width, height: bitmap.height }}).getContext('2d', {{ willReadFrequently: true }});
                canvas.drawImage(bitmap, 0, 0);
                return [[{x}, {y}], [{sx}, {sy}]].map(([u, v]) => [...canvas.getImageData(u, v, 1, 1).data]);
            }})()""")
            self.assertEqual(*colours)

    def test_the_marked_drawing(self):
        self.drop_sample('heron.png')
        self.assertTrue(self.file('marked.pdf').startswith('%PDF'))
        self.assertIn('</svg>', self.file('marked.svg'))

    def test_nothing_is_fetched_and_it_is_small(self):
        self.assertLess(os.path.getsize(PAGE), LARGEST)
        self.drop_sample('heron.png')
        names = self.browser.js("performance.getEntriesByType('resource').map((entry) => entry.name)")
        self.assertEqual([name for name in names if not name.startswith(('data:', 'blob:'))], [])

    def test_what_the_page_unpacks_itself(self):
        """As zlib and liblzma pack it; what is damaged or cut off ends with a word about it."""
        with open(PAGE, 'rb') as page:
            text = page.read(60000)
            samples = [b'a', self.sample('heron.png'), text, 3 * text[:5000] + 70000 * b'a' + 9 * bytes(range(256))]

        def deflated(data, level, strategy):
            packer = zlib.compressobj(level, wbits=-15, strategy=strategy)
            return packer.compress(data) + packer.flush()
        ways = [('inflate(bytes).bytes', lambda data: deflated(data, 9, zlib.Z_DEFAULT_STRATEGY)),
                ('inflate(bytes).bytes', lambda data: deflated(data, 9, zlib.Z_FIXED)),
                ('inflate(bytes).bytes', lambda data: deflated(data, 0, zlib.Z_DEFAULT_STRATEGY)),
                ('await expanded(bytes)', lambda data: lzma.compress(data, format=lzma.FORMAT_RAW, filters=[
                    {'id': lzma.FILTER_LZMA1, 'lc': 3, 'lp': 0, 'pb': 0, 'dict_size': 1 << 16}]))]
        for unpack, pack in ways:
            for data in samples:
                self.assertEqual(base64.b64decode(self.unpacked(unpack, pack(data))), data)
            whole = pack(samples[-1])
            for part in (whole[:-6], whole[:len(whole) // 2], whole[:9]):
                self.assertRegex(self.unpacked(unpack, part), '^the data (ends too early|is damaged)$')

    def unpacked(self, unpack, data):
        return self.browser.js(f'''(async () => {{
            const bytes = bytesOf({base64.b64encode(data).decode()!r});
            try {{
                const reader = new FileReader();
                const read = new Promise((done) => {{ reader.onload = done; }});
                reader.readAsDataURL(new Blob([{unpack}]));
                await read;
                return reader.result.split(',')[1] ?? '';
            }} catch (error) {{
                return error.message;
            }}
        }})()''')

    def test_screens(self):
        """The drawing gets most of the first screen, below the verdict and the buttons."""
        for name, (width, height, phone, share) in some([('desk', (1400, 900, False, .7)), ('tablet', (1024, 768, True, .7)),
                                                         ('telephone', (400, 800, True, .7))], every=2):
            with self.subTest(screen=name):
                self.browser.size(width, height, phone)
                self.begin()
                self.shot_in_both(f'{name}-empty')
                self.assertEqual(self.browser.js(CUT_OFF), [])
                self.drop_sample('heron.png')
                self.shot_in_both(name)
                self.assertLessEqual(self.browser.js('document.documentElement.scrollWidth'), width)
                top, wide, high = self.browser.js("(({ top, width, height }) => [top, width, height])(by('frame').getBoundingClientRect())")
                self.assertGreaterEqual(wide * high / width / height, share)
                self.assertLess(top, 110 if phone and width < 500 else 50)
                self.assertLessEqual(top + high, height)
                self.browser.js("document.querySelectorAll('#controls details').forEach((part) => { part.open = true; })")
                self.assertEqual(self.browser.js(CUT_OFF), [])
                # The card is a row in which the drawing loses little, and no taller for its words.
                rows = self.browser.js("['previous', 'chosen', 'next'].map((id) => { const { top, height } = by(id).getBoundingClientRect(); return top + height / 2; })")
                self.assertLess(max(rows) - min(rows), 2)
                self.browser.js('select(0)')
                self.shot_in_both(f'{name}-spot')
                for step in STEPS:
                    self.browser.js(f"by('step-{step}').scrollIntoView()")
                    self.shot_in_both(f'{name}-{step}')

    def shot_in_both(self, name):
        for theme in ('light', 'dark'):
            self.browser.theme(theme)
            self.shot(f'whole-{name}-{theme}')

    def test_much_art_is_not_painted_anew_with_the_slider(self):
        """Outlines of many segments keep their layers, and a long list of spots waits until the slider rests."""
        self.drop_art('comb.svg', svg(f'<path d="M0 40{"h.7v-18h1.3v18" * 600}V60H0Z"/>', width=1200))
        self.set('wide', '1200mm')
        self.assertEqual(self.browser.js("['outline', 'picture'].map((name) => getComputedStyle(view.layers[name]).willChange)"), ['opacity', 'auto'])
        self.assertGreater(self.browser.js('state.answer.result.spots.length'), 40)
        self.assertEqual(self.browser.js("""[.1, 0].map((skip) => {
            const { result } = state.answer, first = by('spots').firstChild;
            state.answer.skip = skip;
            showSpots({ spots: result.spots.slice(0, 60) });
            return by('spots').firstChild === first;
        })"""), [True, False])

    def test_a_button_for_what_helps(self):
        self.drop_kingfisher()
        for width in (400, 1280):
            self.browser.size(width, 900)
            self.assertEqual(self.browser.js("""[...by('help').children].filter((button) =>
                button.scrollWidth > button.clientWidth || button.scrollHeight > button.clientHeight).length"""), 0, width)
        self.shot('whole-help')
        self.assertEqual(self.browser.js("[...by('help').children].map((button) => button.textContent)"),
                         ['Widen 2 places', 'Make it 98 mm wide', 'Use 1 mm'])
        for button in (1, 2):
            self.js_after(f"by('help').children[{button}].click()")
            self.assertTrue(self.browser.js('state.answer.result.fits'))
            for name, value in (('wide', '90mm'), ('bit', '1/16in'), ('neck', '')):
                self.set(name, value)
            self.wait_for_ways()
        self.js_after("by('help').firstChild.click()")
        self.assertIn('Before widening', self.browser.js("by('account').textContent"))

    def test_steps_open_when_they_have_something_to_say(self):
        opened = "STEPS.filter((name) => by(`step-${name}`).open)"
        self.assertEqual(self.browser.js(opened), ['picture'])
        self.drop_sample('heron.png')
        self.assertEqual(self.browser.js(opened), ['picture', 'size', 'spots', 'hold'])
        self.browser.js("by('step-size').firstElementChild.click()")
        self.set('bit', '2mm')
        self.assertEqual(self.browser.js(opened), ['picture', 'spots', 'hold'])

    def test_spots_by_buttons_and_keys(self):
        self.drop_sample('heron.png')
        count = self.browser.js('state.answer.result.spots.length')
        self.assertEqual(self.browser.js("by('chosen').textContent"), f'{count} spots')
        for press, spot in (("by('next').click()", 0), ("by('next').click()", 1), ("by('previous').click()", 0), ("by('previous').click()", count - 1)):
            self.browser.js(press)
            self.assertEqual(self.browser.js('[state.selected, view.x, view.y]'), [spot, *self.browser.js(f'state.answer.result.spots[{spot}].at')])
        self.assertRegex(self.browser.js("by('chosen').textContent"), f'^Spot {count} of {count}: neck')
        self.browser.size(400, 800, phone=True)
        self.browser.js("by('next').click()")
        self.assertEqual(self.browser.js('scrollY'), 0)
        # The list lights the drawing; what is chosen stays so at another bit.
        self.browser.js("document.querySelectorAll('#spots button')[4].focus()")
        self.assertEqual(self.browser.js("document.querySelector('.lit-spot').dataset.index"), '4')
        self.browser.js('select(4)')
        place = self.browser.js('state.answer.result.spots[4].at')
        self.set('bit', '3.1mm')
        near = self.browser.js('state.answer.result.spots[state.selected].at')
        self.assertLess(max(abs(a - b) for a, b in zip(place, near)), 1)
        self.browser.js("by('let-go').click()")
        self.assertEqual(self.browser.js('state.selected'), -1)


if __name__ == '__main__':
    case.main()
