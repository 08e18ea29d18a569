"""The recipes of docs/many-files.md, run as they stand there.

usage: many_files.py MANY-FILES.MD"""
import os
import re
import shutil
import subprocess
import sys

import program
from program import FILES, Case, dumbbell

with open(sys.argv[1], encoding='utf-8') as file:
    TEXT = file.read()


def block(language):
    return re.search(rf'```{language}\n(.*?)```', TEXT, re.DOTALL).group(1)


class Recipes(Case):
    def setUp(self):
        super().setUp()
        os.mkdir(self.path('art'))
        self.write('art/thin.svg', dumbbell(2))
        self.write('art/wide.svg', dumbbell(5))
        os.mkdir(self.path('bin'))
        os.symlink(program.NARROWS, self.path('bin', 'narrows'))

    def shell(self, script, **environment):
        done = subprocess.run(['sh', '-c', script], cwd=self.folder, capture_output=True, text=True,
                              check=False, env={**os.environ, **environment, 'PATH':
                                                self.path('bin') + ':' + os.environ['PATH']})
        self.assertLess(done.returncode, 128, done.stderr)
        return done

    def test_each(self):
        lines = [line.strip() for line in TEXT.splitlines() if line.startswith('    narrows check')]
        self.assertEqual(len(lines), 2)
        for line in lines:
            self.assertEqual(self.shell(line).returncode, 1)
            self.assertEqual(self.names('checked'), ['index.html', 'thin-svg', 'wide-svg'])
        self.assertEqual(self.read('all.jsonl').count(b'\n'), 2)

    def test_there_is_no_other_recipe(self):
        self.assertEqual(re.findall(r'^    (\w+)', re.sub(r'```.*?```', '', TEXT, flags=re.DOTALL), re.M),
                         ['narrows', 'narrows', 'find', 'parallel'])
        self.assertEqual(re.findall(r'^```(\w+)', TEXT, re.M), ['make', 'sh'])

    def test_make(self):
        if not shutil.which('make'):
            self.skipTest('no make here')
        self.write('Makefile', block('make').encode())
        for _ in range(2):
            done = self.shell('make -s -j 2')
            self.assertEqual((done.returncode, done.stderr), (0, ''))
            for name in 'thin', 'wide':
                self.assertEqual(self.names('checked', name), FILES)
        before = os.stat(self.path('checked', 'wide', 'spots.json')).st_mtime_ns
        self.write('art/thin.svg', dumbbell(3))
        self.shell('make -s')
        self.assertEqual(os.stat(self.path('checked', 'wide', 'spots.json')).st_mtime_ns, before)
        self.write('art/bad.svg', b'<svg')
        self.assertNotEqual(self.shell('make -s').returncode, 0)

    def test_xargs(self):
        line = re.search(r'^    (find .*)$', TEXT, re.MULTILINE).group(1)
        os.rename(self.path('art', 'thin.svg'), self.path('art', 'thin one.svg'))
        self.shell(line)
        for name in 'thin one', 'wide':
            self.assertEqual(self.names('art', name + '-svg-check'), FILES)

    def test_parallel(self):
        if not shutil.which('parallel') or b'GNU parallel' not in subprocess.run(
                ['parallel', '--version'], capture_output=True, check=False).stdout:
            self.skipTest('no GNU parallel here')
        self.shell(re.search(r'^    (parallel .*)$', TEXT, re.MULTILINE).group(1))
        for name in 'thin', 'wide':
            self.assertEqual(self.names('art', name + '-svg-check'), FILES)

    def test_job_array(self):
        os.mkdir(self.path('checked'))
        self.write('list.txt', b'art/thin.svg\nart/wide.svg\n')
        for number in '1', '2':
            self.assertEqual(self.shell(block('sh'), ARRAY_NUMBER=number).returncode, 0)
            self.assertEqual(self.names('checked', number), FILES)
            self.assertEqual(self.read('checked', number + '.json'),
                             self.read('checked', number, 'spots.json'))


if __name__ == '__main__':
    program.main()
