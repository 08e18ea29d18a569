"""Noise over pictures: samples enlarged, with noise of three strengths, have the spots that they have
without (the heron, whose edges are soft, of two). With NARROWS_TEST_ALL all of them, else a few.

usage: noise.py NARROWS SAMPLES [bench]

bench: no test, but how much longer the processor takes for the noisy heron than for the clean one.

The noise is independent from pixel to pixel and normal, in grey levels; it is cut off at black and
white as a camera's is. Places of hardly any harm, and stubs that are nearly corners, may come and
go; a place along which the width hardly changes may be found anywhere on it. Where a passage is
narrower than a pixel of the sample, its grey passes the half nearly level: noise decides whether it
is open, and so on which side of the cut the spot is. With the first noise of all, widths are within
0.05 mm and within what the noisy picture is said to tell; with others one in fifty, at a tip, may be off
by more than that, and one in twenty by more than is said; which is not much more where light falls off
over it, for noise moves edges no farther then."""

import csv
import json
import math
import os
import resource
import subprocess
import sys
import tempfile

try:
    import numpy
    from PIL import Image
except ImportError:
    print('SKIPPED: python3-skimage is not installed')
    sys.exit(77)

NARROWS, SAMPLES, *BENCH = sys.argv[1:]
ALL = os.environ.get('NARROWS_TEST_ALL')
SIDES, NOISES = (5000, 8000), (10, 25, 40)
NAMES = ('heron', 'single-scull', 'swan', 'sign', 'boat-shed', 'badge', 'kingfisher')
SEEDS = (1, 11, 12, 13)
FEW = {('heron', 8000, 25, 1), ('single-scull', 5000, 40, 1), ('sign', 5000, 40, 1),
       ('single-scull', 5000, 10, 12), ('kingfisher', 5000, 10, 12)}
WIDTH_OFF, WIDTH_OFF_MOST = 0.05, 0.08  # mm, of a pinch, and of
OFF_SHARE, UNTOLD_SHARE = 0.02, 0.05  # so many; and of so many more than is told
NEARLY = 0.1  # mm: to be widened by less than that it hardly is a spot
ROWS = 64  # made at a time: all of them as 64 bit numbers take longest to be given their memory
BENCH_RUNS = 3  # of which the shortest counts
FALLS, FALLS_TELL = (0.2, 0.45), 1.25  # of the light, along the picture; times as much as in even light
failures = []
offs = []  # of widths, in mm, and to what they are told to be sure


def enlarged(name, side, noise, falls=0, seed=1):
    picture = Image.open(os.path.join(SAMPLES, name + '.png')).convert('RGBA')
    white = Image.new('RGBA', picture.size, 'white')
    white.alpha_composite(picture)
    by = side / max(picture.size)
    size = [round(length * by) for length in picture.size]
    grey = numpy.array(white.convert('L').resize(size, Image.BICUBIC))
    light = 1 - falls * numpy.linspace(0, 1, grey.shape[1])
    generator = numpy.random.default_rng(seed)
    for first in range(0, len(grey), ROWS):
        rows = grey[first:first + ROWS] * light
        if noise:
            rows += generator.normal(0, noise, rows.shape)
        grey[first:first + ROWS] = numpy.clip(numpy.rint(rows), 0, 255)
    return grey


def spots(name, side, noise, options, folder, falls=0, seed=1):
    """The rows of spots.csv, the seconds that it took, and spots.json."""
    grey = enlarged(name, side, noise, falls, seed)
    path = os.path.join(folder, 'noisy.pgm')
    with open(path, 'wb') as file:
        file.write(b'P5\n%d %d\n255\n' % grey.shape[::-1] + grey.tobytes())
    before = resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime
    run = subprocess.run([NARROWS, 'check', path, *options, '-o', os.path.join(folder, 'out')],
                         capture_output=True, text=True, timeout=600)
    seconds = resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime - before
    assert run.returncode in (0, 1), run.stderr
    with open(os.path.join(folder, 'out', 'spots.csv'), encoding='utf-8') as file:
        rows = [{key: value if key in ('side', 'form') else float(value or 'nan')
                 for key, value in row.items()} for row in csv.DictReader(file)]
    with open(os.path.join(folder, 'out', 'spots.json'), encoding='utf-8') as file:
        told = json.load(file)
    return rows, seconds, told


def same(a, b):
    away = math.hypot(a['x'] - b['x'], a['y'] - b['y'])
    alike = abs(a['area'] - b['area']) <= 0.1 * a['area'] + 0.5
    return (a['side'], a['form']) == (b['side'], b['form']) and (
        away < 2 or alike and away < max(a['length'], b['length']) + 1)


def counts(spot):
    """Whether it may not be missing."""
    if spot['form'] == 'pinch':
        return spot['widen'] > NEARLY and spot['width'] > NEARLY
    return spot['area'] > 1 and (spot['form'] != 'stub' or spot['depth'] > 5)


def parts(spot, others):
    """Whether others together are the place: where the bit all but fits in its middle it is two."""
    on = [other['area'] for other in others if other['side'] == spot['side'] and
          math.hypot(other['x'] - spot['x'], other['y'] - spot['y']) < spot['length'] / 2 + 3]
    return abs(sum(on) - spot['area']) <= 0.1 * spot['area']


def compare(what, clean, noisy, sure, pixel, seed):
    doubtful = [spot for spot in clean + noisy if spot['form'] == 'pinch' and spot['width'] < pixel]

    def matters(spot):
        return counts(spot) and not any(
            math.hypot(spot['x'] - other['x'], spot['y'] - other['y']) < pixel for other in doubtful)

    left = list(noisy)
    for spot in clean:
        found = min((other for other in left if same(spot, other)), default=None,
                    key=lambda other: math.hypot(spot['x'] - other['x'], spot['y'] - other['y']))
        if found:
            left.remove(found)
            if spot['form'] == 'pinch':
                off = abs(spot['width'] - found['width'])
                offs.append((off, sure))
                if off > min(WIDTH_OFF, sure):
                    words = f'{what}: width {found["width"]} in place of {spot}'
                    if seed == SEEDS[0]:
                        failures.append(words)
                    else:
                        print(words)
        elif matters(spot) and not parts(spot, noisy):
            failures.append(f'{what}: lost {spot}')
    failures.extend(f'{what}: new {spot}' for spot in left
                    if matters(spot) and not parts(spot, clean))


def judge_widths():
    off = sum(off > WIDTH_OFF for off, _ in offs)
    untold = sum(off > sure for off, sure in offs)
    most = max((off for off, _ in offs), default=0)
    print(f'{len(offs)} widths, off by up to {most:.3f} mm, {off} by more than {WIDTH_OFF} mm, '
          f'{untold} by more than is told')
    if not offs or off > OFF_SHARE * len(offs) or most > WIDTH_OFF_MOST or untold > UNTOLD_SHARE * len(offs):
        failures.append('widths are off')


def samples_questions():
    with open(os.path.join(SAMPLES, 'list'), encoding='utf-8') as file:
        return {words[0]: words[1:] for words in map(str.split, file) if words}


def bench():
    options = samples_questions()['heron.png']
    with tempfile.TemporaryDirectory() as folder:
        clean, noisy = (min(spots('heron', max(SIDES), noise, options, folder)[1] for _ in range(BENCH_RUNS))
                        for noise in (0, 25))
    print(f'heron, {max(SIDES)} px: clean {clean:.2f} s, with noise of 25 {noisy:.2f} s, {noisy / clean:.2f} times')


def main():
    questions = samples_questions()
    for name in NAMES:
        for side in SIDES:
            asked = [(noise, seed) for noise in NOISES for seed in SEEDS
                     if ALL and (name != 'heron' or noise < 40) or (name, side, noise, seed) in FEW]
            if not asked:
                continue
            options = questions[name + '.png']
            with tempfile.TemporaryDirectory() as folder:
                clean, _, told = spots(name, side, 0, options, folder)
                with Image.open(os.path.join(SAMPLES, name + '.png')) as picture:
                    pixel = max(told['size']) / max(picture.size)
                for noise, seed in asked:
                    noisy, _, told = spots(name, side, noise, options, folder, seed=seed)
                    what = f'{name}, {side} px, noise {noise}, seed {seed}'
                    print(f'{what}: {len(clean)} and {len(noisy)} spots, sure to {told["sure"]:.3f} mm')
                    compare(what, clean, noisy, told['sure'], pixel, seed)
    judge_widths()


def light_falls():
    """Paper in the shade is as dark as edges are half-way, and yet no part of them."""
    with tempfile.TemporaryDirectory() as folder:
        for name in 'swan', 'kingfisher':
            even, *falling = (spots(name, 1000, 9, ['--wide', '200mm', '--cut', 'inside', '--bit', '3mm'],
                                    folder, falls)[2]['sure'] for falls in (0, *FALLS))
            print(f'{name}, light falls off by {FALLS}: sure to {falling}, even: {even}')
            if not 0 < max(falling) <= FALLS_TELL * even:
                failures.append(f'{name}, light falls off by {FALLS}: sure to {falling}, not {even}')


if BENCH:
    bench()
    sys.exit()
main()
light_falls()
print('\n'.join(failures))
sys.exit(1 if failures else 0)
