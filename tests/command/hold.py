"""What holds the pieces, and what the cut leaves, on every sample as a user asks for it: tabs,
bridges, the stock needed, the outline as cut and the bit's way, in SVG and in DXF."""
import collections
import itertools
import json
import math
import os
import re
import xml.etree.ElementTree as ElementTree

import program
from program import BAD, SAMPLES, Case, counted

MOST_TABS = 12 # few is common practice; the samples have at most three parts
MOST_EACH = 6 # elements of the bit's way or of what it cuts for each of the outline
CHORDS_MM = 0.001 # from the outline's curves, the points on them
FEW_MM = 0.005 # from the true line, so much do the written ones keep
RADIUS_MM = 0.005 # the fit rolls a bit 0.005 mm smaller; files round to a tenth of a micrometre


# ---- written drawings as points -------------------------------------------------------------

def arc_points(start, end, radius, positive):
    """Along an arc of at most half a turn; positive as SVG has it, in the plane's own sense."""
    half = math.dist(start, end) / 2
    off = math.sqrt(max(0, radius ** 2 - half ** 2)) * (1 if positive else -1)
    across = ((end[0] - start[0]) / (2 * half), (end[1] - start[1]) / (2 * half))
    centre = ((start[0] + end[0]) / 2 - off * across[1], (start[1] + end[1]) / 2 + off * across[0])
    first = math.atan2(start[1] - centre[1], start[0] - centre[0])
    turn = 2 * math.asin(min(1, half / radius)) * (1 if positive else -1)
    steps = math.ceil(abs(turn) / math.sqrt(0.002 / radius)) # chords within 0.00025 mm
    return [(centre[0] + radius * math.cos(first + turn * k / steps),
             centre[1] + radius * math.sin(first + turn * k / steps)) for k in range(1, steps + 1)]


def curve_points(p, a, b, q):
    steps = max(32, math.ceil((math.dist(p, a) + math.dist(a, b) + math.dist(b, q)) / 0.1))
    def at(t):
        w = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t ** 3)
        return tuple(sum(k * c[i] for k, c in zip(w, (p, a, b, q))) for i in (0, 1))
    return [at(k / steps) for k in range(1, steps + 1)]


def svg_layers(data):
    """For each group its subpaths as points, y down, and the radii of its arcs."""
    layers = {}
    for group in ElementTree.fromstring(data).iter('{http://www.w3.org/2000/svg}g'):
        rings, radii = layers.setdefault(group.get('id'), ([], []))
        for path in group.iter('{http://www.w3.org/2000/svg}path'):
            for name, words in re.findall('([MLCAZ])([^MLCAZ]*)', path.get('d')):
                n = [float(word) for word in words.split()]
                if name == 'M':
                    rings.append([(n[0], n[1])])
                elif name == 'L':
                    rings[-1].append((n[0], n[1]))
                elif name == 'C':
                    rings[-1] += curve_points(rings[-1][-1], *zip(n[::2], n[1::2]))
                elif name == 'A':
                    radii.append(n[0])
                    rings[-1] += arc_points(rings[-1][-1], (n[5], n[6]), n[0], n[4] == 1)
    return layers


def outline_nodes(data):
    outline = ElementTree.fromstring(data).find('.//{*}g[@id="outline"]')
    return sum(len(re.findall('[LCA]', path.get('d'))) for path in outline.findall('.//{*}path'))


def svg_elements(data, name):
    """Of a layer of lines and arcs: how long each is, and in degrees the turn at the joint to the next."""
    group = next(g for g in ElementTree.fromstring(data).iter('{http://www.w3.org/2000/svg}g') if g.get('id') == name)
    found = []
    for words in ' '.join(path.get('d') for path in group).replace('M', '\0M').split('\0')[1:]:
        ways, at, first = [], None, None
        for letter, rest in re.findall('([MLAZ])([^MLAZ]*)', words):
            n = [float(word) for word in rest.split()] or first
            to, bend = (n[-2], n[-1]), 0
            length = math.dist(at, to) if at else 0
            if length > 1e-6:
                way = math.degrees(math.atan2(to[1] - at[1], to[0] - at[0]))
                if letter == 'A':
                    half = math.asin(min(1, length / 2 / n[0]))
                    length, bend = 2 * half * n[0], math.degrees(half) * (1 if n[4] else -1)
                ways.append((length, way - bend, way + bend))
            at, first = to, first or to
        found += [(a[0], abs((b[1] - a[2] + 180) % 360 - 180)) for a, b in zip(ways, ways[1:] + ways[:1])]
    return found


def dxf_polylines(data):
    """For each layer its polylines as vertices: x, y, bulge; closed ones end where they begin."""
    layers, vertices, polylines = {}, None, []
    for code, value in program.dxf_entities(data):
        if code == '0':
            vertices = [] if value == 'LWPOLYLINE' else None
            polylines += [{'vertices': vertices}] if value == 'LWPOLYLINE' else []
        elif vertices is not None and code == '8':
            polylines[-1]['layer'] = value
        elif vertices is not None and code == '70':
            polylines[-1]['closed'] = int(value) & 1
        elif vertices is not None and code == '10':
            vertices.append([float(value), 0, 0])
        elif vertices and code in ('20', '42'):
            vertices[-1][1 if code == '20' else 2] = float(value)
    for polyline in polylines:
        vertices = polyline['vertices'] + polyline['vertices'][:polyline['closed']]
        layers.setdefault(polyline['layer'], []).append(vertices)
    return layers


def dxf_layers(data):
    """For each layer its polylines as points, y up, and the radii of their arcs."""
    layers = {}
    for layer, vertices in ((layer, vertices) for layer, all in dxf_polylines(data).items() for vertices in all):
        rings, radii = layers.setdefault(layer, ([], []))
        ring = [tuple(vertices[0][:2])]
        for (x, y, bulge), (to_x, to_y, _) in zip(vertices, vertices[1:]):
            if bulge:
                radius = math.dist((x, y), (to_x, to_y)) * (1 + bulge ** 2) / (4 * abs(bulge))
                radii.append(radius)
                ring += arc_points((x, y), (to_x, to_y), radius, bulge > 0)
            else:
                ring.append((to_x, to_y))
        rings.append(ring)
    return layers


def area(rings):
    return sum(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, ring[1:] + ring[:1])) / 2
               for ring in rings)


def distance(p, a, b):
    dx, dy = b[0] - a[0], b[1] - a[1]
    square = dx * dx + dy * dy
    t = ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / square if square else 0
    t = min(1, max(0, t))
    return math.hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy)


class Nearest:
    """Distances from points of rings, up to reach, by the cells of a grid that wide."""
    def __init__(self, rings, reach):
        self.cells, self.reach = {}, reach
        for ring in rings:
            for a, b in zip(ring, ring[1:] + ring[:1]):
                low, high = [[math.floor(f(p[k] for p in (a, b)) / reach) for k in (0, 1)] for f in (min, max)]
                for x in range(low[0], high[0] + 1):
                    for y in range(low[1], high[1] + 1):
                        self.cells.setdefault((x, y), []).append((a, b))

    def __call__(self, p):
        x, y = (math.floor(v / self.reach) for v in p)
        return min((distance(p, a, b) for i in (-1, 0, 1) for k in (-1, 0, 1) for a, b in self.cells.get((x + i, y + k), [])),
                   default=math.inf)


def placed(data):
    """Where SVG puts a place of the art, as a function: the page's lower left corner is the art's."""
    height = float(ElementTree.fromstring(data).get('viewBox').split()[3])
    return lambda place: (place[0], height - place[1])


# ---- the questions --------------------------------------------------------------------------

turns = itertools.count()


def on_samples(pocket):
    """Asks it of samples that are cut through, and with pocket of the others too: each test of others than the one before it."""
    def for_all(test):
        first = next(turns)

        def ask(self):
            for name, options in program.some_samples(first):
                if pocket or 'pocket' not in options:
                    with self.subTest(name):
                        test(self, os.path.join(SAMPLES, name), options)
        return ask
    return for_all


class Hold(Case):
    seen = {}  # by art

    def asked(self, *arguments):
        result = self.run_here(*arguments)
        self.assertNotEqual(result.status, BAD, result.talk)
        return result

    def checked(self, art, options):
        """spots.json, what was said and the marked drawing of a check with a margin; asked once."""
        if art not in self.seen:
            talk = self.asked('check', art, *options, '-o', 'out', '--margin', '15mm').talk
            self.seen[art] = json.loads(self.read('out', 'spots.json')), talk, self.read('out', 'marked.svg').decode()
        return self.seen[art]

    @on_samples(pocket=False)
    def test_tabs_are_few_and_on_the_outlines(self, art, options):
        found = json.loads(self.asked('check', art, *options, '--tabs', 'auto', '-o', 'out',
                                      '--json').text)
        tabs = found['tabs']['places']
        self.assertTrue(1 <= len(tabs) <= MOST_TABS, len(tabs))
        svg = svg_layers(self.read('out', 'outline.svg'))
        dxf = dxf_layers(self.read('out', 'outline.dxf'))
        bit, in_svg = found['bit'], placed(self.read('out', 'outline.svg'))
        self.assertEqual((len(svg['tabs'][0]), len(dxf['tabs'][0])), (len(tabs),) * 2)
        from_dxf, from_svg = (Nearest(layers['outline'][0], bit) for layers in (dxf, svg))
        for tab, (start, end) in zip(tabs, dxf['tabs'][0]):
            (x, y), out = tab['at'], tab['out']
            self.assertLess(from_dxf((x, y)), 0.02)
            self.assertLess(from_svg(in_svg((x, y))), 0.05)
            # Short lines across the cut: from half a bit in the stock to half a bit beyond it.
            self.assertAlmostEqual(math.dist(start, end), 2 * bit, delta=1e-3)
            self.assertLess(math.dist(start, (x - bit / 2 * out[0], y - bit / 2 * out[1])), 1e-3)
            for spot in found['spots']:
                self.assertGreater(math.dist(spot['at'], (x, y)), bit + found['tabs']['width'])
        marked = ElementTree.fromstring(self.read('out', 'marked.svg'))
        drawn = marked.find('.//{*}g[@id="art"]').findall('{*}line[@stroke="#009e73"]')
        self.assertEqual(len(drawn), len(tabs))

    def test_tabs_by_hand_stand_where_they_were_put(self):
        art, bit = os.path.join(SAMPLES, 'swan.png'), 3.175
        options = ['--wide', '260mm', '--cut', 'outside', '--bit', '1/8in']
        outline = self.asked('check', art, *options, '-o', 'bare') and dxf_layers(self.read('bare', 'outline.dxf'))['outline'][0]
        box = [[f(p[k] for ring in outline for p in ring) for f in (min, max)] for k in (0, 1)]
        low = min((p for ring in outline for p in ring), key=lambda p: p[1])
        wanted = [(low[0], low[1] - 1), (130.0, 60.0), (box[0][1] + 300, 0.0)]  # beside it, within it, far off
        places = ':'.join(f'{x}mm,{y}' for x, y in wanted)
        for command in ('check', 'outline'):
            out = ['-o', 'out'] if command == 'check' else ['-o', 'held.dxf']
            talk = self.asked(command, art, *options, '--tab-at', places, *out).talk
            self.assertIn('1 tab, ', talk)
            self.assertIn('for 2 more there is no place', talk)
        held = self.read('held.dxf')
        (start, _), = dxf_layers(held)['tabs'][0]
        self.assertLess(abs(math.dist(start, low) - bit / 2), .5)
        self.assertEqual(dxf_layers(self.read('out', 'outline.dxf'))['tabs'], dxf_layers(held)['tabs'])
        # What stands by itself, put there by hand, stands there again.
        found = json.loads(self.asked('check', art, *options, '--tabs', 'auto', '-o', 'out', '--json').text)['tabs']['places']
        places = ':'.join(f"{tab['at'][0]},{tab['at'][1]}" for tab in found)
        again = json.loads(self.asked('check', art, *options, '--tab-at', places, '-o', 'out', '--json').text)['tabs']['places']
        self.assertEqual(again, found)

    def test_places_for_tabs_are_refused_in_words(self):
        art = os.path.join(SAMPLES, 'swan.png')
        options = ['check', art, '--wide', '260mm', '--cut', 'outside', '--bit', '1/8in']
        for more, words in ((['--tab-at', '10mm'], 'no list of at most 200 places'), (['--tab-at', '1,2:'], 'no list'),
                            (['--tab-at', '1,2:' * 200 + '1,2'], 'at most 200'), (['--tab-at', '1,2', '--tabs', '3'], 'leave --tabs out')):
            result = self.run_here(*options, *more)
            self.assertEqual(result.status, BAD)
            self.assertIn(words, result.talk)
        result = self.run_here('check', art, '--wide', '260mm', '--cut', 'pocket', '--bit', '1/8in', '--tab-at', '1,2')
        self.assertIn('--tab-at: nothing comes loose in a pocket', result.talk)

    @on_samples(pocket=False)
    def test_gaps_for_tabs_leave_the_bit_room(self, art, options):
        tabs = ['--tabs', 'auto', '--break-tabs']
        found = json.loads(self.asked('check', art, *options, *tabs, '-o', 'out', '--json').text)
        rings = dxf_layers(self.read('out', 'outline.dxf'))['outline'][0]
        gap = (found['bit'] + found['tabs']['width']) / 2
        for tab in found['tabs']['places']:
            near = min(math.dist(tab['at'], end) for ring in rings for end in (ring[0], ring[-1]))
            self.assertLess(near, 1.02 * gap)
            self.assertGreater(near, (0.6 if tab['second_best'] else 0.93) * gap) # straight across a bend

    def test_check_judges_the_art_with_its_bridges_as_it_is_written(self):
        art, cut = os.path.join(SAMPLES, 'heron.png'), ['--cut', 'inside', '--bit', '2mm']
        art = [art, '--wide', '200mm', *cut, '--bridge', '4mm']
        found = json.loads(self.asked('check', *art, '--json', '-o', 'out').text)
        again = json.loads(self.asked('check', 'out/outline.svg', *cut, '--json', '-o', 'again').text)
        self.assertEqual((found['islands'], again['islands']), ([], []))
        self.assertEqual([spot['form'] for spot in found['spots']], [spot['form'] for spot in again['spots']])
        # What stands by itself stands again where it is put by hand, in what outline writes too; less one, one is loose.
        places = [[(a + b) / 2 for a, b in zip(bridge['from'], bridge['to'])] for bridge in found['bridges']['places']]
        at = [f'{x:.3f},{y:.3f}' for x, y in places]
        by_hand = json.loads(self.asked('check', *art, '--bridge-at', ':'.join(at), '--json', '-o', 'hand').text)
        self.assertEqual(self.read('hand', 'outline.svg'), self.read('out', 'outline.svg'))
        self.assertEqual(by_hand['bridges'], found['bridges'])
        self.asked('outline', *art, '--bridge-at', ':'.join(at), '-o', 'hand.svg')
        self.assertEqual(self.read('hand.svg'), self.read('out', 'outline.svg'))
        less = self.asked('check', *art, '--bridge-at', ':'.join([*at[1:], '500,500']), '--json', '-o', 'less')
        bridges = json.loads(less.text)['bridges']
        self.assertEqual((len(bridges['places']), bridges['nowhere'], len(bridges['missing'])), (len(at) - 1, 1, 1))
        self.assertEqual(bridges['missing'][0]['reason'], 'by-hand')
        self.assertIn('for 1 of the places there is none', less.talk)
        self.assertIn('none was put there', less.talk)

    def test_new_spots_beside_bridges_are_told(self):
        """An arm that tapers to a tip: a bridge on the tip makes it a neck."""
        self.write('arm.svg', program.svg('<path fill-rule="evenodd" d="M0 0H150V110H0Z '
                                          'M80 80H130V30H100V18H90L30 15V16.5L90 24V30H80Z"/>', 150, 110))
        art = [self.path('arm.svg'), '--cut', 'inside', '--bit', '1/8in', '--blunt', '40mm', '--bridge', '5mm']
        said = json.loads(self.asked('check', *art, '--json', '-o', 'own').text)
        self.assertTrue(said['fits'])
        self.assertEqual(said['bridges']['new_spots'], [])
        run = self.asked('check', *art, '--bridge-at', '36,103', '--json', '-o', 'tip')
        said = json.loads(run.text)
        new, = said['bridges']['new_spots']
        self.assertEqual([new['at'], new['width']], [said['spots'][0]['at'], said['spots'][0]['width']])
        self.assertEqual(said['bridges']['places'][0]['second_best'][-1], 'spot')
        told = 'beside the bridges 1 new place is too narrow, a neck of stock %.2f mm thick' % new['width']
        for command in (['check', '-o', 'tip'], ['outline', '-o', 'tip.svg']):
            run = self.asked(command[0], *art, '--bridge-at', '36,103', *command[1:])
            self.assertIn(told, run.talk)

    def test_bridges_that_are_thin_are_told_of_the_art_and_not_of_ways_out(self):
        """A bridge does not grow with the art, so no size lets one fit that is thinner than the least neck."""
        self.write('ring.svg', b'<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="60mm" viewBox="0 0 60 60">'
                   b'<path fill-rule="evenodd" d="M0 0H60V60H0ZM20 20H40V40H20Z"/></svg>')
        result = self.run_here('check', 'ring.svg', '--cut', 'inside', '--bit', '1/8in', '--bridge', '2mm', '-o', 'out')
        self.assertEqual(result.status, program.SPOTS)
        self.assertNotIn('Ways out', result.text)
        self.assertNotIn('--wide', result.text)
        self.assertIn('thinner than the least neck', result.talk)
        ways = re.findall(r'(--bridge|--neck)\s+([0-9.]+mm)', result.talk)
        self.assertEqual(ways, [('--bridge', '3.175mm'), ('--neck', '2mm')])
        for option, value in ways:
            bridge = [] if option == '--bridge' else ['--bridge', '2mm']
            again = self.run_here('check', 'ring.svg', '--cut', 'inside', '--bit', '1/8in', '-o', 'out',
                                  *bridge, option, value)
            self.assertEqual(again.status, program.FITS, option)
            self.assertNotIn('thinner than the least neck', again.talk)

    def test_places_for_bridges_are_refused_in_words(self):
        art = ['check', os.path.join(SAMPLES, 'heron.png'), '--wide', '200mm', '--cut', 'inside', '--bit', '2mm']
        for more, words in ((['--bridge-at', '1,2'], 'say also how wide'), (['--bridge', '4mm', '--bridge-at', '1'], 'no list'),
                            (['--bridge', '4mm', '--bridge-at', '1,2', '--bridge-count', '2'], 'leave --bridge-count out')):
            result = self.run_here(*art, *more)
            self.assertEqual(result.status, BAD)
            self.assertIn(words, result.talk)

    @on_samples(pocket=False)
    def test_bridges_hold_every_piece(self, art, options):
        cut = [word for pair in zip(options[::2], options[1::2]) if pair[0] != '--wide'
               for word in pair]
        before, _, _ = self.checked(art, options)
        talk = self.asked('outline', art, *options, '--bridge', '3mm', '--bridge-count', '1',
                          '-o', 'held.svg').talk
        found = json.loads(self.asked('check', 'held.svg', *cut, '-o', 'out', '--json').text)
        loose = before.get('islands', before.get('parts'))
        count = len(loose) - (1 if loose and 'parts' in before else 0)
        told = f'{count} bridge' if count else 'no bridges: nothing comes loose'
        self.assertIn(told, talk)
        self.assertEqual(found.get('islands', found.get('parts')), [])
        for after, first in zip(found['size'], before['size']):
            self.assertAlmostEqual(after, first, delta=1e-3)

    def test_letters_thinner_than_the_least_neck_are_joined(self):
        """Such letters are spots, before and after; that is no reason to leave a bridge out."""
        art = os.path.join(SAMPLES, 'sign.png')
        cut = ['--cut', 'outside', '--bit', '1/8in']
        talk = self.asked('outline', art, '--wide', '420mm', *cut, '--bridge', '6mm',
                          '--bridge-count', '1', '-o', 'held.svg').talk
        self.assertIn('21 bridges', talk)
        self.assertNotIn('no bridge for', talk)
        found = json.loads(self.asked('check', 'held.svg', *cut, '-o', 'out', '--json').text)
        self.assertEqual(found['parts'], [])

    @on_samples(pocket=True)
    def test_the_stock_that_is_needed(self, art, options):
        found, talk, marked = self.checked(art, options)
        beyond = 15 + (found['bit'] if found['cut'] == 'outside' else 0)
        need = [side + 2 * beyond for side in found['size']]
        for given, expected in zip(found['stock']['needed'], need):
            self.assertAlmostEqual(given, expected, delta=1e-5)
        self.assertIn('stock needed: ', talk)
        self.assertIn('stock needed: ', marked)
        short = f'{need[0]:.3f}mm,{need[1] - 0.1:.3f}mm'
        self.refused(self.run_here('check', art, *options, '-o', 'out', '--margin', '15mm',
                                   '--stock-size', short), 'sheet is too small')

    @on_samples(pocket=True)
    def test_what_the_cut_leaves(self, art, options):
        found, _, _ = self.checked(art, options)
        self.asked('outline', art, *options, '--as-cut', '--bit-path', '-o', 'cut')
        bit = found['bit']
        drawn = {'svg': svg_layers(self.read('cut', 'outline.svg')), 'dxf': dxf_layers(self.read('cut', 'outline.dxf'))}
        for form, layers in drawn.items():
            rings, radii = layers['as-cut']
            cut, expected = abs(area(rings)), found['area']['reached']
            if found['cut'] == 'outside': # the stock that stays
                cut -= abs(area(layers['outline'][0]))
                expected = found['area']['unreached']
            self.assertAlmostEqual(cut, expected, delta=4e-4 * found['area']['cut'], msg=form)
            self.assertTrue(radii, form)
            own = [radius for radius in radii if abs(radius - bit / 2) < RADIUS_MM]
            self.assertTrue(own, form) # inner corners are the bit's
            way, from_cut = [p for ring in layers['bit-path'][0] for p in ring], Nearest(rings, bit)
            for p in way[::max(1, len(way) // 20)]:
                self.assertAlmostEqual(from_cut(p), bit / 2, delta=2 * FEW_MM, msg=form)

    @counted
    def test_few_lines_and_arcs_are_written(self):
        """No more than FEW_MM from where the bit runs, tangent where that is, and few, in both formats."""
        for art, wide, cut, bit in (('heron.png', '240mm', 'inside', 3.175), ('swan.png', '260mm', 'outside', 6.35),
                                    ('single-scull.png', '400mm', 'inside', 1.5875)):
            with self.subTest(art):
                self.asked('outline', os.path.join(SAMPLES, art), '--wide', wide, '--cut', cut, '--bit', f'{bit}mm',
                           '--as-cut', '--bit-path', '-o', 'cut')
                data, radius = self.read('cut', 'outline.svg'), (bit - .005) / 2
                layers = {name: rings for name, (rings, _) in svg_layers(data).items()}
                outline, way = (Nearest(layers[name], bit) for name in ('outline', 'bit-path'))
                for p in (p for ring in layers['bit-path'] for p in ring):
                    self.assertAlmostEqual(outline(p), radius, delta=FEW_MM + CHORDS_MM)
                for p in (p for ring in layers['as-cut'] for p in ring):
                    self.assertAlmostEqual(way(p), radius, delta=2.5 * FEW_MM) # both leave theirs
                nodes = outline_nodes(data)
                vertices = {name: sum(map(len, rings)) for name, rings in dxf_polylines(self.read('cut', 'outline.dxf')).items()}
                for name in 'as-cut', 'bit-path':
                    turns = [turn for _, turn in svg_elements(data, name)]
                    self.assertLess(len(turns), MOST_EACH * nodes)
                    self.assertLess(sum(.3 < turn < 15 for turn in turns), .1 * len(turns))
                    self.assertLessEqual(vertices[name], 1.1 * vertices['outline'])

    def test_few_elements_are_short_or_meet_at_a_kink(self):
        """Of all samples together: elements for each of the outline, and bytes of DXF."""
        nodes, elements, written = 0, {'as-cut': [], 'bit-path': []}, collections.Counter()
        for name, options in program.samples():
            self.asked('outline', os.path.join(SAMPLES, name), *options, '--as-cut', '--bit-path', '-o', 'cut')
            data = self.read('cut', 'outline.svg')
            nodes += outline_nodes(data)
            for layer, found in elements.items():
                found += svg_elements(data, layer)
            layer = None
            for code, value in program.dxf_entities(self.read('cut', 'outline.dxf')):
                layer = value if code == '8' else None if code == '0' else layer
                written[layer] += len(code) + len(value)
        for layer, found in elements.items():
            self.assertLess(len(found), 4.5 * nodes, layer)
            self.assertLess(sum(length < .3 for length, _ in found), .25 * len(found), layer)
            self.assertLess(sum(.3 < turn < 15 for _, turn in found), .006 * len(found), layer)
            self.assertLess(written[layer], 1.1 * written['outline'], layer)


if __name__ == '__main__':
    program.main()
