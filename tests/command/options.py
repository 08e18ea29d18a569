"""The command line itself: help, and what is said about requests that make no sense."""
import os
import subprocess
import time

import program
from program import BAD, FITS, Case, dumbbell, dumbbell_pixels, png

COMMANDS = ['check', 'outline', 'pieces', 'widen']


class Help(Case):
    def test_help_names_every_command(self):
        for word in '--help', '-h', 'help':
            result = self.run_here(word)
            self.assertEqual((result.status, result.err), (FITS, b''))
            for name in COMMANDS:
                self.assertIn(f'\n  {name} ', result.text)

    def test_help_of_a_command(self):
        for name in COMMANDS:
            result = self.run_here(name, '--help')
            self.assertEqual((result.status, result.err), (FITS, b''))
            self.assertTrue(result.text.startswith(f'usage: narrows {name} '))
            self.assertIn('--wide LENGTH', result.text)
            self.assertEqual('--bit DIAMETER' in result.text, name != 'pieces')
            for line in result.text.splitlines():
                self.assertLessEqual(len(line), 80, line)
            self.assertEqual(self.run_here('help', name).out, result.out)

    def test_version(self):
        result = self.run_here('--version')
        self.assertEqual(result.status, FITS)
        self.assertRegex(result.text, r'^narrows \d+\.\d+\.\d+\n$')

    def test_every_option_that_help_lists_is_taken(self):
        for name in COMMANDS:
            for line in self.run_here(name, '--help').text.splitlines():
                words = line.split()
                if not line.startswith('  -') or words[0] == '--help':
                    continue
                arguments = [words[0]] if len(words[0]) == len(line.rstrip()[2:]) else words[:1]
                result = self.run_here(name, *arguments)
                self.assertEqual(result.status, BAD)
                self.assertNotIn('unknown option', result.talk)
                self.assertNotIn('does not take', result.talk)


class Requests(Case):
    def test_one_line_says_what_is_wrong(self):
        art = self.write('bell.svg', dumbbell())
        inside = ['--cut', 'inside']
        for arguments, word in [
                ([], '--help'), (['chek', art], "'check'"), (['route', art], "'route'"), (['help', 'route'], "'route'"), (['--wide'], "'--wide'"),
                (['check'], 'ART'), (['check', ''], 'ART'), (['check', '--'], 'ART'),
                (['check', art], '--cut'), (['check', art, *inside], '--bit'),
                (['check', art, '--bit', '3'], '--cut'),
                (['check', art, '--cut', 'across', '--bit', '3'], "'across'"),
                (['check', art, *inside, '--bit'], 'DIAMETER'),
                (['check', art, *inside, '--bit', '--json'], 'DIAMETER'),
                (['check', art, *inside, '--bit='], 'DIAMETER'),
                (['check', art, *inside, '--bit', '0'], '--bit'),
                (['check', art, *inside, '--bit', '-3'], '--bit'),
                (['check', art, *inside, '--bit', 'nan'], "'nan'"),
                (['check', art, *inside, '--bit', '1e999'], '--bit'),
                (['check', art, *inside, '--bit', '3furlong'], "'3furlong'"),
                (['check', art, *inside, '--bit', '3', '--bit', '4'], 'twice'),
                (['check', art, *inside, '--bit', '2km'], "'2km'"),
                (['check', art, *inside, '--bit', '3', '--json=yes'], '--json'),
                (['check', art, *inside, '--bit', '3', '--wdie', '3'], '--wide'),
                (['check', art, *inside, '--bit', '3', '--colour', '3'], "'--colour'"),
                (['check', art, *inside, '--bit', '3', '--wide', '1e-9'], 'smaller'),
                (['check', art, *inside, '--bit', '1e-5'], '--bit'),
                (['check', art, *inside, '--bit', '3', '-x'], "'-x'"),
                (['check', art, *inside, '--bit', '3', '--'], None),
                (['outline', art, 'another.svg'], "'another.svg'"),
                (['check', art, '-', *inside, '--bit', '3'], 'standard input'),
                (['check', '--each', '-', *inside, '--bit', '3'], 'standard input'),
                (['check', art, *inside, '--bit', '3', '--threads', '0'], '--threads'),
                (['check', art, *inside, '--bit', '3', '--threads', '1.5'], '--threads'),
                (['check', art, *inside, '--bit', '3', '--ppi', 'inf'], '--ppi'),
                (['check', art, *inside, '--bit', '3', '--turn', '400'], '--turn'),
                (['check', art, *inside, '--bit', '3', '--level', '256'], '--level'),
                (['check', art, *inside, '--bit', '3', '--ink', '#12'], '--ink'),
                (['check', art, *inside, '--bit', '3', '--dirt', 'few'], '--dirt'),
                (['check', art, *inside, '--bit', '3', '--keep', '7'], "'7'"),
                (['check', art, *inside, '--bit', '3', '--drop', '1'], 'pieces'),
                (['check', art, *inside, '--bit', '3', '--keep', 'all,x'], "'all'"),
                (['check', art, *inside, '--bit', '2000'], None),
                (['pieces', art, '--bit', '3'], '--bit'),
                (['pieces', art, '--turn', '3'], '--turn'),
                (['outline', art, '-o', 'bell.pdf'], "'bell.pdf'"),
                (['outline', art, '-o', ''], '-o'),
                (['outline', art, '-o', art], 'overwritten')]:
            with self.subTest(arguments=arguments):
                if word is None and arguments[-1] == '--':
                    self.assertNotEqual(self.run_here(*arguments).status, BAD)
                    subprocess.run(['rm', '-r', self.path('bell-svg-check')], check=True)
                    continue
                lines = self.refused(self.run_here(*arguments), *([word] if word else []))
                self.assertEqual(len(lines), 1, lines)
                self.assertEqual(self.names(), ['bell.svg'])

    def test_values_may_follow_an_equals_sign(self):
        self.write('bell.svg', dumbbell())
        plain = self.run_here('check', 'bell.svg', '--cut', 'inside', '--bit', '3', '--json')
        equal = self.run_here('check', '--cut=inside', '--bit=3', '-oout', 'bell.svg', '--json')
        self.assertEqual(plain.out, equal.out)
        self.assertEqual(self.names(), ['bell-svg-check', 'bell.svg', 'out'])


# What a sanitizer's build is told must reach the program also where the rest is left out.
sanitizers = {name: value for name, value in os.environ.items() if name.endswith('SAN_OPTIONS')}


class Terminal(Case):
    """What is said when standard output or standard error is a terminal."""

    def on_terminal(self, stream, *more, data=b'', delay=0, **environment):
        """All that the terminal got; standard input has `data`, after a while."""
        ours, theirs = self.terminal()
        streams = {'stdout': subprocess.DEVNULL, 'stderr': subprocess.DEVNULL, stream: theirs}
        process = subprocess.Popen(
            [program.NARROWS, 'check', '--cut', 'inside', '--bit', '3', '-o', 'out', *more],
            cwd=self.folder, stdin=subprocess.PIPE,
            env={**sanitizers, 'PATH': os.environ['PATH'], **environment}, **streams)
        os.close(theirs)
        time.sleep(delay)
        process.stdin.write(data)
        process.stdin.close()
        seen = b''
        while True:
            try:
                part = os.read(ours, 65536)
            except OSError:
                part = b''
            if not part:
                break
            seen += part
        os.close(ours)
        process.wait()
        return seen

    def test_colour_only_on_a_terminal_that_takes_it(self):
        self.write('bell.svg', dumbbell())
        for environment, colour in [({'TERM': 'xterm'}, True),
                                    ({'TERM': 'xterm', 'NO_COLOR': ''}, True),
                                    ({'TERM': 'xterm', 'NO_COLOR': '1'}, False),
                                    ({'TERM': 'dumb'}, False), ({}, False)]:
            seen = self.on_terminal('stdout', 'bell.svg', **environment)
            self.assertIn(b'fit', seen)
            self.assertEqual(b'\x1b[' in seen, colour, environment)

    def test_progress_only_on_a_terminal_and_when_it_takes_long(self):
        picture = png(dumbbell_pixels(200, 60, 300))
        slow = {'data': picture, 'delay': 1}
        arguments = ['-', '--wide', '100']
        seen = self.on_terminal('stderr', *arguments, TERM='xterm', **slow)
        self.assertRegex(seen, rb'\r\x1b\[K[a-z ]+ \d+ %')
        # Wiped before the first line, and nothing of it is left at the end.
        self.assertRegex(seen, rb'%\r\x1b\[Knarrows: ')
        self.assertNotIn(b'%', seen[seen.rindex(b'\x1b[K'):])
        for more, kind in ([], 'dumb'), (['--quiet'], 'xterm'):
            seen = self.on_terminal('stderr', *arguments, *more, TERM=kind, **slow)
            self.assertNotIn(b'\x1b', seen)


if __name__ == '__main__':
    program.main()
