"""Numbers in, polygons out: Bezier curves through points, strokes that taper, discs and boxes.

A drawing is written as a list of points. A closed curve runs smoothly through them, except where a
point is a corner (marked '!'). The curve between two points is a cubic Bezier whose handles follow
the neighbours (as Catmull and Rom 1974, with chord lengths as weights and handles a third of the
chord long, so that close points do not make loops).
"""
import math

STEPS = 14  # chords a Bezier: the largest picture still shows none


def points_of(text):
    """'10,20 30,40!' -> [((10, 20), False), ((30, 40), True)]"""
    result = []
    for word in text.split():
        corner = word.endswith('!')
        x, y = word.rstrip('!').split(',')
        result.append(((float(x), float(y)), corner))
    return result


def bezier(p0, p1, p2, p3, steps=STEPS):
    """Points on the cubic, without the last."""
    result = []
    for i in range(steps):
        t = i / steps
        u = 1 - t
        a, b, c, d = u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t
        result.append((a * p0[0] + b * p1[0] + c * p2[0] + d * p3[0],
                       a * p0[1] + b * p1[1] + c * p2[1] + d * p3[1]))
    return result


def tangent(before, here, after):
    """The unit direction of travel at `here`."""
    d0, d1 = math.dist(before, here) or 1e-9, math.dist(here, after) or 1e-9
    way = tuple((here[k] - before[k]) / d0 * d1 + (after[k] - here[k]) / d1 * d0 for k in (0, 1))
    return chord((0.0, 0.0), way)


def chord(a, b):
    length = math.dist(a, b) or 1e-9
    return ((b[0] - a[0]) / length, (b[1] - a[1]) / length)


def spline(marked, closed, steps=STEPS):
    """A smooth run through marked points; at a corner it leaves towards its other handle."""
    points = [p for p, _ in marked]
    corner = [c for _, c in marked]
    n = len(points)
    if not closed:
        corner[0] = corner[-1] = True
    result = []
    for i in range(n if closed else n - 1):
        j = (i + 1) % n
        p, q = points[i], points[j]
        third = math.dist(p, q) / 3
        leave = chord(p, q) if corner[i] else tangent(points[i - 1], p, q)
        arrive = chord(p, q) if corner[j] else tangent(p, q, points[(j + 1) % n])
        if corner[i] and not corner[j]:
            leave = chord(p, (q[0] - arrive[0] * third, q[1] - arrive[1] * third))
        if corner[j] and not corner[i]:
            arrive = chord((p[0] + leave[0] * third, p[1] + leave[1] * third), q)
        result += bezier(p, (p[0] + leave[0] * third, p[1] + leave[1] * third),
                         (q[0] - arrive[0] * third, q[1] - arrive[1] * third), q, steps)
    if not closed:
        result.append(points[-1])
    return result


def blob(text):
    """A closed smooth shape through the points."""
    return oriented(spline(points_of(text), True))


def line(text):
    """An open smooth curve through the points, as points."""
    return spline(points_of(text), False)


def oriented(polygon):
    """The polygon, turned so that all shapes run the same way round."""
    area = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(polygon, polygon[1:] + polygon[:1]))
    return polygon if area >= 0 else polygon[::-1]


def stroke(points, widths, round_ends=True):
    """The outline of what a pen leaves that runs along points, its ends round or flat.

    widths: one number, or a list of numbers at equal distances along the way, joined smoothly."""
    way = [0.0]
    for a, b in zip(points, points[1:]):
        way.append(way[-1] + math.dist(a, b))
    left, right = [], []
    for i, p in enumerate(points):
        dx, dy = chord(points[max(i - 1, 0)], points[min(i + 1, len(points) - 1)])
        r = width_at(widths, way[i] / (way[-1] or 1)) / 2
        left.append((p[0] - dy * r, p[1] + dx * r))
        right.append((p[0] + dy * r, p[1] - dx * r))
    last, first = [], []
    if round_ends:
        last = cap(points[-1], chord(points[-2], points[-1]), width_at(widths, 1.0) / 2)
        first = cap(points[0], chord(points[1], points[0]), width_at(widths, 0.0) / 2)
    return [oriented(left + last + right[::-1] + first)]


def pen(text, width):
    """A pen of even width that runs through the points, its corners round."""
    shapes, run = [], []
    for point, corner in points_of(text):
        run.append((point, False))
        if corner and len(run) > 1:
            shapes += stroke(spline(run, False), width)
            run = [(point, False)]
    if len(run) > 1:
        shapes += stroke(spline(run, False), width)
    return shapes


def cap(centre, ahead, radius):
    """The half circle at a stroke's end, from its left to its right."""
    start = math.degrees(math.atan2(ahead[0], -ahead[1]))
    return arc(centre, radius, start, start - 180, 16)[1:-1]


def width_at(widths, t):
    """Smooth interpolation between the given widths (cosine, so that no knot shows)."""
    if isinstance(widths, (int, float)):
        return widths
    place = t * (len(widths) - 1)
    i = min(int(place), len(widths) - 2)
    share = (1 - math.cos(math.pi * (place - i))) / 2
    return widths[i] + (widths[i + 1] - widths[i]) * share


def disc(centre, radius, sides=96):
    return ellipse(centre, radius, radius, 0.0, sides)


def ellipse(centre, rx, ry, turn_deg=0.0, sides=96):
    c, s = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    result = []
    for i in range(sides):
        angle = 2 * math.pi * i / sides
        x, y = rx * math.cos(angle), ry * math.sin(angle)
        result.append((centre[0] + c * x - s * y, centre[1] + s * x + c * y))
    return oriented(result)


def box(x0, y0, x1, y1, radius=0.0):
    """A rectangle, its corners rounded by radius."""
    if radius <= 0:
        return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
    result = []
    for cx, cy, start in ((x1 - radius, y0 + radius, -90), (x1 - radius, y1 - radius, 0),
                          (x0 + radius, y1 - radius, 90), (x0 + radius, y0 + radius, 180)):
        result += arc((cx, cy), radius, start, start + 90)
    return oriented(result)


def arc(centre, radius, start_deg, end_deg, steps=24):
    return [(centre[0] + radius * math.cos(math.radians(start_deg + (end_deg - start_deg) * i / steps)),
             centre[1] + radius * math.sin(math.radians(start_deg + (end_deg - start_deg) * i / steps)))
            for i in range(steps + 1)]


def moved(shapes, scale=1.0, turn_deg=0.0, to=(0.0, 0.0), mirror=False):
    """Copies of the polygons, mirrored left to right, scaled, turned and moved, in that order."""
    c, s = math.cos(math.radians(turn_deg)) * scale, math.sin(math.radians(turn_deg)) * scale
    m = -1 if mirror else 1
    return [oriented([(to[0] + c * m * x - s * y, to[1] + s * m * x + c * y) for x, y in shape])
            for shape in shapes]
