"""How the page reads: contrast, targets and names by the Web Content Accessibility Guidelines 2.2, level AA
(W3C, 2024), on a desk, a tablet and a telephone, light and dark; and all of it by keyboard."""
import os

import case
from case import PageCase
from program import SAMPLES, run

SCREENS = {'desk': (1280, 900, False), 'tablet': (820, 1180, True), 'telephone': (400, 800, True)}
TEXT, PARTS, TARGET = 4.5, 3, 24  # 1.4.3 and 1.4.11, contrasts; 2.5.8, pixels

# What falls short, as lines of text.
FAULTS = '''(() => {
    const faults = new Set();
    const parse = (c) => { const n = c.match(/[\\d.]+/g).map(Number); return n.length > 3 ? n : [...n, 1]; };
    const part = (v) => v / 255 <= .03928 ? v / 255 / 12.92 : ((v / 255 + .055) / 1.055) ** 2.4;
    const light = (c) => .2126 * part(c[0]) + .7152 * part(c[1]) + .0722 * part(c[2]);
    const contrast = (a, b) => { const [x, y] = [light(a), light(b)].sort((p, q) => q - p); return (x + .05) / (y + .05); };
    const ground = (n) => { for (; n; n = n.parentElement) { const c = parse(getComputedStyle(n).backgroundColor); if (c[3]) return c; } return [255, 255, 255]; };
    const name = (n) => `${n.tagName} ${n.id} ${n.textContent.trim().slice(0, 30)}`;
    for (const n of document.querySelectorAll('header, header *, main *:not(svg *)')) {
        const box = n.getBoundingClientRect(), style = getComputedStyle(n);
        if (!box.width || !box.height) continue;
        const words = [...n.childNodes].some((c) => c.nodeType === 3 && c.textContent.trim());
        if (words && contrast(parse(style.color), ground(n)) < TEXT) faults.add(`pale text: ${name(n)}`);
        if (box.left < -1 || box.right > innerWidth + 1) if (!n.closest('.held')) faults.add(`beyond the edge: ${name(n)}`);
        if (!n.matches('button, input, select, summary')) continue;
        const hit = n.type === 'checkbox' ? n.closest('label').getBoundingClientRect() : box;
        if (Math.min(hit.width, hit.height) < TARGET) faults.add(`small: ${name(n)} ${hit.width} x ${hit.height}`);
        if (n.matches('button, select, input[type=text]') && contrast(parse(style.borderTopColor), ground(n.parentElement)) < PARTS)
            faults.add(`pale edge: ${name(n)}`);
    }
    return [...faults];
})()'''.replace('TEXT', str(TEXT)).replace('PARTS', str(PARTS)).replace('TARGET', str(TARGET))


class Look(PageCase):
    def make(self, command, picture, *options):
        run(command, os.path.join(SAMPLES, picture), *options, '-o', self.path('out'))
        self.open('out', 'page.html')

    def test_contrast_and_size(self):
        self.maxDiff = None
        arts = [('check', 'heron.png', '--wide', '240mm', '--cut', 'inside', '--bit', '1/8in'),
                ('widen', 'heron.png', '--wide', '240mm', '--cut', 'inside', '--bit', '1/8in'),
                ('bits', 'sign.png', '--wide', '420mm', '--cut', 'pocket')]
        for art in case.some(arts):
            self.make(*art)
            self.browser.wait("!document.documentElement.dataset.busy && !by('ways-out').inert")
            self.browser.js("document.querySelectorAll('details').forEach((one) => { one.open = true; }); state.answer.result.spots.length && select(0)")
            for screen, (width, height, phone) in SCREENS.items():
                self.browser.size(width, height, phone)
                self.browser.call('Emulation.setTouchEmulationEnabled', enabled=phone)
                self.browser.wait("engine.idle && by('bits').children.length && by('sizes').children.length && by('rack').firstChild.clientWidth <= by('rack').clientWidth")
                for theme in ('light', 'dark'):
                    with self.subTest(art=art[:2], screen=screen, theme=theme):
                        self.browser.theme(theme)
                        self.assertEqual(self.browser.js(FAULTS), [])
                        self.shot(f'{art[0]}-{screen}-{theme}')
        self.browser.call('Emulation.setTouchEmulationEnabled', enabled=False)

    def test_everything_that_takes_the_focus_has_a_name(self):
        self.make('check', 'heron.png', '--wide', '240mm', '--cut', 'inside', '--bit', '1/8in')
        nodes = self.browser.call('Accessibility.getFullAXTree')['nodes']
        named = []
        for node in nodes:
            focusable = any(p['name'] == 'focusable' and p['value'].get('value') for p in node.get('properties', []))
            role = node.get('role', {}).get('value')
            if (focusable and role != 'RootWebArea') or role in ('list', 'region', 'group', 'slider'):
                named.append((role, node.get('name', {}).get('value', '')))
        self.assertGreater(len(named), 40)
        self.assertEqual([role for role, name in named if not name.strip()], [])

    def test_all_of_it_by_keyboard(self):
        """Tab comes to every control, each shows that it has the focus, and no mouse is needed to use it."""
        self.make('check', 'sign.png', '--wide', '420mm', '--cut', 'pocket', '--bit', '1/8in')
        self.browser.js("document.querySelectorAll('details').forEach((one) => { one.open = true; }); document.activeElement.blur()")
        wanted = self.browser.js('''[...document.querySelectorAll('button, input, select, summary, #view')]
            .filter((node) => !node.disabled && node.getBoundingClientRect().width).length''')
        seen = []
        for _ in range(wanted):
            self.browser.key('Tab')
            seen.append(self.browser.js('''(() => { const n = document.activeElement, s = getComputedStyle(n);
                n.dataset.seen = 1; return [n.id || n.textContent || n.dataset.layer || n.value, s.outlineStyle, parseFloat(s.outlineWidth)]; })()'''))
        self.assertEqual(self.browser.js("document.querySelectorAll('[data-seen]').length"), wanted)
        self.assertEqual([name for name, style, width in seen if style == 'none' or width < 2], [])
        # The way out that another bit is, the second spot, a piece: all without a mouse.
        self.browser.wait("!by('ways-out').inert")
        self.browser.js("[...document.querySelectorAll('#ways button')].find((b) => b.textContent === 'Show').focus()")
        self.after(lambda: self.browser.key('Enter'))
        self.assertTrue(self.browser.js('state.answer.result.fits'))
        self.after(lambda: self.browser.js("by('again').focus()") or self.browser.key('Enter'))
        self.browser.js("document.querySelectorAll('#spots button')[1].focus()")
        self.browser.key('Enter')
        self.browser.wait('state.selected === 1')
        self.assertRegex(self.browser.js("by('chosen').textContent"), '^Spot 2 of 10: gap')
        self.browser.js("document.querySelector('#pieces-list input').focus()")
        self.after(lambda: self.browser.key(' '))
        self.assertEqual(self.browser.js('state.off.size'), 1)
        self.assert_same_as_command()


if __name__ == '__main__':
    case.main()
