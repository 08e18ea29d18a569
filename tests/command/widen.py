"""narrows widen as a user runs it."""
import json
import os
import xml.etree.ElementTree as ElementTree

import program
from program import BAD, FITS, SAMPLES, SPOTS, Case, dumbbell, svg

NAMES = sorted(['fixed.dxf', 'fixed.svg', 'spots-after.csv', 'spots-before.csv', 'widened.json',
                'widened.svg'] + program.PAGE)
INSIDE = ['--cut', 'inside', '--bit', '3.175mm']


class Widen(Case):
    def test_the_folder_and_what_is_in_it(self):
        self.write('bell.svg', dumbbell())
        result = self.run_here('widen', 'bell.svg', *INSIDE)
        self.assertEqual(result.status, FITS, result.talk)
        self.assertEqual(self.names('bell'), NAMES)
        self.assertTrue(result.text.startswith('Fits now: 1 spot before, none left\n'))
        self.assertIn('widened\n', result.text)
        for line in result.text.splitlines():
            self.assertLessEqual(len(line), 80, line)
        self.assertEqual(len(self.read('bell', 'spots-before.csv').splitlines()), 2)
        self.assertEqual(len(self.read('bell', 'spots-after.csv').splitlines()), 1)
        account = json.loads(self.read('bell', 'widened.json'))
        # The bar of 2 mm between discs of 40 mm, 40 mm apart, grows to 3.225 mm.
        length = 80 - 2 * (20 ** 2 - 1.6125 ** 2) ** 0.5
        self.assertAlmostEqual(account['area']['added'], length * 1.225, delta=1.5)
        self.assertEqual(account['area']['removed'], 0)
        self.assertAlmostEqual(account['largest_move'], 0.6125, delta=0.01)
        self.assertEqual((account['pieces'], account['holes']), ([1, 1], [0, 0]))
        self.assertEqual([spot['outcome'] for spot in account['before']], ['widened'])

    def test_the_new_outlines_fit(self):
        self.write('bell.svg', dumbbell())
        for name in 'fixed.svg', 'fixed.dxf':
            self.assertEqual(self.run_here('widen', 'bell.svg', *INSIDE, '-o', name).status, FITS)
        self.assertEqual(self.names(), ['bell.svg', 'fixed.dxf', 'fixed.svg'])
        self.assertEqual(self.run_here('check', 'fixed.svg', *INSIDE).status, FITS)
        out = self.run_here('widen', 'bell.svg', *INSIDE, '-o', '-')
        self.assertEqual(out.out, self.read('fixed.svg'))

    def test_what_fits_stays(self):
        self.write('bell.svg', dumbbell(5))
        result = self.run_here('widen', 'bell.svg', *INSIDE, '-o', 'fixed.svg')
        self.assertEqual(result.status, FITS)
        self.assertIn('Fits as it is', result.text)
        self.run_here('outline', 'bell.svg', '-o', 'outline.svg')
        self.assertEqual(self.read('fixed.svg'), self.read('outline.svg'))

    def test_only_the_chosen_spots(self):
        art = svg('<circle cx="20" cy="30" r="20"/><circle cx="100" cy="30" r="20"/>'
                  '<circle cx="180" cy="30" r="20"/><rect x="20" y="29" width="80" height="2"/>'
                  '<rect x="100" y="28.9" width="80" height="2.2"/>', 200)
        self.write('bells.svg', art)
        result = self.run_here('widen', 'bells.svg', *INSIDE, '--spots', '2', '--json')
        self.assertEqual(result.status, SPOTS, result.talk)
        account = json.loads(result.text)
        self.assertEqual([spot['outcome'] for spot in account['before']], ['left', 'widened'])
        self.assertEqual(len(account['after']), 1)
        self.assertAlmostEqual(account['after'][0]['width'], 2, delta=0.005)
        self.assertEqual(self.run_here('widen', 'bells.svg', *INSIDE, '--spots', '1-2').status, FITS)
        for words in '0', '3', '2-1', '1,', 'x', '1 2', '99999999999999999999':
            self.refused(self.run_here('widen', 'bells.svg', *INSIDE, '--spots', words), '--spots')

    def test_ease(self):
        self.write('bell.svg', dumbbell())
        moves = []
        for ease in '0.05mm', '0.5mm':
            result = self.run_here('widen', 'bell.svg', *INSIDE, '--ease', ease, '--json')
            moves.append(json.loads(result.text)['largest_move'])
        self.assertAlmostEqual(moves[1] - moves[0], 0.225, delta=0.01)
        self.refused(self.run_here('widen', 'bell.svg', *INSIDE, '--ease', '9mm'), 'ease')

    def test_bad_requests(self):
        self.write('bell.svg', dumbbell())
        for arguments, word in [(['--bit', '3'], '--cut'), (['--cut', 'inside'], '--bit'),
                                ([*INSIDE, '--stubs', 'drop'], "'drop'"),
                                ([*INSIDE, '--misses', 'trim'], "'trim'"),
                                ([*INSIDE, '-o', '-', '--json'], '--json'),
                                ([*INSIDE, '-o', 'bell.svg'], 'bell.svg')]:
            self.refused(self.run_here('widen', 'bell.svg', *arguments), word)
        self.assertEqual(self.names(), ['bell.svg'])

    def test_the_drawing_of_a_sample(self):
        result = self.run_here('widen', os.path.join(SAMPLES, 'heron.png'), '--wide', '240mm',
                               '--cut', 'inside', '--bit', '1/8in', '-o', 'heron', '--quiet')
        self.assertIn(result.status, (FITS, SPOTS))
        self.assertEqual(result.out, b'')
        text = self.read('heron', 'widened.svg').decode()
        ElementTree.fromstring(text)
        for words in 'added to the art', 'what became of it', 'outline before':
            self.assertIn(words, text)
        account = json.loads(self.read('heron', 'widened.json'))
        self.assertGreater(account['area']['added'], 0)
        self.assertEqual(result.status == FITS, account['fits'])

    def test_islands_are_told_and_bridged(self):
        self.write('ring.svg', svg('<path fill-rule="evenodd" '
                                   'd="M0 0h60v60h-60z M20 20h20v20h-20z"/>', 60))
        result = self.run_here('check', 'ring.svg', *INSIDE)
        self.assertIn('1 island of stock comes loose when this is cut: 400 mm² round 30.0, 30.0',
                      result.talk)
        self.assertIn('1 island of stock', self.read('ring', 'marked.svg').decode())
        result = self.run_here('widen', 'ring.svg', *INSIDE, '--bridge', '4mm', '--bridge-count',
                               '2', '--json')
        self.assertEqual(result.status, FITS, result.talk)
        self.assertIn('2 bridges 4.00 mm wide, 40.00 mm long in all, hold the islands', result.talk)
        account = json.loads(result.text)
        self.assertAlmostEqual(account['area']['removed'], 160, delta=1e-3)
        self.assertEqual((account['pieces'], account['holes']), ([1, 2], [1, 0]))
        result = self.run_here('outline', 'ring.svg', *INSIDE, '--bridge', '4mm', '-o', 'one.svg')
        self.assertEqual(result.status, FITS, result.talk)
        self.assertNotIn('island', self.run_here('check', 'one.svg', *INSIDE).talk)
        self.refused(self.run_here('widen', 'ring.svg', *INSIDE, '--bridge-count', '2'), '--bridge')
        self.refused(self.run_here('widen', 'ring.svg', '--cut', 'pocket', '--bit', '3',
                                   '--bridge', '4mm'), 'pocket')

    def test_separate_parts_are_told(self):
        self.write('two.svg', svg('<rect width="20" height="20"/><rect x="40" width="20" height="20"/>'))
        outside = ['--cut', 'outside', '--bit', '3.175mm']
        self.assertIn('the art is 2 separate parts', self.run_here('check', 'two.svg', *outside).talk)
        self.assertNotIn('parts', self.run_here('check', 'two.svg', *INSIDE).talk)
        result = self.run_here('widen', 'two.svg', *outside, '--bridge', '5mm', '--json')
        self.assertAlmostEqual(json.loads(result.text)['area']['added'], 100, delta=1e-3)


if __name__ == '__main__':
    program.main()
