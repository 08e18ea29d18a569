"""The marked drawings of all samples, and of twenty drawings of Debian's openclipart-svg where it is
installed, of a third of the samples and eight drawings without NARROWS_TEST_ALL: nothing overlaps. marked_real.py NARROWS SAMPLES"""
import json
import math
import os
import subprocess
import sys
import tempfile

from marked_sheet import Sheet

NARROWS, SAMPLES = sys.argv[1:]
CLIP_ART = os.environ.get("NARROWS_TEST_ART", "/usr/share/openclipart/svg")
ALL = os.environ.get("NARROWS_TEST_ALL")
CLIP_ART_COUNT, STEP = 20 if ALL else 8, 149
DOT_MM = 0.8  # from a spot without a dimension to the dot of its leader: half a cell of the ground
ENTRIES_MOST = 0.01  # the share of leaders, or one, that may cross art with a way round: others bar it


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
        cut = [["inside"], ["outside", "--tabs", "auto"]][i % 2]
        yield files[i * STEP % len(files)], ["--wide", "150mm", "--bit", "3mm", "--cut", *cut]


def check(art, options, folder):
    """The spots with a balloon, those that should have one, and how often leaders cross art with a way
    round; 0 where there is nothing to see."""
    try:
        done = subprocess.run([NARROWS, "check", art, *options, "-o", folder], capture_output=True,
                              timeout=600)
    except subprocess.TimeoutExpired:
        return 0, 0, 0
    if done.returncode != 1:
        return 0, 0, 0
    with open(os.path.join(folder, "marked.svg"), "rb") as file:
        sheet = Sheet(file.read())
    sheet.check(art)
    with open(os.path.join(folder, "spots.json"), "rb") as file:
        listed = json.load(file)
    scale = (sheet.art[2] - sheet.art[0]) / listed["size"][0]
    for k, dot in sheet.dots.items():
        x, y = listed["spots"][k - 1]["at"]
        place = sheet.art[0] + scale * x, sheet.art[3] - scale * y
        assert math.dist(dot, place) < DOT_MM, (art, k, dot, place)
    count, entries = len(sheet.parts), sheet.entries()
    print(f"{os.path.basename(art)}: {count} balloons, {len(sheet.dimensions)} dimensions, "
          f"{entries} leaders through art with a way round")
    return count, min(30, len(listed["spots"])), entries


with tempfile.TemporaryDirectory() as folder:
    done = [check(art, options, folder) for art, options in list(samples())[::1 if ALL else 3]]
    checked = 0
    for art, options in clip_art():
        done.append(check(art, options, folder))
        checked += done[-1][0] > 1
        if checked == CLIP_ART_COUNT:
            break
    balloons, worst, entries = (sum(each) for each in zip(*done))
    assert balloons == worst, "each of the worst thirty of each drawing has a balloon"
    assert entries <= max(1, ENTRIES_MOST * balloons), (balloons, entries)
