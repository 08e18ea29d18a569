"""CPU time of narrows.html in Chromium, all its processes together, and its ratio to the command's for the same work: from drop to
verdict (a photo of 12 megapixels and a drawing of 1, both of the sample heron), widening, and a step of the bit's slider until
it is seen, of drawings of about 1000 and 7000 segments.

The photo is made in the browser: the heron in uneven light, with noise; the drawings are sheets of its outlines."""
import base64
import json
import os
import re
import resource
import shlex
import sys

sys.path[:0] = [os.path.join(os.path.dirname(os.path.abspath(__file__)), '..', folder) for folder in ('page', 'command')]
import case  # noqa: E402
from program import SAMPLES, svg  # noqa: E402
from whole import Whole  # noqa: E402

TICK = os.sysconf('SC_CLK_TCK')
ROUNDS = 3
STEPS = 20
PICTURE = '''(async () => {
    const blob = new Blob([Uint8Array.from(atob(%r), (letter) => letter.charCodeAt(0))]), bitmap = await createImageBitmap(blob);
    const [wide, high] = %r, photo = %s, canvas = Object.assign(document.createElement('canvas'), { width: wide, height: high });
    const context = canvas.getContext('2d', { willReadFrequently: true });
    context.fillStyle = 'white';
    context.fillRect(0, 0, wide, high);
    context.drawImage(bitmap, 0, 0, wide, high);
    if (photo) {
        const image = context.getImageData(0, 0, wide, high);
        let seed = 1;
        for (let k = 0; k < image.data.length; k++) {
            seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
            if (k %% 4 < 3) image.data[k] = 30 + image.data[k] * (.55 + .2 * (k / 4 %% wide) / wide) + (seed >>> 28);
        }
        context.putImageData(image, 0, 0);
    }
    const made = new FileReader(), written = await new Promise((done) => canvas.toBlob(done, photo ? 'image/jpeg' : 'image/png', .9));
    return new Promise((done) => { made.onload = () => done(made.result.split(',')[1]); made.readAsDataURL(written); });
})()'''


def cpu_of(process):
    """Seconds of a process and all that it started; of those that have ended too."""
    with open(f'/proc/{process}/stat', encoding='ascii') as file:
        times = file.read().rsplit(')', 1)[1].split()[11:15]
    with open(f'/proc/{process}/task/{process}/children', encoding='ascii') as file:
        return sum(map(int, times)) / TICK + sum(cpu_of(child) for child in file.read().split())


class Bench(Whole):
    def cpu(self, action):
        before = cpu_of(self.browser.process.pid)
        action()
        return cpu_of(self.browser.process.pid) - before

    def command(self, *words):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        self.assertLess(self.run_here(*words, environment={'OMP_NUM_THREADS': '1'}).status, 2)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime

    def answered(self, action):
        """Until the verdict is there; what comes after it runs on."""
        self.browser.js("""{
            const root = document.documentElement, before = root.dataset.answers;
            void (window.answer = new Promise((done) => {
                const seen = new MutationObserver(() => root.dataset.answers === before || done(seen.disconnect()));
                seen.observe(root, { attributes: true });
            }));
        }""")
        action()
        self.browser.js('answer')

    def quiet(self):
        """Until nothing is worked out any more."""
        self.browser.wait('engine.idle && (!later.engine || later.engine.idle)')

    def tell(self, what, page, command):
        more = f', {page / command:.2f} times the command\'s {command:.2f} s' if command else ''
        print(f'# {what}: {page:.3f} s{more}', flush=True)

    def drop_measured(self, name):
        """On the page once it rests, until the verdict."""
        self.begin()
        self.browser.wait("document.documentElement.dataset.warm === ''")
        self.browser.js(f'window.brought = {case.file_script(name, self.read(name))}')
        return self.cpu(lambda: self.answered(lambda: self.browser.js(case.drop_script('brought'))))

    def drop_and_tell(self, what, name, size, photo):
        with open(os.path.join(SAMPLES, 'heron.png'), 'rb') as file:
            self.write(name, base64.b64decode(self.browser.js(PICTURE % (base64.b64encode(file.read()).decode(), size, json.dumps(photo)))))
        page = []
        for _ in range(ROUNDS):
            page.append(self.drop_measured(name))
            self.quiet()
        words = shlex.split(self.browser.js("by('command').textContent"))[1:]
        self.tell(what, min(page), min(self.command(*words, '-o', 'out') for _ in range(ROUNDS)))
        self.tell(f'{what}, the first', page[0], None)
        return words

    def widen_and_tell(self):
        page = []
        for _ in range(ROUNDS):
            self.drop_measured('drawing.png')
            self.set('wide', '240mm')
            line = self.browser.js("by('command').textContent").replace('narrows check', 'narrows widen')
            self.quiet()
            page.append(self.cpu(lambda: self.answered(lambda: self.browser.js(f'jobWiden({line!r})'))))
        command = min(self.command(*shlex.split(line)[1:], '-o', 'wide') for _ in range(ROUNDS))
        self.tell('widening', min(page), command)
        self.tell('widening, the first since the browser began, which compiles for it', page[0], command)

    def sheet(self, herons):
        """So many of them, each as wide as the sample's own question has it."""
        self.run_here('outline', os.path.join(SAMPLES, 'heron.png'), '--wide', '240mm', '-o', 'heron.svg')
        paths = ''.join(re.findall('<path[^>]*>', self.read('heron.svg').decode()))
        return svg(''.join(f'<g transform="translate({250 * (k % 4)} {220 * (k // 4)})">{paths}</g>' for k in range(herons)), 1000, 880)

    def step_and_tell(self, herons):
        """Of the slider, along half of it, each until it is drawn; the best of all rounds, the first of which learns."""
        self.begin()
        self.drop_art('sheet.svg', self.sheet(herons))
        segments = self.browser.js('paths.reduce((sum, { steps }) => sum + steps.length, 0)')

        def move():
            for step in range(STEPS):
                value = 300 + 20 * step
                self.answered(lambda: self.browser.js(f"by('slider').value = {value}; by('slider').dispatchEvent(new Event('input', {{ bubbles: true }}))"))
                self.browser.js('new Promise((drawn) => requestAnimationFrame(() => setTimeout(drawn)))')
        page = []
        for _ in range(ROUNDS):
            self.quiet()
            page.append(self.cpu(move) / STEPS)
        self.tell(f'a step of the slider, of {segments} segments', min(page), None)

    def test_all(self):
        self.drop_and_tell('from drop to verdict, 12 megapixels, JPEG', 'photo.jpg', [3465, 3464], True)
        words = self.drop_and_tell('from drop to verdict, 1 megapixel, PNG', 'drawing.png', [1000, 1000], False)
        self.assertEqual(words[0], 'check')
        self.widen_and_tell()
        for herons in (2, 13):
            self.step_and_tell(herons)


if __name__ == '__main__':
    case.main()
