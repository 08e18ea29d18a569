"""narrows.html: every control that asks for something, touched as a user does it, by mouse and keys: the command that is
shown says so, its answer is the page's, and undo takes it back."""
import re
import shlex

import case
from program import BAD, svg
from whole import Whole

LETTERED = svg('<path d="M0 0h40v30H0zM42 0h1.5v30h-1.5z" fill="none" stroke="black" stroke-width="4"/><text x="5" y="20">Bow</text>'
               '<path d="M50 5v30" stroke="black" stroke-width=".05"/>', 60, 40)
RING = svg('<path fill-rule="evenodd" d="M5 5H95V65H5ZM25 20H75V50H25Z"/>', 100, 70)
DRAWN = {'lettered.svg': LETTERED, 'ring.svg': RING}
# Art; then controls, how they are touched, and what the command says then.
TOUCHED = [
    ('heron.png', [
        ('#ink', 'down', 1, '--ink dark'), ('#level-how', 'down', 1, '--level local'), ('#level-how', 'down', 2, '--level 128'),
        ('#dirt', 'type', '30px', '--dirt 30px'), ('#fill', 'type', '40px', '--fill 40px'), ('#smooth', 'type', '0.4', '--smooth 0.4mm'),
        ('#turn', 'type', '-12.5', '--turn -12.5'), ('#mirror', 'press', '', '--mirror'),
        ('#wide', 'type', '150', '--wide 150mm'), ('#high', 'type', '4 1/2in', "--high '4 1/2in'"), ('#ppi', 'type', '200', '--ppi 200'),
        ('#cut', 'down', 1, '--cut outside'), ('#cut', 'down', 2, '--cut pocket'), ('#stock', 'type', '9', '--stock 9mm'),
        ('#bit', 'type', '2.5', '--bit 2.5mm'), ('#rack-list', 'up', 1, '--bit '), ('#slider', 'slide', .3, '--bit '),
        ('.rack-bit[data-bit="2"] text', 'press', '', '--bit 2mm'), ('#neck', 'type', '1.5', '--neck 1.5mm'),
        ('#stock-size', 'type', '300 x 200', '--stock-size 300mm,200mm'), ('#margin', 'type', '5', '--margin 5mm'),
        ('#blunt', 'type', '2', '--blunt 2mm'), ('#unit', 'down', 1, '--inch'), ('#tabs', 'press', '', '--tabs auto'),
        ('#origin', 'type', 'centre', '--origin centre'), ('#as-cut', 'press', '', '--as-cut'), ('#bit-path', 'press', '', '--bit-path')]),
    ('swan.png', [('#cut', 'up', 1, '--cut inside'), ('#tab-width', 'type', '9', '--tab-width 9mm'), ('#break-tabs', 'press', '', '--break-tabs')]),
    ('ring.svg', [('#bridge', 'type', '5', '--bridge 5mm'), ('#bridge-count', 'down', 1, '--bridge-count 1')]),
    ('lettered.svg', [('#lines', 'down', 1, '--lines outer'), ('#lines', 'down', 2, '--lines inner'), ('#skip-unread', 'press', '', '--skip-unread'),
                      ('#skip-hairlines', 'press', '', '--skip-hairlines')])]
ELSEWHERE = {'choice', 'stubs', 'misses', 'ease', 'level', 'rack-words', 'file', 'rack-file'}  # in whole.py and asked.py, and below
BEFORE = {'swan.png': ('#cut', 'down', 1)}
# where there are tabs, or bridges
NEEDS = {'#tab-width': ('tabs', '#tabs', 'press', ''), '#break-tabs': ('tabs', '#tabs', 'press', ''), '#bridge-count': ('bridge', '#bridge', 'type', '5')}


class Controls(Whole):
    def art(self, name):
        return DRAWN.get(name) or self.sample(name)

    def command(self):
        return self.browser.js("by('command').textContent")

    def show(self, selector):
        """Unfolds and scrolls to a control, as one does who looks for it, once all is in its place; returns its middle."""
        self.browser.wait('!later || !later.engine || later.engine.idle')
        self.browser.js(f"""(() => {{
            const control = document.querySelector({selector!r});
            for (let step = control; (step = step.parentElement && step.parentElement.closest('details'));) step.open = true;
            control.scrollIntoView({{ block: 'center' }});
        }})()""")
        return self.middle(selector)

    def press(self, selector):
        self.browser.click(*self.show(selector))

    def touch(self, selector, how, value):
        if how == 'press':
            self.press(selector)
        elif how == 'type':
            self.press(selector)
            self.browser.js(f'document.querySelector({selector!r}).select()')
            self.browser.call('Input.insertText', text=value)
            self.browser.key('Tab')
        elif how == 'slide':
            x, y = self.show(selector)
            width = self.browser.js(f'document.querySelector({selector!r}).clientWidth')
            self.browser.click(x + (value - .5) * width, y)
        else:
            self.show(selector)
            self.browser.js(f'document.querySelector({selector!r}).focus()')
            for _ in range(value):
                self.browser.key({'down': 'ArrowDown', 'up': 'ArrowUp'}[how])
            self.browser.key('Tab')

    def assert_answer(self):
        """Of the command that is shown; that for outlines writes them alone."""
        words = shlex.split(self.command())[1:]
        if words[0] == 'check':
            self.assert_same_as_command()
            return
        for name in ('outline.svg', 'outline.dxf'):
            result = self.run_here(*words, '-o', name)
            self.assertLess(result.status, BAD, result.talk)
            self.assertEqual(self.file(name), self.read(name).decode(), name)

    def assert_touched(self, selector, how, value, words):
        before = self.command()
        self.after(lambda: self.touch(selector, how, value))
        self.browser.wait(f'{case.ANSWERS} > 0 && engine.idle && job.engine.idle')
        self.assertIn(words, self.command())
        self.assertNotEqual(self.command(), before)
        self.assertEqual(self.browser.js("by('wrong').textContent"), '')
        self.assert_answer()
        while self.command() != before and not self.browser.js("by('undo').disabled"):
            self.after(lambda: self.press('#undo'))
        self.assertEqual(self.command(), before)

    def test_every_control(self):
        for name, rows in TOUCHED:
            self.begin()
            self.drop_art(name, self.art(name))
            if name in BEFORE:
                self.after(lambda name=name: self.touch(*BEFORE[name]))
            for row in case.some(rows, every=8):
                option, *how = NEEDS.get(row[0], ('',))
                if option and not self.browser.js(f'state.options.has({option!r})'):
                    self.after(lambda how=how: self.touch(*how))
                with self.subTest(art=name, control=row[0], value=row[2]):
                    self.assert_touched(*row)

    def test_none_is_forgotten(self):
        fields = self.browser.js("[...document.querySelectorAll('#controls input[id], #controls select, #controls textarea')].map(({ id }) => id)")
        touched = {row[0][1:] for _, rows in TOUCHED for row in rows}
        self.assertEqual([name for name in fields if name not in touched | ELSEWHERE], [])

    def test_what_widening_does(self):
        self.drop_art('kingfisher.png', self.art('kingfisher.png'))
        self.after(lambda: self.touch('#wide', 'type', '90'))
        for selector, how, value, words in case.some([('#stubs', 'down', 1, '--stubs open'), ('#misses', 'down', 1, '--misses open'), ('#ease', 'type', '0.1', '--ease 0.1mm')]):
            with self.subTest(control=selector):
                self.after(lambda: self.touch(selector, how, value))
                self.browser.wait("!by('help').inert && by('help').firstChild && later.engine.idle")
                self.after(lambda: self.press('#help button'))
                self.assertIn(words, self.command())
                self.run_here(*shlex.split(self.command())[1:])
                for one, other in (('outline.svg', 'fixed.svg'), ('outline.dxf', 'fixed.dxf')):
                    self.assertEqual(self.file(one), self.read('kingfisher-widened', other).decode(), one)
                self.after(lambda: self.press('#unwiden'))

    def test_what_is_wrong_is_told_and_the_last_good_one_stays(self):
        self.drop_art('heron.png', self.art('heron.png'))
        for selector, value, words in (('#bit', '1/8', 'has no unit'), ('#wide', '-4', 'more than 0'), ('#turn', 'round', 'degrees|number'), ('#dirt', 'much', '.'), ('#fill', '-1', '.'),
                                       ('#stock', '0', '.'), ('#stock-size', '300', '.'), ('#margin', 'x', '.'), ('#origin', 'nowhere', '.'), ('#ppi', '0', '.'),
                                       ('#smooth', '-1', '.'), ('#blunt', 'b', '.'), ('#neck', '-2', '.'), ('#tab-width', '-3', '.'), ('#ease', 'e', '.')):
            with self.subTest(control=selector):
                before = self.command()
                self.touch(selector, 'type', value)
                self.browser.wait("by('wrong').textContent")
                said = self.browser.js("by('wrong').textContent")
                self.assertTrue(re.search(words, said), said)
                self.assertNotIn('--', said)
                self.assertEqual(self.command(), before)
                self.browser.js("showWrong('')")
        self.assert_same_as_command()


if __name__ == '__main__':
    case.main()
