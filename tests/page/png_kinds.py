"""PNGs of every kind, depth, filter and interlace (ISO/IEC 15948:2004), damaged ones, a WebP with alpha, and a JPEG
with a profile of its colours, for what decodes them in the page."""
import base64
import json
import os
import random
import struct
import subprocess
import zlib

from program import chunk

HEAD = b'\x89PNG\r\n\x1a\n'
CHANNELS = {0: 1, 2: 3, 3: 1, 4: 2, 6: 4}
DEPTHS = {0: (1, 2, 4, 8, 16), 2: (8, 16), 3: (1, 2, 4, 8), 4: (8, 16), 6: (8, 16)}
ADAM7 = [(0, 0, 8, 8), (4, 0, 8, 8), (0, 4, 4, 8), (2, 0, 4, 4), (0, 2, 2, 4), (1, 0, 2, 2), (0, 1, 1, 2)]
WIDE, HIGH = 37, 23


def packed(levels, depth):
    bits = ''.join(f'{level:0{depth}b}' for level in levels)
    bits += '0' * (-len(bits) % 8)
    return int(bits, 2).to_bytes(len(bits) // 8, 'big')


def paeth(a, b, c):
    return min((abs(b - c), 0, a), (abs(a - c), 1, b), (abs(a + b - 2 * c), 2, c))[2]


def filtered(rows, step):
    """Each row by the next of the five filters."""
    before = bytes(len(rows[0]))
    for number, row in enumerate(rows):
        left, corner = bytes(step) + row, bytes(step) + before
        expected = [lambda a, b, c: 0, lambda a, b, c: a, lambda a, b, c: b, lambda a, b, c: (a + b) // 2, paeth][number % 5]
        yield bytes([number % 5]) + bytes((row[k] - expected(left[k], before[k], corner[k])) % 256 for k in range(len(row)))
        before = row


def made(kind, depth, interlace, extra=(), most=None, damage=lambda data: data):
    """Of random levels, all less than `most`; damage() is done to the deflated rows."""
    levels = random.Random(f'{kind} {depth}')
    pixels = [[[levels.randrange(most or 1 << depth) for _ in range(CHANNELS[kind])] for _ in range(WIDE)] for _ in range(HIGH)]
    step, body = max(1, depth * CHANNELS[kind] // 8), b''
    for x, y, dx, dy in ADAM7 if interlace else [(0, 0, 1, 1)]:
        rows = [packed([level for pixel in row[x::dx] for level in pixel], depth) for row in pixels[y::dy]]
        body += b''.join(filtered(rows, step)) if rows and rows[0] else b''
    header = struct.pack('>IIBBBBB', WIDE, HIGH, depth, kind, 0, 0, interlace)
    data = damage(zlib.compress(body))
    return HEAD + chunk(b'IHDR', header) + b''.join(extra) + chunk(b'IDAT', data[:50]) + chunk(b'IDAT', data[50:]) + chunk(b'IEND', b'')


def palette(count, alphas):
    colours = random.Random(count)
    return [chunk(b'PLTE', bytes(colours.randrange(256) for _ in range(3 * count))), chunk(b'tRNS', bytes(k % 256 for k in range(0, 3 * alphas, 3)))][:2 if alphas else 1]


def kinds():
    """(name, file) of all."""
    for kind, depths in DEPTHS.items():
        for depth in depths:
            for interlace in (0, 1):
                extra = palette(1 << depth, 1 << depth >> 1) if kind == 3 else []
                if kind in (0, 2):
                    extra = [chunk(b'tRNS', struct.pack('>H', 1) * CHANNELS[kind])]
                yield f'kind {kind}, {depth} bits, interlace {interlace}', made(kind, depth, interlace, extra)
    yield 'grey without what is clear', made(0, 8, 0)
    yield 'levels of few', made(2, 8, 0, [chunk(b'tRNS', struct.pack('>HHH', 1, 0, 1))], most=2)
    yield 'more than the rows', made(6, 8, 0, damage=lambda data: data + b'more')
    yield 'a damaged chunk that nobody needs', made(6, 8, 0, [chunk(b'pHYs', bytes(9))[:-1] + b'x'])


def damaged():
    """(name, file) of what nobody can read."""
    good, indexed = made(6, 8, 0), made(3, 4, 0, palette(9, 0))
    body = good.index(b'IDAT')
    yield 'a sum at the end that is wrong', made(6, 8, 0, damage=lambda data: data[:-1] + bytes([data[-1] ^ 1]))
    yield 'cut short', good[:-30]
    yield 'without an end', good[:-12]
    yield 'another byte', good[:body + 9] + bytes([good[body + 9] ^ 1]) + good[body + 10:]
    yield 'fewer rows', HEAD + chunk(b'IHDR', struct.pack('>IIBBBBB', WIDE, HIGH + 1, 8, 6, 0, 0, 0)) + good[33:]
    yield 'a depth that there is not', HEAD + chunk(b'IHDR', struct.pack('>IIBBBBB', WIDE, HIGH, 3, 6, 0, 0, 0)) + good[33:]
    yield 'no palette', made(3, 8, 0)
    yield 'a pixel beyond the palette', indexed
    yield 'something needed that nobody knows', good[:body - 4] + chunk(b'NEED', b'') + good[body - 4:]


def pixels_of(path):
    done = subprocess.run([os.environ['PICTURE_DUMP'], 'pixels', path], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, check=False)
    return done.stdout


def picture_of(path, kind):
    return subprocess.run([os.environ['PICTURE_AS'], kind], input=pixels_of(path), stdout=subprocess.PIPE, check=True).stdout


def webp_of(path):
    return picture_of(path, 'clear')


def strange_profile():
    """Of a screen whose red is blue and the other way round, and its levels light (ICC.1:2001-04)."""
    fixed = lambda *values: b'XYZ \0\0\0\0' + struct.pack('>iii', *[round(value * 65536) for value in values])
    red, green, blue = fixed(.4361, .2225, .0139), fixed(.3851, .7169, .0971), fixed(.1431, .0606, .7141)  # of sRGB, seen by D50
    words = b'desc' + struct.pack('>II', 0, 2) + b'x' + bytes(79)
    curve = b'curv' + struct.pack('>IIH', 0, 1, 256) + bytes(2)
    parts = {b'desc': words + bytes(-len(words) % 4), b'cprt': b'text\0\0\0\0x\0\0\0', b'wtpt': fixed(.9642, 1, .8249), b'rXYZ': blue, b'gXYZ': green, b'bXYZ': red,
             b'rTRC': curve, b'gTRC': curve, b'bTRC': curve}
    at, table = 128 + 4 + 12 * len(parts), struct.pack('>I', len(parts))
    for name, part in parts.items():
        table += name + struct.pack('>II', at, len(part))
        at += len(part)
    head = struct.pack('>I4sI4s4s4s12s4sI', at, bytes(4), 0x02100000, b'mntr', b'RGB ', b'XYZ ', struct.pack('>6H', 2020, 1, 1, 0, 0, 0), b'acsp', 0)
    return (head + bytes(24) + struct.pack('>iii', 63190, 65536, 54061)).ljust(128, b'\0') + table + b''.join(parts.values())


def with_profile(jpeg):
    body = b'ICC_PROFILE\0\1\1' + strange_profile()
    return jpeg[:2] + b'\xff\xe2' + struct.pack('>H', 2 + len(body)) + body + jpeg[2:]


def read_otherwise(js, folder):
    """The names of the files that the page reads in another way than the command does; js: what runs an expression there."""
    path = os.path.join(folder, 'kind')

    def written(data):
        with open(path, 'wb') as file:
            file.write(data)
        return path
    jpeg = picture_of(written(made(2, 8, 0)), 'jpeg')
    files = [*kinds(), *damaged(), ('a WebP with alpha', webp_of(written(made(6, 8, 0)))), ('a JPEG', jpeg), ('a JPEG with a profile of its colours', with_profile(jpeg))]
    read = js(f'''Promise.all({json.dumps([base64.b64encode(data).decode() for _, data in files])}.map(
        (letters) => readFile(new File([bytesOf(letters)], 'kind')).then(({{ pixels }}) => btoa(String.fromCharCode(...pixels)), () => '')))''')
    return [name for (name, data), letters in zip(files, read) if base64.b64decode(letters) != pixels_of(written(data)).partition(b'\n')[2]]
