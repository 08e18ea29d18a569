"""The marked drawing's layout, read back from the file: nothing overlaps, leaders do not cross.

Letters are measured with the advance widths of DejaVu Sans Bold, the widest of the usual fonts, not
with the program's own table.
"""
import re
import subprocess
import sys
import xml.etree.ElementTree as xml

WRITER = sys.argv[1]
# em; figures have 0.696, the other letters of the labels less than 0.72
WIDTHS = {"l": 0.343, "t": 0.478, ".": 0.38, "+": 0.838, " ": 0.348}
SVG = "{http://www.w3.org/2000/svg}"
CASES = [(120, 80, 3.175, n) for n in (0, 1, 2, 12, 40, 300)] + [
    (15, 15, 1, 12), (15, 15, 1, 300), (900, 600, 6.35, 60), (60, 400, 3, 30), (500, 40, 2, 50),
    (1000, 3, 1, 20), (40.1, 40.1, 1, 60)]


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
    """The corners of the art's own outline, from its path data."""
    path = [p for p in art.iter(SVG + "path") if p.get("fill") == "none"][-1].get("d")
    values = [float(v) for v in re.findall(r"-?[\d.]+", re.sub(r"A[^A-Z]*", "", path))]
    return min(values[::2]), min(values[1::2]), max(values[::2]), max(values[1::2])


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


def check(case):
    data = subprocess.run([WRITER, "marked", *map(str, case)], stdout=subprocess.PIPE, check=True)
    root = xml.fromstring(data.stdout)
    sheet = [float(v) for v in root.get("viewBox").split()]
    assert root.get("width") == "%gmm" % sheet[2] or abs(
        float(root.get("width")[:-2]) - sheet[2]) < 1e-9
    groups = {g.get("id"): g for g in root.iter(SVG + "g") if g.get("id")}
    art = art_box(groups["art"])
    scale = (art[2] - art[0]) / case[0]
    assert abs(scale - round(scale)) < 1e-4 and (round(scale) == 1 or case[0] <= 40), scale
    balloons = [groups["balloon-%d" % (i + 1)] for i in range(min(case[3], 60))]
    assert "balloon-%d" % (len(balloons) + 1) not in groups
    parts = []
    for balloon in balloons:
        children = list(balloon)
        parts.append([shape_box(children[0])] +
                     [text_box(t) for t in children[2:] if t.text])
    for i, boxes in enumerate(parts):
        others = [b for other in parts[:i] for b in other] + [art]
        for box in boxes:
            assert 0 <= box[0] and box[2] <= sheet[2] and 0 <= box[1] and box[3] <= sheet[3]
            assert not any(overlap(box, other) for other in others), (case, i + 1)
        assert not any(overlap(boxes[0], label) for label in boxes[1:]), (case, i + 1)
    widths = [box[0][2] - box[0][0] for box in parts]
    assert len(widths) < 2 or widths[0] > 1.5 * max(widths[1:])
    for text in root.iter(SVG + "text"):
        assert number(text, "font-size") >= 2.4, "lettering too small on paper"
        box = text_box(text)
        assert box[0] >= 0 and box[1] >= 0 and box[3] <= sheet[3], text.text
    words = " ".join(t.text or "" for t in root.iter(SVG + "text"))
    assert ("and %d more in spots.csv" % (case[3] - 60) in words) == (case[3] > 60)
    leaders = [groups["leader-%d" % (i + 1)].findall(SVG + "line")[-1] for i in range(len(parts))]
    ends = [((number(l, "x1"), number(l, "y1")), (number(l, "x2"), number(l, "y2")))
            for l in leaders]
    for i, line in enumerate(ends):
        boxes = [box for k, other in enumerate(parts) if k != i for box in other]
        assert not any(passes(line, box) for box in boxes), (case, i + 1)
    return crossings(ends)


for each in CASES:
    crossed = check(each)
    assert crossed == 0, (each, crossed)
