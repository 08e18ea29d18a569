"""Allocations of the program are made to fail in turn, more with NARROWS_TEST_ALL: it must end with
exit status 2, one line and nothing written, or carry on without (a guess less is no failure) to the
right result.

FAILING_MALLOC is the path of failing_malloc.c, built."""
import os
import sys

sys.path.insert(0, os.path.join(os.path.dirname(__file__), '..', 'command'))
import program  # noqa: E402
from program import BAD, Case, dumbbell, dumbbell_pixels, png, svg  # noqa: E402

MOST_RUNS = 400 if os.environ.get('NARROWS_TEST_ALL') else 40  # of one command; allocations beyond are sampled evenly


class Memory(Case):
    def setUp(self):
        super().setUp()
        if program.SANITIZED:
            self.skipTest('the sanitizer has an allocator of its own')
        self.shim = os.path.abspath(os.environ['FAILING_MALLOC'])

    def run_failing(self, arguments, at, rest=False):
        return self.run_here(*arguments, environment={
            'LD_PRELOAD': self.shim, 'FAIL_AT': str(at), 'FAIL_REST': '1' if rest else '0',
            'FAIL_COUNT': self.path('count'), 'OMP_NUM_THREADS': '1'})

    def results(self):
        """Every file below the folder but the count."""
        found = {}
        for folder, _, names in os.walk(self.folder):
            for name in names:
                path = os.path.join(folder, name)
                if path != self.path('count'):
                    with open(path, 'rb') as file:
                        found[os.path.relpath(path, self.folder)] = file.read()
        return found

    def each_fails(self, *arguments):
        before = self.results()
        good = self.run_failing(arguments, 0)
        self.assertNotEqual(good.status, BAD, good.talk)
        expected = self.results()
        count = int(self.read('count'))
        self.assertGreater(count, 10)
        step = max(1, count // MOST_RUNS)
        for at in range(1, count + 1, step):
            for rest in (False, True):
                for name in set(expected) - set(before):
                    if os.path.exists(self.path(name)):
                        os.remove(self.path(name))
                result = self.run_failing(arguments, at, rest)
                why = f'allocation {at} of {count}: {result.status} {result.talk}'
                if result.status == BAD:
                    self.assertIn('narrows: ', result.talk, why)
                    self.assertEqual(self.results(), before, why)
                else:
                    self.assertEqual(result.status, good.status, why)
                    self.assertEqual(self.results(), expected, why)

    def test_check_of_a_drawing(self):
        self.write('bell.svg', dumbbell())
        self.each_fails('check', 'bell.svg', '--cut', 'inside', '--bit', '3mm', '--threads', '1')

    def test_check_of_a_picture(self):
        self.write('bell.png', png(dumbbell_pixels(20, 6, 40)))
        self.each_fails('check', 'bell.png', '--wide', '60mm', '--cut', 'outside', '--bit', '6mm',
                        '--threads', '1', '--json')

    def test_outline(self):
        self.write('ring.svg', svg('<g style="fill:red"><path d="M0 0h40v40z"/></g>'))
        self.each_fails('outline', 'ring.svg', '-o', 'ring.dxf')

    def test_bits_and_pairs(self):
        self.write('bell.svg', dumbbell(2))
        self.each_fails('bits', 'bell.svg', '--wide', '90mm', '--cut', 'inside', '--pair', '-o', 'out',
                        '--threads', '1')

    def test_widen(self):
        self.write('bell.svg', dumbbell(2))
        self.each_fails('widen', 'bell.svg', '--wide', '90mm', '--cut', 'inside', '--bit', '3mm', '-o',
                        'fixed.svg', '--threads', '1')

    def test_pieces(self):
        self.write('bell.png', png(dumbbell_pixels(20, 6, 40)))
        self.each_fails('pieces', 'bell.png', '-o', 'out')


if __name__ == '__main__':
    program.main()
