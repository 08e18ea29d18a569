"""Reads the layout of a marked drawing back from the file: labels, balloons, leaders, dimensions.

Letters are measured with the advance widths of DejaVu Sans Bold, the widest of the usual fonts, not
with the program's own table.
"""
import cmath
import re
import xml.etree.ElementTree as xml

# em; figures have 0.696, the other letters of the labels less than 0.72
WIDTHS = {"l": 0.343, "t": 0.478, ".": 0.38, "+": 0.838, " ": 0.348}
TAB = "#009e73"
JOINT = 0.03  # mm: so near to a leader one ends that joins it
END_MM = 0.9  # about a cell of the ground, hidden by the mark at a leader's end
SVG = "{http://www.w3.org/2000/svg}"


def number(element, name):
    return float(element.get(name))


def text_box(text):
    size, x, y = number(text, "font-size"), number(text, "x"), number(text, "y")
    width = size * sum(WIDTHS.get(c, 0.72) for c in text.text or "")
    left = x - {"middle": width / 2, "end": width}.get(text.get("text-anchor"), 0)
    return left, y - 0.76 * size, left + width, y


def shape_box(shape):
    if shape.tag == SVG + "circle":
        x, y, r = number(shape, "cx"), number(shape, "cy"), number(shape, "r")
        return x - r, y - r, x + r, y + r
    x, y = number(shape, "x"), number(shape, "y")
    return x, y, x + number(shape, "width"), y + number(shape, "height")


def overlap(a, b):
    return min(a[2], b[2]) - max(a[0], b[0]) > 0.02 and min(a[3], b[3]) - max(a[1], b[1]) > 0.02


def arc(start, radius, left, sweep, end):
    """An SVG arc of a circle in eight chords."""
    half = abs(end - start) / 2
    off = max(0, radius**2 - half**2)**0.5 * (1 if left else -1)
    centre = (start + end) / 2 + 1j * (end - start) / (2 * half) * off
    turn = cmath.phase((end - centre) / (start - centre)) % (2 * cmath.pi)
    turn = turn if sweep else turn - 2 * cmath.pi
    points = [centre + (start - centre) * cmath.exp(1j * turn * i / 8) for i in range(1, 9)]
    return [[p.real, p.imag] for p in points]


def outlines(art):
    """The art's own outlines as polygons, curves and arcs in eight chords."""
    rings = []
    for path in art.iter(SVG + "path"):
        if path.get("fill") != "none" or path.get("stroke") != "#000000":
            continue
        for letter, numbers in re.findall(r"([MLCA])([^MLCAZ]+)", path.get("d")):
            v = [float(n) for n in numbers.split()]
            if letter == "M":
                rings.append([])
            if letter == "C":
                a, b, c, d = rings[-1][-1], v[:2], v[2:4], v[4:]
                for t in (i / 8 for i in range(1, 9)):
                    s = 1 - t
                    rings[-1].append([s**3 * a[k] + 3 * s * s * t * b[k] + 3 * s * t * t * c[k] +
                                      t**3 * d[k] for k in (0, 1)])
            elif letter == "A":
                rings[-1] += arc(complex(*rings[-1][-1]), v[0], v[3] != v[4], v[4], complex(*v[5:]))
            else:
                rings[-1].append(v[-2:])
    return rings


def art_box(rings):
    points = [p for ring in rings for p in ring]
    return (min(p[0] for p in points), min(p[1] for p in points),
            max(p[0] for p in points), max(p[1] for p in points))


def is_inside(rings, x, y):
    inside = False
    for ring in rings:
        for (ax, ay), (bx, by) in zip(ring, ring[1:] + ring[:1]):
            if (ay > y) != (by > y) and x < ax + (bx - ax) * (y - ay) / (by - ay):
                inside = not inside
    return inside


def on_outline(rings, box):
    """Whether a box covers any of an outline, by what is left of each of its lines in the box's strips."""
    for ring in rings:
        for (ax, ay), (bx, by) in zip(ring, ring[1:] + ring[:1]):
            first, last = 0, 1
            for a, b, low, high in ((ax, bx, box[0], box[2]), (ay, by, box[1], box[3])):
                if a == b:
                    first = first if low < a < high else 2
                else:
                    ends = sorted(((low - a) / (b - a), (high - a) / (b - a)))
                    first, last = max(first, ends[0]), min(last, ends[1])
            if first < last:
                return True
    return False


def pieces(way):
    return list(zip(way, way[1:]))


def cross(s, t):
    def turn(a, b, c):
        return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])

    return turn(*s, t[0]) * turn(*s, t[1]) < 0 and turn(*t, s[0]) * turn(*t, s[1]) < 0


def crossings(ways):
    """How many pairs of lines, or of ways of several, cross."""
    return sum(any(cross(s, t) for s in pieces(a) for t in pieces(b))
               for i, a in enumerate(ways) for b in ways[:i])


def passes(line, box, steps=400):
    """Whether a line runs through a box, by places along it."""
    (ax, ay), (bx, by) = line
    return any(box[0] < ax + (bx - ax) * i / steps < box[2] and
               box[1] < ay + (by - ay) * i / steps < box[3] for i in range(steps + 1))


def within(box, p):
    return box[0] < p[0] < box[2] and box[1] < p[1] < box[3]


def off_line(p, line):
    a, b, p = (complex(*each) for each in (*line, p))
    t = ((p - a) * (b - a).conjugate()).real / abs(b - a)**2 if a != b else 0
    return abs(p - a - min(max(t, 0), 1) * (b - a))


def before(a, b):
    """A little before b, on the line from a."""
    length = max(2 * JOINT, ((b[0] - a[0])**2 + (b[1] - a[1])**2)**0.5)
    return tuple(v + (u - v) * 2 * JOINT / length for u, v in zip(a, b))


def far_from(end, at):
    return (at[0] - end[0])**2 + (at[1] - end[1])**2 > END_MM**2


class Sheet:
    """A marked drawing: its groups by name, and of each balloon the boxes of its parts: the balloon
    itself, then the label's lines."""

    def __init__(self, data):
        self.root = xml.fromstring(data)
        self.size = [float(v) for v in self.root.get("viewBox").split()][2:]
        self.groups = {g.get("id"): g for g in self.root.iter(SVG + "g") if g.get("id")}
        self.outlines = outlines(self.groups["art"])
        self.art = art_box(self.outlines)
        self.parts, self.leaders, self.dots = [], [], {}
        for name, group in self.groups.items():
            if name.startswith("leader-"):
                lines = group.findall(SVG + "line")
                lines = [self.line(l) for l in lines[len(lines) // 2:]]  # white ones lie under them
                self.leaders.insert(0, [lines[0][0]] + [l[1] for l in lines])
                for dot in group.findall(SVG + "circle"):
                    self.dots[int(name[7:])] = number(dot, "cx"), number(dot, "cy")
            if name.startswith("balloon-"):
                children = list(group)
                self.parts.insert(0, [shape_box(children[0])] +
                                  [text_box(t) for t in children[2:] if t.text])
        assert len(self.parts) == len(self.leaders)
        self.hosts = [self.host(k) for k in range(len(self.leaders))]
        assert None not in self.hosts
        self.tabs = [self.line(l) for l in self.groups["art"].iter(SVG + "line")
                     if l.get("stroke") == TAB]
        self.dimensions = {name: self.line(self.dimension_line(g))
                           for name, g in self.groups.items() if name.startswith("dimension-")}

    def host(self, k, behind=()):
        """Whose leader leads on to the sheet from where this one ends, behind others, its own number if it does itself;
        None: none does but one of those."""
        end = self.leaders[k][-1]
        if within(self.parts[k][0], end):
            return k
        behind = {k, *behind}
        hosts = (self.host(i, behind) for i, way in enumerate(self.leaders)
                 if i not in behind and any(off_line(end, line) < JOINT for line in pieces(way)))
        return next((host for host in hosts if host is not None), None)

    @staticmethod
    def line(l):
        return (number(l, "x1"), number(l, "y1")), (number(l, "x2"), number(l, "y2"))

    @staticmethod
    def dimension_line(group):
        """The last line; white ones lie under it."""
        return group.findall(SVG + "line")[-1]

    def entries(self):
        """How often leaders come to the art from what no outline encloses: there is a way round. Not beneath the
        mark at a leader's end, half a millimetre beside which tips of the art may be thinner than the ground tells."""
        count = 0
        for way in self.leaders:
            free = False
            for (ax, ay), (bx, by) in pieces(way):
                steps = int(((bx - ax)**2 + (by - ay)**2)**0.5 / 0.4) + 1
                for k in range(steps):
                    t = (k + 0.5) / steps
                    at = ax + (bx - ax) * t, ay + (by - ay) * t
                    count += free and is_inside(self.outlines, *at)
                    free = far_from(way[0], at) and not any(is_inside([ring], *at) for ring in self.outlines)
        return count

    def check(self, about):
        """No part of a balloon lies on one of another, on an outline, on a tab or off the sheet, no leader runs
        through another's balloon, no dimension crosses another. Returns how many leaders cross."""
        for i, boxes in enumerate(self.parts):
            others = [b for other in self.parts[:i] for b in other]
            for box in boxes:
                assert 0 <= box[0] and box[2] <= self.size[0], (about, i + 1)
                assert 0 <= box[1] and box[3] <= self.size[1], (about, i + 1)
                assert not any(overlap(box, other) for other in others), (about, i + 1)
                assert not on_outline(self.outlines, box), (about, i + 1)
                assert not any(passes(tab, box) for tab in self.tabs), (about, i + 1)
            assert not any(overlap(boxes[0], label) for label in boxes[1:]), (about, i + 1)
        for i, way in enumerate(self.leaders):
            boxes = [box for k, other in enumerate(self.parts) if k != i for box in other]
            assert not any(passes(line, box) for line in pieces(way) for box in boxes), (about, i + 1)
        assert crossings(list(self.dimensions.values())) == 0, about
        widths = [box[0][2] - box[0][0] for box in self.parts]
        assert len(widths) < 2 or widths[0] > 1.5 * max(widths[1:]), "the worst stands out"
        for text in self.root.iter(SVG + "text"):
            assert number(text, "font-size") >= 2.4, "lettering too small on paper"
            box = text_box(text)
            assert box[0] >= 0 and box[1] >= 0 and box[3] <= self.size[1], text.text
        ways = [way if self.hosts[i] == i else way[:-1] + [before(*way[-2:])]
                for i, way in enumerate(self.leaders)]
        assert crossings(ways) == 0, about
