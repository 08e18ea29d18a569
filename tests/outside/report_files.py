"""The written files before other people's readers.

xmllint with the SVG 1.1 DTD of the W3C (w3c-sgml-lib); the audit of ezdxf; Python's own csv and
json. What is missing is named and skipped; exit status 77 when nothing at all could be tested.
"""
import csv
import io
import json
import math
import os
import shutil
import subprocess
import sys
import tempfile

CATALOG = "/usr/share/xml/w3c-sgml-lib/schema/dtd/catalog.xml"
WRITER = sys.argv[1]
SIZES = [("120", "80", "3.175", "12"), ("15", "15", "1", "0"), ("900", "300", "6.35", "3")]


def written(kind, sizes):
    run = subprocess.run([WRITER, kind, *sizes], stdout=subprocess.PIPE, check=True)
    return run.stdout


def check_svg(kinds):
    environment = dict(os.environ, XML_CATALOG_FILES=CATALOG)
    for kind in kinds:
        for sizes in SIZES:
            subprocess.run(["xmllint", "--nonet", "--noout", "--valid", "-"], check=True,
                           input=written(kind, sizes), env=environment)


def true_area(width, height):
    """Three quarters of an ellipse in Bézier's usual approximation, a square, less the hole."""
    w, h = width / 2, height / 2
    quarter = quarter_area(0.5522847498)
    r = min(w, h) / 4
    return w * h * (3 * quarter + 1) - math.pi * r * r


def quarter_area(k):
    """The area under the cubic (1, 0) (1, k) (k, 1) (0, 1): half the integral of x dy - y dx."""
    n = 2000
    points = []
    for i in range(n + 1):
        t = i / n
        u = 1 - t
        points.append((u**3 + 3 * u * u * t + 3 * u * t * t * k,
                       3 * u * u * t * k + 3 * u * t * t + t**3))
    return sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(points, points[1:])) / 2


def polygon_area(points):
    return sum(a.x * b.y - a.y * b.x for a, b in zip(points, points[1:] + points[:1])) / 2


def cubic(p, t):
    u = 1 - t
    return tuple(u**3 * a + 3 * u * u * t * b + 3 * u * t * t * c + t**3 * d
                 for a, b, c, d in zip(*p))


def segment_distance(p, a, b):
    x, y = b[0] - a[0], b[1] - a[1]
    along = ((p[0] - a[0]) * x + (p[1] - a[1]) * y) / ((x * x + y * y) or 1)
    along = min(1, max(0, along))
    return math.hypot(p[0] - a[0] - along * x, p[1] - a[1] - along * y)


def check_biarcs(points, width, height):
    """Places on the sample's upper right quarter lie within 0.005 mm of the written arcs."""
    w, h, k = width / 2, height / 2, 0.5522847498
    curve = [(width, h), (width, h + k * h), (w + k * w, height), (w, height)]
    lines = list(zip(points, points[1:] + points[:1]))
    worst = max(min(segment_distance(cubic(curve, i / 97), a, b) for a, b in lines)
                for i in range(98))
    assert worst < 0.005, worst


def check_dxf(ezdxf, make_path):
    for sizes in SIZES:
        with tempfile.NamedTemporaryFile(suffix=".dxf") as file:
            file.write(written("dxf", sizes))
            file.flush()
            document = ezdxf.readfile(file.name)
        audit = document.audit()
        assert not audit.errors and not audit.fixes, (audit.errors, audit.fixes)
        assert document.header["$INSUNITS"] == 4 and document.dxfversion == "AC1015"
        closed = [e for e in document.modelspace() if e.dxf.layer == "outline"]
        opened = [e for e in document.modelspace() if e.dxf.layer == "track"]
        assert len(closed) == 2 and all(e.closed for e in closed)
        assert len(opened) == 1 and not opened[0].closed
        area = sum(polygon_area(list(make_path(e).flattening(0.0005))) for e in closed)
        width, height = float(sizes[0]), float(sizes[1])
        flat = list(make_path(closed[0]).flattening(0.0005))
        check_biarcs([(p.x, p.y) for p in flat], width, height)
        perimeter = 2 * (width + height)
        # Nowhere further than 0.005 mm from the curves.
        assert abs(area - true_area(width, height)) < 0.005 * perimeter, (sizes, area)
        assert abs(document.header["$EXTMAX"][0] - width) < 1e-3


def check_lists():
    for sizes in SIZES:
        found = json.loads(written("json", sizes))
        rows = list(csv.DictReader(io.StringIO(written("csv", sizes).decode())))
        assert found["art"] == 'a <b> & "c".png' and found["bit"] == float(sizes[2])
        assert len(rows) == len(found["spots"]) == int(sizes[3])
        for row, spot in zip(rows, found["spots"]):
            assert int(row["id"]) == spot["id"] and row["side"] == spot["side"]
            assert float(row["x"]) == spot["at"][0] and float(row["y"]) == spot["at"][1]
            for name in ("width", "depth", "widen"):
                assert row[name] == ("" if spot[name] is None else row[name])
                assert spot[name] is None or float(row[name]) == spot[name]
        table = written("table", sizes).decode()
        assert max(len(line) for line in table.splitlines()) <= 80


check_lists()
if shutil.which("xmllint") and os.path.exists(CATALOG):
    check_svg(["svg", "marked"])
else:
    print("skipped: SVG against its DTD (xmllint and w3c-sgml-lib are not installed)")
try:
    import ezdxf
    from ezdxf.path import make_path
except ImportError:
    print("skipped: the DXF audit (python3-ezdxf is not installed)")
else:
    check_dxf(ezdxf, make_path)
