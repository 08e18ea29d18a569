"""narrows bits as a user runs it: the table, its files, the rack; and check's ways out."""
import csv
import io
import json
import math
import os
import shlex
import xml.dom.minidom

import program
from program import SAMPLES, Case, counted, dumbbell, svg

INSIDE = ['--cut', 'inside']
RACK = b'# the drawer\nfine, 1.5mm, flutes 4mm\nbroad, 1/4in, flutes 20mm\nvee, 12mm, angle 60\n'


class Bits(Case):
    def setUp(self):
        super().setUp()
        self.write('art.svg', dumbbell(2))

    def test_the_largest_that_fits_is_marked(self):
        result = self.run_here('bits', 'art.svg', *INSIDE, '--neck', '0.5mm')
        self.assertEqual(result.status, 0)
        marked = [line for line in result.text.splitlines() if line.startswith('> ')]
        self.assertEqual(len(marked), 1)
        self.assertTrue(marked[0].startswith('> 2 mm '))
        self.assertIn('of any size the largest is 2.00 mm', ' '.join(result.text.split()))
        self.assertIn('2.38125', result.text)
        self.assertTrue(all(len(line) <= 80 for line in result.text.splitlines()))

    def test_json_and_csv_say_the_same(self):
        got = json.loads(self.run_here('bits', 'art.svg', *INSIDE, '--json').text)
        rows = list(csv.DictReader(io.StringIO(
            self.run_here('bits', 'art.svg', *INSIDE, '--csv').text)))
        self.assertEqual([b['name'] for b in got['bits']], [r['name'] for r in rows])
        self.assertEqual(got['largest'], '2 mm')
        self.assertAlmostEqual(got['critical'], 2, delta=0.005)
        for bit, row in zip(got['bits'], rows):
            self.assertEqual(row['fits'], 'yes' if bit['fits'] else 'no')
            self.assertAlmostEqual(float(row['unreached']), bit['unreached'])
            self.assertEqual(bit['fits'], bit['diameter'] <= 2)
        sixteenth = [b for b in got['bits'] if b['name'] == '1/16 in']
        self.assertEqual(sixteenth[0]['diameter'], 1.5875)

    def test_each_row_is_what_check_says(self):
        got = json.loads(self.run_here('bits', 'art.svg', *INSIDE, '--json').text)
        for bit in got['bits'][::3]:
            check = self.run_here('check', 'art.svg', *INSIDE, '--bit', str(bit['diameter']),
                                  '--json', '-o', 'out')
            spots = json.loads(check.text)
            self.assertEqual(spots['fits'], bit['fits'])
            self.assertAlmostEqual(spots['area']['unreached'], bit['unreached'], places=4)

    def test_the_rack(self):
        self.write('mine', RACK)
        result = self.run_here('bits', 'art.svg', *INSIDE, '--rack', 'mine', '--stock', '6mm',
                               '--neck', '0.5mm')
        self.assertEqual(result.status, 1, result.text)
        text = ' '.join(result.text.split())
        self.assertIn('fine: its flutes, 4 mm, are shorter than the stock is thick', text)
        self.assertIn("vee: a V bit; its width at the stock's top face counts", text)
        pocket = self.run_here('bits', 'art.svg', '--cut', 'pocket', '--rack', 'mine',
                               '--stock', '6mm', '--neck', '0.5mm')
        self.assertIn('vee: a V bit cuts as deep as its place is wide', pocket.text)
        self.assertIn('through the stock', pocket.text)

    def test_the_own_rack_is_found(self):
        os.makedirs(os.path.join(self.folder, 'config', 'narrows'))
        self.write(os.path.join('config', 'narrows', 'rack'), RACK)
        result = self.run_here('bits', 'art.svg', *INSIDE, '--neck', '0.5mm',
                               environment={'XDG_CONFIG_HOME':
                                            os.path.join(self.folder, 'config')})
        self.assertIn('> fine ', result.text)
        self.assertNotIn('1/2 in', result.text)

    def test_a_bad_line_is_named(self):
        self.write('mine', b'fine, 1.5mm\nbroad, wide\n')
        result = self.run_here('bits', 'art.svg', *INSIDE, '--rack', 'mine', '-o', 'out')
        self.assertEqual(result.status, 2)
        self.assertIn('mine, line 2:', result.talk)
        self.assertFalse(os.path.exists(os.path.join(self.folder, 'out')))
        self.assertEqual(self.run_here('bits', 'art.svg', *INSIDE, '--rack', 'none').status, 2)

    def test_an_own_rack_that_cannot_be_read_is_no_other(self):
        os.makedirs(self.path('own', 'narrows', 'rack'))  # a folder where the file belongs
        result = self.run_here('bits', 'art.svg', *INSIDE,
                               environment={'XDG_CONFIG_HOME': self.path('own')})
        self.assertEqual(result.status, 2, result.text)
        self.assertIn('narrows/rack', result.talk)

    def test_the_files(self):
        result = self.run_here('bits', 'art.svg', *INSIDE, '-o', 'out')
        self.assertEqual(sorted(os.listdir(os.path.join(self.folder, 'out'))),
                         ['bits.csv', 'bits.json', 'bits.svg', *program.PAGE])
        self.assertEqual(self.read('out', 'bits.json').decode(),
                         self.run_here('bits', 'art.svg', *INSIDE, '--json').text)
        drawing = xml.dom.minidom.parseString(self.read('out', 'bits.svg'))
        words = [''.join(n.data for n in t.childNodes) for t in
                 drawing.getElementsByTagName('text')]
        self.assertIn('2 mm: the largest that cuts it all', words)
        self.assertIn('Written to out', result.text)

    def test_art_is_named_without_its_folder(self):
        os.mkdir(self.path('shed'))
        self.write('shed/art.svg', dumbbell(2))
        said = self.run_here('bits', 'shed/art.svg', *INSIDE, '-o', 'out').text
        self.assertRegex(said, r'(?m)^art\.svg, 120\.00')
        drawing = xml.dom.minidom.parseString(self.read('out', 'bits.svg'))
        words = ' '.join(n.firstChild.data for n in drawing.getElementsByTagName('text'))
        self.assertIn('art.svg, 120.00', words)
        self.assertNotIn('shed', words)

    def test_pairs(self):
        self.write('mine', b'large, 6mm, feed 1200\nmiddle, 3mm, feed 900\nsmall, 1.5mm, feed 400\n')
        options = ['art.svg', *INSIDE, '--rack', 'mine', '--neck', '0.5mm', '--pair']
        got = json.loads(self.run_here('bits', *options, '--json').text)['pairs']
        self.assertEqual({(p['large'], p['small']) for p in got},
                         {('large', 'small'), ('middle', 'small')})
        for pair in got:
            feed = {'large': 1200, 'middle': 900}[pair['large']]
            self.assertAlmostEqual(pair['minutes'], pair['large_path'] / feed +
                                   pair['small_path'] / 400, places=4)
        self.assertEqual(got, sorted(got, key=lambda p: p['minutes']))
        result = self.run_here('bits', *options, '-o', 'out')
        self.assertIn('time at the rack', result.text)
        self.assertTrue(all(len(line) <= 80 for line in result.text.splitlines()))
        drawing = xml.dom.minidom.parseString(self.read('out', 'pair.svg'))
        groups = {g.getAttribute('id'): g for g in drawing.getElementsByTagName('g')}
        self.assertEqual(list(groups), ['outline', 'large', 'small'])
        self.assertIn(b'AcDbLayerTableRecord', self.read('out', 'pair.dxf'))
        # Arcs stay curves: a chord each would be hundreds.
        steps = ''.join(p.getAttribute('d') for name in ('large', 'small')
                        for p in groups[name].getElementsByTagName('path'))
        self.assertLess(steps.count('C') + steps.count('L'), 40)
        self.assertLess(self.read('out', 'pair.dxf').count(b'\n 10\n'), 150)

    def test_a_feed_that_is_missing_is_reckoned_from_the_others(self):
        self.write('mine', b'large, 6mm\nmiddle, 3mm, feed 900\nsmall, 1.5mm, feed 400\n')
        got = json.loads(self.run_here('bits', 'art.svg', *INSIDE, '--rack', 'mine', '--neck',
                                       '0.5mm', '--pair', '--json').text)['pairs']
        self.assertEqual({p['large']: p['minutes'] is None for p in got}, {'middle': False, 'large': True})
        self.assertEqual([p['time_share'] for p in got], sorted(p['time_share'] for p in got))
        rate = (900 / 3 + 400 / 1.5) / 2
        way = {p['large']: p for p in got}
        ratio = [way[name]['large_path'] / feed + way[name]['small_path'] / 400
                 for name, feed in (('large', 6 * rate), ('middle', 900))]
        self.assertAlmostEqual(way['large']['time_share'] / way['middle']['time_share'], ratio[0] / ratio[1], places=4)

    def test_no_partner_is_smaller_than_it_needs_to_be(self):
        """Of the rack's bits the 1.5 mm one cuts it all; 1/32 in and 1 mm are no partners."""
        got = json.loads(self.run_here('bits', 'art.svg', *INSIDE, '--neck', '0.5mm', '--pair', '--json').text)
        largest = got['largest']
        self.assertTrue(got['pairs'])
        self.assertEqual({pair['small'] for pair in got['pairs']}, {largest})
        self.assertTrue(all(0 < pair['time_share'] < 1 for pair in got['pairs']))

    def test_a_pocket_is_cleared(self):
        """A box of 100 x 60 with a slot of 5: of the box the large bit clears all but the corners."""
        self.write('pocket.svg', svg('<rect x="10" y="10" width="100" height="60"/><rect x="109" y="30" width="30" height="5"/>', 150, 80))
        self.write('mine', b'large, 12mm\nsmall, 4mm\n')
        got = json.loads(self.run_here('bits', 'pocket.svg', '--cut', 'pocket', '--rack', 'mine', '--neck', '0.5mm',
                                       '--pair', '--json').text)['pairs'][0]
        walls = 2 * (88 + 48)
        # Of the 6145 mm2 it leaves the corners and the slot; lanes are half of its diameter apart.
        self.assertAlmostEqual(got['remains'], 145 + (4 - math.pi) * 36, delta=2)
        self.assertAlmostEqual(got['large_path'], walls + (6145 - got['remains'] - walls * 12) / 6, delta=1)
        # The slot of 5 x 29 is cleared by the small one: along its walls, and what that leaves.
        self.assertGreater(got['small_path'], 55)
        self.assertLess(got['time_share'], 0.6)

    def test_a_small_bit_with_nothing_to_do_makes_no_pair(self):
        """Only the seams of the discs' four curves leave less than a hundredth of a mm²."""
        self.write('disc.svg', svg('<circle cx="30" cy="30" r="20"/>'))
        self.write('mine', b'large, 6mm\nsmall, 3mm\n')
        said = self.run_here('bits', 'disc.svg', *INSIDE, '--rack', 'mine', '--pair').text
        self.assertIn('No two bits of the rack make a pair', said)

    def test_passes_are_counted(self):
        self.write('disc.svg', svg('<circle cx="30" cy="30" r="20"/>'))
        for stock, told in (('3mm', 'so 1 pass through the stock'), ('6mm', 'so 1 to 2 passes through the stock'),
                            ('7mm', 'so 2 to 3 passes through the stock')):
            self.write('mine', b'large, 6mm\n')
            said = self.run_here('bits', 'disc.svg', *INSIDE, '--rack', 'mine', '--stock', stock, '--neck', '1mm')
            self.assertIn(told, ' '.join(said.text.split()))

    def test_what_no_bit_does_is_told_in_the_unit_asked_for(self):
        """Two squares that touch at a corner."""
        self.write('touch.svg', svg('<path d="M10,10h20v20h-20zM30,30h20v20h-20z"/>'))
        for unit, told in (([], 'no bit of 0.1 mm or more does'), (['--inch'], 'no bit of 0.0039 in or more does')):
            said = self.run_here('bits', 'touch.svg', '--cut', 'outside', *unit, '-o', 'touch')
            self.assertIn(told, ' '.join(said.text.split()))

    def test_the_reason_that_no_bit_does_is_the_one(self):
        # A sliver of stock, no point touch and no sharp corner: and with a least neck the stock that is too thin.
        self.write('sliver.svg', svg('<path fill-rule="evenodd" d="M0 0H40V40H0ZM20 20H20.05V26H20Z"/>', 40, 40))
        for neck, said in (([], 'or more does: some place is thinner than that'),
                           (['--neck', '1mm'], 'or more does: some stock is thinner than the least neck')):
            words = ' '.join(self.run_here('bits', 'sliver.svg', *INSIDE, *neck).text.split())
            self.assertIn(said + ' sliver.svg,', words)

    def test_sizes_are_printed_as_published(self):
        """Fractions of an inch, exact by the inch of 25.4 mm (NBS Circular 572, addendum)."""
        self.write('mine', b'a, 3/32in\nb, 1/32in\nc, 1/16in\n')
        said = self.run_here('bits', 'art.svg', *INSIDE, '--rack', 'mine', '-o', 'out').text
        drawn = self.read('out', 'bits.svg').decode()
        for size in '2.38125', '0.79375', '1.5875':
            self.assertIn(f' {size} ', said)
            self.assertIn(f'>{size} mm', drawn)

    def test_no_pair_of_an_earlier_run_stays(self):
        self.write('mine', b'large, 6mm\nsmall, 1.5mm\n')
        options = [*INSIDE, '--rack', 'mine', '--neck', '0.5mm', '-o', 'out']
        self.run_here('bits', 'art.svg', *options, '--pair')
        self.assertLessEqual({'pair.svg', 'pair.dxf'}, set(self.names('out')))
        self.write('out/pair.svg', dumbbell(2))
        self.run_here('bits', 'out/pair.svg', *options)  # its own art stays
        self.assertEqual(self.names('out'), ['bits.csv', 'bits.json', 'bits.svg', *program.PAGE,
                                             'pair.svg'])
        self.run_here('bits', 'art.svg', *options)
        self.assertNotIn('pair.svg', self.names('out'))

    @counted
    def test_any_threads_give_the_same_bytes(self):
        """On outlines of over 4096 segments: smaller ones are not shared between threads."""
        cases = [('check', 'eight.png', '--wide', '900mm', *INSIDE, '--bit', '1/16in'),
                 ('bits', 'shutter.png', '--wide', '300mm', *INSIDE, '--stock', '6mm', '--pair'),
                 ('bits', 'sign.png', '--wide', '420mm', '--cut', 'outside', '--neck', '1mm')]
        for command, picture, *options in cases[:1] if program.SANITIZED and not program.ALL else cases:
            made = []
            for threads in ('1', '2', '3') if program.ALL else ('1', '3'):
                result = self.run_here(command, f'{SAMPLES}/{picture}', *options, '-o', 'out',
                                       '--threads', threads)
                made.append([result.text, result.talk] +
                            [self.read('out', name) for name in self.names('out')])
            self.assertGreater(len(made[0]), 4, result.talk)
            self.assertTrue(all(each == made[0] for each in made), picture)

    def test_room_to_spare(self):
        result = self.run_here('bits', 'art.svg', *INSIDE, '--bit', '1mm', '--neck', '0.5mm')
        self.assertIn('With the bit of 1 mm:', result.text)
        self.assertIn('may be as small as 61 mm wide', result.text)
        self.assertIn("largest bit of the rack that cuts it all is '2 mm'",
                      ' '.join(result.text.split()))


class Ways(Case):
    def commands(self, *options):
        """The commands that a failing check names, with its text."""
        result = self.run_here('check', *options, '-o', 'first')
        self.assertEqual(result.status, 1)
        lines = [line.strip() for line in result.text.splitlines()]
        return [shlex.split(line)[1:] for line in lines if line.startswith('narrows ')], result.text

    def test_each_way_leads_out(self):
        self.write("art's own.svg", dumbbell(2))
        commands, text = self.commands("art's own.svg", *INSIDE, '--bit', '1/8in', '--neck',
                                       '0.5mm')
        self.assertIn('Ways out, cheapest first:', text)
        self.assertEqual(sorted(c[0] for c in commands), ['check', 'check', 'widen'])
        for command in commands:
            self.assertEqual(self.run_here(*command).status, 0, command)

    def test_the_size_is_the_smallest(self):
        self.write('art.svg', dumbbell(2))
        commands, _ = self.commands('art.svg', *INSIDE, '--bit', '1/8in', '--neck', '0.5mm')
        sized = [c for c in commands if '--wide' in c][0]
        wide = float(sized[sized.index('--wide') + 1].removesuffix('mm'))
        self.assertEqual(wide, math.ceil(120 * 3.175 / 2))
        sized[sized.index('--wide') + 1] = f'{wide / 1.01}mm'
        self.assertEqual(self.run_here(*sized).status, 1)

    def test_what_fits_has_no_ways_out(self):
        self.write('art.svg', dumbbell(2))
        result = self.run_here('check', 'art.svg', *INSIDE, '--bit', '1mm', '--neck', '0.5mm')
        self.assertEqual(result.status, 0)
        self.assertNotIn('Ways out', result.text)

    def test_no_size_does(self):
        self.write('art.svg', svg('<path d="M0 0L20 10 0 20zM40 0L20 10 40 20z"/>', 40, 20))
        result = self.run_here('check', 'art.svg', *INSIDE, '--bit', '2mm', '--neck', '0.5mm')
        self.assertIn('No size does', result.text)


if __name__ == '__main__':
    program.main()
