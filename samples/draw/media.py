"""A drawing's ink in, rows of a picture out: as the screen, the scanner or the camera gives it.

Chance comes from random.Random(seed).random() alone, whose sequence Python keeps in all versions."""
import random


def grey(canvas):
    return [bytes(255 - v for v in row) for row in canvas.rows]


def transparent(canvas, colour):
    """Ink of one colour on transparent ground (whose hidden colour is black, as often)."""
    rows = []
    for row in canvas.rows:
        out = bytearray(4 * canvas.width)
        for x, ink in enumerate(row):
            if ink:
                out[4 * x:4 * x + 4] = bytes((*colour, ink))
        rows.append(out)
    return rows


def coloured(canvas, colour):
    """Ink of one colour on white."""
    levels = [bytes(255 + (c - 255) * ink // 255 for c in colour) for ink in range(256)]
    return [b''.join(map(levels.__getitem__, row)) for row in canvas.rows]


def blurred(rows, width):
    """Each pixel the mean of the 3 x 3 around it, weighted 1 2 1 either way."""
    across = [[row[max(x - 1, 0)] + 2 * row[x] + row[min(x + 1, width - 1)] for x in range(width)]
              for row in rows]
    last = len(rows) - 1
    return [[(a + 2 * b + c) // 16 for a, b, c in zip(across[max(y - 1, 0)], across[y],
                                                        across[min(y + 1, last)])]
            for y in range(last + 1)]


def scanned(canvas, seed):
    """A scan: greyish paper with grain, soft edges, specks of dust, dark along the left edge."""
    chance = random.Random(seed).random
    width, height = canvas.width, canvas.height
    for _ in range(90):
        x, y, size = int(chance() * width), int(chance() * height), 1 + int(chance() * 2.4)
        ink = 90 + int(chance() * 130)
        for row in canvas.rows[y:y + size]:
            for place in range(x, min(x + size, width)):
                row[place] = max(row[place], ink) if row[place] < 128 else 255 - ink
    rows = []
    for row in blurred(canvas.rows, width):
        out = bytearray(width)
        for x, ink in enumerate(row):
            paper = 214 - (60 * (14 - x) // 14 if x < 14 else 0)
            out[x] = paper + (38 - paper) * ink // 255 + int(chance() * 3 + chance() * 3) - 3
        rows.append(out)
    return rows


def chalked(canvas, seed):
    """Chalk on slate: light on dark, both a little uneven."""
    chance = random.Random(seed).random
    rows = []
    for row in blurred(canvas.rows, canvas.width):
        out = bytearray(canvas.width)
        for x, ink in enumerate(row):
            level = 52 + (226 - 52) * ink // 255
            out[x] = level + (int(chance() * 4) if ink > 128 else 0)
        rows.append(out)
    return rows


def photographed(canvas, seed):
    """A phone's photo of a drawing: warm paper, light that falls off to the lower right."""
    chance = random.Random(seed).random
    width, height = canvas.width, canvas.height
    rows = []
    for y, row in enumerate(blurred(canvas.rows, width)):
        out = bytearray(3 * width)
        for x, ink in enumerate(row):
            fall = (0.35 * x / width + 0.65 * y / height) ** 1.4
            light = 1.0 - 0.68 * fall + 0.012 * chance()
            for channel, (paper, pen) in enumerate(((244, 62), (236, 60), (216, 74))):
                out[3 * x + channel] = int((paper + (pen - paper) * ink / 255) * light)
        rows.append(out)
    return rows
