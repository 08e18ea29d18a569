"""The marked drawings of all samples, and of twenty drawings of Debian's openclipart-svg where it is
installed: nothing overlaps. marked_real.py NARROWS SAMPLES"""
import os
import subprocess
import sys
import tempfile

from marked_sheet import Sheet

NARROWS, SAMPLES = sys.argv[1:]
CLIP_ART = "/usr/share/openclipart/svg"
CLIP_ART_COUNT, STEP = 20, 149
LEADERS_MOST = 0.02  # the share of pairs of leaders that may cross


def samples():
    with open(os.path.join(SAMPLES, "list"), encoding="ascii") as lines:
        for line in lines:
            words = line.split("#")[0].split()
            if words:
                yield os.path.join(SAMPLES, words[0]), words[1:]


def clip_art():
    """Every STEP-th drawing, over and over."""
    files = sorted(os.path.join(folder, name) for folder, _, names in os.walk(CLIP_ART)
                   for name in names if name.endswith(".svg"))
    for i in range(len(files)):
        yield files[i * STEP % len(files)], ["--wide", "150mm", "--cut", "inside", "--bit", "3mm"]


def check(art, options, folder):
    """The spots with a balloon; 0 where there is nothing to see."""
    try:
        done = subprocess.run([NARROWS, "check", art, *options, "-o", folder], capture_output=True,
                              timeout=600)
    except subprocess.TimeoutExpired:
        return 0
    if done.returncode != 1:
        return 0
    with open(os.path.join(folder, "marked.svg"), "rb") as file:
        sheet = Sheet(file.read())
    crossed, count = sheet.check(art), len(sheet.parts)
    assert crossed <= LEADERS_MOST * count * (count - 1) / 2, (art, crossed, count)
    print(f"{os.path.basename(art)}: {count} balloons, {len(sheet.dimensions)} dimensions, "
          f"{crossed} crossings of leaders")
    return count


with tempfile.TemporaryDirectory() as folder:
    for art, options in samples():
        check(art, options, folder)
    checked = 0
    for art, options in clip_art():
        checked += check(art, options, folder) > 1
        if checked == CLIP_ART_COUNT:
            break
