"""Runs the real program for the tests of the command, and makes pictures and drawings for it.

The program's path is in NARROWS. main() runs a file's tests and reports in TAP, a line a test."""
import os
import shutil
import struct
import subprocess
import sys
import tempfile
import unicodedata
import unittest
import zlib

NARROWS = os.path.abspath(os.environ['NARROWS'])
SAMPLES = os.environ.get('SAMPLES', '')
FITS, SPOTS, BAD = 0, 1, 2
CRASHED = 99
SANITIZED = b'__asan_init' in open(NARROWS, 'rb').read()
SANITIZERS = ['ASAN_OPTIONS', 'UBSAN_OPTIONS', 'LSAN_OPTIONS']
ALL = bool(os.environ.get('NARROWS_TEST_ALL'))
PAGE = ['page.html'] if os.environ.get('NARROWS_PAGE') else []
FILES = sorted(['marked.pdf', 'marked.svg', 'outline.dxf', 'outline.svg', 'spots.csv',
                'spots.json'] + PAGE)


class Result:
    """What a run left behind: exit status, standard output and standard error as bytes."""

    def __init__(self, done):
        self.status, self.out, self.err = done.returncode, done.stdout, done.stderr

    @property
    def text(self):
        return self.out.decode()

    @property
    def talk(self):
        """What was said, each message on one line."""
        return self.err.decode(errors='replace').replace('\n         ', ' ')


def seldom(test):
    """A test that takes long where others see most of what it sees: there when NARROWS_TEST_ALL is set alone."""
    return test if ALL else None


def counted(test):
    """A test of how many, or of the same bytes twice: not with the sanitizers, to which it shows nothing that others do not."""
    return unittest.skipIf('ASAN_OPTIONS' in os.environ, 'counts what other tests run')(test)


def sanitizer_options(name):
    """A sanitizer's options; what it finds must not pass for an exit status of the program."""
    given = os.environ.get(name)
    return f"{given + ':' if given else ''}halt_on_error=1:exitcode={CRASHED}"


def run(*arguments, folder=None, data=None, environment=None, **more):
    """Runs narrows; standard input is `data` or nothing. A crash is an error in any test."""
    done = subprocess.run([NARROWS, *arguments], cwd=folder, input=data or b'',
                          env={**os.environ, 'OMP_WAIT_POLICY': 'passive',
                               **{name: sanitizer_options(name) for name in SANITIZERS},
                               **(environment or {})},
                          stdout=more.pop('stdout', subprocess.PIPE), stderr=subprocess.PIPE,
                          timeout=600, **more)
    if done.returncode not in (FITS, SPOTS, BAD):
        raise AssertionError(f'{arguments}: ended by {done.returncode}: {done.stderr.decode()}')
    return Result(done)


def samples():
    """Picture and options of each sample."""
    with open(os.path.join(SAMPLES, 'list'), encoding='utf-8') as file:
        return [(words[0], words[1:]) for words in (line.split('#')[0].split() for line in file) if words]


def some_samples(first):
    """Every third of them, of the first, second or third on; under the sanitizers, which take long,
    every sixth; all when NARROWS_TEST_ALL is set. Tests that begin elsewhere see all of them together."""
    return samples() if ALL else samples()[first % 3::6 if SANITIZED else 3]


# ---- pictures -------------------------------------------------------------------------------

def columns(line):
    """How many columns of a terminal a line takes."""
    return sum(0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in 'WF' else 1
               for c in line)


def pixels(width, height, is_ink):
    """Rows of grey bytes: 0 where is_ink(x, y) at the pixel's middle, else 255."""
    return [bytes(0 if is_ink(x + 0.5, y + 0.5) else 255 for x in range(width))
            for y in range(height)]


def soft_pixels(width, height, is_ink):
    """The same with the share of a pixel that is ink, as scanners and drawing programs give it."""
    fine = pixels(4 * width, 4 * height, lambda x, y: is_ink(x / 4, y / 4))
    return [bytes((sum(fine[4 * y + j][4 * x + k] for j in range(4) for k in range(4)) + 15) // 16 for x in range(width))
            for y in range(height)]


def glass_and_dot():
    """Two triangles, tip to tip, with soft edges: one piece of the pixels, but two outlines. Beside them a dot with hard ones."""
    def is_glass(x, y):
        along, across = (x + y - 180) / 2 ** .5, (x - y) / 2 ** .5
        return abs(across) <= abs(along) / 2 and abs(along) <= 80
    dot = pixels(280, 180, lambda x, y: (x - 230) ** 2 + (y - 40) ** 2 <= 30 ** 2)
    return [bytes(map(min, *rows)) for rows in zip(soft_pixels(280, 180, is_glass), dot)]


def pgm(rows):
    return b'P5\n%d %d\n255\n' % (len(rows[0]), len(rows)) + b''.join(rows)


def chunk(name, body):
    return struct.pack('>I', len(body)) + name + body + struct.pack('>I', zlib.crc32(name + body))


def png(rows, ppi=None):
    """A grey PNG; with ppi, its pHYs chunk says so."""
    return png_of(rows, ppi=ppi)


def png_of(rows, colour=0, ppi=None):
    """colour: PNG's word for the rows' bytes, 0 for grey, 6 for red, green, blue and alpha."""
    header = struct.pack('>IIBBBBB', len(rows[0]) // {0: 1, 6: 4}[colour], len(rows), 8, colour, 0, 0, 0)
    body = zlib.compress(b''.join(b'\0' + row for row in rows))
    size = chunk(b'pHYs', struct.pack('>IIB', *[round(ppi / 0.0254)] * 2, 1)) if ppi else b''
    return (b'\x89PNG\r\n\x1a\n' + chunk(b'IHDR', header) + size + chunk(b'IDAT', body) +
            chunk(b'IEND', b''))


def dumbbell_pixels(radius=60, bar=14, length=200):
    """Two discs joined by a bar, 20 pixels of paper round them."""
    width, height = 2 * radius + length + 40, 2 * radius + 40
    left, right, middle = 20 + radius, 20 + radius + length, 20 + radius

    def is_ink(x, y):
        disc = min((x - left) ** 2, (x - right) ** 2) + (y - middle) ** 2 <= radius ** 2
        return disc or (left <= x <= right and abs(y - middle) <= bar / 2)
    return pixels(width, height, is_ink)


# ---- drawings -------------------------------------------------------------------------------

def svg(body, width=120, height=60):
    return (f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
            f'viewBox="0 0 {width} {height}">{body}</svg>').encode()


def dumbbell(bar=2):
    """Two discs of 40 mm, joined by a bar `bar` mm high and 40 mm long between the discs."""
    return svg('<circle cx="20" cy="30" r="20"/><circle cx="100" cy="30" r="20"/>'
               f'<rect x="20" y="{30 - bar / 2}" width="80" height="{bar}"/>')


def dxf_entities(data):
    """The codes and values of what a DXF draws."""
    lines = [line.strip() for line in data.decode().split('\n')]
    pairs = list(zip(lines[::2], lines[1::2]))
    return pairs[pairs.index(('2', 'ENTITIES')):pairs.index(('2', 'OBJECTS'))]


# ---- the tests' frame -----------------------------------------------------------------------

class Case(unittest.TestCase):
    """A test with a folder of its own."""

    def setUp(self):
        self.folder = tempfile.mkdtemp(prefix='narrows-')
        self.addCleanup(self.clean)

    def clean(self):
        subprocess.run(['chmod', '-R', 'u+rwX', self.folder], check=False)
        shutil.rmtree(self.folder)

    def path(self, *names):
        return os.path.join(self.folder, *names)

    def write(self, name, data):
        with open(self.path(name), 'wb') as file:
            file.write(data)
        return name

    def read(self, *names):
        with open(self.path(*names), 'rb') as file:
            return file.read()

    def names(self, *names):
        return sorted(os.listdir(self.path(*names)))

    def terminal(self):
        """Both ends of one."""
        try:
            return os.openpty()
        except OSError as reason:  # as in a bare chroot
            return self.skipTest(f'no terminals here: {reason}')

    def run_here(self, *arguments, **more):
        return run(*arguments, folder=self.folder, **more)

    def refused(self, result, *words):
        """Exit status 2, nothing on standard output, one clear line on standard error."""
        self.assertEqual(result.status, BAD, result.talk)
        self.assertEqual(result.out, b'')
        lines = [line for line in result.talk.splitlines() if line]
        self.assertTrue(lines and lines[-1].startswith('narrows: '), result.talk)
        self.assertTrue(result.talk.endswith('\n'))
        self.assertGreater(len(lines[-1]), 20)
        for word in words:
            self.assertIn(word, lines[-1])
        return lines


class Tap(unittest.TestResult):
    def __init__(self):
        super().__init__()
        self.number = 0

    def line(self, good, test, more=''):
        self.number += 1
        print(f"{'ok' if good else 'not ok'} {self.number} {test.id().split('.', 1)[1]}{more}",
              flush=True)

    def addSuccess(self, test):
        super().addSuccess(test)
        self.line(True, test)

    def addFailure(self, test, err):
        super().addFailure(test, err)
        self.line(False, test)
        sys.stderr.write(self.failures[-1][1])

    def addError(self, test, err):
        super().addError(test, err)
        self.line(False, test)
        sys.stderr.write(self.errors[-1][1])

    def addSubTest(self, test, subtest, err):
        super().addSubTest(test, subtest, err)
        if err:
            self.line(False, test, f' {subtest._subDescription()!r}')
            sys.stderr.write(self.failures[-1][1] if self.failures else self.errors[-1][1])

    def addSkip(self, test, reason):
        super().addSkip(test, reason)
        self.line(True, test, f' # SKIP {reason}')


def main():
    suite = unittest.defaultTestLoader.loadTestsFromModule(sys.modules['__main__'])
    result = Tap()
    suite.run(result)
    print(f'1..{result.number}')
    sys.exit(0 if result.wasSuccessful() else 1)
