"""narrows.html: the bit's slider moved from end to end by hand, with pauses, and by keys: meanwhile no box of the page moves or
changes its size, and the answer at the end is the command's."""
import time

import case
from whole import Whole

SCREENS = ((400, 800), (1024, 768), (1400, 900))
REST = .4  # seconds: longer than the page waits until the slider rests
PAUSES = (0, 4, 9)  # of the moves, after which it rests
# Of all that is not within a box that scrolls; of words in a line where they begin.
BOXES = """(() => {
    const within = '#told, #rack, svg, .still', words = '.gist, output, [id$=-unit]', boxes = {};
    for (const one of document.querySelectorAll('header, header *, main, main *')) {
        if (one.id === 'busy' || one.parentElement.closest(within) || !one.checkVisibility()) continue;
        const { left, top, width, height } = one.getBoundingClientRect();
        boxes[one.dataset.box = one.dataset.box || `${one.closest('#legend li') ? 'key' : one.localName} ${one.id} ${++window.boxes}`] = (one.matches(words) ? [left] : [left, top, width, height]).map(Math.round);
    }
    return boxes;
})()"""


class Slide(Whole):
    def art(self, name, *fields):
        self.drop_sample(name)
        for field in fields:
            self.set(*field)
        self.browser.js("window.boxes = 0; document.querySelectorAll('#step-spots, #step-hold, #step-take').forEach((step) => { step.open = true; }); by('slider').scrollIntoView()")
        self.rest()

    def rest(self):
        time.sleep(REST)
        self.browser.wait('engine.idle && job.engine.idle && (!later.engine || later.engine.idle)')

    def assert_still(self, before, where):
        now = self.browser.js(BOXES)
        self.assertEqual({name: (box, now.get(name)) for name, box in before.items() if now.get(name) != box}, {}, where)
        self.assertEqual({name for name in set(now) - set(before) if not name.startswith('key ')}, set(), where)
        before.update(now) # a key of the legend that came stays where it is, too

    def sweep(self, moves, do):
        """What moves it, in turn, and the boxes after each; the first move fixes what is compared."""
        before = None
        for k in range(moves):
            do(k)
            self.browser.wait('engine.idle')
            if k in PAUSES:
                self.rest()
            before = before or self.browser.js(BOXES)
            self.assert_still(before, k)

    def drag_along(self):
        left, top, width, height, at = self.browser.js("(({ left, top, width, height }) => [left, top, width, height, by('slider').value / 1000])(by('slider').getBoundingClientRect())")
        thumb = 16
        x = lambda share: left + thumb / 2 + share * (width - thumb)
        y = top + height / 2
        self.browser.mouse('mouseMoved', x(at), y)
        start = self.browser.js(BOXES)
        self.browser.mouse('mousePressed', x(at), y, button='left', clickCount=1)
        self.sweep(12, lambda k: self.browser.mouse('mouseMoved', x((at + (k + 1) / 13) % 1), y, button='left', buttons=1))
        self.assert_still({name: box for name, box in start.items() if name in self.browser.js(BOXES)}, 'at its begin')
        self.after(lambda: self.browser.mouse('mouseReleased', x(at), y, button='left', clickCount=1))
        self.rest()

    def keys_along(self):
        self.browser.js("by('slider').focus()")
        self.sweep(12, lambda k: self.browser.key(('Home', 'End', 'ArrowLeft', 'PageDown')[min(k, 3)]))
        self.browser.key('Tab')
        self.rest()

    def test_nothing_jumps(self):
        for size, art in case.some(list(zip(SCREENS, (('heron.png',), ('swan.png', ('wide', '260mm'), ('cut', 'outside'), ('unit', 'in')), ('eight.png', ('wide', '900mm')))))):
            with self.subTest(size=size, art=art[0]):
                self.browser.size(*size)
                self.begin()
                self.art(*art)
                for along in (self.drag_along, self.keys_along):
                    along()
                    self.assertEqual(self.browser.js("[document.querySelectorAll('.still, .out').length, slide.on]"), [0, False])
                    self.shot(f'{along.__name__}-{size[0]}')
                self.assert_same_as_command()


if __name__ == '__main__':
    case.main()
