"""Widening, measured from what it wrote: real drawings through 'narrows widen' as a user runs it, and
then the files alone: pinches left that were not refused, refused places that are narrower, nodes and
changes of turn against before, outlines with no spot within three bits that changed, how far outlines
moved against what is said (all but as many as are said to be dropped), and the processor's time. It is run by hand:

    python3 tests/outside/widened_files.py NARROWS OUT COUNT FOLDER...

takes every so many of the SVG and PNG files in the folders (Debian's openclipart-svg and -png, public
domain), 200 mm wide, with bits and cuts in turn, and counts those that have a pinch.
"""
import json
import math
import os
import re
import resource
import subprocess
import sys

BITS = 1.5875, 3.175, 6.35
CUTS = 'inside', 'inside', 'outside'
WIDE = '200mm'
TOKEN = re.compile(r'([MLCZ])|(-?\d*\.?\d+(?:e-?\d+)?)')
CHORDS = 12
CHORD_MM = 1.0
SPACING_MM = 0.25
TURN_LEAST = 0.02
FAR_BITS = 3
SLACK_MM = 0.02
CELL = 0.05
SAME_MM = 2e-3  # the files have four places


def outlines(path):
    """The file's outlines: lists of steps, each its points from where it starts."""
    found = []
    text = open(path, encoding='utf-8').read()
    for data in re.findall(r'<path[^>]* d="([^"]*)"', text):
        at, letter, numbers = None, '', []
        for name, number in TOKEN.findall(data):
            if name:
                letter, numbers = name, []
                if name == 'M':
                    found.append([])
                elif name == 'Z' and at != found[-1][0][0]:
                    found[-1].append((at, found[-1][0][0]))
                continue
            numbers.append(float(number))
            if len(numbers) < (6 if letter == 'C' else 2):
                continue
            points = list(zip(numbers[::2], numbers[1::2]))
            if letter != 'M':
                found[-1].append((at, *points))
            at, numbers, letter = points[-1], [], 'L' if letter == 'M' else letter
    high = float(re.search(r'viewBox="\S+ \S+ \S+ (\S+)"', text).group(1))
    return [[tuple((x, high - y) for x, y in step) for step in outline] for outline in found]


def at(step, t):
    points = step
    while len(points) > 1:
        points = [(a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]))
                  for a, b in zip(points, points[1:])]
    return points[0]


def chords(step):
    around = sum(map(math.dist, step, step[1:]))
    return max(CHORDS, math.ceil(around / CHORD_MM)) if len(step) > 2 else 1


def polygon(outline):
    return [at(step, k / n) for step in outline for n in [chords(step)] for k in range(n)]


def turn_changes(outline):
    points, signs = polygon(outline), []
    n = len(points)
    for k in range(n):
        a, b, c = points[k], points[(k + 1) % n], points[(k + 2) % n]
        u, v = (b[0] - a[0], b[1] - a[1]), (c[0] - b[0], c[1] - b[1])
        turn = math.atan2(u[0] * v[1] - u[1] * v[0], u[0] * v[0] + u[1] * v[1])
        if abs(turn) > TURN_LEAST:
            signs.append(turn > 0)
    return sum(one != other for one, other in zip(signs, signs[1:] + signs[:1]))


def segments(all_outlines, cell):
    grid = {}
    for outline in all_outlines:
        points = polygon(outline)
        for a, b in zip(points, points[1:] + points[:1]):
            parts = 1 + int(math.dist(a, b) / cell)
            for k in range(parts + 1):
                x, y = a[0] + (b[0] - a[0]) * k / parts, a[1] + (b[1] - a[1]) * k / parts
                grid.setdefault((int(x // cell), int(y // cell)), set()).add((a, b))
    return grid


def distance(p, a, b):
    dx, dy = b[0] - a[0], b[1] - a[1]
    square = dx * dx + dy * dy
    t = max(0, min(1, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / square)) if square else 0
    return math.hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy)


def dense(outline):
    points = polygon(outline)
    for a, b in zip(points, points[1:] + points[:1]):
        parts = max(1, math.ceil(math.dist(a, b) / SPACING_MM))
        for k in range(parts):
            yield a[0] + (b[0] - a[0]) * k / parts, a[1] + (b[1] - a[1]) * k / parts


def farthest(outline, grid, cell=2.0):
    """How far places of the outline, no more than SPACING_MM apart, are from what the grid holds."""
    most = 0.0
    for p in dense(outline):
        cx, cy = int(p[0] // cell), int(p[1] // cell)
        near = math.inf
        for ring in range(40):
            for i in range(cx - ring, cx + ring + 1):
                for j in range(cy - ring, cy + ring + 1):
                    if max(abs(i - cx), abs(j - cy)) == ring:
                        for a, b in grid.get((i, j), ()):
                            near = min(near, distance(p, a, b))
            if near <= max(most, ring * cell):
                break
        most = max(most, near)
    return most


def moves(before, after, dropped):
    """How far each outline is from where it was; of those before, not the farthest, which are said
    to be dropped."""
    was, is_ = segments(before, 2.0), segments(after, 2.0)
    old = sorted(farthest(outline, is_) for outline in before)
    return old[:len(old) - dropped] + [farthest(outline, was) for outline in after]


def moved(outline, off):
    return [tuple((x + off[0], y + off[1]) for x, y in step) for step in outline]


def box_distance(sides, p):
    return math.hypot(*(max(low - c, c - high, 0) for (low, high), c in zip(sides, p)))


def kept(step, known):
    """Is this a step of the new outlines too?"""
    i, j = (int(c // CELL) for c in step[0])
    return any(len(other) == len(step) and all(math.dist(p, q) < SAME_MM for p, q in zip(step, other))
               for u in (i - 1, i, i + 1) for v in (j - 1, j, j + 1)
               for other in known.get((u, v), ()))


def measure(out, bit):
    said = json.load(open(f'{out}/widened.json', encoding='utf-8'))
    if all(spot['form'] != 'pinch' for spot in said['before']):
        return None
    before, after = outlines(f'{out}/before.svg'), outlines(f'{out}/fixed.svg')
    off = said['shift']  # new outlines count from their own corner
    after = [moved(outline, off) for outline in after]
    spots = said['before']
    refused = [s for s in spots if s['outcome'] != 'widened']
    left = [s for s in said['after'] if s['form'] == 'pinch']
    pinches = [s for s in spots if s['form'] == 'pinch']

    def near(spot, others):
        p = spot['at'][0] + off[0], spot['at'][1] + off[1]
        return [s for s in others if s['side'] == spot['side'] and
                math.dist(p, s['at']) < bit + max(s['length'] or 0, 0) + max(spot['length'] or 0, 0)]
    unsaid = [s for s in left if not near(s, [r for r in refused if r['form'] == 'pinch'])]
    narrower = [s for s in left
                if s['width'] < min((r['width'] for r in near(s, pinches)), default=0) - 0.01]
    known = {}
    for step in (step for outline in after for step in outline):
        known.setdefault(tuple(int(c // CELL) for c in step[0]), []).append(step)
    far = changed = 0
    for outline in before:
        sides = [(min(side), max(side)) for side in zip(*(q for step in outline for q in step))]
        if all(box_distance(sides, s['at']) > FAR_BITS * bit + max(s['length'] or 0, 0)
               for s in spots):
            far += 1
            changed += not all(kept(step, known) for step in outline)
    move = max(moves(before, after, said['dropped']))
    steps = [sum(map(len, group)) for group in (before, after)]
    changes = [sum(map(turn_changes, group)) for group in (before, after)]
    swept = sum(s['swept'] for s in pinches)
    widened = sum(s['outcome'] == 'widened' for s in pinches)
    return {'pinches': len(pinches), 'left': len(left), 'unsaid': len(unsaid),
            'narrower': len(narrower), 'nodes': steps[1] / steps[0],
            'turns': (changes[1] + 1) / (changes[0] + 1), 'far': far, 'changed': changed,
            'dropped': said['dropped'], 'said': said['largest_move'], 'farther': move > said['largest_move'] + SLACK_MM,
            'move': move, 'moved': widened - swept, 'swept': swept,
            'refused': len(pinches) - widened, 'bits': said['largest_move'] / bit,
            'short': said.get('cut_short', False)}


def run(narrows, art, k, out):
    bit, cut = BITS[k % 3], CUTS[k // 3 % 3]
    size = [art, '--wide', WIDE, '--skip-unread']
    if os.path.exists(f'{out}/widened.json') and os.path.exists(f'{out}/before.svg'):
        row = measure(out, bit)
        return row and row | {'seconds': 0.0}
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    done = subprocess.run([narrows, 'widen', *size, '--cut', cut, '--bit', f'{bit}mm', '--threads',
                           '1', *(['--stubs', 'open'] if k // 9 % 2 else []), '--quiet', '-o', out],
                          capture_output=True, check=False, timeout=300)
    now = resource.getrusage(resource.RUSAGE_CHILDREN)
    seconds = now.ru_utime + now.ru_stime - used.ru_utime - used.ru_stime
    if done.returncode not in (0, 1):
        return None
    subprocess.run([narrows, 'outline', *size, '--quiet', '-o', f'{out}/before.svg'], check=False,
                   capture_output=True)
    row = measure(out, bit)
    return row and row | {'seconds': seconds}


def share(values, part):
    values = sorted(values)
    return values[round(part * (len(values) - 1))] if values else 0


def main(narrows, out, count, *folders):
    arts = sorted(os.path.join(place, name) for folder in folders
                  for place, _, names in os.walk(folder) for name in names
                  if name.lower().endswith(('.png', '.svg')))
    rows = []
    os.makedirs(out, exist_ok=True)
    for k, art in enumerate(arts[len(arts) // int(count) // 3::max(1, len(arts) // int(count))]):
        row = run(narrows, art, k, os.path.join(out, f'{k}-{os.path.basename(art)[:-4]}'))
        if row:
            rows.append(row)
            print(f'{row["seconds"]:6.2f} s', os.path.relpath(art, folders[0]),
                  {key: round(value, 2) for key, value in row.items()}, flush=True)
    total = {key: sum(row[key] for row in rows) for key in
             ('pinches', 'moved', 'swept', 'refused', 'left', 'unsaid', 'narrower', 'far', 'changed',
              'farther', 'dropped', 'short')}
    print(len(rows), 'drawings with pinches:', total)
    for key in 'nodes', 'turns', 'bits', 'seconds':
        values = [row[key] for row in rows]
        print(f'{key}: {share(values, 0.5):.2f} at the median, {share(values, 0.9):.2f} at nine of '
              f'ten, {max(values, default=0):.2f} at most')
    bad = total['unsaid'] or total['narrower'] or total['changed'] or total['farther']
    return 1 if bad else 0


if __name__ == '__main__':
    sys.exit(main(*sys.argv[1:]))
