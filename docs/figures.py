#!/usr/bin/python3
"""Draws the figures of method.md: python3 docs/figures.py [FOLDER], by default docs/figures.

The geometry is computed, not sketched; only Python's standard library is used."""
import itertools
import math
import os
import sys

HERE = os.path.dirname(os.path.abspath(__file__))

# Okabe and Ito's palette for colour-blind readers (2008)
REACHED, LEFT, PATH, NOTE, ART = '#9fd3f0', '#d55e00', '#0072b2', '#444444', '#dddddd'


class Figure:
    """An SVG of width x height millimetres, y down."""

    def __init__(self, width, height, title):
        self.width, self.height, self.title, self.parts = width, height, title, []

    def shape(self, data, fill='none', line='none', thick=0.35, dash=None, opacity=None):
        extra = f' stroke-dasharray="{dash}"' if dash else ''
        extra += f' fill-opacity="{opacity}"' if opacity else ''
        self.parts.append(f'<path d="{data}" fill="{fill}" stroke="{line}" stroke-width="{thick}" '
                          f'stroke-linejoin="round" stroke-linecap="round"{extra}/>')

    def line(self, points, colour=NOTE, thick=0.35, dash=None):
        self.shape('M' + ' L'.join(f'{x:.4g},{y:.4g}' for x, y in points), 'none', colour, thick, dash)

    def circle(self, x, y, r, fill='none', line=NOTE, thick=0.35, dash=None, opacity=None):
        self.shape(round_path(x, y, r), fill, line, thick, dash, opacity)

    def dot(self, x, y, colour=NOTE, r=0.7):
        self.circle(x, y, r, colour, 'none')

    def text(self, x, y, words, anchor='middle', colour=NOTE):
        self.parts.append(f'<text x="{x:.4g}" y="{y:.4g}" text-anchor="{anchor}" fill="{colour}">'
                          f'{words}</text>')

    def arrow(self, start, end, colour=NOTE):
        angle = math.atan2(end[1] - start[1], end[0] - start[0])
        self.line([start, end], colour, 0.3)
        tips = [(end[0] - 1.8 * math.cos(angle + a), end[1] - 1.8 * math.sin(angle + a))
                for a in (-0.28, 0.28)]
        self.shape(f'M{end[0]:.4g},{end[1]:.4g} L{tips[0][0]:.4g},{tips[0][1]:.4g} '
                   f'L{tips[1][0]:.4g},{tips[1][1]:.4g}z', colour)

    def dimension(self, a, b, words, aside=(0, 0), colour=NOTE):
        """Arrows either way between a and b, with words beside their middle."""
        middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        self.arrow(middle, a, colour)
        self.arrow(middle, b, colour)
        self.text(middle[0] + aside[0], middle[1] + aside[1], words, colour=colour)

    def write(self, path):
        with open(path, 'w', encoding='utf-8') as file:
            file.write(f'<svg xmlns="http://www.w3.org/2000/svg" width="{self.width}mm" '
                       f'height="{self.height}mm" viewBox="0 0 {self.width} {self.height}" '
                       f'font-family="sans-serif" font-size="3.4">\n<title>{self.title}</title>\n'
                       f'<rect width="100%" height="100%" fill="#ffffff"/>\n'
                       + '\n'.join(self.parts) + '\n</svg>\n')


def round_path(x, y, r):
    return (f'M{x - r:.4g},{y:.4g} a{r:.4g},{r:.4g} 0 1 0 {2 * r:.4g},0 '
            f'a{r:.4g},{r:.4g} 0 1 0 {-2 * r:.4g},0z')


def box(x0, y0, x1, y1, r=0.0):
    if r <= 0:
        return f'M{x0},{y0} H{x1} V{y1} H{x0}z'
    return (f'M{x0 + r},{y0} H{x1 - r} a{r},{r} 0 0 1 {r},{r} V{y1 - r} a{r},{r} 0 0 1 {-r},{r} '
            f'H{x0 + r} a{r},{r} 0 0 1 {-r},{-r} V{y0 + r} a{r},{r} 0 0 1 {r},{-r}z')


def opening():
    """Rooms and corridors: where the centre can be, what the bit cuts, what it leaves."""
    figure = Figure(160, 74, 'What a bit reaches, and what it leaves')
    r = 6
    rooms = [(10, 10, 54, 54), (84, 10, 122, 54)]
    art = ('M10,10 H54 V28 H84 V10 H122 V54 H84 V36 H54 V54 H36 V66 H29 V54 H10z ' + box(138, 26, 147, 35))
    figure.shape(art, LEFT)
    for x0, y0, x1, y1 in rooms:
        figure.shape(box(x0, y0, x1, y1, r), REACHED)
    figure.shape(art, 'none', '#000000', 0.4)
    for x0, y0, x1, y1 in rooms:
        figure.shape(box(x0 + r, y0 + r, x1 - r, y1 - r), 'none', PATH, 0.5, '1.6 1.2')
    figure.circle(16, 32, r, '#ffffff', PATH, 0.4, opacity=0.5)
    figure.dot(16, 32, PATH)
    figure.text(32, 33, 'reached')
    figure.text(103, 33, 'reached')
    figure.text(69, 26, 'a pinch')
    figure.text(40, 62.5, 'a stub', 'start')
    figure.text(142.5, 40, 'a miss')
    figure.text(127, 9, 'a corner', 'start')
    figure.line([(126.5, 8.5), (122, 10.4)])
    figure.text(103, 47, 'bit path', colour=PATH)
    figure.line([(16, 36), (16, 62)], NOTE, 0.25)
    figure.text(16, 66.5, 'the bit')
    return figure


def ring():
    """One pinch close by: walls, feet, contact arcs, width."""
    figure = Figure(150, 66, 'A pinch: two walls and two contact arcs')
    r, half, x0, x1, y = 17, 9, 52, 98, 33
    reach = math.sqrt(r * r - half * half)
    left, right = x0 - reach, x1 + reach
    art = (f'M14,6 H{x0} V{y - half} H{x1} V6 H136 V60 H{x1} V{y + half} H{x0} V60 H14z')
    figure.shape(art, REACHED)
    arc_l = f'A{r},{r} 0 0 1 {x0},{y + half}'
    residue = (f'M{x0},{y - half} {arc_l} H{x1} A{r},{r} 0 0 1 {x1},{y - half} z')
    figure.shape(residue, LEFT)
    figure.line([(14, 6), (x0, 6), (x0, y - half)], '#000000', 0.35)
    figure.line([(14, 60), (x0, 60), (x0, y + half)], '#000000', 0.35)
    figure.line([(136, 6), (x1, 6), (x1, y - half)], '#000000', 0.35)
    figure.line([(136, 60), (x1, 60), (x1, y + half)], '#000000', 0.35)
    for side in (-1, 1):
        figure.line([(x0, y + side * half), (x1, y + side * half)], '#000000', 1.1)
    for centre, edge in ((left, x0), (right, x1)):
        figure.circle(centre, y, r, 'none', PATH, 0.35, '1.4 1')
        figure.dot(centre, y, PATH)
        for side in (-1, 1):
            figure.line([(centre, y), (edge, y + side * half)], PATH, 0.25)
            figure.dot(edge, y + side * half, '#000000', 0.9)
    figure.text(75, y - half - 2.2, 'wall')
    figure.text(75, y + half + 4.6, 'wall')
    figure.dimension((75, y - half), (75, y + half), 'width', (7, 1), '#ffffff')
    figure.text(left - 1.5, y + 1, 'bit', 'end', PATH)
    figure.text(right + 1.5, y + 1, 'bit', 'start', PATH)
    figure.text(60, 12.5, 'foot', 'start')
    figure.line([(61.5, 13.7), (x0 + 0.6, y - half - 0.8)], NOTE, 0.25)
    figure.text(63, 54.5, 'contact arc', 'start')
    figure.line([(63, 52.5), (left + r - 0.2, y + 2)], NOTE, 0.25)
    return figure


def rolling():
    """The centres along one side, and what another side blocks of them."""
    figure = Figure(150, 70, 'Rolling the bit along one side')
    r, floor = 15, 58
    near, far = (80, 34), (104, 22)
    figure.shape(capsule(near, far, r), '#f3dccb')
    figure.line([(10, floor), (140, floor)], '#000000', 1.0)
    figure.line([near, far], '#000000', 1.0)
    line = floor - r
    blocked = blocked_on_line(near, far, r, line)
    figure.line([(10, line), (blocked[0], line)], PATH, 0.9)
    figure.line([(blocked[1], line), (140, line)], PATH, 0.9)
    figure.line([(blocked[0], line), (blocked[1], line)], LEFT, 0.9, '2 1.6')
    figure.circle(blocked[0], line, r, 'none', PATH, 0.35, '1.4 1')
    figure.dot(blocked[0], line, PATH, 0.9)
    figure.dot(blocked[0], floor, '#000000', 0.9)
    figure.line([(blocked[0], line), (blocked[0], floor)], PATH, 0.25)
    foot = nearest((blocked[0], line), near, far)
    figure.dot(foot[0], foot[1], '#000000', 0.9)
    figure.line([(blocked[0], line), foot], PATH, 0.25)
    figure.text(12, line - 2, 'free: a centre may be here', 'start', PATH)
    figure.text((blocked[0] + blocked[1]) / 2 + 2, line + 6, 'blocked', 'middle', LEFT)
    figure.text(24, floor + 5, 'a side of the outline', 'start')
    figure.text(96, 23, 'another side', 'end')
    figure.text(110, 37, 'centres too near to it', 'start')
    return figure


def capsule(a, b, r):
    """Everything nearer than r to the segment a b."""
    angle = math.atan2(b[1] - a[1], b[0] - a[0])
    nx, ny = -math.sin(angle) * r, math.cos(angle) * r
    return (f'M{a[0] + nx:.4f},{a[1] + ny:.4f} A{r},{r} 0 0 1 {a[0] - nx:.4f},{a[1] - ny:.4f} '
            f'L{b[0] - nx:.4f},{b[1] - ny:.4f} A{r},{r} 0 0 1 {b[0] + nx:.4f},{b[1] + ny:.4f}z')


def nearest(p, a, b):
    t = ((p[0] - a[0]) * (b[0] - a[0]) + (p[1] - a[1]) * (b[1] - a[1])) / math.dist(a, b) ** 2
    t = min(1.0, max(0.0, t))
    return (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]))


def blocked_on_line(a, b, r, y):
    """The stretch of the level line at y that is nearer than r to the segment, by bisection."""
    inside = min((x / 10 for x in range(0, 1500)), key=lambda x: math.dist(nearest((x, y), a, b), (x, y)))
    ends = []
    for outside in (0.0, 150.0):
        low, high = inside, outside
        for _ in range(60):
            middle = (low + high) / 2
            if math.dist(nearest((middle, y), a, b), (middle, y)) < r:
                low = middle
            else:
                high = middle
        ends.append(low)
    return ends


def lift():
    """Two points that nearly meet: the bit cannot pass, and yet nothing is left."""
    figure = Figure(150, 62, 'A lift: the discs of both sides overlap')
    r, half, x, y = 20, 15, 75, 31
    reach = math.sqrt(r * r - half * half)
    figure.shape(f'M8,4 H{x - 5.5} L{x},{y - half} L{x + 5.5},4 H142 V58 H{x + 5.5} L{x},{y + half} L{x - 5.5},58 H8z',
                 REACHED, '#000000', 0.4)
    for centre in (x - reach, x + reach):
        figure.circle(centre, y, r, 'none', PATH, 0.4, '1.4 1')
        figure.dot(centre, y, PATH)
    figure.dimension((x, y - half), (x, y + half), 'width', (6, 1.1))
    figure.text(24, 32, 'reached', 'middle')
    figure.text(126, 32, 'reached', 'middle')
    return figure


def disc():
    """The largest disc at a point of the outline."""
    figure = Figure(150, 62, 'The largest disc that touches at p')
    p, q = (60, 54), (86, 30)
    dx, dy = q[0] - p[0], q[1] - p[1]
    rho = (dx * dx + dy * dy) / (2 * -dy)
    figure.line([(10, 54), (140, 54)], '#000000', 1.0)
    figure.line([(118, 14), q, (122, 44)], '#000000', 1.0)
    figure.circle(p[0], p[1] - rho, rho, REACHED, PATH, 0.4, opacity=0.4)
    centre = (p[0], p[1] - rho)
    figure.dot(*centre, PATH)
    figure.line([p, centre], PATH, 0.3)
    figure.line([q, centre], PATH, 0.3)
    figure.line([p, q], NOTE, 0.3, '1.4 1')
    figure.dot(*p, '#000000', 0.9)
    figure.dot(*q, '#000000', 0.9)
    figure.arrow(p, (60, 42))
    figure.text(57.5, 44, 'n', 'end')
    figure.text(60, 59, 'p')
    figure.text(84, 29, 'q', 'end')
    return figure


def widening():
    """A bent passage between two arcs, thinner than the bit, and the sweep along its middle line."""
    figure = Figure(150, 70, 'Widening: the bit swept along the middle line')
    r, x, y, radius, thin = 8, 75, 96, 62, 3.5
    turn = math.radians(32)

    def at(distance, angle):
        return x + distance * math.sin(angle), y - distance * math.cos(angle)

    def band(half):
        (ax, ay), (bx, by) = at(radius + half, -turn), at(radius + half, turn)
        (cx, cy), (dx, dy) = at(radius - half, turn), at(radius - half, -turn)
        outer, inner = radius + half, radius - half
        return (f'M{ax:.4f},{ay:.4f} A{outer},{outer} 0 0 1 {bx:.4f},{by:.4f} L{cx:.4f},{cy:.4f} '
                f'A{inner},{inner} 0 0 0 {dx:.4f},{dy:.4f}z')

    ends = [at(radius, -turn), at(radius, turn)]
    for end in ends:
        figure.circle(*end, 15, REACHED, 'none')
    figure.shape(band(r), '#009e73')
    figure.shape(band(thin), REACHED)
    for end in ends:
        figure.circle(*end, 15, REACHED, 'none')
    (ax, ay), (bx, by) = ends
    figure.shape(f'M{ax:.4f},{ay:.4f} A{radius},{radius} 0 0 1 {bx:.4f},{by:.4f}', 'none', PATH, 0.5,
                 '1.6 1.2')
    middle = at(radius, 0)
    figure.circle(*middle, r, 'none', PATH, 0.4)
    figure.dot(*middle, PATH)
    figure.text(75, 20, 'added: what the bit covers', 'middle')
    figure.text(75, 52, 'middle line', 'middle', PATH)
    figure.line([(75, 49), at(radius - 0.6, 0.1)], NOTE, 0.25)
    figure.text(ends[0][0], ends[0][1] + 7, 'reached')
    figure.text(ends[1][0], ends[1][1] + 7, 'reached')
    return figure


def cut_into_triangles(points, holds):
    """The Delaunay triangles of the points whose middles the ink holds, by trying all of them."""
    found = []
    for a, b, c in itertools.combinations(points, 3):
        twice = 2 * ((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]))
        if abs(twice) < 1e-9 or not holds((a[0] + b[0] + c[0]) / 3, (a[1] + b[1] + c[1]) / 3):
            continue
        squares = [p[0] ** 2 + p[1] ** 2 for p in (a, b, c)]
        x = (squares[0] * (b[1] - c[1]) + squares[1] * (c[1] - a[1]) + squares[2] * (a[1] - b[1])) / twice
        y = (squares[0] * (c[0] - b[0]) + squares[1] * (a[0] - c[0]) + squares[2] * (b[0] - a[0])) / twice
        if all(math.dist((x, y), p) >= math.dist((x, y), a) - 1e-9 for p in points):
            found.append((a, b, c))
    return found


def middle():
    """Where three lines meet: triangles of the ink, their chords' middles, the lines carried on."""
    figure = Figure(150, 84, 'The middle of a line, where another one meets it')
    x0, y0, x1, y1, left, right, foot = 8, 12, 142, 32, 65.5, 85.5, 78
    # The points of the upper edge are shifted a little, so that no four lie on a circle.
    upper = [(x0 + 0.3 + 6.09 * i, y0) for i in range(1, 22)]
    lower = [(x0 + 5.75 * i, y1) for i in range(1, 10)] + [(right + 5.65 * i, y1) for i in range(1, 10)]
    stem = [(left, y1 + 5.1 * i) for i in range(1, 9)] + [(right, y1 + 5.3 * i) for i in range(1, 9)]
    ends = [(x, y) for x in (x0, x1) for y in (y0, y0 + 6.2, y0 + 13.1, y1)]
    ends += [(left, foot), (left + 6.1, foot), (left + 12.9, foot), (right, foot)]
    points = upper + lower + stem + ends + [(left, y1), (right, y1)]

    def holds(x, y):
        return (x0 < x < x1 and y0 < y < y1) or (left < x < right and y0 < y < foot)

    figure.shape(f'M{x0},{y0} H{x1} V{y1} H{right} V{foot} H{left} V{y1} H{x0}z', ART, '#000000', 0.5)
    edges = {}
    for triangle in cut_into_triangles(points, holds):
        for pair in itertools.combinations(sorted(triangle), 2):
            edges[pair] = edges.get(pair, 0) + 1
    for (a, b), sides in edges.items():
        if sides == 2:
            figure.line([a, b], '#888888', 0.2)
    y, x = (y0 + y1) / 2, (left + right) / 2
    figure.line([(x0 + 10, y), (x1 - 10, y)], PATH, 0.9)
    figure.line([(x, y), (x, foot - 10)], PATH, 0.9)
    for (a, b), sides in edges.items():
        if sides == 2:
            figure.dot((a[0] + b[0]) / 2, (a[1] + b[1]) / 2, LEFT, 0.6)
    for at in (x0 + 10, y), (x1 - 10, y), (x, foot - 10), (x, y):
        figure.dot(*at, PATH, 1.3)
    figure.text(97, 70, 'an end, half a width', 'start', PATH)
    figure.text(97, 74.5, 'before that of the ink', 'start', PATH)
    figure.line([(96.5, 69.5), (x + 1.6, foot - 9.8)], NOTE, 0.25)
    figure.text(30, 52, 'where the lines meet,', 'middle', PATH)
    figure.text(30, 56.5, 'carried on straight', 'middle', PATH)
    figure.line([(48, 50), (x - 1.4, y + 1)], NOTE, 0.25)
    figure.text(97, 50, 'a chord and its middle', 'start', LEFT)
    figure.line([(96.5, 49.3), (x + 1, 47.6)], NOTE, 0.25)
    return figure


FIGURES = {'middle': middle, 'widening': widening, 'opening': opening, 'pinch': ring, 'rolling': rolling,
           'lift': lift, 'disc': disc}


def main():
    folder = sys.argv[1] if len(sys.argv) > 1 else os.path.join(HERE, 'figures')
    os.makedirs(folder, exist_ok=True)
    for name, draw in FIGURES.items():
        draw().write(os.path.join(folder, name + '.svg'))


main()
