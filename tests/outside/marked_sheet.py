"""Reads the layout of a marked drawing back from the file: labels, balloons, leaders, dimensions.

Letters are measured with the advance widths of DejaVu Sans Bold, the widest of the usual fonts, not
with the program's own table.
"""
import re
import xml.etree.ElementTree as xml

# em; figures have 0.696, the other letters of the labels less than 0.72
WIDTHS = {"l": 0.343, "t": 0.478, ".": 0.38, "+": 0.838, " ": 0.348}
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


def art_box(art):
    """The corners of the art's own outlines, from the ends of their lines, curves and arcs."""
    points = []
    for path in art.iter(SVG + "path"):
        if path.get("fill") == "none" and path.get("stroke") == "#000000":
            for numbers in re.findall(r"[MLCA]([^MLCAZ]+)", path.get("d")):
                points.append([float(v) for v in numbers.split()[-2:]])
    return (min(p[0] for p in points), min(p[1] for p in points),
            max(p[0] for p in points), max(p[1] for p in points))


def crossings(lines):
    def turn(a, b, c):
        return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])

    return sum(turn(*s, t[0]) * turn(*s, t[1]) < 0 and turn(*t, s[0]) * turn(*t, s[1]) < 0
               for i, s in enumerate(lines) for t in lines[:i])


def passes(line, box, steps=400):
    """Whether a line runs through a box, by places along it."""
    (ax, ay), (bx, by) = line
    return any(box[0] < ax + (bx - ax) * i / steps < box[2] and
               box[1] < ay + (by - ay) * i / steps < box[3] for i in range(steps + 1))


class Sheet:
    """A marked drawing: its groups by name, and of each balloon the boxes of its parts: the balloon
    itself, then the label's lines."""

    def __init__(self, data):
        self.root = xml.fromstring(data)
        self.size = [float(v) for v in self.root.get("viewBox").split()][2:]
        self.groups = {g.get("id"): g for g in self.root.iter(SVG + "g") if g.get("id")}
        self.art = art_box(self.groups["art"])
        self.parts, self.leaders = [], []
        while "balloon-%d" % (len(self.parts) + 1) in self.groups:
            number_ = len(self.parts) + 1
            children = list(self.groups["balloon-%d" % number_])
            self.parts.append([shape_box(children[0])] +
                              [text_box(t) for t in children[2:] if t.text])
            self.leaders.append(self.line(self.groups["leader-%d" % number_].findall(SVG + "line")[-1]))
        self.dimensions = {name: self.line(self.dimension_line(g))
                           for name, g in self.groups.items() if name.startswith("dimension-")}

    @staticmethod
    def line(l):
        return (number(l, "x1"), number(l, "y1")), (number(l, "x2"), number(l, "y2"))

    @staticmethod
    def dimension_line(group):
        """The last line; white ones lie under it."""
        return group.findall(SVG + "line")[-1]

    def check(self, about):
        """No part of a balloon lies on one of another, on the art or off the sheet, no leader runs
        through another's balloon, no dimension crosses another. Returns how many leaders cross."""
        for i, boxes in enumerate(self.parts):
            others = [b for other in self.parts[:i] for b in other] + [self.art]
            for box in boxes:
                assert 0 <= box[0] and box[2] <= self.size[0], (about, i + 1)
                assert 0 <= box[1] and box[3] <= self.size[1], (about, i + 1)
                assert not any(overlap(box, other) for other in others), (about, i + 1)
            assert not any(overlap(boxes[0], label) for label in boxes[1:]), (about, i + 1)
        for i, line in enumerate(self.leaders):
            boxes = [box for k, other in enumerate(self.parts) if k != i for box in other]
            assert not any(passes(line, box) for box in boxes), (about, i + 1)
        assert crossings(list(self.dimensions.values())) == 0, about
        widths = [box[0][2] - box[0][0] for box in self.parts]
        assert len(widths) < 2 or widths[0] > 1.5 * max(widths[1:]), "the worst stands out"
        for text in self.root.iter(SVG + "text"):
            assert number(text, "font-size") >= 2.4, "lettering too small on paper"
            box = text_box(text)
            assert box[0] >= 0 and box[1] >= 0 and box[3] <= self.size[1], text.text
        return crossings(self.leaders)
