"""narrows.html: all that the command's options can say of picture, size and cut is at hand in the page, and the page
says of it what the command says: each control against the command that the page prints."""
import json
import shlex

import case
from case import ANSWERS
from program import glass_and_dot, png, svg
from whole import Whole


class Begun(Whole):
    art = 'heron.png'

    def setUp(self):
        super().setUp()
        self.drop_sample(self.art)

    def command(self):
        return self.browser.js("by('command').textContent")

    def assert_same_now_and_then(self):
        """Of many alike every third; each when NARROWS_TEST_ALL is set."""
        self.asked = getattr(self, 'asked', 0) + 1
        if case.ALL or self.asked % 3 == 1:
            self.assert_same_as_command()

    def click(self, name):
        self.js_after(f'by({name!r}).click()')


class Asked(Begun):
    art = 'swan.png'

    def test_every_control_of_the_picture(self):
        for name, value, words in case.some([('dirt', '30px', '--dirt 30px'), ('fill', '40px', '--fill 40px'), ('smooth', '0.4', '--smooth 0.4mm'),
                                             ('turn', '30', '--turn 30'), ('level-how', 'given', '--level 128'), ('ink', 'dark', '--ink dark')], first=1):
            with self.subTest(name=name):
                self.set(name, value)
                self.assertIn(words, self.command())
                self.assert_same_now_and_then()
        self.assert_same_as_command()
        self.js_after("by('level').value = 90; by('level').dispatchEvent(new Event('input'))")
        self.assertIn('--level 90', self.command())
        self.click('mirror')
        self.assertIn('--mirror', self.command())
        self.assert_same_files()
        self.set('level-how', 'auto')
        self.assertNotIn('--level', self.command())

    def test_words_name_controls_not_options(self):
        self.assertEqual(self.browser.js("withControls('--dirt 0 keeps them, --max-points more; --skip-unread')"),
                         '“Smaller is dirt” at 0 keeps them, the command\'s --max-points more; “what could not be read is not wanted”')
        self.drop_sample('heron.png')
        notes = self.browser.js("by('notes').textContent")
        self.assertRegex(notes, '“(Smaller is dirt|Art is|Level|Drawn lines)”')
        self.assertNotIn('--', notes)

    def test_a_colour_is_touched_in_the_picture(self):
        self.browser.js("by('pick').click()")
        self.after(lambda: self.browser.click(*self.on_screen(*self.browser.js('state.shape.size.map((mm) => mm / 2)'))))
        self.assertRegex(self.command(), '--ink .?#[0-9a-f]{6}')
        self.assert_same_as_command()

    def test_every_control_of_size_and_cut(self):
        for name, value, words in case.some([('cut', 'outside', '--cut outside'), ('stock', '4', '--stock 4mm'), ('margin', '5', '--margin 5mm'),
                                             ('stock-size', '300 x 200', '--stock-size 300mm,200mm'), ('blunt', '2', '--blunt 2mm'), ('neck', '1.5', '--neck 1.5mm')], first=2):
            with self.subTest(name=name):
                self.set(name, value)
                self.assertIn(words, self.command())
                self.assert_same_now_and_then()
        self.assert_same_as_command()
        self.browser.js("by('stock-size').value = '60, 40'; by('stock-size').dispatchEvent(new Event('change'))")
        self.browser.wait("by('wrong').textContent.includes('the sheet is too small; stock needed')")

    def test_fractions_in_both_units(self):
        """A fraction is of an inch where inches are asked; where millimetres are, it is refused, and the last good bit works on."""
        self.browser.js("by('bit').value = '1/16'; by('bit').dispatchEvent(new Event('change'))")
        self.assertIn("'1/16' has no unit", self.browser.js("by('wrong').textContent"))
        self.assertEqual(self.browser.js('[state.bit, by("bit").getAttribute("aria-invalid")]'), [3.175, 'true'])
        self.assert_same_as_command()
        self.set('unit', 'in')
        self.set('bit', '1/16')
        self.assertEqual(self.browser.js('state.bit'), 1.5875)
        self.set('wide', '5 1/2')
        self.assertAlmostEqual(self.browser.js('state.shape.size[0]'), 139.7)
        self.assert_same_as_command()

    def test_lettering_and_frame_at_a_touch(self):
        self.drop_sample('sign.png')
        self.set('wide', '420mm')
        boxes = self.browser.js("[...by('guesses').querySelectorAll('input')].map((box) => box.value)")
        self.assertTrue(boxes)
        self.assertRegex(self.browser.js("by('notes').textContent"), '“(frame|lettering)” under “Pieces” leaves (it|them) out')
        before = self.browser.js('pieceCount - state.off.size')
        self.js_after("by('guesses').querySelector('input').click()")
        self.assertLess(self.browser.js('pieceCount - state.off.size'), before)
        self.assertIn('--drop ', self.command())
        self.assertRegex(self.browser.js("by('notes').textContent"), r'kept \d+ of \d+ pieces')
        self.assert_same_files()
        self.js_after("by('guesses').querySelector('input').click()")
        self.assertEqual(self.browser.js('state.off.size'), 0)
        self.assertNotIn('kept', self.browser.js("by('notes').textContent"))

    def test_outlines_that_were_one_piece_of_the_picture_go_together(self):
        self.drop_art('glass.png', png(glass_and_dot()))
        self.assertEqual(self.browser.js('[data.numbers.filter((number, k) => k % 2 === 0), pieceCount]'), [[1, 1, 2], 2])
        self.js_after("document.querySelector('#pieces-list input').click()")
        self.assertIn('--drop 1', self.command())
        self.assert_same_files()
        self.click('undo')
        self.assertEqual(self.browser.js('state.off.size'), 0)

    def test_pieces_stay_out_when_the_outlines_are_made_anew(self):
        self.drop_sample('cygnets.png')
        self.js_after('togglePiece(1)')
        command = self.command()
        self.set('level-how', 'given')  # at which all of this picture is paper: what was before goes on working
        self.assertRegex(self.browser.js("by('job-said').textContent"), 'holds no shape.*“Art is” or “Level”')
        self.assertEqual(self.command(), command)
        self.set('dirt', '0')
        self.assertEqual(self.browser.js('state.off.size'), 1)
        self.assertIn('--drop ', self.command())
        self.assert_same_as_command()

    def test_drawn_lines_are_offered_as_pictures(self):
        self.drop_art('ring.svg', svg('<path d="M10 10H90V60H10Z" fill="none" stroke="black" stroke-width="3"/>'))
        self.browser.js("by('lines-looks').open = true")
        self.browser.wait("by('looks').children.length === 3")
        self.js_after("by('looks').children[1].click()")
        self.assertIn('--lines outer', self.command())
        self.assert_same_as_command()

    def test_pixels_to_an_inch_and_the_origin(self):
        self.set('ppi', '200')
        self.assertIn('--ppi 200', self.command())
        self.assertNotIn('--wide', self.command())
        self.set('origin', '10mm,20mm')
        self.assert_same_files()

    def test_a_rack_of_ones_own(self):
        rack = 'old faithful, 0.6mm\nlong one, 1/8in, flutes 20mm\n'
        self.write('my-bits', rack.encode())
        self.browser.js("by('own-rack').open = true")
        self.js_after(f"by('rack-words').value = {rack!r}; by('rack-words').dispatchEvent(new Event('change'))")
        self.assertEqual(self.browser.js('rack.map(({ name, diameter }) => [name, diameter])'), [['old faithful', 0.6], ['long one', 3.175]])
        self.assertIn('--rack my-bits', self.command())
        self.assert_same_as_command()
        root = 'document.documentElement.dataset'
        self.browser.wait(f'{root}.ways === {root}.answers')
        ways = self.browser.js("[...by('ways').children].map((li) => li.firstChild.textContent)")
        self.assertIn('old faithful', ' '.join(ways))
        printed = ' '.join(self.run_here(*shlex.split(self.command())[1:], '-o', 'ways').text.split())
        self.assertIn(ways[0], printed)
        self.browser.js("by('rack-words').value = 'nonsense'; by('rack-words').dispatchEvent(new Event('change'))")
        self.assertTrue(self.browser.js("by('wrong').textContent"))
        self.begin(again=True)
        self.browser.wait(f'{ANSWERS} > 0 && engine.idle')
        self.assertEqual(self.browser.js('rack.length'), 2)


def share_said(share):
    percent = round(100 * share, 1)
    small, large = share > 1e-9 and not percent, share < 1 - 1e-9 and percent == 100
    return '<0.1 %' if small else '>99.9 %' if large else f'{percent:g} %'


class Charts(Begun):
    art = 'kingfisher.png'

    def chart(self, about, *without):
        self.browser.js(f"by('{about}-chart').open = true")
        self.browser.wait(f'CHARTS.{about}.found')
        words = [word for word in shlex.split(self.command())[2:]]
        printed = json.loads(self.run_here(about, '--json', '-o', about, *words).text)
        shown = self.browser.js(f'CHARTS.{about}.found')
        self.assertEqual(shown, printed)
        said = self.browser.js(f"[...by('{about}').querySelectorAll('tbody tr')].map((row) => row.lastChild.textContent)")
        key = {'bits': 'diameter', 'sizes': 'width'}[about]
        self.assertEqual(said, [share_said(row['unreached_share']) for row in sorted(shown[about], key=lambda row: row[key]) if row.get('judged', True)])
        return shown

    def framed(self, about):
        return self.browser.js(f"['.best button', 'caption'].map((one) => [...by('{about}').querySelectorAll(one)].map(({{ textContent }}) => textContent))")

    def test_bits(self):
        found = self.chart('bits')
        self.assertEqual(self.browser.js("by('bits').querySelectorAll('tbody tr').length"), sum(bit['judged'] for bit in found['bits']))
        self.assertEqual(self.browser.js("by('bits').querySelector('[aria-current]').textContent"), '1/8 in')
        self.assertIsNotNone(found['largest'])
        self.assertEqual(self.framed('bits'), [[found['largest']], ['Framed: the largest bit that cuts it all']])
        self.js_after("[...by('bits').querySelectorAll('button')].find((button) => button.textContent === '2 mm').click()")
        self.assertEqual(self.browser.js('state.bit'), 2)
        self.assert_same_as_command()

    def test_the_closest_where_none_does(self):
        for name, value in (('wide', '30mm'), ('bit', '6mm')):
            self.set(name, value)
        for about, best, says in (('bits', 'largest', 'No bit of the rack cuts it all'), ('sizes', 'smallest', 'The bit cuts it all at none of these')):
            found = self.chart(about)
            self.assertIsNone(found[best])
            closest = found['closest'] if about == 'bits' else f"{found['closest']:g} mm"
            self.assertEqual(self.framed(about), [[closest], [f'{says}. Framed: the closest']])

    def test_sizes(self):
        found = self.chart('sizes')
        self.js_after("by('sizes').querySelectorAll('tbody button')[0].click()")
        self.assertAlmostEqual(self.browser.js('state.shape.size[0]'), min(size['width'] for size in found['sizes']), delta=1e-4)
        self.assert_same_as_command()


class History(Begun):
    art = 'kingfisher.png'

    def test_undo_and_redo(self):
        states = [self.command()]
        for name, value in (('bit', '2mm'), ('wide', '150mm'), ('ink', 'dark')):
            self.set(name, value)
            states.append(self.command())
        self.js_after('togglePiece(0)') if self.browser.js('pieceCount > 1') else None
        if self.command() != states[-1]:
            states.append(self.command())
        for command in states[-2::-1]:
            self.click('undo')
            self.assertEqual(self.command(), command)
            self.assert_same_as_command()
        self.assertTrue(self.browser.js("by('undo').disabled"))
        for command in states[1:]:
            self.click('redo')
            self.assertEqual(self.command(), command)
        self.assert_same_as_command()

    @case.seldom
    def test_undo_takes_a_widening_back_and_redo_makes_it_again(self):
        self.set('wide', '240mm')
        plain = self.browser.js('state.answer.result.spots.length')
        self.wait_for_ways()
        self.js_after("[...by('help').children].find((button) => button.textContent.startsWith('Widen')).click()")
        widened, command = self.browser.js('state.answer.result.spots.length'), self.command()
        self.assertLess(widened, plain)
        self.click('undo')
        self.assertEqual(self.browser.js('state.answer.result.spots.length'), plain)
        self.assert_same_as_command()
        self.click('redo')
        self.assertEqual([self.browser.js('state.answer.result.spots.length'), self.command()], [widened, command])

    def test_a_link_to_the_state(self):
        self.set('bit', '2mm')
        self.set('neck', '1mm')
        command, link = self.command(), self.browser.js('stateLink()')
        self.browser.js('localStorage.clear()')
        self.browser.call('Page.navigate', url='about:blank')
        self.browser.wait("location.protocol === 'about:'")
        self.browser.call('Page.navigate', url=link)
        self.browser.wait("document.readyState === 'complete' && location.hash && 'runs' in document.documentElement.dataset")
        self.drop_sample(self.art)
        self.assertEqual(self.command(), command)
        self.assert_same_as_command()

    def test_spots_are_chosen(self):
        """What is left by choice no longer counts, in the page as in the command; the choice stays with its place at another bit."""
        spots = self.browser.js('state.answer.result.spots.length')
        self.browser.js('select(0)')
        self.set('choice', '1')
        self.assertIn('--spots 1:leave', self.command())
        result = self.run_here(*shlex.split(self.command())[1:], '-o', 'left', '--json')
        self.assertTrue(json.loads(result.text)['spots'][0]['left'])
        verdict = self.browser.js("by('verdict').textContent")
        printed = self.run_here(*shlex.split(self.command())[1:], '-o', 'left')
        self.assertEqual(' '.join(printed.text.split())[:len(verdict)], verdict)
        self.set('bit', '1/16in')
        self.set('bit', '1/8in')
        self.assertIn('1:leave', self.command())
        self.js_after('for (let k = 0; k < state.answer.result.spots.length; k++) chooseSpot(k, 1)')
        self.js_after('state.choices = state.answer.result.spots.map((spot) => spotChoice(spot, 1)); ask()')
        self.assertTrue(self.browser.js('state.answer.result.fits'))
        self.assertEqual(self.run_here(*shlex.split(self.command())[1:], '-o', 'left').status, 0)
        self.assertEqual(self.browser.js('state.answer.result.spots.length'), spots)


if __name__ == '__main__':
    case.main()
