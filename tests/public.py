"""What the library shows to others: its shared object defines the functions that the installed headers
declare as NW_API and nothing else, every public function is declared so, and the installed headers are
enough to build a program in strict C11, or in C++.

usage: public.py BUILD SHARED-LIBRARY (the compiler is CC or cc)"""
import json
import os
import re
import shlex
import shutil
import subprocess
import sys
import tempfile

DECLARED = re.compile(r'^(?!static|typedef)(NW_API )?(?:const )?\w+(?: \w+)? \**(nw_\w+)\(', re.M)
STRICT = ['-std=c11', '-pedantic', '-Wall', '-Wextra', '-Werror']


def headers(build):
    """(source, place below the folder of headers) of every header that is installed."""
    with open(os.path.join(build, 'meson-info', 'intro-installed.json'), encoding='utf-8') as file:
        for source, place in json.load(file).items():
            if source.endswith('.h'):
                yield source, place.split('/include/narrows/')[1]


def public_part(path):
    with open(path, encoding='utf-8') as file:
        return re.sub(r'#ifdef NARROWS_INSIDE.*?#endif', '', file.read(), flags=re.S)


def check_symbols(build, library):
    shown = set()
    for source, place in headers(build):
        for api, name in DECLARED.findall(public_part(source)):
            shown.add(name)
            if not api:
                yield f'{place}: {name} is not declared as NW_API'
    listing = subprocess.run(['nm', '-D', '--defined-only', library], capture_output=True, text=True,
                             check=True).stdout
    # OpenMP shares its locks between libraries under names of its own.
    defined = {name for name in (line.split()[2] for line in listing.splitlines())
               if not name.startswith('.gomp')}
    if not shown:
        yield 'no header shows any function'
    for name in sorted(defined - shown):
        yield f'{os.path.basename(library)}: {name} is shown, and no header declares it'
    for name in sorted(shown - defined):
        yield f'{os.path.basename(library)}: {name} is declared, and not there'


def check_headers(build, folder):
    """Each installed header alone, and all of them with a function called."""
    for source, place in headers(build):
        os.makedirs(os.path.dirname(os.path.join(folder, place)), exist_ok=True)
        shutil.copy(source, os.path.join(folder, place))
    places = sorted(place for _, place in headers(build))
    for names in [[place] for place in places] + [places]:
        program = os.path.join(folder, 'program.c')
        with open(program, 'w', encoding='utf-8') as file:
            file.write(''.join(f'#include <{name}>\n' for name in names) + 'int main(void) { return 0; }\n')
        compiler = shlex.split(os.environ.get('CC', 'cc'))
        run = subprocess.run([*compiler, *STRICT, '-I', folder, '-fsyntax-only', program],
                             capture_output=True, text=True, check=False)
        if run.returncode:
            yield f'{names[0]} as it is installed: {run.stderr}'


def check_cpp(build, folder):
    """A C++ program, where there is a compiler for one, asks for the functions by their C names. check_headers
    has put the headers there."""
    if not shutil.which('c++'):
        return
    places = sorted(place for _, place in headers(build))
    program, made = (os.path.join(folder, name) for name in ('program.cpp', 'program.o'))
    with open(program, 'w', encoding='utf-8') as file:
        file.write(''.join(f'#include <{name}>\n' for name in places) + 'void *asked = (void *)nw_art_load;\n')
    run = subprocess.run(['c++', '-I', folder, '-c', program, '-o', made], capture_output=True, text=True, check=False)
    names = subprocess.run(['nm', made], capture_output=True, text=True, check=False).stdout
    if run.returncode or ' U nw_art_load\n' not in names:
        yield f'the headers in C++: {run.stderr or names}'


def main():
    build, library = sys.argv[1:3]
    with tempfile.TemporaryDirectory() as folder:
        wrong = [*check_symbols(build, library), *check_headers(build, folder), *check_cpp(build, folder)]
    for text in wrong:
        print(text)
    print(f'{len(wrong)} things wrong' if wrong else 'what the library shows is what its headers declare')
    sys.exit(1 if wrong else 0)


main()
