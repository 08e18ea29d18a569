"""widen's page shows the outlines before and after on top of one another, and art of thousands of
pieces is no less at hand than art of a few."""
import os
import re

import case
from case import ANSWERS, PageCase, drop_script, file_script
import program
from program import SAMPLES, dumbbell, svg


class Widened(PageCase):
    def widen(self, *arguments):
        result = self.run_here('widen', *arguments, '-o', 'fixed')
        self.assertLess(result.status, 2, result.talk)
        self.open('fixed', 'page.html')

    def box(self, selector):
        return self.browser.js(f'''(() => {{ const b = document.querySelector({selector!r}).getBBox();
            return [b.x, b.y, b.width, b.height].map((x) => Math.round(1000 * x) / 1000); }})()''')

    def test_old_and_new_on_top_of_one_another(self):
        """A waist of 2 mm that becomes 3.175 mm wide: the two strips beside it were added."""
        self.write('bell.svg', dumbbell(2))
        self.widen('bell.svg', '--cut', 'inside', '--bit', '1/8in')
        x, y, width, height = self.box('.before')
        self.assertEqual([x, -y - height, width, height], self.box('.edge'))
        x, y, width, height = self.box('.added')
        self.assertAlmostEqual(y + height / 2, -20, delta=0.01)
        # To the new outline's nodes the circles' arcs go with the corners, by hundredths.
        account = self.browser.js("by('account').textContent")
        added = float(re.search('Added to the art: ([0-9.]+)', account).group(1))
        self.assertAlmostEqual(added, (3.225 - 2) * 40.2, delta=1)
        self.assertRegex(self.browser.js("by('account').textContent"),
                         r'^Before widening: 1 spot, now 0\. Added to the art: [\d.]+ mm² .*taken from it: 0 mm²')
        legend = "[...document.querySelectorAll('#legend li:not([hidden])')].map((li) => li.dataset.key)"
        self.assertEqual(self.browser.js(legend)[:2], ['before', 'added'])
        self.shot('widened')
        self.browser.js("by('show').open = true")
        self.browser.click(*self.middle('[data-layer=before]'))
        self.assertEqual(self.browser.js('view.layers.before.style.display'), 'none')
        self.assertNotIn('before', self.browser.js(legend))

    def test_old_outlines_follow_size_and_place(self):
        """A bar at the art's edge becomes wider to the inside, but for a little: the art is 60 mm wide, and hardly wider then."""
        self.write('bar.svg', svg('<path d="M0 10H1.2V40H0ZM20 0H60V50H20Z"/>'))
        self.widen('bar.svg', '--cut', 'inside', '--bit', '3mm', '--misses', 'open')
        before, now = self.browser.js('''['.before', '.edge'].map((name) => {
            const b = document.querySelector(name).getBoundingClientRect(); return [b.left, b.right]; })''')
        little = 0.33 * (before[1] - before[0]) / 60
        self.assertAlmostEqual(before[0], now[0], delta=little)
        self.assertAlmostEqual(before[1], now[1], delta=1)
        self.set('wide', '200mm')
        old, new = self.browser.js('''['.before', '.edge'].map((name) => {
            const b = document.querySelector(name).getBoundingClientRect(); return [b.left, b.right]; })''')
        self.assertAlmostEqual(old[0], new[0], delta=200 / 60 * little)
        self.assertAlmostEqual(old[1], new[1], delta=1)

    def test_check_has_no_outline_before(self):
        self.write('bell.svg', dumbbell(2))
        self.check('bell.svg', '--cut', 'inside', '--bit', '1/8in')
        self.assertTrue(self.browser.js("document.querySelector('[data-layer=before]').parentNode.hidden"))
        self.assertEqual(self.browser.js("by('account').textContent"), '')


class Given(PageCase):
    """What the commands write is the whole page, with the art in it."""

    def test_the_art_is_made_anew_and_widened_and_another_takes_its_place(self):
        self.write('bell.png', program.png(program.dumbbell_pixels()))
        self.run_here('check', 'bell.png', '--wide', '60mm', '--cut', 'inside', '--bit', '1/8in', '-o', 'given')
        self.open('given', 'page.html')
        os.makedirs(self.path('out'))
        self.set('ink', 'dark')
        self.set('turn', '10')
        self.assert_same_as_command()
        self.browser.wait("!by('help').inert")
        self.js_after("[...by('help').children].find((button) => button.textContent.startsWith('Widen')).click()")
        self.set('bit', '2mm')
        self.assert_same_as_command()
        with_kept = self.browser.js("by('command').textContent")
        self.browser.call('Page.reload')
        self.browser.wait(f"document.readyState === 'complete' && {ANSWERS} > 2 && data.before && state.bit === 2 && engine.idle")
        self.assertEqual(self.browser.js("by('command').textContent"), with_kept)
        self.write('bell.svg', dumbbell(2))
        self.after(lambda: self.browser.js(drop_script(file_script('bell.svg', dumbbell(2)))))
        self.browser.wait('job.engine.idle && engine.idle')
        self.assertEqual(self.browser.js('document.title'), 'bell.svg: narrows')
        self.assert_same_as_command()

    def test_the_widening_is_taken_back(self):
        self.write('bell.svg', dumbbell(2))
        self.assertLess(self.run_here('widen', 'bell.svg', '--cut', 'inside', '--bit', '1/8in', '-o', 'fixed').status, 2)
        self.open('fixed', 'page.html')
        self.assertEqual(self.browser.js("by('command').textContent"), 'narrows widen --cut inside --bit 1/8in -o fixed bell.svg')
        self.js_after("by('unwiden').click()")
        os.makedirs(self.path('out'))
        self.assert_same_as_command()
        self.js_after("by('again').click()")
        self.browser.wait("data.before && by('command').textContent.startsWith('narrows widen')")

    def test_outlines_alone_are_cut_but_not_made_anew(self):
        self.write('bell.pgm', program.pgm(program.dumbbell_pixels()))
        self.check('bell.pgm', '--wide', '100mm', '--cut', 'inside', '--bit', '1/8in')
        self.assertEqual(self.browser.js("[by('remake').inert, document.querySelectorAll('image').length]"), [True, 1])
        self.assertIn('outlines alone', self.browser.js("by('kept').textContent"))
        self.set('wide', '150mm')
        self.set('bit', '2mm')
        self.assert_same_as_command()


class Many(PageCase):
    def test_thousands_of_pieces_are_clicked_too(self):
        side = 48
        self.write('many.svg', svg(''.join(f'<path d="M{x * 4} {y * 4}h3v3h-3z"/>' for y in range(side) for x in range(side)), 200, 200))
        self.check('many.svg', '--cut', 'inside', '--bit', '1mm', '--wide', '191mm')
        self.assertGreater(side * side, self.browser.js('ALONE'))
        self.assertIn(f'The list ends at 200 of {side * side} pieces', self.browser.js("by('pieces-more').textContent"))
        self.after(lambda: self.browser.click(*self.on_screen(5.5, 5.5)))
        piece = self.browser.js('[...state.off].map(numberOf)')
        self.assertEqual(len(piece), 1)
        self.assertIn(f'--drop {piece[0]} ', self.browser.js("by('command').textContent"))
        self.assert_same_as_command()
        # A click between two pieces leaves all as it is; a click on the one that is out takes it back.
        self.browser.click(*self.on_screen(7.5, 5.5))
        self.assertEqual(self.browser.js('state.off.size'), 1)
        self.after(lambda: self.browser.click(*self.on_screen(5.5, 5.5)))
        self.assertEqual(self.browser.js('state.off.size'), 0)


if __name__ == '__main__':
    case.main()
