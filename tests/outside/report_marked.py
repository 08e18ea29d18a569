"""The marked drawing's layout, read back from the file: nothing overlaps, leaders do not cross."""
import subprocess
import sys

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
    assert min(case[3], 30) * 0.6 <= len(sheet.parts) <= 30, len(sheet.parts)
    words = " ".join(t.text or "" for t in sheet.root.iter(SVG + "text"))
    assert ("and %d more in spots.csv" % (case[3] - 30) in words) == (case[3] > 30)
    assert sheet.entries() == 0, (case, "ways lead round the art everywhere")
    sheet.check(case)


for each in CASES:
    check(each)
