"""The man pages and the completions that the build makes from the tables.

usage: manual.py BASH-COMPLETION ZSH-COMPLETION MAN-PAGE..."""
import os
import re
import shlex
import shutil
import subprocess
import sys

import program
from program import BAD, Case, run

BASH, ZSH, *MAN = sys.argv[1:]
PAGES = {os.path.basename(path).removesuffix('.1'): path for path in MAN}
COMMANDS = re.findall(r'^  (\w+) ', run('--help').text.split('Commands')[1].split('\n\n')[0], re.M)


def options_of(command):
    """What --help of a command lists."""
    return {line.split()[0] for line in run(command, '--help').text.splitlines()
            if line.startswith('  -')}


def values_of(command):
    """The options of a command that take a value, and what --help calls it."""
    return re.findall(r'^  (--?[a-z-]+) ([A-Z]+)', run(command, '--help').text, re.M)


NO_FILES = {'+o', 'default'}  # tells bash to offer no files where nothing else fits


def complete(*words):
    """What the shell would offer for the last of the words."""
    script = ('compopt() { echo "$@"; }; '
              'source "$1"; shift; COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); _narrows; '
              'printf "%s\\n" "${COMPREPLY[@]}"')
    done = subprocess.run(['bash', '-c', script, 'bash', BASH, 'narrows', *words],
                          capture_output=True, text=True, check=True)
    return set(done.stdout.split())


class Manual(Case):
    def test_there_are_commands(self):
        self.assertLessEqual({'check', 'outline', 'pieces', 'widen'}, set(COMMANDS))

    def page(self, name):
        with open(PAGES[name], encoding='utf-8') as file:
            return file.read().replace('\\-', '-')

    def test_every_command_has_a_page(self):
        self.assertEqual(set(PAGES), {'narrows'} | {f'narrows-{name}' for name in COMMANDS})

    def test_a_page_has_its_sections(self):
        for name in PAGES:
            sections = re.findall(r'^\.SH (.*)$', self.page(name), re.M)
            for section in ('NAME', 'SYNOPSIS', 'DESCRIPTION', 'OPTIONS', 'FILES', 'EXIT STATUS',
                            'EXAMPLES', 'ENVIRONMENT', 'CAUTION', 'SEE ALSO'):
                self.assertIn(section, sections, name)
            self.assertNotIn('@', self.page(name))
            also = self.page(name).split('.SH SEE ALSO')[1]
            self.assertEqual(set(re.findall(r'^\.BR (\S+) \(1\)', also, re.M)), set(PAGES) - {name})

    def test_a_page_lists_just_the_options_that_its_command_takes(self):
        every = set()
        for command in COMMANDS:
            page = self.page(f'narrows-{command}')
            self.assertEqual(set(re.findall(r'^\.BI (-\S+)', page, re.M)), options_of(command))
            self.assertIn(f'.B narrows {command}\n', page)
            every |= options_of(command)
        self.assertEqual(set(re.findall(r'^\.BI (-\S+)', self.page('narrows'), re.M)), every)

    def test_help_and_page_name_every_file(self):
        self.write('art.svg', program.dumbbell())
        for command in 'check', 'bits', 'sizes', 'widen', 'pieces':
            cut = [] if command == 'pieces' else ['--cut', 'inside', '--bit', '3mm']
            self.run_here(command, 'art.svg', *cut, '-o', command)
            said = ' '.join(run(command, '--help').text.split())
            files = self.page(f'narrows-{command}').split('.SH FILES')[1].split('.SH')[0]
            for name in self.names(command):
                self.assertIn(name, said)
                self.assertIn(name, files)

    def test_help_keeps_its_columns(self):
        for command in COMMANDS:
            for line in run(command, '--help').text.splitlines():
                self.assertLessEqual(len(line), 80)
                self.assertRegex(line, r'^(  -[a-z-]+( [A-Z]+)?$|.{21} \S|(?!  -))')

    def test_the_examples_work(self):
        for name in os.listdir(program.SAMPLES):
            if name.endswith('.png'):
                os.symlink(os.path.join(program.SAMPLES, name), self.path(name))
        for name in PAGES:
            examples = self.page(name).split('.SH EXAMPLES')[1].split('.SH')[0]
            lines = re.findall(r'^\.B (narrows .*)$', examples, re.M)
            self.assertGreater(len(lines), 1, name)
            for line in lines:
                result = self.run_here(*shlex.split(line)[1:])
                self.assertLess(result.status, BAD, f'{line}: {result.talk}')

    def without_complaint(self, name, *command, allowed=''):
        """The command's output; it must succeed without a word on either stream but allowed."""
        if not shutil.which(command[0]):
            self.skipTest(f'no {command[0]} here')
        done = subprocess.run([*command, PAGES[name]], capture_output=True, text=True, check=False,
                              env={**os.environ, 'LC_ALL': 'C.UTF-8'})
        said = (done.stdout if command[0] == 'mandoc' else '') + done.stderr
        lines = [line for line in said.splitlines() if not allowed or allowed not in line]
        self.assertEqual(lines, [], name)
        return done

    def test_groff_takes_them(self):
        for name in PAGES:
            self.assertEqual(self.without_complaint(name, 'groff', '-man', '-ww', '-z').returncode, 0)

    def test_man_takes_them(self):
        for name in PAGES:
            shown = self.without_complaint(name, 'man', '--warnings', '-l').stdout
            self.assertIn('SEE ALSO', re.sub('.\b', '', shown))
            usage = re.sub('.\b', '', shown).split('DESCRIPTION')[0]
            self.assertNotRegex(usage, r'\[[^]]*\n', name)

    def test_mandoc_takes_them(self):
        for name in PAGES:  # they have no date, so that the same source gives the same bytes
            self.without_complaint(name, 'mandoc', '-T', 'lint', '-W', 'warning', allowed='missing date')

    def test_whatis_finds_them(self):
        for name in PAGES:
            done = self.without_complaint(name, 'lexgrog')
            self.assertIn(f'"{name} - ', done.stdout)

    def test_bash_completes(self):
        self.assertEqual(complete('che'), {'check'})
        self.assertLessEqual(set(COMMANDS), complete(''))
        for command in COMMANDS:
            self.assertEqual(complete(command, '-'), options_of(command))
        self.assertEqual(complete('check', 'x.png', '--cut', ''),
                         {'inside', 'outside', 'pocket'} | NO_FILES)
        self.assertEqual(complete('check', 'x.png', '--ink', 'al'), {'alpha'} | NO_FILES)
        self.assertEqual(complete('check', 'x'), set())
        self.assertEqual(complete('check', '--cut', '=', 'in'), {'inside'} | NO_FILES)
        self.assertEqual(complete('check', '--cut', '='), {'inside', 'outside', 'pocket'} | NO_FILES)
        self.assertEqual(complete('help', ''), set(COMMANDS) | NO_FILES)

    def test_bash_offers_files_for_files_alone(self):
        for command in COMMANDS:
            for option, value in values_of(command):
                offered = complete(command, option, '')
                self.assertEqual(NO_FILES <= offered, value not in ('FILE', 'PATH'), option)

    def test_zsh_reads_its_completion(self):
        if not shutil.which('zsh'):
            self.skipTest('no zsh here')
        subprocess.run(['zsh', '-n', ZSH], check=True)

    def offered_by_zsh(self, line, *words):
        """What an interactive zsh lists below this line when the tab key is hit: waits for the
        words, as long as it takes up to half a minute."""
        script = ('zmodload zsh/zpty; zpty shell zsh -fi; '
                  'zpty -w shell "PS1= LISTMAX=999 TERM=dumb; stty cols 200 rows 90; '
                  'fpath=($1 \\$fpath); autoload -U compinit; compinit -D -u; print READY"; '
                  'zpty -r shell out "*READY*READY*"; zpty -w -n shell "$2"$\'\\t\'; out=; '
                  'repeat 300; do sleep 0.1; while zpty -r -t shell part; do out+=$part; done; '
                  'left=0; for word in "${@[3,-1]}"; do [[ $out == *$word* ]] || left=1; done; '
                  '(( left )) || break; done; print -r -- "$out"; zpty -d shell')
        os.makedirs(self.path('zsh'), exist_ok=True)
        shutil.copy(ZSH, self.path('zsh', '_narrows'))
        done = subprocess.run(['zsh', '-fc', script, 'zsh', self.path('zsh'), line, *words],
                              timeout=600, capture_output=True, text=True, check=True,
                              cwd=self.folder)
        return done.stdout.split()

    def test_zsh_completes(self):
        if not shutil.which('zsh'):
            self.skipTest('no zsh here')
        for end in self.terminal():
            os.close(end)
        for line, words in [('narrows ', COMMANDS), ('narrows check x.png --cut ', ['inside', 'pocket']),
                            ('narrows check x.png --b', ['--bit', '--blunt', '--break-tabs']),
                            ('narrows bits x.png --lin', ['--lines=']),
                            ('narrows check --ink=', ['alpha', 'dark']),
                            ('narrows bits x.png --rack sc', ['scan.png']),
                            ('narrows help ', COMMANDS),
                            ('narrows pieces scan', ['scan.png'])]:
            self.write('scan.png', b'')
            self.assertLessEqual(set(words), set(self.offered_by_zsh(line, *words)), line)


if __name__ == '__main__':
    program.main()
