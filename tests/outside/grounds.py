"""Grounds that are not ink: checkered ones that stand for transparency, half-transparent marks over art
and paper, print in dots, and art of a pale colour whose file holds colour in fewer pixels than light.
What cannot be known is said in a note, whose option is followed.

usage: grounds.py NARROWS

What is drawn has one piece; its area in pixels is that of the drawing without all that."""

import json
import math
import os
import re
import subprocess
import sys
import tempfile

try:
    import numpy
    from PIL import Image, ImageDraw, ImageFont
except ImportError:
    print('SKIPPED: python3-skimage is not installed')
    sys.exit(77)

NARROWS = sys.argv[1]
WIDE, HIGH, FINE = 420, 360, 4
FONT = '/usr/share/fonts/truetype/dejavu/DejaVuSans-Bold.ttf'
SCAN = os.path.join(os.path.dirname(os.path.abspath(__file__)), '..', '..', 'samples', 'heron.png')
CLIP_ARTS = '/usr/share/openclipart/png'  # of Debian's openclipart-png
AREA_OFF = 0.02
DOTS_OFF = 0.05  # what touches the rim of the art stays
failures = []


def drawing():
    """How much of each pixel is ink: a bird on a branch, more or less."""
    picture = Image.new('L', (WIDE * FINE, HIGH * FINE), 0)
    draw = ImageDraw.Draw(picture)
    draw.ellipse([x * FINE for x in (90, 80, 300, 240)], fill=255)
    draw.polygon([(x * FINE, y * FINE) for x, y in
                  ((40, 150), (130, 120), (130, 170), (290, 130), (390, 60), (300, 200))], fill=255)
    draw.rectangle([x * FINE for x in (180, 200, 196, 330)], fill=255)
    draw.rectangle([x * FINE for x in (60, 318, 370, 334)], fill=255)
    return numpy.asarray(picture.resize((WIDE, HIGH), Image.BOX), float) / 255


def squares(side, one, other):
    y, x = numpy.mgrid[0:HIGH, 0:WIDE]
    return numpy.where((x // side + y // side) % 2 == 0, one, other).astype(float)[..., None]


def marked(picture, opacity, level):
    image = Image.fromarray(numpy.uint8(numpy.rint(picture)))
    font = ImageFont.truetype(FONT, 44)
    mark = Image.new('L', image.size, 0)
    for k in range(3):
        ImageDraw.Draw(mark).text((10 + 40 * k, 20 + 110 * k), 'sample copy', font=font, fill=255)
    part = numpy.asarray(mark, float)[..., None] / 255 * opacity
    return picture * (1 - part) + level * part


def on(ink, colour, ground):
    return ground * (1 - ink[..., None]) + numpy.array(colour, float) * ink[..., None]


def in_dots(part, pitch):
    """What is to be dark by so much, printed by a screen that stands aslant."""
    y, x = numpy.mgrid[0:HIGH * FINE, 0:WIDE * FINE] / FINE
    u, v = (2 * math.pi * way / pitch / math.sqrt(2) for way in (x + y, x - y))
    wave = numpy.cos(u) + numpy.cos(v)
    dark = wave < numpy.quantile(wave, part)
    return dark.reshape(HIGH, FINE, WIDE, FINE).mean((1, 3))


def look(picture, ending='png', arguments=(), **options):
    """What the command finds in it."""
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, 'picture.' + ending)
        Image.fromarray(numpy.uint8(numpy.rint(picture))).save(path, **options)
        return subprocess.run([NARROWS, 'pieces', path, '--ppi', '25.4', '--json', *arguments],
                              capture_output=True, text=True, timeout=120)


def follow(name, words, picture, ink, ending='png', off=AREA_OFF, **options):
    """Takes the option that stands in a note between these words, and looks again."""
    run = look(picture, ending, **options)
    note = re.search(words.replace('OPTION', '(--[a-z]+ [0-9]+(?:px)?)'),
                     ' '.join(run.stderr.replace('narrows:', '').split()))
    if note:
        check(f'{name}, {note.group(1)}', picture, ink, ending, note.group(1).split(), off=off, **options)
    else:
        failures.append(f'{name}: no {words}: {run.stderr}')


def check(name, picture, ink, ending='png', arguments=(), said='', unsaid='watermark: x', off=AREA_OFF,
          **options):
    run = look(picture, ending, arguments, **options)
    if run.returncode:
        failures.append(f'{name}: {run.stderr}')
        return
    kept = [piece for piece in json.loads(run.stdout)['pieces'] if piece['kept']]
    area = sum(piece['area'] for piece in kept)
    print(f'{name}: {len(kept)} pieces, area {area:.0f} of {ink.sum():.0f}')
    words = ' '.join(run.stderr.split())
    if len(kept) != 1 or abs(area / ink.sum() - 1) > off or said not in words or unsaid in words:
        failures.append(f'{name}: {len(kept)} pieces, area {area} of {ink.sum()}, {run.stderr}')


def paint_is_none(square, ink):
    """Squares of a colour or of black and white are the art, as on flags, and grey on yellow is no mark."""
    for name, one, other in (('blue', (255, 255, 255), (0, 0, 255)), ('black', (255, 255, 255), (0, 0, 0))):
        never(f'squares, {name}', numpy.where(square[..., None], one, other), 'checkered')
    yellow = on(ink, (0, 90, 40), numpy.full((HIGH, WIDE, 3), (253, 212, 1), float))
    yellow[:20, :60] = 190
    never('grey on yellow', yellow, 'palest grey')


def faint_lines(ink):
    """Lines of a quarter of a pixel, on ground that is transparent, are told of, and taken whole as told; a
    pale shadow is none."""
    thin = Image.new('L', (WIDE * FINE * 2, HIGH * FINE * 2), 0)
    ways = ((320, 20, 410, 50), (330, 230, 400, 300), (310, 215, 410, 217))
    for way in ways:
        ImageDraw.Draw(thin).line([2 * FINE * at for at in way], fill=255, width=2)
    part = numpy.maximum(ink, numpy.asarray(thin.resize((WIDE, HIGH), Image.BOX), float) / 255)
    picture = numpy.dstack([part * 0] * 3 + [part * 255])
    words = ' '.join(look(picture).stderr.replace('narrows:', '').split())
    note = re.search('3 thin lines are paler than half and left out; (--level [0-9]+) takes them', words)
    found = []
    if note:
        run = look(picture, arguments=note.group(1).split())
        found, words = [piece for piece in json.loads(run.stdout)['pieces'] if piece['kept']], run.stderr
    print(f'thin lines: {note and note.group(1)}, {len(found)} pieces')
    if len(found) != 1 + len(ways) or 'paler' in words or 'photograph' in words:
        failures.append(f'thin lines: {found}, {words}')
    soft = numpy.maximum(ink, 0.35 * numpy.roll(ink, 12, 1))
    never('a pale shadow', numpy.dstack([soft * 0] * 3 + [soft * 255]), 'thin line')


def never(name, picture, unsaid):
    run = look(picture)
    if run.returncode or unsaid in ' '.join(run.stderr.split()):
        failures.append(f'{name}: {run.stderr}')


def main():
    ink = drawing()
    white = numpy.full((HIGH, WIDE, 3), 255.0)
    for side, one, other in ((8, 255, 204), (11, 255, 191), (16, 238, 255), (5, 204, 230)):
        ground = numpy.repeat(squares(side, one, other), 3, axis=2)
        for colour in ((0, 0, 0), (180, 30, 40)):
            check(f'squares of {side} px, {one} and {other}, ink {colour}', on(ink, colour, ground),
                  ink, said='its checkered ground is paper' if abs(one - other) > 20 else '')
        check(f'squares of {side} px, JPEG', on(ink, (0, 0, 0), ground), ink, 'jpg', quality=85)
    check('squares, yellow', on(ink, (250, 220, 60), numpy.repeat(squares(8, 255, 204), 3, axis=2)),
          ink, said='its checkered ground is paper')
    # A sign is white within its rim: more of one of the two greys than of squares.
    y, x = numpy.mgrid[0:HIGH, 0:WIDE]
    from_edge = numpy.minimum(numpy.minimum(x, WIDE - 1 - x), numpy.minimum(y, HIGH - 1 - y))
    rim = ((from_edge >= 50) & (from_edge < 62)).astype(float)
    ground = numpy.where(from_edge[..., None] < 50, squares(8, 255, 204), 255)
    check('squares round a sign', on(rim, (0, 0, 0), numpy.repeat(ground, 3, axis=2)), rim,
          said='its checkered ground is paper')
    for opacity, level in ((0.62, 204), (0.4, 128), (0.3, 160)):
        picture = marked(on(ink, (0, 0, 0), white), opacity, level)
        check(f'mark of {opacity}, {level}', picture, ink, said='watermark, is left out: --level')
        check(f'mark of {opacity}, {level}, JPEG', picture, ink, 'jpg', quality=85,
              said='watermark, is left out: --level')
    red, green = ink.copy(), ink.copy()
    red[:, 200:], green[:, :200] = 0, 0
    several = on(green, (40, 140, 30), on(red, (180, 30, 40), white))
    pale = on(green, (40, 140, 30), on(red, (255, 226, 0), white))  # yellow is paler than the mark
    check('pale colours', pale, ink, unsaid='watermark')
    for opacity, level in ((0.2, 0), (0.35, 60), (0.5, 128)):
        for art, picture in (('colours', several), ('pale colours', pale)):
            check(f'mark of {opacity}, {level} on {art}', marked(picture, opacity, level), ink,
                  said='watermark, is left out: --level')
        paper = on(ink, (0, 0, 0), marked(white, opacity, level))
        words = 'OPTION leaves out its palest grey'
        follow(f'mark of {opacity}, {level} on paper', words, paper, ink)
        for art, picture in (('colours', marked(several, opacity, level)), ('paper', paper)):
            follow(f'mark of {opacity}, {level} on {art}, JPEG', words, picture, ink, 'jpg', quality=85)
        # A better JPEG shows the mark, but its colours are too coarse to leave that out alone.
        follow(f'mark of {opacity}, {level} on colours, JPEG 95', words, marked(several, opacity, level), ink, 'jpg', quality=95)
    # A grey of its own, beside the art and, in darker colours, on it, is drawn where no edge goes on.
    for k, (top, left) in enumerate(((10, 10), (110, 150), (110, 230))):
        several[top:top + 30, left:left + 30] = ((200, 200, 200), (139, 57, 63), (57, 121, 51))[k]
    never('drawn colours', several, 'watermark, is left out: --level')
    paint_is_none(squares(16, 1, 0)[..., 0] > 0, ink)
    for pitch, part in ((8, 0.2), (11, 0.25)):
        dark, light = numpy.maximum(ink, in_dots(part, pitch)), ink * (1 - in_dots(part, pitch))
        for name, picture in (('on', dark), ('in', light)):
            follow(f'{name} a tint of {part}', 'printed in dots, [0-9]+ of them: OPTION leaves them out',
                   on(picture, (0, 0, 0), white), ink, off=DOTS_OFF)
    # A sky and a land of a mark's tones, but no ink ends under them.
    picture = on(ink, (0, 0, 0), white)
    picture[100:140, 150:190], picture[150:190, 150:190] = 228, 110
    check('drawn tones', picture, ink, unsaid='watermark, is left out: --level')
    for quality in (60, 80, 95):
        picture = on(ink, (250, 225, 85), white)
        check(f'yellow, JPEG {quality}', picture, ink, 'jpg', quality=quality)
        check(f'yellow as asked, JPEG {quality}', picture, ink, 'jpg', ['--ink', 'yellow'],
              quality=quality)

    faint_lines(ink)

    # What edges are blended of when a scan is made larger is no mark.
    run = look(numpy.asarray(Image.open(SCAN).convert('RGB').resize((1000, 1000), Image.BILINEAR)))
    if run.returncode or 'watermark' in run.stderr:
        failures.append(f'a larger scan: {run.stderr}')

    # Nor is a tone of a shade that runs through all of them, or a cream beside greys.
    for name, said in (('tools/magnifying_glass_01', 'are shaded'), ('food/meats_and_eggs/steak-v0.1', '')):
        path = os.path.join(CLIP_ARTS, name + '.png')
        if os.path.exists(path):
            run = look(numpy.asarray(Image.open(path)))
            if run.returncode or said not in run.stderr or 'watermark' in run.stderr:
                failures.append(f'{name}: {run.stderr}')


main()
print('\n'.join(failures))
sys.exit(1 if failures else 0)
