"""Pictures that others published, against what they say of them.

usage: picture_files.py PROGRAM, the built picture_dump.

- PNG: the pngsuite of golang-1.19-src, 35 files, each with its pixels as text (.sng); its
  invalid-*.png must be refused.
- GIF: the gif-test-suite of gdk-pixbuf-tests: the first frame of each, with its pixels (.rgba).
- JPEG: the colour, grey, progressive and CMYK files of golang-1.19-src beside their PNG twins.
- gdk-pixbuf-tests' fail folder: every one must be refused.

Sources that are not installed are skipped by name.
"""

import glob
import os
import re
import struct
import subprocess
import sys

PROGRAM = sys.argv[1]
GO = "/usr/share/go-1.19/src/image"
GDK = "/usr/libexec/installed-tests/gdk-pixbuf/test-images"
failures = []
checked = 0


def check(good, text):
    global checked
    checked += 1
    if not good:
        failures.append(text)


def run(mode, path):
    return subprocess.run([PROGRAM, mode, path], capture_output=True, timeout=600)


def pixels(path):
    result = run("pixels", path)
    if result.returncode != 0:
        return None
    line, data = result.stdout.split(b"\n", 1)
    width, height = map(int, line.split())
    return width, height, data


def built_in(path):
    """False when the format's library was missing."""
    return b"no reader" not in run("pixels", path).stderr


def refused(path, mode="pixels"):
    result = run(mode, path)
    lines = result.stderr.decode().splitlines()
    return result.returncode == 2 and len(lines) == 1


def sng_block(text, name):
    found = re.search(r"^" + name + r"\s*\{(.*?)\}", text, re.S | re.M)
    return re.sub(r"#.*", "", found.group(1)) if found else ""


def sng_samples(row, depth):
    if depth == 16:
        return struct.unpack(">%dH" % (len(row) // 2), row)
    per_byte = 8 // depth
    return [byte >> (8 - depth * (k + 1)) & ((1 << depth) - 1) for byte in row for k in range(per_byte)]


def sng_pixels(path):
    """Width, height and red, green, blue, alpha as the .sng file at path has them."""
    text = open(path).read()
    width, height, depth = (
        int(re.search(name + r": (\d+)", text).group(1)) for name in ("width", "height", "bitdepth")
    )
    kind = sng_block(text, "IHDR")
    palette = re.findall(r"\(\s*(\d+),\s*(\d+),\s*(\d+)\)", sng_block(text, "PLTE"))
    clear = [int(n) for n in re.findall(r"\d+", sng_block(text, "tRNS"))]
    rows = re.search(r"pixels hex\n(.*?)\}", text, re.S).group(1).split("\n")[:height]
    most = (1 << depth) - 1
    channels = ("color" in kind and "palette" not in kind and 3 or 1) + ("alpha" in kind)
    out = bytearray()
    for line in rows:
        samples = sng_samples(bytes.fromhex(line.replace(" ", "")), depth)
        for x in range(width):
            p = list(samples[x * channels : (x + 1) * channels])
            if "palette" in kind:
                alpha = clear[p[0]] if p[0] < len(clear) else 255
                out += bytes(int(c) for c in palette[p[0]]) + bytes([alpha])
                continue
            alpha = p.pop() if "alpha" in kind else (0 if clear and p == clear else most)
            colour = p * 3 if len(p) == 1 else p
            out += bytes((2 * v * 255 + most) // (2 * most) for v in colour + [alpha])
    return width, height, bytes(out)


def check_png():
    files = sorted(glob.glob(GO + "/png/testdata/pngsuite/*.png"))
    for path in files:
        check(pixels(path) == sng_pixels(path[:-3] + "sng"), path + ": other pixels")
    for path in sorted(glob.glob(GO + "/png/testdata/invalid-*.png")):
        check(refused(path), path + " was not refused")
    return files


# Frames of no size, without data or beyond their canvas, which this program refuses, and a stream
# that giflib 5.2 cannot read.
GIF_REFUSED = {"image-outside-bg", "image-overlap-bg", "image-zero-height", "image-zero-size",
               "image-zero-width", "no-data", "max-codes"}


def plain(data):
    """Pixels, of which those that are transparent have no colour."""
    return [data[k : k + 4] if data[k + 3] else None for k in range(0, len(data), 4)]


def check_gif():
    folder = GDK + "/gif-test-suite/"
    names = [line.strip() for line in open(folder + "TESTS")] if os.path.exists(folder) else []
    names = [name for name in names if name and not name.startswith("#")]
    if names and not built_in(folder + "255-codes.gif"):
        return []
    for name in names:
        conf = open(folder + name + ".conf").read()
        frame = re.search(r"^pixels = (\S+)", conf, re.M)
        gif = folder + re.search(r"^input = (\S+)", conf, re.M).group(1)
        if not frame:
            continue
        if name in GIF_REFUSED:
            check(refused(gif), gif + " was not refused")
            continue
        wanted = open(folder + frame.group(1), "rb").read()
        got = pixels(gif)
        check(got and plain(got[2]) == plain(wanted), gif + ": other pixels")
    return names


def check_jpeg():
    pairs = [("video-001.jpeg", "video-001.png", 6), ("video-001.progressive.jpeg", "video-001.png", 6),
             ("video-001.cmyk.jpeg", "video-001.cmyk.png", 3), ("video-001.rgb.jpeg", "video-001.rgb.png", 4),
             ("video-001.221212.jpeg", "video-001.221212.png", 3),
             ("video-005.gray.jpeg", "video-005.gray.png", 6)]
    pairs = [p for p in pairs if os.path.exists(GO + "/testdata/" + p[0])]
    if pairs and not built_in(GO + "/testdata/" + pairs[0][0]):
        return []
    for jpeg, png, most in pairs:
        a, b = pixels(GO + "/testdata/" + jpeg), pixels(GO + "/testdata/" + png)
        good = a and b and a[:2] == b[:2]
        mean = sum(abs(x - y) for x, y in zip(a[2], b[2])) / len(a[2]) if good else 999
        # The PNG is the picture before it was packed, or what another decoder made of it.
        check(mean <= most, "%s: differs by %.2f levels in the mean" % (jpeg, mean))
    return pairs


def check_fail():
    files = sorted(glob.glob(GDK + "/fail/*"))
    for path in files:
        check(refused(path, "ink"), path + " was not refused with one line")
    return files


def main():
    parts = [("PNG of golang-1.19-src", check_png), ("GIF of gdk-pixbuf-tests", check_gif),
             ("JPEG of golang-1.19-src", check_jpeg), ("bad files of gdk-pixbuf-tests", check_fail)]
    for name, part in parts:
        files = part()
        print("%s: %s" % (name, "%d files" % len(files) if files else "SKIPPED, not installed or not built in"))
    for text in failures:
        print("FAILED", text)
    if failures:
        sys.exit(1)
    sys.exit(0 if checked else 77)


main()
