"""narrows outline as a user runs it."""
import json
import random
import re
import xml.etree.ElementTree as ElementTree

import program
from program import BAD, FITS, Case, dumbbell, dumbbell_pixels, dxf_entities, pixels, png, svg

SVG = '{http://www.w3.org/2000/svg}'


class Outline(Case):
    def test_svg_by_its_ending(self):
        self.write('bell.png', png(dumbbell_pixels()))
        result = self.run_here('outline', 'bell.png', '--wide', '120mm', '-o', 'out.SVG')
        self.assertEqual((result.status, result.out), (FITS, b'Written to out.SVG\n'), result.talk)
        root = ElementTree.fromstring(self.read('out.SVG'))
        self.assertAlmostEqual(float(root.get('width').removesuffix('mm')), 120, delta=0.02)
        self.assertEqual(root.get('width').removesuffix('mm'), root.get('viewBox').split()[2])
        paths = list(root.iter(SVG + 'path'))
        self.assertEqual(len(paths), 1)
        self.assertIn('C', paths[0].get('d').upper())
        self.assertEqual(self.names(), ['bell.png', 'out.SVG'])

    def test_dxf_by_its_ending(self):
        self.write('bell.svg', dumbbell())
        result = self.run_here('outline', 'bell.svg', '-o', 'out.dxf')
        self.assertEqual((result.status, result.out), (FITS, b'Written to out.dxf\n'), result.talk)
        lines = self.read('out.dxf').decode().split('\n')
        codes = [(lines[i].strip(), lines[i + 1].strip()) for i in range(0, len(lines) - 1, 2)]
        self.assertEqual(codes[-1], ('0', 'EOF'))
        insunits = codes.index(('9', '$INSUNITS'))
        self.assertEqual(codes[insunits + 1], ('70', '4'))
        start = codes.index(('2', 'ENTITIES'))
        across = [float(value) for code, value in codes[start:] if code == '10']
        self.assertAlmostEqual(min(across), 0, delta=0.01)
        self.assertAlmostEqual(max(across), 120, delta=0.01)

    def test_standard_output(self):
        self.write('bell.svg', dumbbell())
        self.run_here('outline', 'bell.svg', '-o', 'out.svg')
        result = self.run_here('outline', 'bell.svg', '-o', '-')
        self.assertEqual((result.status, result.out), (FITS, self.read('out.svg')))

    def test_a_folder_gets_both_formats(self):
        self.write('bell.svg', dumbbell())
        for name in 'out.svg', 'out.dxf':
            self.assertEqual(self.run_here('outline', 'bell.svg', '-o', name).text,
                             f'Written to {name}\n')
        for folder, more in ('bell-svg-outline', []), ('mine', ['-o', 'mine']):
            self.assertEqual(self.run_here('outline', 'bell.svg', *more).text,
                             f'Written to {folder}\n')
            self.assertEqual(self.names(folder), ['outline.dxf', 'outline.svg'])
            for ending in 'svg', 'dxf':
                self.assertEqual(self.read(folder, f'outline.{ending}'), self.read(f'out.{ending}'))

    def test_what_check_writes_is_the_same(self):
        self.write('bell.svg', dumbbell())
        self.run_here('check', 'bell.svg', '--cut', 'inside', '--bit', '1mm')
        for name in 'outline.svg', 'outline.dxf':
            self.run_here('outline', 'bell.svg', '-o', name)
            self.assertEqual(self.read(name), self.read('bell-svg-check', name))

    def test_its_own_outline_is_read_again(self):
        self.write('bell.png', png(dumbbell_pixels()))
        self.run_here('outline', 'bell.png', '--wide', '120mm', '-o', 'one.svg')
        result = self.run_here('outline', 'one.svg', '-o', 'two.svg')
        self.assertEqual(result.status, FITS, result.talk)
        one, two = (ElementTree.fromstring(self.read(name)) for name in ('one.svg', 'two.svg'))
        for side in 'width', 'height':
            self.assertAlmostEqual(float(one.get(side)[:-2]), float(two.get(side)[:-2]), delta=0.01)

    def test_who_traced_what_is_as_rough_as_noise_is_said(self):
        chance = random.Random(1)
        for name, data, rough in (('noise.png', pixels(200, 200, lambda x, y: chance.random() < 0.55), True),
                                  ('bell.png', dumbbell_pixels(), False)):
            self.write(name, png(data))
            result = self.run_here('outline', name, '--wide', '120mm', '-o', 'out.svg')
            self.assertEqual(result.status, FITS, result.talk)
            self.assertEqual('traced by libpotrace' in result.talk, rough, result.talk)

    def test_holes_stay_holes(self):
        self.write('ring.svg', svg('<path fill-rule="evenodd" d="M0 0h40v40h-40z M10 10h20v20h-20z"/>'))
        root = ElementTree.fromstring(self.run_here('outline', 'ring.svg', '-o', '-').out)
        paths = list(root.iter(SVG + 'path'))
        self.assertEqual(len(paths), 1)
        self.assertEqual(len(re.findall('[Mm]', paths[0].get('d'))), 2)

    def test_lines_are_said_and_replaced(self):
        """A square drawn as a line 2 mm wide, 40 mm along its outer edge."""
        self.write('pen.svg', svg('<path fill-rule="evenodd" d="M0 0h40v40h-40z M2 2h36v36h-36z"/>'))
        plain = self.run_here('outline', 'pen.svg', '-o', '-')
        self.assertIn('1 piece is drawn as lines about 2.00 mm wide', plain.talk)
        self.assertIn('--lines outer', plain.talk)
        asked = self.run_here('outline', 'pen.svg', '--lines', 'as-drawn', '-o', '-')
        self.assertEqual(asked.out, plain.out)
        self.assertNotIn('--lines outer', asked.talk)
        for mode, size in ('outer', 40), ('inner', 36), ('middle', 38):
            result = self.run_here('outline', 'pen.svg', '--lines', mode, '-o', '-')
            self.assertEqual(result.status, FITS, result.talk)
            root = ElementTree.fromstring(result.out)
            self.assertAlmostEqual(float(root.get('width')[:-2]), size, delta=0.05)
            path, = root.iter(SVG + 'path')
            self.assertEqual(len(re.findall('[Mm]', path.get('d'))), 1)
            self.assertEqual(path.get('fill') == 'none', mode == 'middle')
        # The size that is asked for is that of what is kept.
        result = self.run_here('outline', 'pen.svg', '--lines', 'inner', '--wide', '120mm', '-o', '-')
        self.assertIn(b'width="120mm"', result.out)

    def test_lines_that_are_none(self):
        self.write('bell.svg', dumbbell())
        result = self.run_here('outline', 'bell.svg', '--lines', 'outer', '-o', '-')
        self.assertEqual(result.out, self.run_here('outline', 'bell.svg', '-o', '-').out)
        self.assertIn('--lines does nothing here', result.talk)
        check = ['check', 'bell.svg', '--cut', 'inside', '--bit', '1mm', '--lines']
        self.refused(self.run_here(*check, 'middle'), 'narrows outline')
        self.refused(self.run_here(*check, 'thick'), 'as-drawn, outer, inner and middle')
        self.assertEqual(self.names(), ['bell.svg'])

    def test_middles_have_a_layer_of_their_own(self):
        """A square ring and a bar drawn as lines, and a full square that is none."""
        self.write('mixed.svg', svg('<path fill-rule="evenodd" d="M0 0h40v40h-40z M2 2h36v36h-36z"/>'
                                    '<path d="M60 0h30v30h-30z"/><path d="M50 50h40v2h-40z"/>'))
        result = self.run_here('outline', 'mixed.svg', '--lines', 'middle', '-o', '-')
        self.assertEqual(result.status, FITS, result.talk)
        self.assertIn('2 pieces are drawn as lines', result.talk)
        self.assertIn('1 other piece is no line and keeps its edges', result.talk)
        shapes, middles = ElementTree.fromstring(result.out).iter(SVG + 'g')
        self.assertEqual((shapes.get('id'), middles.get('id')), ('outline', 'middle'))
        self.assertEqual([path.get('fill') for path in shapes], ['black'])
        self.assertEqual([path.get('fill') for path in middles], ['none', 'none'])
        self.assertEqual(sorted('Z' in path.get('d') for path in middles), [False, True])
        self.run_here('outline', 'mixed.svg', '--lines', 'middle', '-o', 'mixed.dxf')
        entities = dxf_entities(self.read('mixed.dxf'))
        layers = [value for code, value in entities if code == '8']
        closed = [value for code, value in entities if code == '70']
        self.assertEqual(sorted(zip(layers, closed)), [('middle', '0'), ('middle', '1'), ('outline', '1')])
        outer = self.run_here('outline', 'mixed.svg', '--lines', 'outer', '-o', '-')
        self.assertIn('1 of the lines encloses nothing and stays as drawn', outer.talk)

    def test_middles_are_for_outline_alone(self):
        self.write('pen.svg', svg('<path fill-rule="evenodd" d="M0 0h40v40h-40z M2 2h36v36h-36z"/>'))
        cut = ['pen.svg', '--cut', 'inside', '--bit', '1mm', '--lines', 'middle']
        for asked in (['check'], ['widen'], ['outline', '--as-cut'], ['outline', '--bit-path'],
                      ['outline', '--tabs', '2'], ['outline', '--bridge', '2mm']):
            self.refused(self.run_here(asked[0], *cut, *asked[1:]), 'curves without area')
        self.refused(self.run_here('bits', *cut[:3], *cut[5:]), 'curves without area')
        self.assertEqual(self.names(), ['pen.svg'])

    def test_inner_edges_leave_out_what_is_drawn_within(self):
        """A square drawn as a line with a full square and a short bar in it."""
        self.write('pen.svg', svg('<path fill-rule="evenodd" d="M0 0h40v40h-40z M2 2h36v36h-36z"/>'
                                  '<path d="M10 10h10v10h-10z"/><path d="M6 30h28v2h-28z"/>'))
        for mode, holes in ('inner', 2), ('outer', 0):
            path, = ElementTree.fromstring(self.run_here('outline', 'pen.svg', '--lines', mode, '-o', '-').out).iter(
                SVG + 'path')
            self.assertEqual(len(re.findall('M', path.get('d'))), 1 + holes)

    def test_strokes_count_as_area_and_hairlines_are_said(self):
        self.write('line.svg', svg('<path fill="none" stroke="black" stroke-width="4" '
                                   'd="M5 5H45"/><path stroke="black" stroke-width="0.01" '
                                   'd="M5 20H45"/>'))
        result = self.run_here('pieces', 'line.svg', '--json')
        self.assertEqual(result.status, FITS)
        self.assertEqual([round(piece['area'], 2) for piece in json.loads(result.out)['pieces']],
                         [160, 0.4])
        self.assertIn('1 line under 0.1 mm wide in the file counts', result.talk)

    def test_hairlines_are_left_out_where_asked(self):
        """Black and white ones: a square with a black hairline beyond it and a white one across."""
        self.write('hair.svg', svg('<rect x="5" y="5" width="30" height="30"/><path stroke="black" stroke-width=".05" '
                                   'd="M20 20H48"/><path stroke="white" stroke-width=".05" d="M20 0V50"/>'))
        counts = {}
        for skip in (), ('--skip-hairlines',):
            result = self.run_here('pieces', 'hair.svg', '--json', *skip)
            counts[skip] = [piece['area'] for piece in json.loads(result.out)['pieces']]
        self.assertEqual(len(counts[()]), 2)
        self.assertEqual(counts['--skip-hairlines',], [900])
        self.assertIn('1 line under 0.1 mm wide in the file is left out', result.talk)
        self.assertIn('--skip-hairlines leaves it out; to cut along it', self.run_here('pieces', 'hair.svg').talk)
        self.write('hair.svg', svg('<path stroke="black" stroke-width=".05" d="M20 20H48"/>'))
        self.refused(self.run_here('pieces', 'hair.svg', '--skip-hairlines'), 'only lines under 0.1 mm')
        self.assertRegex(self.run_here('pieces', 'hair.svg').talk, 'as an area that thin; to cut along it, fill its shape')

    def test_lines_beside_outlines_are_left_out_again(self):
        self.write('bell.svg', dumbbell())
        beside = ['--cut', 'outside', '--bit', '3mm', '--as-cut', '--bit-path']
        self.run_here('outline', 'bell.svg', *beside, '-o', 'with.svg')
        self.run_here('outline', 'bell.svg', '-o', 'alone.svg')
        result = self.run_here('outline', 'with.svg', '-o', '-')
        alone = self.run_here('outline', 'alone.svg', '-o', '-').out
        self.assertEqual(*(out[out.index(b'<g'):] for out in (result.out, alone)))
        self.assertRegex(result.talk, '[0-9] lines beside the outlines, .* are left out')

    def test_what_a_drawing_leaves_out_is_said(self):
        self.write('odd.svg', svg('<rect width="20" height="20" stroke="black" stroke-width="2"/>'
                                  '<rect x="500" width="20" height="20"/>'
                                  '<image id="photo" width="9" height="9"/>'))
        talk = self.run_here('outline', 'odd.svg', '-o', '-').talk
        self.assertIn("1 shape lies beyond the page's edge", talk)
        self.assertRegex(talk, '1 picture in the drawing is left out.*: photo')
        self.write('pale.svg', svg('<rect width="20" height="20" fill="white"/>'))
        self.assertIn('every shape is near white', self.run_here('outline', 'pale.svg', '-o', '-').talk)

    def test_options_for_pictures_are_said_to_do_nothing(self):
        self.write('bell.svg', dumbbell())
        result = self.run_here('outline', 'bell.svg', '--ink', 'red', '--smooth', '1mm', '-o', '-')
        self.assertEqual(result.status, FITS)
        self.assertEqual(result.out, self.run_here('outline', 'bell.svg', '-o', '-').out)
        for name in '--ink', '--smooth':
            self.assertIn(name + ' does nothing here', result.talk)

    def test_a_bare_command_needs_no_more_than_the_art(self):
        self.write('bell.png', png(dumbbell_pixels(), ppi=254))
        self.assertEqual(self.run_here('outline', 'bell.png', '--quiet').err, b'')
        self.write('plain.png', png(dumbbell_pixels()))
        result = self.run_here('outline', 'plain.png', '-o', '-')
        self.assertEqual((result.status, result.out), (BAD, b''))

    def test_what_the_bit_makes_in_layers_of_their_own(self):
        self.write('box.svg', svg('<rect width="20" height="20"/>'))
        cut = ['--cut', 'inside', '--bit', '6mm']
        for name in 'box.out.svg', 'box.dxf':
            result = self.run_here('outline', 'box.svg', *cut, '--as-cut', '--bit-path', '-o', name)
            self.assertEqual(result.status, FITS, result.talk)
        root = ElementTree.fromstring(self.read('box.out.svg'))
        groups = {group.get('id'): group.find(SVG + 'path').get('d')
                  for group in root.iter(SVG + 'g')}
        self.assertEqual(list(groups), ['outline', 'as-cut', 'bit-path'])
        self.assertEqual(groups['as-cut'].count('A'), 4)
        self.assertEqual(groups['bit-path'].count('A'), 0)
        pairs = dxf_entities(self.read('box.dxf'))
        self.assertEqual([value for code, value in pairs if code == '8'][-3:],
                         ['outline', 'as-cut', 'bit-path'])
        bulges = [float(value) for code, value in pairs if code == '42']
        self.assertEqual(len(bulges), 4)
        for bulge in bulges: # of a quarter turn: tan(pi / 8)
            self.assertAlmostEqual(bulge, 2 ** 0.5 - 1, delta=1e-6)
        self.refused(self.run_here('outline', 'box.svg', '--as-cut'), '--cut')
        self.refused(self.run_here('outline', 'box.svg', '--bit-path', '--cut', 'inside'), '--bit')


if __name__ == '__main__':
    program.main()
