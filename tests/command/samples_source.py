"""The sample pictures are what their source draws: python3 samples_source.py SAMPLES-FOLDER

The pixels are compared, not the bytes: compression may differ from one zlib to the next."""
import os
import subprocess
import sys
import tempfile
import zlib


def pixels(path):
    """The header and the filtered pixels of a PNG, which leave nothing of the picture out."""
    with open(path, 'rb') as file:
        data = file.read()
    place, header, packed = 8, b'', b''
    while place < len(data):
        length = int.from_bytes(data[place:place + 4], 'big')
        name, body = data[place + 4:place + 8], data[place + 8:place + 8 + length]
        if name == b'IHDR':
            header = body
        elif name == b'IDAT':
            packed += body
        place += 12 + length
    return header, zlib.decompress(packed)


def main():
    samples = sys.argv[1]
    wrong = 0
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run([sys.executable, os.path.join(samples, 'make.py'), folder], check=True)
        drawn = sorted(os.listdir(folder))
        kept = sorted(name for name in os.listdir(samples) if name.endswith('.png'))
        if drawn != kept:
            print(f'drawn: {drawn}\nkept: {kept}')
            wrong += 1
        for name in set(drawn) & set(kept):
            if pixels(os.path.join(folder, name)) != pixels(os.path.join(samples, name)):
                print(f'{name} is not what its source draws')
                wrong += 1
    sys.exit(1 if wrong else 0)


main()
