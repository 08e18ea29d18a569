"""Whole or not at all: whatever call fails on the way to the disk, and whenever a signal comes, a
folder of results is the old one or the new one, and nothing is left beside it."""
import os
import random
import shutil
import signal
import subprocess
import sys
import time

sys.path.append(os.path.join(os.path.dirname(__file__), '..', 'command'))
import program  # noqa: E402
from program import BAD, FITS, SPOTS, Case, dumbbell  # noqa: E402

CUT = ['--cut', 'inside', '--bit', '3mm', '-o', 'out']
COMMANDS = {'check': CUT, 'bits': ['--cut', 'inside', '-o', 'out', '--pair'], 'sizes': CUT,
            'widen': CUT, 'pieces': ['-o', 'out'], 'outline': ['-o', 'x.svg']}
CALLS = ['mkdtemp', 'write', 'fsync', 'linkat', 'renameat', 'close']
MANY = ['check', '--each', 'bell.svg', *CUT]
PLACES = range(1, 16)
SLOW = os.environ.get('NARROWS_TEST_ALL')


class Whole(Case):
    def tree(self, folder=''):
        """Every file with what is in it, and every folder."""
        found = {}
        for at, folders, files in os.walk(self.path(folder)):
            place = os.path.relpath(at, self.folder)
            found.update({os.path.join(place, name, ''): b'' for name in folders})
            for name in files:
                with open(os.path.join(at, name), 'rb') as file:
                    found[os.path.join(place, name)] = file.read()
        return found

    def fresh(self, before):
        for name in self.names():
            path = self.path(name)
            shutil.rmtree(path) if os.path.isdir(path) else os.remove(path)
        for name, data in sorted(before.items()):
            os.makedirs(self.path(name), exist_ok=True) if name.endswith('/') else self.write(name, data)

    def test_every_failing_call_leaves_the_tree_as_it_was(self):
        if program.SANITIZED:
            self.skipTest('the sanitizer has to be loaded first')
        self.write('bell.svg', dumbbell(2))
        art = self.tree()
        for command, more in COMMANDS.items():
            self.fresh(art)
            self.run_here(command, 'bell.svg', '--wide', '90mm', *more)
            for before in art, self.tree():
                for call in CALLS:
                    with self.subTest(command=command, call=call, old=len(before) > 1):
                        refused = sum(self.fails(command, more, before, call, at)
                                      for at in (PLACES if SLOW else (1, random.choice(PLACES))))
                        if call in ('mkdtemp', 'fsync', 'write'):
                            self.assertGreater(refused, 0)

    def fails(self, command, more, before, call, at):
        """Whether the command was refused for the call that failed."""
        for on in {}, {'FAILING_ON': 'yes'}:
            self.fresh(before)
            failing = {'LD_PRELOAD': os.environ['FAILING_CALLS'], 'FAILING_CALL': call,
                       'FAILING_AT': str(at), 'OMP_NUM_THREADS': '1', **on}
            result = self.run_here(command, 'bell.svg', *more, environment=failing)
            after = self.tree()
            if result.status == BAD:
                self.assertEqual(set(after), set(before), f'{call} {at} {on}: {result.talk}')
                self.assertEqual(after, before, f'{call} {at} {on}')
                self.assertEqual(result.out, b'')
            self.assertFalse([name for name in after if '.narrows' in name], f'{call} {at} {on}')
        return result.status == BAD

    def many_killed(self, trees, *calls):
        """The status, which tells what has to be there, when one of many is killed at the last of
        the calls and an earlier one failed."""
        self.fresh(trees[BAD])
        environment = {'LD_PRELOAD': os.environ['FAILING_CALLS'], 'OMP_NUM_THREADS': '1'}
        for kind, (call, at) in zip(('KILLING', 'FAILING'), reversed(calls)):
            environment |= {kind + '_CALL': call, kind + '_AT': str(at)}
        status = self.run_here(*MANY, environment=environment).status
        self.assertTrue(self.tree() == trees[status], sorted(self.tree()))
        return status

    def test_one_of_many_that_is_killed_leaves_its_old_results_or_all_the_new(self):
        if program.SANITIZED:
            self.skipTest('the sanitizer has to be loaded first')
        self.write('bell.svg', dumbbell(2))
        art = self.tree()
        self.run_here(*MANY, '--wide', '100mm')
        before = self.tree()
        del before[os.path.join('out', 'bell-svg', 'spots.csv')]
        before[os.path.join('out', 'bell-svg', 'details.svg')] = b'of an earlier run'
        before[os.path.join('out', 'bell-svg', 'mine.txt')] = b'not of narrows'
        for old in art, before:
            self.fresh(old)
            self.run_here(*MANY)
            new = self.tree()
            for call, last in ('renameat', 11), ('linkat', 9), ('fsync', 12), ('unlinkat', 20):
                listed = set()
                for at in range(1, last) if SLOW or call == 'renameat' else random.sample(range(1, last), 3):
                    with self.subTest(call=call, at=at, old=len(old) > 1):
                        listed.add(self.many_killed({BAD: old, SPOTS: new}, (call, at)))
                if call == 'renameat':
                    self.assertEqual(listed, {SPOTS, BAD})
        taken_back = set()
        for at in range(9, 18):  # while it takes back all that it placed, for the last flush failed
            with self.subTest(at=at):
                taken_back.add(self.many_killed({BAD: before, SPOTS: new}, ('fsync', 9), ('renameat', at)))
        self.assertIn(BAD, taken_back)

    def test_signals_at_any_time(self):
        self.write('bell.svg', dumbbell(2))
        art = self.tree()
        killed = sum(self.interrupted(art, command, more) for command, more in COMMANDS.items())
        self.assertGreater(killed, 0)

    def interrupted(self, art, command, more):
        """How many of the runs a signal ended; each left nothing, the old results or the new."""
        said = [command, 'bell.svg', *more, '--quiet']
        sizes = [[]] if command == 'pieces' else [['--wide', '100mm'], ['--wide', '120mm']]
        trees, took = [art], time.monotonic()
        for size in sizes:
            self.fresh(art)
            self.run_here(*said, *size)
            trees.append(self.tree())
        took = (time.monotonic() - took) / len(sizes)
        killed = 0
        for turn in range(200 if SLOW else 10):
            if turn % 2:
                self.fresh(art)
            number = random.choice([signal.SIGINT, signal.SIGTERM, signal.SIGHUP, signal.SIGQUIT])
            with subprocess.Popen([program.NARROWS, *said, *random.choice(sizes)], cwd=self.folder,
                                  stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as process:
                time.sleep(random.uniform(0, 1.2 * took))
                process.send_signal(number)
                status = process.wait()
            self.assertIn(status, (FITS, SPOTS, -number))
            killed += status < 0
            self.assertIn(self.tree(), trees, f'{command} {turn}: {number}')
        return killed


if __name__ == '__main__':
    random.seed(20)
    program.main()
