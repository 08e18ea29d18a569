"""narrows sizes as a user runs it: the table, the lists and the chart, each row a check's answer."""
import csv
import io
import json
import re
import xml.dom.minidom

import program
from program import Case, dumbbell, svg

ASKED = ['--cut', 'inside', '--bit', '1/8in', '--neck', '0.3mm']


class Sizes(Case):
    def setUp(self):
        super().setUp()
        self.write('art.svg', dumbbell(2))

    def test_the_smallest_that_fits_is_marked(self):
        result = self.run_here('sizes', 'art.svg', *ASKED)
        self.assertEqual(result.status, 0)
        self.assertTrue(result.text.startswith('From 191 mm wide on the bit cuts it all'))
        marked = [line for line in result.text.splitlines() if line.startswith('> ')]
        self.assertEqual([line.split()[1:4] for line in marked], [['191.0', '63.7', 'yes']])
        self.assertTrue(all(len(line) <= 80 for line in result.text.splitlines()))

    def test_json_and_csv_say_what_checks_say(self):
        got = json.loads(self.run_here('sizes', 'art.svg', *ASKED, '--json').text)
        rows = list(csv.DictReader(io.StringIO(
            self.run_here('sizes', 'art.svg', *ASKED, '--csv').text)))
        self.assertEqual((got['smallest'], got['closest'], got['bit']), (191, None, 3.175))
        self.assertEqual(len(rows), len(got['sizes']))
        self.assertEqual((got['sizes'][0]['width'], got['sizes'][-1]['width']), (60, 480))
        for size, row in zip(got['sizes'], rows):
            self.assertEqual(float(row['width']), size['width'])
            check = self.run_here('check', 'art.svg', *ASKED, '--wide', row['width'], '--json',
                                  '-o', 'out')
            found = json.loads(check.text)
            self.assertEqual((size['fits'], row['fits']),
                             (found['fits'], 'yes' if found['fits'] else 'no'))
            self.assertEqual(sum(size[form] for form in ('pinches', 'stubs', 'misses', 'necks')),
                             len(found['spots']))
            self.assertAlmostEqual(size['deepest'], found['corners']['deepest'])

    def test_what_was_not_judged_is_unsure(self):
        words = '<text x="5" y="20">club</text>'
        for name, more, said in (('plain.svg', '', 'yes'), ('words.svg', words, 'unsure')):
            self.write(name, svg('<rect x="5" y="5" width="80" height="40"/>' + more))
            for command, column in ('bits', 2), ('sizes', 0):
                bit = [] if command == 'bits' else ['--bit', '3mm']
                self.run_here(command, name, '--cut', 'inside', *bit, '-o', 'told')
                rows = self.read('told', f'{command}.csv').decode().splitlines()[1:]
                self.assertEqual({row.split(',')[column] for row in rows} - {'no', ''}, {said}, command)

    def test_where_none_does_the_closest_is_marked(self):
        # Two triangles that touch in a point do so at every size.
        self.write('touch.svg', svg('<path d="M0 0l50 30l-50 30zM100 0l-50 30l50 30z"/>', 100, 60))
        result = self.run_here('sizes', 'touch.svg', *ASKED)
        self.assertEqual(result.status, 1)
        self.assertIn('at no width up to 400 mm', ' '.join(result.text.split()))
        self.assertEqual(len([x for x in result.text.splitlines() if x.startswith('> ')]), 1)
        got = json.loads(self.run_here('sizes', 'touch.svg', *ASKED, '--json').text)
        self.assertIsNone(got['smallest'])
        least = min(sum(s[form] for form in ('pinches', 'stubs', 'misses', 'necks'))
                    for s in got['sizes'])
        closest = [s for s in got['sizes'] if s['width'] == got['closest']][0]
        share = closest['unreached_share']
        said = re.search(r'wide it leaves ([\d.]+) % of the cut area uncut', ' '.join(result.text.split()))
        self.assertAlmostEqual(float(said[1]), 100 * share, delta=5 * share)
        self.assertEqual(sum(closest[form] for form in ('pinches', 'stubs', 'misses', 'necks')),
                         least)

    def test_what_leaves_much_is_not_closest(self):
        # A square to be cut, and slots of as much area that no bit of the rack gets into; or many slots.
        slots = lambda count: ''.join(f'M{k % 40 * 1.5:g} {80 + k // 40 * 30}h.15v24h-.15z' for k in range(count))
        for side, count, share in ((8, 16, 47), (60, 90, 8.3)):
            self.write('slots.svg', svg(f'<path d="M0 0H{side}V{side}H0z{slots(count)}"/>', 100, 170))
            for command, bit, said in (
                    ('sizes', ['--bit', '3mm'], 'at no width up to [0-9.]+ mm, nor comes near; even at [0-9.]+ mm wide'),
                    ('bits', [], "No bit of the rack cuts it all or comes near; even '1/32 in'")):
                asked = [command, 'slots.svg', '--cut', 'pocket', *bit]
                result = self.run_here(*asked)
                said = re.search(said + r'.* leaves ([0-9.]+) % of the cut area uncut, at (\d+) spots',
                                 ' '.join(result.text.split()))
                self.assertTrue(said, result.text)
                self.assertAlmostEqual(float(said[1]), share, delta=0.1 * share)
                self.assertEqual(int(said[2]), count)
                self.assertFalse([line for line in result.text.splitlines() if line.startswith('> ')])
                self.assertIsNone(json.loads(self.run_here(*asked, '--json').text)['closest'])

    def test_where_nothing_is_cut_no_size_is_closest(self):
        ring = '<path fill-rule="evenodd" d="M0 0H60V60H0ZM.02 .02H59.98V59.98H.02Z"/>'
        self.write('thin.svg', svg(ring, 60, 60))
        for command, bit, said in (('sizes', ['--bit', '3mm'], 'The bit cuts none of it at any width up to 240 mm'),
                                   ('bits', [], 'No bit of the rack cuts any of it')):
            asked = [command, 'thin.svg', '--cut', 'inside', *bit]
            result = self.run_here(*asked)
            self.assertEqual(result.status, 1)
            text = ' '.join(result.text.split())
            self.assertTrue(text.startswith(said), text)
            self.assertNotIn('leaves', text.split('. ')[0].split(' thin.svg')[0])
            self.assertFalse([line for line in result.text.splitlines() if line.startswith('> ')])
            self.assertIsNone(json.loads(self.run_here(*asked, '--json').text)['closest'])

    def test_shares_of_all_but_all_are_not_all(self):
        self.write('most.svg', svg('<path fill-rule="evenodd" d="M0 0H60V60H0ZM.6 .6H59.4V59.4H.6Z'
                                   'M30 30m-.43 0a.43 .43 0 1 0 .86 0a.43 .43 0 1 0 -.86 0Z"/>', 60, 60))
        result = self.run_here('bits', 'most.svg', '--cut', 'inside')
        self.assertIn("'1/32 in' leaves over 99 % of the cut area uncut", ' '.join(result.text.split()))

    def test_the_files(self):
        result = self.run_here('sizes', 'art.svg', *ASKED, '-o', 'out')
        self.assertIn('Written to out', result.text)
        self.assertEqual(self.names('out'), ['sizes.csv', 'sizes.json', 'sizes.svg'])
        self.assertEqual(self.read('out', 'sizes.json').decode(),
                         self.run_here('sizes', 'art.svg', *ASKED, '--json').text)
        xml.dom.minidom.parseString(self.read('out', 'sizes.svg'))

    def test_one_answer_at_a_time(self):
        self.refused(self.run_here('sizes', 'art.svg', *ASKED, '--json', '--csv'))
        self.refused(self.run_here('sizes', 'art.svg', '--cut', 'inside'))


if __name__ == '__main__':
    program.main()
