"""Shapes in, a grey picture out: a small anti-aliased rasteriser and a PNG writer.

A canvas holds one byte of ink a pixel, 0 for paper and 255 for ink. A shape is a list of closed
polygons; it covers a pixel by the exact area of the pixel that lies inside (signed areas summed
along each row, the non-zero rule). Only the standard library is used.
"""
import struct
import zlib


class Canvas:
    """Ink on a page of width x height pixels; shapes are given in units of `scale` pixels."""

    def __init__(self, width, height, scale=1.0, shift=(0.0, 0.0)):
        self.width, self.height = width, height
        self.scale, self.shift = scale, shift
        self.rows = [bytearray(width) for _ in range(height)]

    def paint(self, polygons, ink=255):
        """Lays ink (or paper, ink=0) over the area of the polygons."""
        deltas = {}
        for polygon in polygons:
            points = [((x + self.shift[0]) * self.scale, (y + self.shift[1]) * self.scale)
                      for x, y in polygon]
            for start, end in zip(points, points[1:] + points[:1]):
                add_edge(deltas, start, end, self.height)
        for y, row in deltas.items():
            cover_row(self.rows[y], row, self.width, ink)

    def erase(self, polygons):
        self.paint(polygons, 0)


def add_edge(deltas, start, end, height):
    """Adds to each row what the edge changes in coverage, pixel by pixel to the right."""
    (x0, y0), (x1, y1) = start, end
    if y0 == y1:
        return
    sign = 1.0
    if y0 > y1:
        x0, y0, x1, y1, sign = x1, y1, x0, y0, -1.0
    slope = (x1 - x0) / (y1 - y0)
    if y0 < 0:
        x0, y0 = x0 - slope * y0, 0.0
    y1 = min(y1, float(height))
    y = int(y0)
    while y < y1:
        top, bottom = max(y0, y), min(y1, y + 1)
        if bottom > top:
            add_row_edge(deltas.setdefault(y, {}), x0 + slope * (top - y0),
                         x0 + slope * (bottom - y0), sign * (bottom - top))
        y += 1


def add_row_edge(row, left, right, rise):
    if left > right:
        left, right = right, left
    left, right = max(left, 0.0), max(right, 0.0)
    first, last = int(left), int(right)
    if first == last:
        inside = (left + right) / 2 - first
        row[first] = row.get(first, 0.0) + rise * (1 - inside)
        row[first + 1] = row.get(first + 1, 0.0) + rise * inside
        return
    for x in range(first, last + 1):
        a, b = max(left, x), min(right, x + 1)
        share = rise * (b - a) / (right - left)
        inside = (a + b) / 2 - x
        row[x] = row.get(x, 0.0) + share * (1 - inside)
        row[x + 1] = row.get(x + 1, 0.0) + share * inside


def cover_row(pixels, row, width, ink):
    sum_so_far = 0.0
    places = sorted(row)
    for place, following in zip(places, places[1:] + [width]):
        sum_so_far += row[place]
        cover = min(1.0, abs(sum_so_far))
        place, following = min(place, width), min(following, width)
        if cover > 0.998:
            pixels[place:following] = bytes([ink]) * (following - place)
        elif cover > 0.002:
            for x in range(place, following):
                pixels[x] = int(pixels[x] + (ink - pixels[x]) * cover + 0.5)


def write_png(path, width, height, rows, channels=1, bits=8, ppi=0):
    """rows: one bytes-like object a row, channels bytes a pixel (bits 1: grey rows are packed)."""
    kind = {1: 0, 3: 2, 4: 6}[channels]
    if bits == 1:
        rows = [pack_row(row) for row in rows]
    plain = b''.join(b'\0' + bytes(row) for row in rows)
    above = [bytes(len(rows[0]))] + list(rows[:-1])
    differences = b''.join(b'\2' + bytes((a - b) & 255 for a, b in zip(row, up))
                           for row, up in zip(rows, above))
    data = min((zlib.compress(raw, 9) for raw in (plain, differences)), key=len)
    chunks = [(b'IHDR', struct.pack('>IIBBBBB', width, height, bits, kind, 0, 0, 0))]
    if ppi:
        per_metre = round(ppi / 0.0254)
        chunks.append((b'pHYs', struct.pack('>IIB', per_metre, per_metre, 1)))
    chunks += [(b'IDAT', data), (b'IEND', b'')]
    with open(path, 'wb') as file:
        file.write(b'\x89PNG\r\n\x1a\n')
        for name, body in chunks:
            file.write(struct.pack('>I', len(body)) + name + body)
            file.write(struct.pack('>I', zlib.crc32(name + body)))


def pack_row(row):
    """Grey bytes to one bit a pixel, the leftmost pixel in the highest bit."""
    bits = ''.join('1' if value >= 128 else '0' for value in row)
    bits += '0' * (-len(bits) % 8)
    return int(bits, 2).to_bytes(len(bits) // 8, 'big')
