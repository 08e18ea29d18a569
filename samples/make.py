#!/usr/bin/python3
"""Draws the sample pictures: python3 samples/make.py [FOLDER], by default beside this file.

Only Python's standard library is used; the same pixels come out on every machine."""
import os
import sys

HERE = os.path.dirname(os.path.abspath(__file__))
sys.path.insert(0, os.path.join(HERE, 'draw'))

import animals  # noqa: E402
import boats  # noqa: E402
import buildings  # noqa: E402
import media  # noqa: E402
from curves import box, disc, moved  # noqa: E402
from raster import Canvas, write_png  # noqa: E402


def single_scull(path):
    canvas = Canvas(1800, 520, 1.5, (600, 240))
    canvas.paint(boats.sculler() + boats.water(-540, 540, 74))
    write_png(path, 1800, 520, media.grey(canvas))


def shutter(path):
    canvas = Canvas(1500, 2420, 2.0, (25, 5))
    canvas.paint(buildings.lattice())
    canvas.erase([disc((350, 605), 210)])
    swan, wing = animals.swan()
    to = (350 - 443 * 0.615, 605 - 300 * 0.615)
    canvas.paint(moved(swan, 0.615, 0.0, to))
    canvas.erase(moved(wing, 0.615, 0.0, to))
    write_png(path, 1500, 2420, media.grey(canvas), bits=1)


def heron(path):
    canvas = Canvas(950, 1010, 0.96, (35, 20))
    bird, eye = animals.heron()
    canvas.paint(bird + animals.reeds())
    canvas.erase(eye)
    write_png(path, 950, 1010, media.scanned(canvas, 1887), ppi=150)


def swan(path):
    canvas = Canvas(820, 560, 1.0, (-30, -10))
    bird, wing = animals.swan()
    canvas.paint(bird)
    canvas.erase(wing)
    write_png(path, 820, 560, media.transparent(canvas, (22, 48, 92)), 4)


def kingfisher(path):
    canvas = Canvas(120, 96, 0.2, (0, -90))
    bird, eye = animals.kingfisher()
    canvas.paint(bird)
    canvas.erase(eye)
    write_png(path, 120, 96, media.grey(canvas))


def eight(path):
    canvas = Canvas(4000, 420, 1.0, (2000, 260))
    canvas.paint(boats.eight() + boats.water(-1900, 1900, 100))
    write_png(path, 4000, 420, media.coloured(canvas, (158, 28, 44)), 3)


def badge(path):
    canvas = Canvas(3600, 3600, 3.6, (500, 500))
    canvas.paint([box(-480, -480, 480, 480, 30)])
    canvas.erase([box(-466, -466, 466, 466, 18)])
    canvas.paint([disc((0, 0), 430, 360)])
    canvas.erase([disc((0, 0), 404, 360)])
    oars, stripes = boats.crossed_oars(330)
    canvas.paint(moved(oars, 1.0, 0.0, (0, 20)))
    canvas.erase(moved(stripes, 1.0, 0.0, (0, 20)))
    canvas.paint(moved(boats.waves(), 1.0, 0.0, (0, 250)))
    canvas.paint(moved(boats.star(62), 1.0, 0.0, (0, -235)))
    write_png(path, 3600, 3600, media.grey(canvas))


def sign(path):
    canvas = Canvas(1650, 950, 1.6, (16, 17))
    board, inner = buildings.sign_board()
    canvas.paint(board)
    canvas.erase(inner)
    otter, eye = animals.otter()
    canvas.paint(moved(otter, 0.78, 0.0, (110, 36)))
    canvas.erase(moved(eye, 0.78, 0.0, (110, 36)))
    canvas.paint(buildings.centred('SEDGE REACH', 84, 17, 500, 352))
    canvas.paint(buildings.centred('ROWING CLUB', 38, 9, 500, 472, 46))
    write_png(path, 1650, 950, media.grey(canvas))


def boat_shed(path):
    canvas = Canvas(1600, 1300, 1.6, (0, 70))
    ink, pane, bars = buildings.boat_shed()
    canvas.paint(ink)
    canvas.erase(pane)
    canvas.paint(bars)
    write_png(path, 1600, 1300, media.grey(canvas))


def perch(path):
    canvas = Canvas(660, 330, 0.75, (30, 30))
    fish, marks = animals.perch()
    canvas.paint(fish)
    canvas.erase(marks)
    write_png(path, 660, 330, media.photographed(canvas, 8), 3)


def cygnets(path):
    canvas = Canvas(1300, 420, 1.2, (0, 20))
    young, marks = animals.cygnet()
    for place, scale in ((30, 1.0), (385, 0.92), (715, 1.04)):
        to = (place, 262 - 248 * scale)
        canvas.paint(moved(young, scale, 0.0, to))
        canvas.erase(moved(marks, scale, 0.0, to))
    write_png(path, 1300, 420, media.coloured(canvas, (255, 226, 120)), 3)


def slate(path):
    canvas = Canvas(900, 760, 1.35, (36, -64))
    bird, eye = animals.kingfisher()
    canvas.paint(bird)
    canvas.erase(eye)
    write_png(path, 900, 760, media.chalked(canvas, 31))


PICTURES = {'single-scull': single_scull, 'shutter': shutter, 'heron': heron, 'swan': swan,
            'kingfisher': kingfisher, 'eight': eight, 'badge': badge, 'sign': sign,
            'boat-shed': boat_shed, 'perch': perch, 'cygnets': cygnets, 'slate': slate}


def main():
    folder = sys.argv[1] if len(sys.argv) > 1 else HERE
    os.makedirs(folder, exist_ok=True)
    for name, draw in PICTURES.items():
        draw(os.path.join(folder, name + '.png'))


main()
