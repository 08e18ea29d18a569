"""What is printed fits 80 columns in every command, in millimetres and in inches, and inches come
with their fraction."""
import os
import re

import program
from program import BAD, Case

LONG = 'a drawing of the old swan that the club has on its boat shed door, ümläut and all.png'
COMMANDS = [
    ['check', '--cut', 'inside', '--bit', '1/8in', '--tabs', '3', '--stock', '6mm'],
    ['check', '--cut', 'outside', '--bit', '2in', '--margin', '1in'],
    ['check', LONG, '--cut', 'inside', '--bit', '1in'],
    ['bits', '--cut', 'inside', '--pair', '--stock', '6mm'],
    ['bits', '--cut', 'pocket', '--bit', '1/8in'],
    ['widen', '--cut', 'inside', '--bit', '1/4in', '--spots', '1-3'],
    ['pieces'],
]


class Terminal(Case):
    seen = {}  # what the commands said, by the options beside theirs

    def setUp(self):
        super().setUp()
        for name, link in ('heron.png', 'heron.png'), ('swan.png', LONG):
            os.symlink(os.path.join(program.SAMPLES, name), self.path(link))

    def every(self, *more):
        if more not in self.seen:
            self.seen[more] = []
            for command in COMMANDS:
                art = LONG if command == COMMANDS[1] else 'heron.png'
                result = self.run_here(*command, art, '--wide', '340mm', '-o', 'out', *more)
                self.assertLess(result.status, BAD, result.talk)
                self.seen[more].append((f'{command} {art}', result))
        return self.seen[more]

    def test_lines_fit_80_columns(self):
        for more in [], ['--inch']:
            for what, result in self.every(*more):
                for line in result.text.splitlines():
                    if not line.startswith('   narrows '):  # commands stay whole, to be copied
                        self.assertLessEqual(program.columns(line), 80, f'{what}: {line}')
                self.assertNotIn('\n\n\n', result.text, what)

    def test_inches_have_fractions_and_millimetres_are_gone(self):
        for what, result in self.every('--inch'):
            words = re.sub(r'^   narrows .*$', '', result.text, flags=re.M) + result.talk
            words = re.sub(r"^[> ] \d[\d.]* mm .*$|'[\d.]+ mm'|bit of \d mm", '', words, flags=re.M)
            words = words.replace('340mm', '')
            words = re.sub(r'^[> ] [\d./ ]+(in|mm) +[\d./]+ (in|mm) .*$', '', words, flags=re.M)
            self.assertNotRegex(words, r'\d ?mm', what)
            self.assertRegex(words, r'\d \(\d+/\d+|\(\d+ \d+/\d+', what)

    def test_columns_stay_apart(self):
        for what, result in self.every('--inch'):
            rows = [line for line in result.text.splitlines() if re.match(r' *\d+  (gap|neck) ', line)]
            for row in rows:
                self.assertNotRegex(row, r'-\d|\)\d|\d-', f'{what}: {row}')

    def test_quiet_says_nothing(self):
        for what, result in self.every('--quiet'):
            self.assertEqual((result.out, result.err), (b'', b''), what)


if __name__ == '__main__':
    program.main()
