"""widen's page shows the outlines before and after on top of one another, and art of thousands of
pieces is no less at hand than art of a few."""
import os
import re

import case
from case import PageCase
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
        """A bar at the art's edge becomes wider to the inside: the art keeps its size."""
        self.write('bar.svg', svg('<path d="M0 10H1.2V40H0ZM20 0H60V50H20Z"/>'))
        self.widen('bar.svg', '--cut', 'inside', '--bit', '3mm', '--misses', 'open')
        before, now = self.browser.js('''['.before', '.edge'].map((name) => {
            const b = document.querySelector(name).getBoundingClientRect(); return [b.left, b.right]; })''')
        self.assertAlmostEqual(before[0], now[0], delta=1)
        self.assertAlmostEqual(before[1], now[1], delta=1)
        self.set('wide', '200mm')
        old, new = self.browser.js('''['.before', '.edge'].map((name) => {
            const b = document.querySelector(name).getBoundingClientRect(); return [b.left, b.right]; })''')
        self.assertAlmostEqual(old[0], new[0], delta=1)
        self.assertAlmostEqual(old[1], new[1], delta=1)

    def test_check_has_no_outline_before(self):
        self.write('bell.svg', dumbbell(2))
        self.check('bell.svg', '--cut', 'inside', '--bit', '1/8in')
        self.assertTrue(self.browser.js("document.querySelector('[data-layer=before]').parentNode.hidden"))
        self.assertEqual(self.browser.js("by('account').textContent"), '')


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
