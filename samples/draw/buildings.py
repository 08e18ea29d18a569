"""The club's boat shed, its shutters, sign and lettering, as lists of polygons; y points down."""
from curves import arc, disc, line, moved, oriented, pen, stroke

# Letters as pen strokes on a height of 100: (width, strokes); a stroke is points for curves.line,
# corners marked '!'. Only the letters that the club's signs need.
LETTERS = {
    'A': (76, ['2,100! 38,0! 74,100!', '17,64! 59,64!']),
    'B': (60, ['6,0! 6,100! 34,100! 56,88 56,62 34,49! 6,49!', '34,49! 52,39 52,10 34,0! 6,0!']),
    'C': (74, ['70,20 46,1 18,14 6,50 18,86 46,99 70,80']),
    'D': (70, ['6,0! 6,100! 30,100! 58,86 66,50 58,14 30,0! 6,0!']),
    'E': (56, ['52,0! 6,0! 6,100! 52,100!', '6,49! 44,49!']),
    'G': (78, ['70,20 46,1 18,14 6,50 18,86 46,99 70,84! 72,54! 46,54!']),
    'H': (70, ['6,0! 6,100!', '64,0! 64,100!', '6,49! 64,49!']),
    'I': (12, ['6,0! 6,100!']),
    'L': (52, ['6,0! 6,100! 48,100!']),
    'N': (72, ['6,100! 6,0! 66,100! 66,0!']),
    'O': (84, ['42,0 14,14 5,50 14,86 42,100 70,86 79,50 70,14 42,0']),
    'R': (62, ['6,100! 6,0! 36,0! 57,14 57,40 36,53! 6,53!', '34,53! 60,100!']),
    'S': (58, ['52,18 36,1 14,6 8,26 24,44 42,54 53,74 44,96 22,99 5,82']),
    'U': (68, ['6,0! 6,64! 14,92 34,100 54,92 62,64! 62,0!']),
    'W': (100, ['2,0! 26,100! 50,22! 74,100! 98,0!']),
}


def lettering(text, height, broad, left=0.0, top=0.0, space=26.0):
    """The text in the club's letters, and its width; broad (the pen) and space are as if letters
    were 100 high."""
    shapes, x = [], 0.0
    unit = height / 100
    for letter in text:
        if letter == ' ':
            x += 52
            continue
        width, strokes = LETTERS[letter]
        for points in strokes:
            shapes += moved(pen(points, broad), unit, 0.0, (left + x * unit, top))
        x += width + space
    return shapes, (x - space) * unit


def centred(text, height, broad, middle, top, space=26.0):
    width = lettering(text, height, broad, space=space)[1]
    return lettering(text, height, broad, middle - width / 2, top, space)[0]


def lattice():
    """The openings of a shutter's lattice, 700 x 1140, its top pointed, an oval left free in the
    middle; the strips of wood between the lozenges are about 16 wide."""
    openings = []
    for row in range(15):
        y = 80 + row * 75
        for column in range(-1, 8):
            x = 50 + column * 100 + (50 if row % 2 else 0)
            pointed = abs(x - 350) <= 100 + (y - 80) * 2 / 3
            free = ((x - 350) / 225) ** 2 + ((y - 605) / 215) ** 2 < 1
            if 40 < x < 660 and pointed and not free:
                openings.append(lozenge(x, y, 40.4, 60.6))
    return openings


def lozenge(x, y, half_wide, half_high):
    """A lozenge whose tips are rounded a little, as a saw or a bit leaves them."""
    tips = [(x, y - half_high), (x + half_wide, y), (x, y + half_high), (x - half_wide, y)]
    return rounded(tips, 4.5)


def rounded(points, radius):
    """The polygon with each corner cut back by `radius` and bent round."""
    result = []
    for before, here, after in zip(points[-1:] + points[:-1], points, points[1:] + points[:1]):
        start = towards(here, before, radius)
        end = towards(here, after, radius)
        for i in range(9):
            t = i / 8
            result.append(tuple((1 - t) ** 2 * start[k] + 2 * t * (1 - t) * here[k] + t * t * end[k]
                                for k in (0, 1)))
    return oriented(result)


def towards(here, there, distance):
    length = ((there[0] - here[0]) ** 2 + (there[1] - here[1]) ** 2) ** 0.5
    return tuple(here[k] + (there[k] - here[k]) / length * distance for k in (0, 1))


def boat_shed(width=9.0):
    """The boat shed drawn with a pen of the given width, 1000 x 770 from y = -60: ink, the pane to
    cut out of it, and the bars to put across the pane."""
    roof = ['60,300! 500,60! 940,300!', '60,300! 92,334! 500,112! 908,334! 940,300!']
    walls = ['110,326! 110,610!', '890,326! 890,610!', '30,610! 970,610!']
    doors = ['250,610! 250,360! 750,360! 750,610!', '500,360! 500,610!',
             '274,610! 274,384! 476,384! 476,610!', '524,610! 524,384! 726,384! 726,610!',
             '274,384! 476,610!', '726,384! 524,610!']
    boards = ['150,610! 150,306!', '200,610! 200,279!', '800,279! 800,610!', '850,306! 850,610!']
    slip = ['300,610! 220,700!', '700,610! 780,700!', '220,700! 780,700!', '278,636! 722,636!', '254,664! 746,664!']
    window, pane = [disc((500, 236), 60)], [disc((500, 236), 60 - width)]
    bars = pen('500,180! 500,292!', width) + pen('444,236! 556,236!', width)
    grass = sum((stroke(line(text), [width * 1.4, width, 1]) for text in
                 ('50,610 40,570 20,530', '66,610 70,560 90,516', '82,610 80,580 72,548',
                  '920,610 922,570 906,530', '936,610 938,560 956,508', '950,610 958,585 976,566')), [])
    flag = pen('500,64! 500,-40!', width) + pen(
        '500,-36! 540,-48 580,-28 620,-40! 604,-16! 620,8! 580,12 540,-4 500,8!', width)
    lines = sum((pen(text, width) for text in roof + walls + doors + boards + slip), [])
    return lines + grass + flag + window, pane, bars


def sign_board():
    """The sign's border: a board with hollow corners, as ink with its hole."""
    outer = notched(0, 0, 1000, 560, 60)
    inner = notched(16, 16, 984, 544, 58)
    return [outer], [inner]


def notched(x0, y0, x1, y1, r):
    """A rectangle whose corners are hollowed by quarter circles."""
    points = []
    for (cx, cy), start in (((x0, y0), 90), ((x1, y0), 180), ((x1, y1), 270), ((x0, y1), 360)):
        points += arc((cx, cy), r, start, start - 90)
    return oriented(points)
