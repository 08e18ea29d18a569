"""Every sample gets a verdict, and the samples show what they were drawn to show.

usage: samples.py NARROWS SAMPLES-FOLDER"""
import json
import os
import subprocess
import sys
import tempfile

# What must be among a sample's spots: (side, form); swan.png fits its bit at once.
EXPECTED = {
    'single-scull.png': {('gap', 'pinch'), ('gap', 'miss')},
    'shutter.png': {('neck', 'pinch')},
    'heron.png': {('gap', 'pinch'), ('gap', 'stub'), ('neck', 'miss')},
    'sign.png': {('gap', 'miss')},
    'swan.png': set(),
}
FILES = ['marked.svg', 'outline.dxf', 'outline.svg', 'spots.csv', 'spots.json']


def questions(samples):
    with open(os.path.join(samples, 'list'), encoding='utf-8') as file:
        for text in file:
            words = text.split('#')[0].split()
            if words:
                yield words[0], words[1:]


def wrong_with(narrows, samples, picture, options, folder):
    run = subprocess.run([narrows, 'check', os.path.join(samples, picture), *options,
                          '-o', folder, '--json'], capture_output=True, text=True)
    if run.returncode not in (0, 1):
        yield f'exit status {run.returncode}: {run.stderr}'
        return
    answer = json.loads(run.stdout)
    if answer['fits'] != (run.returncode == 0) or answer['fits'] != (not answer['spots']):
        yield f'exit status {run.returncode}, fits {answer["fits"]}, {len(answer["spots"])} spots'
    missing = [name for name in FILES if not os.path.getsize(os.path.join(folder, name))]
    if missing:
        yield f'empty: {missing}'
    wide = float(options[options.index('--wide') + 1].removesuffix('mm'))
    if abs(answer['size'][0] - wide) > 0.02:
        yield f'{answer["size"][0]} mm wide, asked for {wide}'
    found = {(spot['side'], spot['form']) for spot in answer['spots']}
    expected = EXPECTED.get(picture)
    if expected is not None and (not expected <= found or bool(expected) != bool(found)):
        yield f'expected {expected}, found {found}'


def main():
    narrows, samples = sys.argv[1:]
    wrong, seen = [], set()
    with tempfile.TemporaryDirectory() as folder:
        for picture, options in questions(samples):
            seen.add(picture)
            result = os.path.join(folder, os.path.splitext(picture)[0])
            wrong += [f'{picture}: {text}'
                      for text in wrong_with(narrows, samples, picture, options, result)]
    wrong += [f'{name}: nothing is asked of it' for name in sorted(os.listdir(samples))
              if name.endswith('.png') and name not in seen]
    print('\n'.join(wrong))
    sys.exit(1 if wrong or not EXPECTED.keys() <= seen else 0)


main()
