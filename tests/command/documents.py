"""Every command line in README and the documents is run, in a folder that looks like the project's;
what they quote of a command's output is compared with it ("..." stands for anything); links lead
somewhere; the program in library.md is built and run.

usage: documents.py PROJECT BUILD"""
import glob
import json
import os
import re
import shlex
import shutil
import subprocess
import sys

import program
from program import BAD, Case

PROJECT, BUILD = map(os.path.abspath, sys.argv[1:3])
DOCUMENTS = sorted(os.path.relpath(path, PROJECT) for pattern in ('*.md', 'docs/*.md', 'samples/*.md')
                   for path in glob.glob(os.path.join(PROJECT, pattern)))
OWN_TEST = ['docs/many-files.md']  # many_files.py runs its recipes
STANDS_FOR = {'ART': 'samples/swan.png', 'PICTURE': 'samples/swan.png',
              'DIR/*.png': 'samples/swan.png samples/cygnets.png', 'COMMAND': 'check'}
NARROWS = r'(\./)?(build/src/cli/)?narrows '
NO_COMMAND = r'src/\w+ {2,}|bytes -> |picture\.h '  # figures in DEVELOPERS.md and library.md


def text_of(name):
    with open(os.path.join(PROJECT, name), encoding='utf-8') as file:
        return file.read()


def blocks(text):
    """(language, lines) of fenced blocks, and of indented ones with the language 'indented'."""
    found, language = [], None
    for line in text.splitlines():
        if line.startswith('```'):
            language = None if language is not None else line[3:].strip()
            if language is not None:
                found.append((language, []))
        elif language is not None:
            found[-1][1].append(line)
        elif line.startswith('    ') and line.strip():
            if not found or found[-1][0] != 'indented' or not found[-1][1]:
                found.append(('indented', []))
            found[-1][1].append(line.strip())
        elif found and found[-1][0] == 'indented':
            found.append(('indented', []))
    return [(language, lines) for language, lines in found if lines]


def command(line):
    """A line of a synopsis as a command: remarks cut off, words for words."""
    line = re.split(r' {2,}(?=[A-Za-z(])', re.sub(r'^(\S+ \S+) +', r'\1 ', line))[0]
    line = re.sub(r'^(\./)?build/src/cli/', '', line)
    for word, instead in STANDS_FOR.items():
        line = re.sub(rf'(?<![\w/]){re.escape(word)}(?![\w/])', instead, line)
    return line


def elsewhere(line):
    """Whether a command that cannot run here could: what it names is there."""
    words = shlex.split(re.split(r' {2,}', line)[0])
    if words[0] in ('sh', 'python3') and len(words) > 1:
        return os.path.isfile(os.path.join(PROJECT, words[1]))
    if words[0] == '.ci/run':
        return os.access(os.path.join(PROJECT, words[0]), os.X_OK)
    if words[:2] == ['meson', 'test']:
        return has_tests(words[4:])
    if words[0].startswith('build-fuzz/'):
        return os.path.isfile(os.path.join(PROJECT, 'tests/fuzz', words[0].split('fuzz_')[1] + '.c'))
    return words[0] in ('git', 'meson', 'ninja', 'cc', './fits', 'CC=clang')  # cc: the library's test


def has_tests(words):
    """Whether the words choose any of the build's tests."""
    done = subprocess.run(['meson', 'test', '-C', BUILD, '--no-rebuild', '--list', *words],
                          capture_output=True, text=True, check=False)
    return done.returncode == 0 and done.stdout.strip() != ''


class Documents(Case):
    def setUp(self):
        super().setUp()
        os.mkdir(self.path('samples'))
        for name in os.listdir(program.SAMPLES):
            os.symlink(os.path.join(program.SAMPLES, name), self.path('samples', name))
        os.mkdir(self.path('bin'))
        os.symlink(program.NARROWS, self.path('bin', 'narrows'))

    def shell(self, line, name):
        done = subprocess.run(['sh', '-c', line], cwd=self.folder, capture_output=True, text=True,
                              check=False,
                              env={**os.environ, 'PATH': f"{self.path('bin')}:{os.environ['PATH']}"})
        self.assertLess(done.returncode, BAD, f'{name}: {line}\n{done.stderr}')
        return ' '.join((done.stdout + done.stderr).split())

    def quoted(self, line, output, name):
        parts = [re.escape(part.strip()) for part in line.split('...')]
        self.assertRegex(output, '.*'.join(parts), f'{name} quotes: {line}')

    def run_document(self, name):
        count, output = 0, ''
        for language, lines in blocks(text_of(name)):
            for line in lines:
                if language == 'text':
                    self.quoted(line, output, name)
                elif language in ('sh', 'indented') and re.match(NARROWS, line):
                    output = self.shell(command(line), name)
                    count += 1
                elif language in ('sh', 'indented') and not re.match(NO_COMMAND, line):
                    self.assertTrue(elsewhere(line), f'{name}: {line}')
        for line in re.findall(rf'`({NARROWS}[^`]*)`', text_of(name)):
            self.shell(command(line[0]), name)
        return count

    def test_every_command_line_works(self):
        counts = {name: self.run_document(name) for name in DOCUMENTS if name not in OWN_TEST}
        self.assertGreater(counts['README.md'], 3)
        self.assertGreater(counts['docs/guide.md'], 5)

    def test_the_rack_in_the_guide_is_the_one_of_the_samples(self):
        shown = next(lines for language, lines in blocks(text_of('docs/guide.md'))
                     if language == 'rack')
        self.assertEqual('\n'.join(shown) + '\n', text_of('samples/rack'))

    def options(self):
        """Every option that the help of a command lists."""
        known = set()
        for name in re.findall(r'^  (\w+) ', self.run_here('--help').text.split('Commands')[1], re.M):
            known |= set(re.findall(r'^  (--?[a-z-]+)', self.run_here(name, '--help').text, re.M))
        return known

    def test_readme_names_every_option(self):
        table = text_of('README.md').split('## The command line')[1].split('\n## ')[0]
        named = set(re.findall(r'`(--?[a-z][a-z-]*)', table))
        self.assertEqual(self.options() - {'--help'}, named - {'--help'})

    def test_readme_names_no_option_in_two_rows(self):
        table = text_of('README.md').split('## The command line')[1].split('\n## ')[0]
        rows = [row.split('|')[1] for row in table.splitlines() if row.startswith('| `-')]
        names = [name for row in rows for name in re.findall(r'`(--?[a-z-]+)', row)]
        self.assertEqual(sorted(names), sorted(set(names)))

    def test_links_lead_somewhere(self):
        for name in DOCUMENTS:
            folder = os.path.dirname(os.path.join(PROJECT, name))
            for link in re.findall(r'\]\(([^)#]+)\)', text_of(name)):
                if not re.match(r'\w+:', link):
                    self.assertTrue(os.path.exists(os.path.join(folder, link)), f'{name}: {link}')

    def test_files_that_they_name_exist(self):
        for name in DOCUMENTS:
            prose = re.sub(r'^    .*', '', text_of(name), flags=re.M)
            for path in re.findall(r'(?<![\w./-])(?:src|tests|docs)/[\w./-]*\w', prose):
                self.assertTrue(os.path.exists(os.path.join(PROJECT, path)), f'{name}: {path}')

    def test_every_option_that_they_name_exists(self):
        known = self.options()
        for name in ['README.md', 'docs/guide.md', 'docs/method.md', 'docs/common-practice.md']:
            named = set(re.findall(r'(?<![\w-])--[a-z][a-z-]*', text_of(name)))
            foreign = {'--setup', '--suite', '--benchmark', '--version', '--cflags', '--libs'}
            self.assertLessEqual(named - foreign, known, name)

    def samples(self):
        """Each sample and its size, cut, bit and stock."""
        for picture, words in program.some_samples(2):
            given = dict(zip(words[::2], words[1::2]))
            yield f'samples/{picture}', ' '.join(
                given[name] for name in ['--wide', '--cut', '--bit', '--stock'] if name in given)

    def test_the_program_in_the_library_document(self):
        compiler = os.environ.get('CC', 'cc').split()
        if program.SANITIZED or not shutil.which('pkg-config'):
            self.skipTest('no pkg-config here, or a library that needs the sanitizer')
        source = '\n'.join(next(lines for language, lines in blocks(text_of('docs/library.md'))
                                if language == 'c'))
        self.assertLessEqual(source.count('\n') + 1, 44)
        self.write('fits.c', source.encode() + b'\n')
        build, use = next(lines for language, lines in blocks(text_of('docs/library.md'))
                          if language == 'indented' and lines[0].startswith('cc '))
        strict = f'{shlex.join(compiler)} -std=c11 -pedantic -Wall -Wextra -Werror'
        environment = {**os.environ, 'LD_LIBRARY_PATH': f'{BUILD}/src',
                       'PKG_CONFIG_PATH': f'{BUILD}/meson-uninstalled'}
        subprocess.run(['sh', '-c', re.sub('^cc', strict, build)], cwd=self.folder, check=True,
                       env=environment)
        for art, options in [use.split(maxsplit=1)[1].split(maxsplit=1)] + list(self.samples()):
            done = subprocess.run(['./fits', art, *options.split()], cwd=self.folder, check=True,
                                  capture_output=True, text=True, env=environment)
            named = zip(['--wide', '--cut', '--bit', '--stock'], options.split())
            listed = json.loads(self.run_here('check', art, *(word for pair in named for word in pair),
                                              '--json').out)
            verdict = 'fits' if listed['fits'] else 'does not fit'
            self.assertEqual(done.stdout, f"{verdict}, spots: {len(listed['spots'])}\n", art)
        done = subprocess.run(['./fits', 'fits.c', '9mm', 'inside', '1mm'], cwd=self.folder, check=False,
                              capture_output=True, text=True, env=environment)
        self.assertEqual(done.returncode, 2)
        self.assertGreater(len(done.stderr), 10)


if __name__ == '__main__':
    program.main()
