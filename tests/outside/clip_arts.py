"""Debian's clip art (packages openclipart-png and openclipart-svg, public domain), or any other
folders of art, all through 'narrows check --each' in one go: how many fit, have spots or are refused
and why, what took longest and most, and how busy the cores were. It is run by hand:

    python3 tests/outside/clip_arts.py NARROWS OUT FOLDER... [COUNT]

OUT is a new folder for the results; COUNT takes every so many of the files, to make about that
many. It ends with 1 where a check broke off, which none may, or took more than --each allows it.
"""
import collections
import json
import os
import re
import resource
import subprocess
import sys
import time

CUT = ['--wide', '200mm', '--cut', 'inside', '--bit', '1/8in']
SHOWN = 10
BROKEN = re.compile(r'broke off|process was lost|no process|--file-seconds|--file-memory')


def arts_of(folders, count):
    found = sorted(os.path.join(at, name) for folder in folders
                   for at, _, names in os.walk(folder) for name in names
                   if name.lower().endswith(('.png', '.svg')))
    return found[::max(1, len(found) // count)] if count else found


def kind_of(failure):
    """A refusal without what is its own: names, numbers, and what may help."""
    return re.sub(r'\d[\d.,]*', 'N', re.sub(r"'[^']*'", 'X', failure).split(';')[0])


def main(narrows, out, *rest):
    count = int(rest[-1]) if rest[-1].isdigit() else 0
    arts = arts_of(rest[:-1] if count else rest, count)
    begin = time.monotonic()
    done = subprocess.run([narrows, 'check', '--each', *CUT, '--json', '--verbose', '-o', out, '--',
                           *arts], capture_output=True, text=True, check=False)
    elapsed = time.monotonic() - begin
    rows = [json.loads(line) for line in done.stdout.splitlines()]
    assert len(rows) == len(arts), f'{len(rows)} answers for {len(arts)} files\n{done.stderr[-2000:]}'
    outcomes = collections.Counter('fits' if row.get('fits') else 'has spots' if 'fits' in row
                                   else kind_of(row['failure']) for row in rows)
    for outcome, number in outcomes.most_common():
        print(f'{number:6}  {outcome}')
    took = [(float(seconds), int(size), art) for art, seconds, size in
            re.findall(r"^narrows: '(.*)': (\d+\.\d+) s, (\d+) MB$", done.stderr, re.M)]
    for title, key in ('slowest', 0), ('largest', 1):
        print(title)
        for row in sorted(took, key=lambda row: -row[key])[:SHOWN]:
            print(f'{row[0]:8.2f} s {row[1]:6} MB  {row[2]}')
    usage = resource.getrusage(resource.RUSAGE_CHILDREN)
    print(f'{len(arts)} files in {elapsed:.0f} s, '
          f'{(usage.ru_utime + usage.ru_stime) / elapsed:.2f} cores busy of {os.cpu_count()}')
    broken = [row for row in rows if BROKEN.search(row.get('failure', ''))]
    for row in broken:
        print(row['art'], row['failure'], sep=': ')
    return 1 if broken else 0


if __name__ == '__main__':
    if len(sys.argv) < 4:
        sys.exit(__doc__)
    sys.exit(main(*sys.argv[1:]))
