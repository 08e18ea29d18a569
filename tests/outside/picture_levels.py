"""Thresholds against an independent implementation, scikit-image (python3-skimage).

usage: picture_levels.py PROGRAM, the built picture_dump.

- Otsu: the levels published in scikit-image's own tests for camera (101 to 103) and coins (106 to
  108), and its threshold_otsu for page (157), text (109) and moon (87), each within one level.
- Sauvola: threshold_sauvola on page, at three window sizes, borders included.
- horse: 43412 pixels of ink, one piece, one hole.
"""

import os
import subprocess
import sys

PROGRAM = sys.argv[1]
try:
    import numpy
    import skimage.data
    from skimage.filters import threshold_sauvola
except ImportError:
    print("SKIPPED: python3-skimage is not installed")
    sys.exit(77)

FOLDER = os.path.join(os.path.dirname(skimage.data.__file__))
failures = []


def run(*arguments):
    return subprocess.run([PROGRAM, *arguments], capture_output=True, timeout=600, check=True).stdout


def check(good, text):
    print("ok" if good else "FAILED", text)
    if not good:
        failures.append(text)


for name, level in [("camera", 102), ("coins", 107), ("page", 157), ("text", 109), ("moon", 87)]:
    got = int(run("otsu", os.path.join(FOLDER, name + ".png")))
    check(abs(got - level) <= 1, "Otsu of %s: %d, published %d" % (name, got, level))

page = skimage.io.imread(os.path.join(FOLDER, "page.png")).astype(float)
for half in (3, 7, 25):
    line, data = run("sauvola", os.path.join(FOLDER, "page.png"), str(half)).split(b"\n", 1)
    width, height = map(int, line.split())
    got = numpy.frombuffer(data).reshape(height, width)
    wanted = threshold_sauvola(page, window_size=2 * half + 1, k=0.2, r=128)
    worst = numpy.abs(got - wanted).max()
    check(worst < 1e-6, "Sauvola of page, window %d: differs by %.1e" % (2 * half + 1, worst))

check(run("ink", os.path.join(FOLDER, "horse.png")).split() == [b"43412", b"1", b"1"],
      "horse: 43412 pixels, one piece, one hole")
sys.exit(1 if failures else 0)
