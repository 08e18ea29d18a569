"""The ways out that check and bits name: each command is run as it stands there, through a shell,
on every sample, and must keep the promise beside it."""
import json
import os
import re
import shlex
import subprocess
import unittest

import program
from program import FITS, SPOTS, Case, dumbbell, pixels, png, svg

CLIP_ART = os.environ.get('NARROWS_TEST_ART', '/usr/share/openclipart/svg')


def ways_of(text):
    """(sentence, command) of each way out; the command is None where there is none. None at all where
    the art is too fine for all that there is."""
    part = re.split('(?:Ways out, cheapest first|No way out was found):\n', text)
    part = part[1].split('\nWritten to')[0] if len(part) > 1 else ''
    ways = []
    for line in part.splitlines():
        if re.match(r'\d\. ', line):
            ways.append([line[3:], None])
        elif line.startswith('   narrows '):
            ways[-1][1] = line.strip()
        elif line.strip() and ways and ways[-1][1] is None:
            ways[-1][0] += ' ' + line.strip()
    return ways


class Ways(Case):
    def shell(self, command):
        """Exit status and output of a command as a user pastes it."""
        line = f'{shlex.quote(program.NARROWS)} {command.removeprefix("narrows ")}'
        done = subprocess.run(['sh', '-c', line], cwd=self.folder, capture_output=True, text=True,
                              timeout=600, check=False)
        return done.returncode, done.stdout + done.stderr

    def keep_their_promise(self, text, name, spots):
        """How many commands there were. A bit and a size must do; widening may leave places, but
        has to say which and why."""
        count = 0
        for sentence, command in ways_of(text):
            if command is None:
                self.assertRegex(sentence, '^No ', name)
                continue
            if sentence.startswith('Widen '):
                self.assertRegex(sentence, '^Widen (up to [0-9]+ places|1 place), which lack', 'how many have room only widening knows')
                self.widening_keeps_its_promise(sentence, spots)
            status, said = self.shell(command)
            count += 1
            if sentence.startswith('Leave out '):
                self.less_keeps_its_promise(sentence, command, status)
            elif command.startswith('narrows check '):
                self.assertEqual(status, FITS, f'{name}: {command}\n{said}')
                self.option_keeps_its_promise(sentence, shlex.split(command), said)
                if sentence.startswith('Make it'):
                    self.size_is_about_the_smallest(sentence, command, name)
            elif status == SPOTS and ' stay' not in sentence:
                self.assertIn('where there is room', sentence)
                self.assertRegex(said, 'no room|no way was\\s+found', f'{name}: {command}\n{said}')
            else:
                self.assertIn(status, (FITS, SPOTS), f'{name}: {command}\n{said}')
        return count

    def listed(self, folder):
        return json.loads(self.read(folder, 'spots.json'))['spots']

    def less_keeps_its_promise(self, sentence, command, status):
        """So many spots are left, and the art has the size that is told."""
        found = re.fullmatch(r"Leave out what (?:looks like lettering|is hardly larger than dirt|touches the picture's edge), "
                             r'\d+ pieces?, so that the art is ([\d.]+) x ([\d.]+) mm; (?:then the bit fits|(\d+) spots? (?:is|are) left then)', sentence)
        self.assertIsNotNone(found, sentence)
        self.assertEqual(status, SPOTS if found[3] else FITS, command)
        told = json.loads(self.read(shlex.split(command)[-1], 'spots.json'))
        self.assertEqual(len(told['spots']), int(found[3] or 0), command)
        for size, said in zip(told['size'], found.groups()):
            self.assertAlmostEqual(size, float(said), delta=0.0051)

    def widening_keeps_its_promise(self, sentence, spots):
        """What the places lack is what the list says, but for the crumbs that are dropped; how much changes only
        widening knows."""
        lacks = re.search(r'which lacks? ([\d.]+) mm', sentence)
        crumbs = re.search(r'drop [0-9]+ crumbs? under ([\d.]+) mm', sentence)
        if lacks:
            widened = [spot for spot in spots if not crumbs or spot['form'] != 'miss' or spot['area'] > float(crumbs[1])]
            self.assertAlmostEqual(float(lacks[1]), max(spot['widen'] or 0 for spot in widened), delta=0.011)
        self.assertNotIn('%', sentence)

    def option_keeps_its_promise(self, sentence, words, said):
        """The bit, the size and the tips that the sentence names are those of the command."""
        given = dict(zip(words, words[1:]))
        said = ' '.join(said.split())
        if sentence.startswith('Take the bit'):
            self.assertIn(f", bit {given['--bit'].removesuffix('mm')}"[:9], said, sentence)
        elif sentence.startswith('Make it '):
            wide, high = re.match('Make it (.*?) mm wide and (.*?) mm high', sentence).groups()
            size = re.search(r', ([\d.]+) x ([\d.]+) mm, cut ', said).groups()
            self.assertAlmostEqual(float(size[0]), float(wide), delta=0.006)
            self.assertTrue(-0.01 <= float(high) - float(size[1]) < 1.01, (sentence, size))
        else:
            tips, of, lost = re.match(r'Accept (\d+) (blunter|thin|blunter or thin) tips?(?: of stock)?, '
                                      r'which loses? ([\d.]+) mm at most', sentence).groups()
            if of != 'blunter':
                return  # stock's own tips are not counted where they are accepted
            blunter = re.search(r'; (\d+) tips? comes? out blunter, by ([\d.]+) mm at most', said)
            self.assertIsNotNone(blunter, f'{sentence}\n{said}')
            self.assertGreaterEqual(int(blunter[1]), int(tips), sentence)
            self.assertLessEqual(float(blunter[2]), float(lost), sentence)

    def size_is_about_the_smallest(self, sentence, command, name):
        """The check is lenient by 0.01 mm, so a whole size or two below may do too, which is no "smallest"."""
        self.assertIn(', about the smallest whole size', sentence)
        wide = float(re.search(r'--wide ([\d.]+)mm', command)[1])
        less = 0.98 * wide - (1 if wide >= 10 else 0.1)
        self.assertEqual(self.shell(re.sub(r'--wide [\d.]+mm', f'--wide {less:.3f}mm', command))[0], SPOTS,
                         f'{name}: {command}')

    def closest_keeps_its_promise(self, text, job):
        """What comes nearest where the art is too fine."""
        words = ' '.join(text.split())
        left = r' leaves ([\d.]+) % of the cut area uncut, at (\d+) spots?'
        found = {('--bit', bit): rest for bit, *rest in re.findall("'([^']*)'" + left, words)}
        found |= {('--wide', wide): rest for wide, *rest in re.findall(r'at ([\d.]+ mm) wide it' + left, words)}
        now = json.loads(self.run_here('check', *job, '--json', '-o', 'now').text) if found else None
        nearest = None  # the bit, or else the size
        for (option, value), (share, count) in found.items():
            lost, few = now['area']['unreached'] / now['area']['cut'], int(count) < len(now['spots'])
            self.assertTrue(few or float(share) <= 1 < 100 * lost, (value, words))
            self.assertTrue(float(share) < max(1.05, 51 * lost), (value, words))
            own = [*job]
            own[own.index(option) + 1] = value.replace(' ', '')
            done = json.loads(self.run_here('check', *own, '--json', '-o', 'nearest').text)
            nearest = nearest or done
            self.assertEqual(len(done['spots']), int(count), (own, words))
            left = 100 * done['area']['unreached'] / done['area']['cut']
            self.assertAlmostEqual(float(share), left, delta=left / 15 + 1e-9)
        if 'Too fine for this' in words and 'would do' not in words and found:
            self.too_fine_has_a_command(text, nearest)
        return len(found)

    def too_fine_has_a_command(self, text, nearest):
        """The one that comes nearest, which leaves what is said."""
        command = re.search(r'Too fine for this (?:bit|least neck): [^:]*?\n   (narrows check .*)', text)
        self.assertIsNotNone(command, text)
        self.assertEqual(self.shell(command[1] + ' --json')[0], SPOTS, command[1])
        folder = shlex.split(command[1])[-1]
        spots = self.listed(folder)
        self.assertEqual(len(spots), len(nearest['spots']), command[1])

    def test_on_every_sample(self):
        count, samples = 0, program.some_samples(0)
        for name, options in samples:
            with self.subTest(name=name):
                result = self.run_here('check', os.path.join(program.SAMPLES, name), *options,
                                       '-o', name + '-out')
                if result.status == SPOTS:
                    count += self.keep_their_promise(result.text, name, self.listed(name + '-out'))
        self.assertGreater(count, len(samples))

    def marked_row(self, *words):
        """The row that bits or sizes marks, in words; None where it marks none."""
        rows = [line for line in self.run_here(*words).text.splitlines() if line.startswith('> ')]
        return re.split(r'\s{2,}', rows[0][1:].strip()) if rows else None

    def row_is_what_check_says(self, row, answer_at, *words):
        """yes or no, and as many spots."""
        done = self.run_here('check', *words, '--json', '-o', 'again')
        spots = json.loads(done.text)['spots']
        cells = ' '.join(row[answer_at:]).split()
        self.assertEqual(cells[0] == 'yes', done.status == FITS, (words, row))
        self.assertEqual(sum(int(cell) for cell in cells[1:5]), len(spots), (words, row))

    @unittest.skipUnless(os.path.isdir(CLIP_ART), 'openclipart-svg is not installed')
    def test_on_clip_art(self):
        """Each way of check, and the rows that bits and sizes mark, of drawings that others made."""
        files = sorted(os.path.join(folder, name) for folder, _, names in os.walk(CLIP_ART)
                       for name in names if name.endswith('.svg'))
        files = [file for file in files if os.path.getsize(file) < 30000]
        count = commands = nearest = 0
        for k in range(len(files)):
            file = files[k * 149 % len(files)]
            job = [file, '--cut', 'inside', '--skip-unread', '--wide', '150mm']
            result = self.run_here('check', *job, '--bit', '3mm', '-o', 'first')
            if result.status != SPOTS:
                continue
            with self.subTest(file=file):
                commands += self.keep_their_promise(result.text, file, self.listed('first'))
                nearest += self.closest_keeps_its_promise(result.text, [*job, '--bit', '3mm'])
                row = self.marked_row('bits', *job, '-o', 'bits')
                if row:
                    bit = re.match(r'.*?([\d.]+)$', ' '.join(row[:2]))[1]
                    self.row_is_what_check_says(row, 2, *job, '--bit', bit + 'mm')
                row = self.marked_row('sizes', *job, '--bit', '3mm', '-o', 'sizes')
                if row:
                    self.row_is_what_check_says(row, 2, *job[:-1], row[0] + 'mm', '--bit', '3mm')
            count += 1
            if count == (70 if program.ALL else 1 if program.SANITIZED else 2):
                break
        self.assertGreater(2 * commands, count)
        self.assertGreater(nearest, 0 if count > 4 else -1)

    def test_a_caption_may_be_left_out(self):
        """Letters that are too fine beside a plate: first of the ways, where they are what is in the way."""
        letters = ''.join(f'<rect x="{10 + 4 * k}" y="66" width="{1.2 + k % 2 / 2}" height="5"/>' for k in range(9))
        plate, slot = '<path d="M0 0h100v60h-100z{}"/>', 'M20 20v20h0.5v-20z'
        self.write('plate.svg', svg(plate.format('') + letters, 100, 75))
        self.write('slot.svg', svg(plate.format(slot) + letters, 100, 75))
        self.write('sign.svg', svg('<rect width="20" height="60"/>' + letters, 50, 75))
        job = ['--cut', 'outside', '--bit', '2mm', '--high', '90mm']
        for name, first in (('plate', 'then the bit fits'), ('slot', '1 spot is left then')):
            text = self.run_here('check', f'{name}.svg', *job, '-o', name).text
            ways = ways_of(text)
            led = [sentence for sentence, _ in ways if sentence.startswith('Leave out ')]
            self.assertEqual(len(led), 1, text)
            self.assertTrue(led[0].endswith(first), led)
            self.assertEqual(led[0] == ways[0][0], name == 'plate', text)
            self.assertEqual(self.keep_their_promise(text, name, self.listed(name)), len([way for way in ways if way[1]]))
        wide = 100 * 90 / 71
        for options in (['plate.svg', *job, '--keep', 'art,lettering'], ['sign.svg', *job],
                        ['plate.svg', *job, '--stock-size', f'{wide + 4:.2f}mm,94mm']):
            text = self.run_here('check', *options, '-o', 'other').text
            self.assertTrue(ways_of(text), text)
            self.assertNotIn('Leave out', text)

    def test_dust_may_be_left_out(self):
        """Specks of 16 pixels round a square; the command leaves them out beside what was left out before."""
        def is_ink(x, y):
            dust = 10 <= x % 60 < 14 and 10 <= y % 40 < 14 and y < 60
            return 20 <= x < 380 and 100 <= y < 380 or dust or y > 396
        self.write('dusty.png', png(pixels(400, 400, is_ink)))
        for given, then in (([], '1 spot is left then'), (['--drop', 'edge'], 'then the bit fits')):
            text = self.run_here('check', 'dusty.png', '--cut', 'outside', '--bit', '2mm', '--wide', '90mm',
                                 *given, '-o', 'dusty').text
            (sentence, command), = [way for way in ways_of(text) if way[0].startswith('Leave out ')]
            self.assertRegex(sentence, f'^Leave out what is hardly larger than dirt, 14 pieces, .*; {then}$')
            self.assertIn('--drop ' + ','.join([*given[1:], 'dust']), command)
            self.assertEqual(self.keep_their_promise(text, 'dusty', self.listed('dusty')),
                             len([way for way in ways_of(text) if way[1]]))

    def test_a_shadow_at_the_edge_may_be_left_out(self):
        def is_ink(x, y):
            return 60 <= x < 360 and 60 <= y < 360 or x < 4 and 40 < y < 300
        self.write('scan.png', png(pixels(400, 400, is_ink)))
        text = self.run_here('check', 'scan.png', '--cut', 'outside', '--bit', '2mm', '--wide', '90mm', '-o', 'scan').text
        (sentence, command), = [way for way in ways_of(text) if way[0].startswith('Leave out ')]
        self.assertRegex(sentence, "^Leave out what touches the picture's edge, 1 piece, .*; then the bit fits$")
        self.assertIn('--drop edge', command)
        self.assertEqual(self.keep_their_promise(text, 'scan', self.listed('scan')),
                         len([way for way in ways_of(text) if way[1]]))

    def test_what_is_far_from_fitting_is_not_called_near(self):
        """Hairs: with any bit and at any size that are looked at, all stay uncut."""
        hairs = ''.join(f'<rect x="{8 * k}" width="0.1" height="50"/>' for k in range(12))
        self.write('hairs.svg', svg(hairs, 90, 50))
        job = ['hairs.svg', '--cut', 'inside', '--bit', '3mm']
        words = ' '.join(self.run_here('check', *job).text.split())
        self.assertIn('Too fine for this bit: no bit of the rack and no size does, or helps much', words)
        self.assertIn('no smaller bit of the rack and no size up to 4 times this one cuts it all',
                      self.run_here('widen', *job, '--misses', 'open', '-o', 'fixed.svg').talk)

    def test_a_bit_that_is_its_size_is_named_once(self):
        slots = ''.join(f'<rect x="{5 * (k % 20)}" y="{20 * (k // 20)}" width="1.05" height="16"/>' for k in range(80))
        self.write('slots.svg', svg(slots, 97, 76))
        job = ['slots.svg', '--cut', 'pocket', '--bit', '5mm', '--neck', '1mm']
        words = ' '.join(self.run_here('check', *job).text.split())
        self.assertIn("Too fine for this bit: '1 mm' would do; widening would have to change 80 places", words)

    def test_what_leaves_too_many_to_widen_is_not_called_near(self):
        """Small squares, all thinner than the least neck whatever the bit, and one slot that is too narrow."""
        squares = ''.join(f'<rect x="{10 + 8 * (k % 10)}" y="{40 + 8 * (k // 10)}" width="3" height="3"/>'
                          for k in range(70))
        slot = '<rect width="40" height="30"/><rect x="41.2" width="40" height="30"/>'
        for body, cause, wide in ((slot + squares, 'bit', 142), (squares + '<rect width="40" height="30"/>', 'least neck', 114)):
            self.write('squares.svg', svg(body, 100, 110))
            words = ' '.join(self.run_here('check', 'squares.svg', '--cut', 'outside', '--bit', '2mm',
                                           '--neck', '4mm', '-o', 'out').text.split())
            self.assertIn(f'Too fine for this {cause}: {wide} mm wide and ', words)
            self.assertIn(' mm high would do; widening', words)
            self.assertIn('No smaller bit helps: stock that is too thin stays too thin', words)
            self.assertNotIn(' uncut, at ', words)

    def test_where_a_tenth_changes_widening_is_a_way(self):
        """Ten slots beside a square, which all want a third of the square's area or an eighth."""
        for length, told in ((40, False), (16, True)):
            slots = ''.join(f'<rect x="{40 + 12 * k}" width="2" height="{length}"/>' for k in range(10))
            self.write('slots.svg', svg('<rect width="30" height="30"/>' + slots, 160, 50))
            job = ['slots.svg', '--cut', 'inside', '--bit', '3mm']
            words = ' '.join(self.run_here('check', *job, '-o', 'slots').text.split())
            self.assertEqual('Widen up to 10 places' in words, told, words)
            self.assertEqual('10 places and much of the cut area' in words, not told, words)
            done = json.loads(self.run_here('widen', *job, '--misses', 'open', '--json', '-o', 'wide').text)
            changed = (done['area']['added'] + done['area']['removed']) / (900 + 20 * length)
            self.assertTrue(0.1 < changed < 0.2 if told else changed > 0.2, changed)

    def test_a_size_that_only_the_drawing_itself_tells(self):
        """Two discs that overlap by 0.0003 mm, less than chords are off by: at this size they come apart, and no
        chord drawn for it says at which they no longer do."""
        self.write('discs.svg', svg('<circle cx="21" cy="21" r="20"/><circle cx="60.12561055" cy="29.31640525" r="20"/>', 100, 100))
        job = ['discs.svg', '--cut', 'inside', '--bit', '3mm', '--neck', '0.5mm']
        result = self.run_here('check', *job, '-o', 'discs')
        self.assertNotIn('No size does', result.text)
        (wide, command), = [(re.match(r'Make it (\d+) mm', way), line) for way, line in ways_of(result.text)
                            if way.startswith('Make it')]
        self.assertEqual(self.shell(command)[0], FITS, command)
        self.assertEqual(self.shell(command.replace(wide[1] + 'mm', f'{int(wide[1]) - 1}mm'))[0], SPOTS, command)

    def test_they_repeat_what_was_given(self):
        self.write("it's.svg", dumbbell(2))
        given = ['--cut', 'inside', '--bit', '1/16in', '--neck', '0.3mm', '--inch', '--keep', '1',
                 '--origin', 'centre', '--turn', '90', '--mirror', '--blunt', '2mm', '--high', '40mm',
                 '--margin', '12mm', '--stock-size', '2000mm,1000mm', '--rack', 'my rack',
                 '--smooth', '0.1mm', '--tabs', '2', '--tab-width', '6mm', '-o', 'a folder']
        self.write('my rack', b'thin, 0.6mm\nbroad, 1/4in\n')
        result = self.run_here('check', "it's.svg", *given)
        commands = {command.split()[1] + (' --wide' if '--wide' in command else ''): command
                    for _, command in ways_of(result.text)}
        self.assertEqual(set(commands), {'check', 'check --wide', 'widen'})
        for kind, command in commands.items():
            words = shlex.split(command)
            self.assertEqual(words[2], "it's.svg")
            for option in [word for word in given if word.startswith('-')]:
                other = (option == '--rack' and kind == 'widen' or
                         option == '--high' and kind == 'check --wide')
                self.assertEqual(option in words, not other, f'{kind}: {option}')
            before = self.names()
            self.assertIn('Fits', self.shell(command)[1], command)
            new, = set(self.names()) - set(before)
            self.assertTrue(new.startswith('a folder-'))

    def test_a_size_for_which_the_sheet_is_too_small_is_told_with_another(self):
        self.write('art.svg', dumbbell(2))
        for sheet, larger in ('2000,1000', False), ('150,60', True):
            result = self.run_here('check', 'art.svg', '--cut', 'inside', '--bit', '1/8in', '--neck', '0.5mm',
                                   '--stock-size', sheet, '--margin', '3', '-o', 'sheet-' + sheet)
            (sentence, command), = [way for way in ways_of(result.text) if way[0].startswith('Make it')]
            self.assertEqual(sentence.endswith('more stock, and a larger sheet'), larger, result.text)
            self.assertEqual('--stock-size' in command, not larger, command)
            self.assertEqual(self.shell(command)[0], FITS, command)

    def test_a_margin_clears_the_edges_of_the_sheet(self):
        """A wall that bows off the edge, alone and with a slot of 1 mm in the art."""
        bow = 'M0.1 0L0 20L0.1 40L0 60L0.1 80L0 100H100V0Z'
        slotted = 'M30 30V60H31V30Z'
        for slot, sheet, left in [('', ['600,900'], 0), ('', ['600,900', '--margin', '1'], 0),
                                  (slotted, ['600,900'], 1), ('', ['106,900'], None), ('', ['900,106'], None)]:
            with self.subTest(slot=slot, sheet=sheet):
                self.write('bow.svg', svg(f'<path fill-rule="evenodd" d="{bow}{slot}"/>', 100, 100))
                result = self.run_here('check', 'bow.svg', '--cut', 'inside', '--bit', '1/8in', '--stock-size',
                                       *sheet)
                ways = [way for way in ways_of(result.text) if way[0].startswith('Leave a margin')]
                if left is None:
                    self.assertEqual(ways, [])
                    continue
                (sentence, command), = ways
                words = shlex.split(command)
                self.assertEqual(words.count('--margin'), 1, command)
                self.assertEqual(words[words.index('--margin') + 1], '3.2mm')
                self.assertEqual(self.shell(command)[0], SPOTS if left else FITS, command)
                folder = words[words.index('-o') + 1]
                after = json.loads(self.read(folder, 'spots.json'))
                self.assertEqual(len(after['spots']), left)
                self.assertTrue(sentence.endswith('1 spot is left then' if left else 'then the bit fits'), sentence)
                self.assertEqual(ways_of(result.text)[0][0] == sentence, not left, result.text)

    def test_no_size_is_said_to_leave_nothing_where_the_edges_are_in_the_way(self):
        """A disc touches the edges of its sheet at any size; without a sheet it would fit at any."""
        self.write('disc.svg', svg('<circle cx="50" cy="50" r="50"/>', 100, 100))
        result = self.run_here('check', 'disc.svg', '--cut', 'inside', '--bit', '1/8in', '--stock-size', '600,300')
        said = ' '.join(result.text.split())
        self.assertIn('it does not fit yet', said)
        self.assertNotIn('it does not fit yet;', said)

    def test_how_another_command_answers_is_not_repeated(self):
        self.write('art.svg', dumbbell(2))
        result = self.run_here('bits', 'art.svg', '--cut', 'inside', '--bit', '1/8in', '--pair',
                               '--neck', '0.5mm', '--threads', '1', '-o', 'bits')
        for _, command in ways_of(result.text):
            words = shlex.split(command)
            self.assertFalse({'--pair', '--threads'} & set(words), command)
            self.assertEqual(self.shell(command)[0], FITS, command)
        folders = [name for name in self.names() if name not in ('art.svg', 'bits')]
        self.assertEqual(len(folders), 3)
        self.assertTrue(all(name.startswith('bits-') for name in folders), folders)

    def test_no_way_writes_over_another_or_over_what_is_there(self):
        self.write('art.svg', dumbbell(2))
        for given in [], ['-o', 'out/'], ['-o', '.'], ['-o', './-x']:
            with self.subTest(given=given):
                result = self.run_here('check', 'art.svg', '--cut', 'inside', '--bit', '1/8in',
                                       '--neck', '0.5mm', *given)
                folders = [result.text.splitlines()[-1].removeprefix('Written to ').rstrip('/')]
                for _, command in ways_of(result.text):
                    status, said = self.shell(command)
                    self.assertEqual(status, FITS, command)
                    folders.append(re.search('^Written to (.*)$', said, re.M).group(1))
                self.assertEqual(len({os.path.normpath(name) for name in folders}), 4, folders)
                self.assertNotIn('.', {os.path.basename(name)[0] for name in folders[1:]})


if __name__ == '__main__':
    program.main()
