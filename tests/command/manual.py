"""The man page and the completions that the build makes from the tables.

usage: manual.py MAN-PAGE BASH-COMPLETION ZSH-COMPLETION"""
import re
import shutil
import subprocess
import sys

import program
from program import Case, run

MAN, BASH, ZSH = sys.argv[1:4]
COMMANDS = re.findall(r'^  (\w+) ', run('--help').text.split('Commands')[1].split('\n\n')[0], re.M)


def options_of(command):
    """What --help of a command lists."""
    return {line.split()[0] for line in run(command, '--help').text.splitlines()
            if line.startswith('  -')}


def complete(*words):
    """What the shell would offer for the last of the words."""
    script = ('source "$1"; shift; COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); _narrows; '
              'printf "%s\\n" "${COMPREPLY[@]}"')
    done = subprocess.run(['bash', '-c', script, 'bash', BASH, 'narrows', *words],
                          capture_output=True, text=True, check=True)
    return set(done.stdout.split())


class Manual(Case):
    def test_there_are_commands(self):
        self.assertLessEqual({'check', 'outline', 'pieces', 'widen'}, set(COMMANDS))

    def test_the_man_page_names_all(self):
        with open(MAN, encoding='utf-8') as file:
            page = file.read()
        plain = page.replace('\\-', '-')
        for command in COMMANDS:
            self.assertIn(f'.B {command}\n', plain)
            self.assertIn(f'.B narrows {command}\n', plain)
            for option in options_of(command):
                self.assertIn(f'.BI {option}', plain)
        self.assertNotIn('@', page)

    def test_the_man_page_is_sound(self):
        if not shutil.which('groff'):
            self.skipTest('no groff here')
        done = subprocess.run(['groff', '-man', '-ww', '-z', MAN], capture_output=True, text=True,
                              check=False)
        self.assertEqual((done.returncode, done.stderr), (0, ''))

    def test_bash_completes(self):
        self.assertEqual(complete('che'), {'check'})
        self.assertLessEqual(set(COMMANDS), complete(''))
        for command in COMMANDS:
            self.assertEqual(complete(command, '-'), options_of(command))
        self.assertEqual(complete('check', 'x.png', '--cut', ''), {'inside', 'outside', 'pocket'})
        self.assertEqual(complete('check', 'x.png', '--ink', 'al'), {'alpha'})
        self.assertEqual(complete('check', 'x'), set())

    def test_zsh_reads_its_completion(self):
        if not shutil.which('zsh'):
            self.skipTest('no zsh here')
        subprocess.run(['zsh', '-n', ZSH], check=True)


if __name__ == '__main__':
    program.main()
