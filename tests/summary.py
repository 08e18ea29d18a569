"""Meson's test log in, one closing line out: "N passed, N failed" (and ", N skipped").

usage: summary.py MESON-LOGS-FOLDER LOG EXIT-STATUS-OF-MESON

Each check of a program that reports in TAP counts; any other test counts as one. Failures are named,
and the exit status is 1 when there is one, or when meson itself failed or ran nothing."""
import json
import os
import re
import sys

CHECK = re.compile(r'^(not )?ok\b([^#]*)(#\s*(skip|todo)\b.*)?', re.IGNORECASE)


def checks_of(record):
    """(passed, failed names, skipped) within one test of meson's."""
    passed, failed, skipped = 0, [], 0
    for line in record.get('stdout', '').splitlines():
        found = CHECK.match(line)
        if not found:
            continue
        if found.group(4):
            skipped += 1
        elif found.group(1):
            failed.append(f"{record['name']}: {found.group(2).strip()}")
        else:
            passed += 1
    return passed, failed, skipped


def count(record):
    passed, failed, skipped = checks_of(record)
    good = record['result'] in ('OK', 'EXPECTEDFAIL')
    if record['result'] == 'SKIP' and not passed and not skipped:
        return 0, [], 1
    if not good and record['result'] != 'SKIP' and not failed:
        failed = [f"{record['name']}: {record['result']}"]
    if good and not passed and not skipped and not failed:
        passed = 1
    return passed, failed, skipped


def main():
    folder, log, status = sys.argv[1], sys.argv[2], int(sys.argv[3])
    records = []
    path = os.path.join(folder, 'testlog.json')
    if os.path.exists(path):
        with open(path, encoding='utf-8') as file:
            records = [json.loads(line) for line in file if line.strip()]
    passed, failed, skipped, names_skipped = 0, [], 0, []
    for record in records:
        p, f, s = count(record)
        passed, failed, skipped = passed + p, failed + f, skipped + s
        if s:
            names_skipped.append(record['name'])
    if not failed and (status or not records):
        failed = [f'meson test: exit status {status}, {len(records)} tests ran']
    if failed:
        with open(log, encoding='utf-8', errors='replace') as file:
            sys.stdout.write(file.read())
    for name in names_skipped:
        print(f'skipped: {name}')
    for name in failed:
        print(f'failed: {name}')
    print(f'{passed} passed, {len(failed)} failed' + (f', {skipped} skipped' if skipped else ''))
    sys.exit(1 if failed else 0)


main()
