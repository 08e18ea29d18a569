"""narrows check of many files: one bad one does not stop the rest."""
import html.parser
import json
import os
import signal
import subprocess
import time
import urllib.parse

import program
from program import BAD, FILES, FITS, SPOTS, Case, dumbbell, svg

INSIDE = ['--cut', 'inside', '--bit', '3mm']


class Links(html.parser.HTMLParser):
    """The addresses and the elements of a page."""

    def __init__(self, text):
        super().__init__()
        self.addresses, self.elements, self.words = [], set(), ''
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        self.elements.add(tag)
        self.addresses += [value for name, value in attrs if name in ('href', 'src')]

    def handle_data(self, data):
        self.words += data


class Each(Case):
    def setUp(self):
        super().setUp()
        self.write('wide.svg', dumbbell(5))
        self.write('thin.svg', dumbbell(2))
        self.write('bad.svg', b'<svg')

    def test_one_bad_file_does_not_stop_the_rest(self):
        result = self.run_here('check', '--each', 'wide.svg', 'bad.svg', 'missing', 'thin.svg',
                               *INSIDE, '-o', 'out')
        self.assertEqual(result.status, BAD)
        self.assertEqual(self.names('out'), ['index.html', 'thin-svg', 'wide-svg'])
        for name in 'thin', 'wide':
            self.assertEqual(self.names('out', name + '-svg'), FILES)
        rows = [line.split() for line in result.text.splitlines()[1:5]]
        self.assertEqual([row[:2] for row in rows], [['wide.svg', 'yes'], ['bad.svg', 'not'],
                                                     ['missing', 'not'], ['thin.svg', 'no']])
        self.assertEqual(rows[3][2:], ['1', '2.00', '0', '-'])
        self.assertIn('1 of 4 fit, 2 could not be checked: cut inside, bit 3 mm', result.text)
        self.assertIn('Written to out; open index.html there', result.text)
        for line in result.text.splitlines():
            self.assertLessEqual(len(line), 80)
        talk = [line for line in result.talk.splitlines()
                if 'stock needed' not in line and 'no page.html' not in line]
        self.assertEqual(len(talk), 2)
        self.assertIn("'bad.svg'", talk[0])

    def test_choices_are_for_one_art(self):
        self.refused(self.run_here('check', 'wide.svg', 'thin.svg', *INSIDE, '--spots', '1:leave', '-o', 'out'),
                     '--spots')

    def test_names_of_any_script_keep_the_columns(self):
        names = ['鶴と亀' * 9 + '.svg', '\N{DUCK}' * 3 + '.svg', 'e\u0301te\u0301.svg', 'x' * 99 + '.svg']
        for name in names:
            self.write(name, dumbbell(2))
        for inch in [], ['--inch']:
            result = self.run_here('check', 'thin.svg', *names, *INSIDE, '-o', 'out', *inch)
            rows = result.text.splitlines()[1:6]
            widths = {program.columns(row) for row in rows}
            self.assertEqual(len(widths), 1, rows)
            self.assertLessEqual(max(widths), 80)

    def test_the_status_is_that_of_the_worst(self):
        for arts, status in [(['wide.svg', 'wide.svg'], FITS), (['wide.svg', 'thin.svg'], SPOTS),
                             (['thin.svg', 'bad.svg'], BAD)]:
            result = self.run_here('check', *arts, *INSIDE, '-o', 'out', '--quiet')
            self.assertEqual((result.status, result.out), (status, b''))

    def test_lines_of_json_in_the_order_of_the_arguments(self):
        arts = ['thin.svg', 'bad.svg', 'wide.svg'] * 4
        found = []
        for jobs in '1', '3', '20':
            result = self.run_here('check', *arts, *INSIDE, '-o', 'out', '--json', '--jobs', jobs)
            found.append((result.status, result.out, result.err))
        self.assertEqual(found[0], found[1])
        self.assertEqual(found[0], found[2])
        lines = [json.loads(line) for line in found[0][1].splitlines()]
        self.assertEqual([line['art'] for line in lines], arts)
        self.assertEqual(list(lines[1]), ['narrows', 'art', 'failure'])
        alone = self.run_here('check', 'thin.svg', *INSIDE, '--json')
        self.assertEqual(lines[0], json.loads(alone.out))

    def test_files_are_those_of_a_single_check(self):
        self.run_here('check', '--each', 'thin.svg', *INSIDE, '-o', 'out')
        self.run_here('check', 'thin.svg', *INSIDE, '-o', 'alone')
        for name in FILES:
            self.assertEqual(self.read('out', 'thin-svg', name), self.read('alone', name))

    def test_equal_names_get_folders_of_their_own(self):
        os.mkdir(self.path('sub'))
        self.write('sub/wide.svg', dumbbell(2))
        self.write('index.html', dumbbell(5))
        self.run_here('check', 'wide.svg', 'sub/wide.svg', 'wide.svg', 'index.html', *INSIDE,
                      '-o', 'out')
        self.assertEqual(self.names('out'), ['index-html', 'index.html', 'wide-svg', 'wide-svg-2',
                                             'wide-svg-3'])

    def test_without_a_folder_results_stand_beside_the_art(self):
        self.run_here('check', 'wide.svg', 'thin.svg', *INSIDE)
        self.assertEqual(self.names(), ['bad.svg', 'thin-svg-check', 'thin.svg', 'wide-svg-check',
                                        'wide.svg'])

    def test_the_index_links_what_is_there_and_escapes_names(self):
        odd = 'a&b <i>"c\'#%?.svg'
        self.write(odd, dumbbell(2))
        self.run_here('check', odd, 'bad.svg', *INSIDE, '-o', 'out')
        page = Links(self.read('out', 'index.html').decode())
        self.assertNotIn('i', page.elements)
        self.assertIn(odd, page.words)
        self.assertIn('bad.svg', page.words)
        self.assertIn('0 of 2 fit, 1 could not be checked', page.words)
        linked = {os.path.basename(address) for address in page.addresses}
        self.assertEqual(linked, set(FILES) - {'spots.json'})
        for address in page.addresses:
            self.assertTrue(os.path.isfile(self.path('out', urllib.parse.unquote(address))), address)

    def test_the_index_begins_with_what_needs_work_and_says_a_way_out(self):
        self.write('worse.svg', svg(''.join(f'<rect x="{x}" width="{w}" height="30"/>' for x, w in ((0, 20), (30, 2), (40, 2.5))), 50, 30))
        self.run_here('check', 'wide.svg', 'thin.svg', 'bad.svg', 'worse.svg', *INSIDE, '-o', 'out')
        text = self.read('out', 'index.html').decode()
        items = [Links(item) for item in text.split('<li>')[1:]]
        self.assertEqual([name for item in items for name in ('bad.svg', 'worse.svg', 'thin.svg', 'wide.svg') if name in item.words],
                         ['bad.svg', 'worse.svg', 'thin.svg', 'wide.svg'])
        for item, folder in zip(items[1:], ('worse-svg', 'thin-svg', 'wide-svg')):
            self.assertIn(f'./{folder}/outline.svg', item.addresses[1])
        self.assertRegex(items[2].words, r"Take the bit '[^']*', |Widen 1 place")
        self.assertNotRegex(items[3].words, 'Take the bit|Widen|Make it')

    def test_a_file_that_takes_too_much_delays_nobody(self):
        # 40 000 dashes of their own: seconds of work.
        lines = ''.join(f'<path d="M{i % 200} {i // 200}l.5 .3l-.3 .1z"/>' for i in range(40000))
        self.write('slow.svg', svg(lines, 210, 210))
        arts = ['slow.svg'] + ['wide.svg'] * 20 + ['thin.svg'] * 20
        bounds = ['--file-seconds', '1', '--max-outlines', '100000']
        if not program.SANITIZED:
            result = self.run_here('check', 'slow.svg', 'wide.svg', *INSIDE, '-o', 'out', '--file-memory',
                                   '64MB', '--file-seconds', '20')
            self.assertRegex(result.talk, "'slow.svg'.*--file-memory allows more")
        result = self.run_here('check', *arts, *INSIDE, '-o', 'out', *bounds)
        self.assertEqual(result.status, BAD)
        self.assertIn("'slow.svg': it takes more than 1 second; --file-seconds allows more", result.talk)
        self.assertIn('20 of 41 fit, 1 could not be checked', result.text)
        self.assertIn('index.html', self.names('out'))
        self.assertEqual(len(self.names('out')), 41)

    def test_what_each_took_is_told_to_who_asks(self):
        result = self.run_here('check', 'wide.svg', 'bad.svg', *INSIDE, '-o', 'out', '--verbose')
        for name in 'wide.svg', 'bad.svg':
            self.assertRegex(result.talk, rf"narrows: '{name}': \d+\.\d\d s, [1-9]\d* MB\n")
        result = self.run_here('check', 'wide.svg', 'bad.svg', *INSIDE, '-o', 'out')
        self.assertNotIn(' MB', result.talk)

    def write_slow(self):
        lines = ''.join(f'<path d="M{i % 200} {i // 200}l.5 .3l-.3 .1z"/>' for i in range(40000))
        self.write('slow.svg', svg(lines, 210, 210))

    def test_a_signal_leaves_the_table_and_the_index_of_what_was_done(self):
        self.write_slow()
        for ending in signal.SIGTERM, signal.SIGINT:
            out = f'out{ending}'
            with subprocess.Popen([program.NARROWS, 'check', 'wide.svg', 'slow.svg', 'thin.svg', *INSIDE,
                                   '-o', out, '--max-outlines', '100000', '--jobs', '1', '--verbose'],
                                  cwd=self.folder, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as parent:
                # a folder that is there may go again with a process that is not done; its usage is told once it is
                lines = iter(parent.stderr.readline, b'')
                self.assertTrue(any(line.startswith(b"narrows: 'wide.svg': ") and b' MB' in line for line in lines))
                parent.send_signal(ending)
                table, talk = (text.decode() for text in parent.communicate())
            self.assertEqual(parent.returncode, -ending)
            self.assertEqual(self.names(out), ['index.html', 'wide-svg'])
            self.assertEqual(self.names(out, 'wide-svg'), FILES)
            begun = 2 if 'slow.svg' in table else 1 # the signal may come before the second file's turn
            self.assertIn('1 of 2 fit, 1 could not be checked' if begun == 2 else '1 of 1 fit', table)
            self.assertNotIn('thin.svg', table)
            self.assertIn(f'{3 - begun} of 3 files were not looked at', talk)
            self.assertEqual('slow.svg' in talk, begun == 2)
            with open(self.path(out, 'index.html'), encoding='utf-8') as file:
                self.assertIn('wide-svg/page.html', ' '.join(Links(file.read()).addresses))

    def test_children_end_with_their_parent(self):
        self.write_slow()
        for ending in signal.SIGTERM, signal.SIGKILL:
            with subprocess.Popen([program.NARROWS, 'check', 'slow.svg', 'slow.svg', *INSIDE, '-o', 'out',
                                   '--max-outlines', '100000'],
                                  cwd=self.folder, stdout=subprocess.DEVNULL,
                                  stderr=subprocess.DEVNULL) as parent:
                children = []
                while len(children) < 2 and parent.poll() is None:
                    with open(f'/proc/{parent.pid}/task/{parent.pid}/children', encoding='utf-8') as file:
                        children = file.read().split()
                parent.send_signal(ending)
                parent.wait()
            self.assertEqual(len(children), 2)
            until = time.monotonic() + 20
            while [child for child in children if self.runs(child)]:
                self.assertLess(time.monotonic(), until)
                time.sleep(0.01)

    def runs(self, process):
        try:
            with open(f'/proc/{process}/stat', encoding='utf-8') as file:
                return file.read().split(')')[1].split()[0] not in ('Z', 'X')
        except OSError:
            return False

    def test_nothing_is_left_when_nothing_could_be_checked(self):
        result = self.run_here('check', 'bad.svg', 'missing', *INSIDE, '-o', 'out')
        self.assertEqual(result.status, BAD)
        self.assertNotIn('out', self.names())
        self.refused(self.run_here('check', 'wide.svg', 'thin.svg', *INSIDE, '-o', 'bad.svg'),
                     "'bad.svg'")


if __name__ == '__main__':
    program.main()
