"""Whatever narrows writes it reads again: its outlines with tabs, paths and bridges beside them, with
gaps for tabs, and after another program has made SVG of its DXF, give the verdict of the art."""
import json
import os

import program
from program import BAD, Case, dumbbell

NAMES = ('swan.png', 'perch.png', 'cygnets.png')
CUT = ['--cut', 'outside', '--bit', '1/8in']
LAYERS = ['--as-cut', '--bit-path', '--tabs', '6']


def some_of(name, *ways):
    """For each sample another one of the ways; all when NARROWS_TEST_ALL is set."""
    return ways if program.ALL else [ways[NAMES.index(name)]]


def polylines(data):
    """(layer, closed, vertices of x, y and bulge) of each LWPOLYLINE."""
    found = []
    for code, value in program.dxf_entities(data):
        if (code, value) == ('0', 'LWPOLYLINE'):
            found.append(['', False, []])
        elif found and code == '8':
            found[-1][0] = value
        elif found and code == '70':
            found[-1][1] = bool(int(value) & 1)
        elif found and code == '10':
            found[-1][2].append([float(value), 0, 0])
        elif found and found[-1][2] and code in ('20', '42'):
            found[-1][2][-1][1 if code == '20' else 2] = float(value)
    return found


def svg_of_dxf(data, name='<g id="{}" fill="none" stroke="red" stroke-width="0.1">'):
    """As programs write it: a group for each layer, a thin line for each polyline, arcs as arcs."""
    layers = {}
    for layer, closed, vertices in polylines(data):
        path = 'M{:.6f},{:.6f}'.format(*vertices[0][:2])
        for (x, y, bulge), (to_x, to_y, _) in zip(vertices, vertices[1:] + vertices[:closed]):
            chord = ((to_x - x) ** 2 + (to_y - y) ** 2) ** 0.5
            radius = chord * (1 + bulge ** 2) / (4 * abs(bulge)) if bulge else 0
            path += (f'A{radius:.6f},{radius:.6f} 0 {int(abs(bulge) > 1)},{int(bulge > 0)} '
                     if bulge else 'L') + f'{to_x:.6f},{to_y:.6f}'
        layers.setdefault(layer, []).append(f'<path d="{path}{"Z" * closed}"/>')
    groups = ''.join(name.format(layer) + ''.join(paths) + '</g>' for layer, paths in layers.items())
    return (f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:inkscape="urn:some" width="900mm" '
            f'height="900mm" viewBox="-100 -800 900 900"><g transform="scale(1,-1)">{groups}</g>'
            '</svg>').encode()


class Again(Case):
    def spots(self, *arguments):
        result = self.run_here('check', *arguments, '--json', '-o', 'checked')
        self.assertLess(result.status, BAD, result.talk)
        return json.loads(result.text), result.talk

    def same(self, found, plain, places=0.02):
        """To the last spot; widths and places as far as formats round them."""
        self.assertEqual((found['fits'], len(found['spots'])), (plain['fits'], len(plain['spots'])))
        for side in 0, 1:
            self.assertAlmostEqual(found['size'][side], plain['size'][side], delta=places)
        for one, other in zip(found['spots'], plain['spots']):
            self.assertEqual((one['side'], one['form']), (other['side'], other['form']))
            for key in 'width', 'depth':
                if other[key] is not None:
                    self.assertAlmostEqual(one[key], other[key], delta=places)

    seen = {}  # by sample

    def of_a_sample(self, name, more):
        art = [os.path.join(program.SAMPLES, name), '--wide', '250mm', *CUT]
        self.run_here('outline', *art, *more, '-o', 'out')
        if name not in self.seen:
            self.seen[name] = self.spots(*art)[0]
        return self.seen[name]

    def test_layers_beside_the_outlines(self):
        for name in NAMES:
            for more in some_of(name, LAYERS, [*LAYERS, '--break-tabs'], ['--tabs', '2', '--break-tabs']):
                with self.subTest(name=name, more=more):
                    plain = self.of_a_sample(name, more)
                    found, talk = self.spots('out/outline.svg', *CUT)
                    gaps = '--break-tabs' in more
                    self.same(found, plain, 0.05 if gaps else 0.001)
                    self.assertEqual('beside the outlines' in talk, '--as-cut' in more, talk)
                    self.assertEqual('as for tabs' in talk, gaps, talk)

    def test_svg_made_of_dxf(self):
        for name in NAMES:
            for more in some_of(name, [], LAYERS, ['--tabs', '4', '--break-tabs', '--bit-path']):
                with self.subTest(name=name, more=more):
                    plain = self.of_a_sample(name, more)
                    dxf = self.read('out', 'outline.dxf')
                    self.write('made.svg', svg_of_dxf(dxf))
                    self.same(self.spots('made.svg', *CUT)[0], plain, 0.05)
                    self.write('labelled.svg', svg_of_dxf(dxf, '<g id="layer1" inkscape:label="{}" style='
                                                               '"fill:none;stroke:#fff;stroke-width:.3">'))
                    self.same(self.spots('labelled.svg', *CUT)[0], plain, 0.05)

    def test_bridges_are_in_the_outlines(self):
        art = [os.path.join(program.SAMPLES, 'heron.png'), '--wide', '360mm', '--cut', 'inside',
               '--bit', '1/8in']
        self.run_here('outline', *art, '--bridge', '5mm', '--as-cut', '--bit-path', '-o', 'out')
        self.assertIn('islands', self.spots(*art)[1])
        self.assertNotIn('come loose', self.spots('out/outline.svg', *art[3:])[1])

    def test_the_pieces_for_two_bits(self):
        self.write('art.svg', dumbbell(5))
        self.write('mine', b'large, 6mm\nsmall, 1.5mm\n')
        self.run_here('bits', 'art.svg', *CUT[:2], '--rack', 'mine', '--pair', '-o', 'out')
        self.same(self.spots('out/pair.svg', *CUT)[0], self.spots('art.svg', *CUT)[0])

    def test_what_widen_says_is_what_check_says_of_its_file(self):
        grown = 0
        open_all = ['--stubs', 'open', '--misses', 'open']
        for name, *more in (('kingfisher.png', '--cut', 'inside', *open_all),
                            ('badge.png', '--cut', 'inside', '--stubs', 'open'),
                            ('swan.png', '--cut', 'outside', '--tabs', '3', '--break-tabs'),
                            ('heron.png', '--cut', 'inside', '--bridge', '5mm', '--as-cut')):
            with self.subTest(name=name):
                bit = ['--bit', '1/8in']
                result = self.run_here('widen', os.path.join(program.SAMPLES, name), '--wide', '130mm',
                                       *more, *bit, '-o', 'out')
                found, talk = self.spots('out/fixed.svg', *more[:2], *bit)
                after = json.loads(self.read('out', 'widened.json'))
                grown += after['size'] != [130, after['size'][1]]
                if '--break-tabs' in more:
                    self.same(found, {**found, 'spots': after['after']}, 0.05)
                    continue
                self.assertEqual(self.read('out', 'spots-after.csv'), self.read('checked', 'spots.csv'))
                self.assertEqual(found['fits'], after['fits'])
                for side in 0, 1:
                    self.assertAlmostEqual(found['size'][side], after['size'][side], delta=2e-4)
                self.assertEqual(*[[line for line in said.splitlines() if 'stock needed' in line]
                                   for said in (result.talk, talk)])
                places = [vertex for layer, _, vertices in polylines(self.read('out', 'fixed.dxf'))
                          if layer == 'outline' for vertex in vertices]
                for side in 0, 1:
                    self.assertAlmostEqual(min(place[side] for place in places), 0, delta=0.05)
        self.assertGreater(grown, 0)

    def test_lines_that_enclose_nothing_are_refused(self):
        line = ('<svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="90mm" viewBox="0 0 90 90">'
                '<g id="outline" fill="none" stroke="red" stroke-width="{}"><path d="M5 5h80v80"/></g></svg>')
        self.write('thin.svg', line.format('0.1').encode())
        self.refused(self.run_here('check', 'thin.svg', *CUT), 'encloses nothing')
        self.write('thick.svg', line.format('9').encode())  # somebody's own layer, of strokes
        self.assertEqual(self.run_here('check', 'thick.svg', *CUT).status, 0)

    def test_sheets_are_no_art(self):
        self.write('art.svg', dumbbell(2))
        cut = ['--cut', 'inside', '--bit', '1/8in']
        self.run_here('check', 'art.svg', *cut, '-o', 'out')
        self.run_here('widen', 'art.svg', *cut, '-o', 'out')
        self.run_here('bits', 'art.svg', *cut, '-o', 'out')
        self.run_here('sizes', 'art.svg', *cut, '-o', 'out')
        self.run_here('pieces', 'art.svg', '-o', 'out')
        for sheet in 'marked', 'widened', 'bits', 'sizes', 'pieces':
            self.refused(self.run_here('check', f'out/{sheet}.svg', *cut), 'outline.svg')


if __name__ == '__main__':
    program.main()
