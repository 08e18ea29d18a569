"""The marked drawing's layout, read back from the file: nothing overlaps, leaders do not cross."""
import re
import subprocess
import sys
import xml.etree.ElementTree as xml

from marked_sheet import SVG, Sheet

WRITER = sys.argv[1]
CASES = [(120, 80, 3.175, n) for n in (0, 1, 2, 12, 40, 300)] + [
    (15, 15, 1, 12), (15, 15, 1, 300), (900, 600, 6.35, 60), (60, 400, 3, 30), (500, 40, 2, 50),
    (1000, 3, 1, 20), (40.1, 40.1, 1, 60)]


def check(case):
    data = subprocess.run([WRITER, "marked", *map(str, case)], stdout=subprocess.PIPE, check=True)
    sheet = Sheet(data.stdout)
    assert abs(float(sheet.root.get("width")[:-2]) - sheet.size[0]) < 1e-9
    scale = (sheet.art[2] - sheet.art[0]) / case[0]
    assert abs(scale - round(scale)) < 1e-4 and (round(scale) == 1 or case[0] <= 40), scale
    assert len(sheet.parts) == min(case[3], 30), (case, len(sheet.parts))
    words = " ".join(t.text or "" for t in sheet.root.iter(SVG + "text"))
    listed = len(re.findall("(?:gap|neck) (?:pinch|stub|miss) ", words))
    more = re.search(r"and (\d+) more in spots\.csv", words)
    assert listed + (int(more[1]) if more else 0) == case[3], (case, listed)
    assert sheet.entries() == 0, (case, "ways lead round the art everywhere")
    sheet.check(case)
    return listed


def check_details(case, listed):
    """The second sheet: needed where spots have no balloon; the art is in it once, each window shows
    no number twice, and the list goes on where the first sheet's ended."""
    data = subprocess.run([WRITER, "details", *map(str, case)], stdout=subprocess.PIPE, check=True)
    if case[3] <= 2:
        assert not data.stdout
        return
    root = xml.fromstring(data.stdout)
    assert len([g for g in root.iter(SVG + "g") if g.get("id") == "art"]) == 1
    windows = root.findall(".//" + SVG + "use")
    assert len(windows) == 12, len(windows)
    words = [t.text for t in root.iter(SVG + "text")]
    first = words.index("at x, y")
    assert next(int(word) for word in words[first:] if word.isdigit()) == listed + 1, listed
    captions = [i for i, word in enumerate(words) if word in "ABCDEFGHIJK"][-11:]
    start = captions[0] - 1
    for begin, end in zip([start + 1] + captions, captions):
        numbers = [w for w in words[begin:end] if w.isdigit()]
        assert len(numbers) == len(set(numbers)), numbers
    assert any(w.isdigit() for w in words[captions[0]:captions[-1]])


for each in CASES:
    check(each)
for each in (120, 80, 3.175, 300), (120, 80, 3.175, 2):
    check_details(each, check(each))
