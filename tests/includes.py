"""Checks the shape of the code: who includes whom, headers that stand alone, files that stay short,
and a library without globals that leaves printing and ending to its callers.

usage: includes.py TOP [STATIC-LIBRARY] (the compiler is CC or cc)

The folders of src stand in one order. A file may include any header of its own folder, and of
folders before it their one face, <folder/folder.h>; everything else comes from outside."""
import os
import re
import shlex
import subprocess
import sys
import tempfile

ORDER = ['base', 'picture', 'outline', 'fit', 'report', 'cli']
LONGEST_FILE = 450  # lines; the aim is 400
STRICT = ['-fsyntax-only', '-std=c11', '-Wall', '-Wextra', '-Wpedantic', '-Wshadow',
          '-Wstrict-prototypes', '-Wconversion', '-Werror', '-x', 'c']
# Sections of an object that a program can write to. Constant tables of pointers stand in
# .data.rel.ro, which is read-only once the program is loaded.
WRITABLE = re.compile(r'^(\.data(?!\.rel\.ro)|\.bss|\.tdata|\.tbss|\*COM\*)')
# What a library must leave to its callers (the C standard's names, and glibc's checked twins).
NOT_IN_A_LIBRARY = {'printf', '__printf_chk', 'puts', 'putchar', 'perror', 'exit', '_exit', 'abort',
                    'getenv', 'secure_getenv', 'setlocale'}


def sources(top, folder):
    base = os.path.join(top, 'src', folder)
    return [os.path.join(base, name) for name in sorted(os.listdir(base))
            if name.endswith(('.c', '.h'))]


def included(path):
    with open(path, encoding='utf-8') as file:
        for number, text in enumerate(file, 1):
            found = re.match(r'\s*#\s*include\s*([<"])([^>"]+)[>"]', text)
            if found:
                yield number, found.group(1), found.group(2)


def wrong_include(top, folder, quote, name):
    """What is wrong with including `name` in a file of `folder`, or None."""
    owner, _, rest = name.partition('/')
    if quote == '"':
        own = os.path.exists(os.path.join(top, 'src', folder, name)) and '/' not in name
        return None if own else f'"{name}" is not in this folder'
    if owner not in ORDER or not rest:
        return None
    if owner == folder:
        return None
    if ORDER.index(owner) > ORDER.index(folder):
        return f'<{name}> is of a later part'
    if rest != owner + '.h':
        return f'<{name}> is inside another part; its face is <{owner}/{owner}.h>'
    return None


def check_includes(top):
    for folder in ORDER:
        for path in sources(top, folder):
            for number, quote, name in included(path):
                wrong = wrong_include(top, folder, quote, name)
                if wrong:
                    yield f'{os.path.relpath(path, top)}:{number}: {wrong}'


def check_lengths(top):
    for folder in ORDER:
        for path in sources(top, folder):
            with open(path, encoding='utf-8') as file:
                lines = sum(1 for _ in file)
            if lines > LONGEST_FILE:
                yield f'{os.path.relpath(path, top)}: {lines} lines, at most {LONGEST_FILE}'


def check_headers(top):
    compiler = shlex.split(os.environ.get('CC', 'cc'))
    for folder in ORDER[:-1]:
        source = f'#include <{folder}/{folder}.h>\nextern int not_empty;\n'
        with tempfile.NamedTemporaryFile('w', suffix='.c') as file:
            file.write(source)
            file.flush()
            run = subprocess.run(compiler + STRICT + ['-I', os.path.join(top, 'src'), file.name],
                                 capture_output=True, text=True)
        if run.returncode:
            yield f'src/{folder}/{folder}.h does not compile alone:\n{run.stderr}'


def symbols(library):
    """(object file, name, defined, section) of every symbol in the static library."""
    listing = subprocess.run(['objdump', '-t', library], capture_output=True, text=True,
                             check=True).stdout
    member = ''
    for text in listing.splitlines():
        if ':     file format' in text:
            member = text.split(':')[0]
        found = re.match(r'[0-9a-f]+ (.{7}) (\S+)\s+[0-9a-f]+\s+(?:\.hidden )?(\S+)', text)
        if found:
            yield member, found.group(3), found.group(1), found.group(2)


def check_library(library):
    for member, name, flags, section in symbols(library):
        if name.startswith(('__asan', '__ubsan', '.Lubsan', '__odr_asan')):
            return  # a sanitized library carries the sanitizers' own data
    for member, name, flags, section in symbols(library):
        section_itself = 'd' in flags and name.startswith('.')
        if WRITABLE.match(section) and not section_itself and not name.startswith('.gomp'):
            yield f'{member}: {name} can be written to ({section}); the library has no globals'
        if section == '*UND*' and name in NOT_IN_A_LIBRARY:
            yield f'{member}: the library calls {name}'


def main():
    top = sys.argv[1]
    wrong = list(check_includes(top)) + list(check_lengths(top)) + list(check_headers(top))
    if len(sys.argv) > 2:
        wrong += list(check_library(sys.argv[2]))
    for text in wrong:
        print(text)
    print(f'{len(wrong)} things wrong' if wrong else 'includes, headers, lengths and symbols are right')
    sys.exit(1 if wrong else 0)


main()
