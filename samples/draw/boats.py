"""Rowers, shells and oars in side view and from above, as lists of polygons; y points down."""
import math

from curves import blob, box, disc, line, moved, oriented, stroke


def rower():
    """One rower at mid stroke, who faces left, seat at the origin; about 230 wide, 190 high.

    Returns the shapes and the place of the hands."""
    hip, knee, heel = (0, -14), (-82, -52), (-152, 2)
    shoulder, elbow, hand = (40, -112), (-18, -86), (-72, -92)
    shapes = stroke([hip, ((hip[0] + knee[0]) / 2, (hip[1] + knee[1]) / 2 - 2), knee], [38, 36, 27])
    shapes += stroke([knee, ((knee[0] + heel[0]) / 2 + 3, (knee[1] + heel[1]) / 2 - 2), heel], [26, 26, 15])
    shapes += [blob('-176,-24 -164,-30 -150,-12 -138,4 -150,12 -168,0')]
    shapes += [blob('-22,0 -20,-30 -4,-66 8,-100 24,-124 46,-130 62,-116 60,-84 46,-44 34,-6 18,6 -8,8')]
    shapes += stroke([shoulder, ((shoulder[0] + elbow[0]) / 2, (shoulder[1] + elbow[1]) / 2 + 4), elbow],
                     [28, 25, 20])
    shapes += stroke([elbow, ((elbow[0] + hand[0]) / 2, (elbow[1] + hand[1]) / 2), hand], [20, 17, 13])
    shapes += [disc(hand, 9, 32)]
    shapes += stroke([(46, -116), (42, -150)], [32, 28])
    shapes += [blob('14,-164! 16,-180 34,-192 54,-186 64,-168 58,-146 44,-134 34,-130! 20,-132 16,-142 '
                    '16,-148! 8,-152!')]
    cap = blob('12,-172! 20,-190 38,-198 56,-190 66,-172 58,-168 34,-170 14,-166 -6,-158!')
    return shapes + [cap], hand


def oar(start, end, thin=5.0, blade=70.0, broad=22.0):
    """A sculling oar seen from the side, its blade at `end`."""
    length = math.dist(start, end)
    shaft = stroke([start, (start[0] + (end[0] - start[0]) * 0.5, start[1] + (end[1] - start[1]) * 0.5),
                    end], [thin * 1.3, thin, thin])
    outline = blob(f'{-blade},{-thin / 2} {-blade * 0.7},{-broad * 0.32} {-blade * 0.3},{-broad / 2} '
                   f'0,{-broad / 2}! 6,0 0,{broad / 2}! {-blade * 0.35},{broad * 0.42} '
                   f'{-blade},{thin / 2}')
    turn = math.degrees(math.atan2(end[1] - start[1], end[0] - start[0]))
    grip = stroke([start, (start[0] + (end[0] - start[0]) * 34 / length,
                           start[1] + (end[1] - start[1]) * 34 / length)], [thin * 1.9, thin * 1.9])
    return shaft + grip + moved([outline], 1.0, turn, end)


def hull(half, depth):
    """A shell of half length `half`, its deck at y = 0, bow to the right."""
    return [blob(f'{-half},-3! {-half * 0.8},{-depth * 0.1} {-half * 0.4},{-depth * 0.02} 0,0 '
                 f'{half * 0.4},{-depth * 0.02} {half * 0.8},{-depth * 0.12} {half},-5! '
                 f'{half * 0.9},{depth * 0.3} {half * 0.6},{depth * 0.75} {half * 0.2},{depth} '
                 f'{-half * 0.3},{depth} {-half * 0.65},{depth * 0.75} {-half * 0.9},{depth * 0.34}')]


def rigger(pin, foot_left, foot_right, thin):
    """The stays that hold an oar's pin outside the hull."""
    shapes = []
    for foot in (foot_left, foot_right):
        shapes += stroke([foot, pin], thin)
    return shapes + stroke([(pin[0], pin[1] - 11), (pin[0], pin[1] + 4)], thin * 1.8)


def sculler():
    """A single scull on the water; the frame runs from -560 to 560 and from -210 to 90."""
    person, hand = rower()
    shapes = hull(540, 24) + moved(person, 1.0, 0.0, (20, -4))
    shapes += rigger((-172, -36), (-212, 2), (-164, 2), 5)
    hand = (hand[0] + 20, hand[1] - 4)
    shapes += oar(hand, (-330, 46), 7, 84, 30)
    shapes += oar((hand[0] + 4, hand[1] + 2), (250, 46), 7, 84, 30)
    shapes += stroke([(524, -2), (524, -10)], 10)
    shapes += stroke([(-440, 2), (-440, -40)], 4) + [blob('-440,-42! -470,-34 -492,-40! -484,-28 -494,-16! -468,-20 -440,-16!')]
    return shapes


def water(left, right, y):
    """A broken line of water: lens-shaped strokes."""
    shapes = []
    x, k = left, 0
    while x < right:
        end = min(x + (150, 90, 210, 120, 70, 180)[k % 6], right)
        drop = y + (0, 9, 3, 12, 6, 2)[k % 6]
        if end - x > 40:
            shapes += stroke(line(f'{x},{drop} {(x + end) / 2},{drop} {end},{drop}'), [0.5, 8, 0.5])
        x, k = end + 26, k + 1
    return shapes


def cox():
    """The cox, who faces right, seat at the origin."""
    body = blob('-30,4 -34,-40 -26,-84 -8,-104 14,-98 24,-70 30,-30 44,4')
    head = blob('-20,-140 -16,-160 2,-168 20,-162 26,-146 34,-136! 26,-132 26,-122 12,-112 -8,-114 -18,-126')
    cap = blob('-22,-144! -18,-162 2,-172 20,-164 30,-146! 44,-142 52,-138! 24,-140 0,-142')
    arm = stroke(line('6,-84 26,-52 52,-44'), [24, 18, 12])
    neck = stroke([(0, -118), (0, -96)], 22)
    return [body, head, cap] + arm + neck


def eight():
    """An eight with cox; the frame runs from -1950 to 1950 and from -230 to 130."""
    shapes = hull(1920, 34)
    person, hand = rower()
    for seat in range(8):
        x = -1010 + seat * 305
        shapes += moved(person, 1.0, 0.0, (x, -6))
        grip = (x + hand[0], hand[1] - 6)
        shapes += rigger((x - 188, -22), (x - 226, 2), (x - 186, 2), 5)
        far = seat % 2 == 1
        end = (x - 330, 78) if not far else (x - 352, 52)
        shapes += oar(grip, end, 7 if not far else 6, 84 if not far else 60, 34 if not far else 22)
    shapes += moved(cox(), 1.0, 0.0, (-1420, -4))
    shapes += stroke([(1900, -4), (1900, -14)], 16)
    shapes += stroke([(-1770, 2), (-1770, -58)], 5)
    shapes += [blob('-1770,-60! -1800,-50 -1830,-58! -1822,-44 -1832,-28! -1800,-34 -1770,-28!')]
    return shapes


def crossed_oars(reach):
    """Two oars crossed, blades up; the holes are the stripes on their blades."""
    shaft = stroke([(0, -reach * 0.5), (0, reach)], [reach * 0.05, reach * 0.045])
    grip = stroke([(0, reach * 0.8), (0, reach)], reach * 0.075)
    collar = [box(-reach * 0.055, reach * 0.28, reach * 0.055, reach * 0.36, reach * 0.02)]
    b = reach * 0.15
    blade = [blob(f'{-reach * 0.03},{-reach * 0.36} {-b * 0.8},{-reach * 0.52} {-b},{-reach * 0.7} '
                  f'{-b * 0.92},{-reach * 0.98}! 0,{-reach * 1.02} {b * 0.92},{-reach * 0.98}! '
                  f'{b},{-reach * 0.7} {b * 0.8},{-reach * 0.52} {reach * 0.03},{-reach * 0.36}')]
    s = reach * 0.045
    stripe = [oriented([(-b * 1.2, -reach * 0.72 + d), (0, -reach * 0.82 + d), (b * 1.2, -reach * 0.72 + d),
                        (b * 1.2, -reach * 0.72 + s + d), (0, -reach * 0.82 + s + d), (-b * 1.2, -reach * 0.72 + s + d)])
              for d in (0, 2.2 * s)]
    ink, holes = [], []
    for turn in (-42, 42):
        ink += moved(shaft + grip + collar + blade, 1.0, turn)
        holes += moved(stripe, 1.0, turn)
    return ink, holes


def star(radius):
    """A star of five points, one up."""
    points = []
    for i in range(10):
        r = radius if i % 2 == 0 else radius * 0.42
        angle = math.radians(36 * i - 90)
        points.append((r * math.cos(angle), r * math.sin(angle)))
    return [oriented(points)]


def waves():
    """Two lines of waves, each 220 wide about x = 0."""
    shapes = []
    for y in (0, 40):
        shapes += stroke(line(f'-110,{y} -82,{y - 14} -55,{y} -27,{y + 12} 0,{y} 27,{y - 14} 55,{y} '
                              f'82,{y + 12} 110,{y}'), [3, 14, 15, 14, 3])
    return shapes
