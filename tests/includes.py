"""Checks the shape of the code: who includes whom, headers that stand alone, files that stay short,
and a library without globals that leaves printing and ending to its callers.

usage: includes.py TOP [STATIC-LIBRARY [THE-COMMAND'S-LIBRARY]] (the compiler is CC or cc)

The rooms, which are the folders of src, stand in one order. A file may include any header of its
own room, and of rooms before it their one face, <room/room.h>; everything else comes from outside.
No two files have the same name. Within a room no header includes itself on a way round, and no
files call each other in a circle, which the libraries' own symbols tell."""
import os
import re
import shlex
import subprocess
import sys
import tempfile

ORDER = ['base', 'geom', 'solid', 'picture', 'pieces', 'trace', 'svg', 'lines', 'fit', 'choose',
         'change', 'art', 'report', 'cli']
LONGEST_FILE = 450  # lines; the aim is 400
STRICT = ['-fsyntax-only', '-std=c11', '-Wall', '-Wextra', '-Wpedantic', '-Wshadow',
          '-Wstrict-prototypes', '-Wconversion', '-Werror', '-x', 'c']
# Sections of an object that a program can write to. Constant tables of pointers stand in
# .data.rel.ro, which is read-only once the program is loaded.
WRITABLE = re.compile(r'^(\.data(?!\.rel\.ro)|\.bss|\.tdata|\.tbss|\*COM\*)')
# What a library must leave to its callers (the C standard's names, and glibc's checked twins).
NOT_IN_A_LIBRARY = {'printf', '__printf_chk', 'puts', 'putchar', 'perror', 'exit', '_exit', 'abort',
                    'getenv', 'secure_getenv', 'setlocale'}
# What C libraries do each in its own way; base has the same for everywhere.
NOT_THE_SAME_EVERYWHERE = {'acos', 'asin', 'atan', 'atan2', 'cbrt', 'cos', 'exp', 'exp2', 'fma', 'hypot',
                           'log', 'log10', 'log2', 'pow', 'sin', 'sincos', 'tan', 'qsort', 'bsearch'}


def sources(top, room):
    """Every C file of a room, its own folders included."""
    for base, _, names in sorted(os.walk(os.path.join(top, 'src', room))):
        for name in sorted(names):
            if name.endswith(('.c', '.h')):
                yield os.path.join(base, name)


def included(path):
    with open(path, encoding='utf-8') as file:
        for number, text in enumerate(file, 1):
            found = re.match(r'\s*#\s*include\s*([<"])([^>"]+)[>"]', text)
            if found:
                yield number, found.group(1), found.group(2)


def wrong_include(top, room, quote, name):
    """What is wrong with including `name` in a file of `room`, or None."""
    owner, _, rest = name.partition('/')
    if quote == '"':
        return f'"{name}": headers are named from src, as in <{room}/{name}>'
    if owner not in ORDER or not rest or owner == room:
        return None
    if ORDER.index(owner) > ORDER.index(room):
        return f'<{name}> is of a later room'
    if rest != owner + '.h':
        return f'<{name}> is inside another room; its face is <{owner}/{owner}.h>'
    return None


def check_includes(top):
    for room in ORDER:
        for path in sources(top, room):
            for number, quote, name in included(path):
                wrong = wrong_include(top, room, quote, name)
                if wrong:
                    yield f'{os.path.relpath(path, top)}:{number}: {wrong}'


def check_names(top):
    seen = {}
    for room in ORDER:
        for path in sources(top, room):
            name = os.path.basename(path)
            if name in seen:
                yield f'{os.path.relpath(path, top)}: there is {os.path.relpath(seen[name], top)} too'
            seen[name] = path


def check_mentions(top):
    """Files that comments name and that are not there."""
    there = {name for base, _, names in os.walk(top) for name in names}
    for room in ORDER:
        for path in sources(top, room):
            with open(path, encoding='utf-8') as file:
                for number, text in enumerate(file, 1):
                    for name in re.findall(r'(?<![\w.>])[a-z_0-9]{4,}\.[ch]\b', text):
                        if name not in there and not re.match(r'\s*#\s*include', text):
                            yield f'{os.path.relpath(path, top)}:{number}: there is no {name}'


def without_comments(text):
    """The C text with every comment's letters as blanks, its strings as they are."""
    return re.sub(r'"(?:\\.|[^"\\\n])*"|/\*.*?\*/|//[^\n]*',
                  lambda found: found.group() if found.group()[0] == '"' else re.sub(r'[^\n]', ' ', found.group()),
                  text, flags=re.S)


def check_options(top):
    """The library says codes and numbers; only cli names options and commands."""
    for room in ORDER[:-1]:
        for path in sources(top, room):
            with open(path, encoding='utf-8') as file:
                text = without_comments(file.read())
            for found in re.finditer(r'"(?:\\.|[^"\\\n])*?(--[a-z]|narrows (check|bits|sizes|widen|outline|pieces)\b)[^"\n]*"', text):
                line = text.count('\n', 0, found.start()) + 1
                yield f'{os.path.relpath(path, top)}:{line}: {found.group()}: only cli names options'


def circle(arrows):
    """Things that lead to one another in a circle, or None; arrows: thing -> set of things."""
    done, way = set(), []

    def follow(thing):
        if thing in way:
            return way[way.index(thing):]
        if thing in done:
            return None
        way.append(thing)
        for other in sorted(arrows.get(thing, ())):
            found = follow(other)
            if found:
                return found
        way.pop()
        done.add(thing)
        return None

    for thing in sorted(arrows):
        found = follow(thing)
        if found:
            return found
    return None


def check_header_circles(top):
    arrows = {}
    for room in ORDER:
        for path in sources(top, room):
            if path.endswith('.h'):
                name = os.path.relpath(path, os.path.join(top, 'src'))
                arrows[name] = {found for _, _, found in included(path)}
    found = circle(arrows)
    if found:
        yield 'headers include one another: ' + ' -> '.join(found)


def check_calls(library):
    """Files that call each other in a circle, and calls of a later room."""
    owner, wanted = {}, []
    for member, name, flags, section in symbols(library):
        if section == '*UND*':
            wanted.append((member, name))
        elif 'g' in flags:
            owner[name] = member
    arrows = {}
    for member, name in wanted:
        if owner.get(name, member) != member:
            arrows.setdefault(member, set()).add(owner[name])
    found = circle(arrows)
    if found:
        yield 'files call one another: ' + ' -> '.join(found)


def check_engine_calls(top):
    """Files of the page's engine that call each other in a circle: it is built for WebAssembly alone, so
    its sources tell."""
    texts, owner = {}, {}
    for path in sources(top, os.path.join('cli', 'engine')):
        with open(path, encoding='utf-8') as file:
            texts[os.path.basename(path)] = without_comments(file.read())
    for name, text in texts.items():
        for function in re.findall(r'^(?!static)[a-z][\w *]*?\b(\w+)\([^;{}]*\)\n\{', text, re.M):
            owner[function] = name
    found = circle({name: {owner[word] for word in re.findall(r'\b(\w+)\(', text) if owner.get(word, name) != name}
                    for name, text in texts.items() if name.endswith('.c')})
    if found:
        yield 'files of the engine call one another: ' + ' -> '.join(found)


def check_lengths(top):
    for room in ORDER:
        for path in sources(top, room):
            with open(path, encoding='utf-8') as file:
                lines = sum(1 for _ in file)
            if lines > LONGEST_FILE:
                yield f'{os.path.relpath(path, top)}: {lines} lines, at most {LONGEST_FILE}'


def check_headers(top):
    compiler = shlex.split(os.environ.get('CC', 'cc'))
    for room in ORDER[:-1]:
        source = f'#include <{room}/{room}.h>\nextern int not_empty;\n'
        with tempfile.NamedTemporaryFile('w', suffix='.c') as file:
            file.write(source)
            file.flush()
            run = subprocess.run(compiler + STRICT + ['-I', os.path.join(top, 'src'), file.name],
                                 capture_output=True, text=True)
        if run.returncode:
            yield f'src/{room}/{room}.h does not compile alone:\n{run.stderr}'


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
        if section == '*UND*' and name in NOT_THE_SAME_EVERYWHERE:
            yield f'{member}: {name} is not the same everywhere; base/base.h has one that is'


def main():
    top = sys.argv[1]
    wrong = [*check_includes(top), *check_names(top), *check_mentions(top), *check_header_circles(top),
             *check_options(top), *check_engine_calls(top),
             *check_lengths(top), *check_headers(top)]
    if len(sys.argv) > 2:
        wrong += [*check_library(sys.argv[2]), *check_calls(sys.argv[2])]
    if len(sys.argv) > 3:
        wrong += check_calls(sys.argv[3])
    for text in wrong:
        print(text)
    print(f'{len(wrong)} things wrong' if wrong else 'includes, headers, lengths and symbols are right')
    sys.exit(1 if wrong else 0)


main()
