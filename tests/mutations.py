"""Do the tests notice when a constant changes? Builds narrows in a folder of its own, changes one
constant at a time, and runs the test that has to fail then.

usage: mutations.py [-l] [WORD]...

Only mutations whose file or text holds one of the words, if any are given; -l only lists them. Closes
with the number of mutations noticed, and fails if one was not. NARROWS_MUTATIONS names another folder
than build-mutations; the copy of the sources in it is renewed by every run."""
import os
import shutil
import subprocess
import sys

TOP = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
FOLDER = os.environ.get('NARROWS_MUTATIONS', os.path.join(TOP, 'build-mutations'))
SOURCE, BUILD = os.path.join(FOLDER, 'source'), os.path.join(FOLDER, 'build')
SECONDS = 600

# file, what stands there once, what takes its place in turn, the test of a part that must fail
MUTATIONS = [
    ('pieces/lettering.c', '#define LETTER_LEAST 4 ', ('3', '5'), 'pieces'),
    ('pieces/lettering.c', '#define LETTER_GAP 1.2', ('1.0', '1.5'), 'pieces'),
    ('pieces/lettering.c', '#define LETTER_HEIGHT 0.3', ('0.27', '0.33'), 'pieces'),
    ('pieces/lettering.c', '#define LETTER_WIDE 3.0 ', ('2.2', '4.5'), 'pieces'),
    ('pieces/lettering.c', '#define LETTER_JOINED 12.0 ', ('10.0', '14.0'), 'pieces'),
    ('pieces/lettering.c', '#define LETTER_JOIN_MOST 3 ', ('2', '4'), 'pieces'),
    ('pieces/lettering.c', '#define LETTER_CANDIDATES 20000 ', ('19999', '20001'), 'pieces'),
    ('pieces/piece_guess.c', '#define SHADOW_LONG 0.6', ('0.5', '0.7'), 'pieces'),
    ('pieces/piece_guess.c', '#define SHADOW_THICK 0.15', ('0.1', '0.2'), 'pieces'),
    ('pieces/ink_pieces.c', '#define FRAME_ROWS 0.9 ', ('0.45', '1.1'), 'pieces'),
    ('pieces/ink_pieces.c', '#define FRAME_REACH 0.85', ('0.5', '1.1'), 'pieces'),
    ('choose/rack.c', '#define MOST_BITS 1000', ('999', '1001'), 'choose_rack'),
    ('choose/rack.c', '#define LONGEST_LINE 400', ('399', '401'), 'choose_rack'),
    ('choose/rack.c', '#define LARGEST_BIT_MM 1000.0', ('999.0', '1001.0'), 'choose_rack'),
    ('choose/rack.c', '#define LARGEST_FEED 100000.0', ('99998.0', '100001.0'), 'choose_rack'),
    ('choose/choose.h', '#define NW_SIZE_MOST 100.0 ', ('90.0', '110.0'), 'choose_bits'),
    ('choose/choose.h', '#define NW_SIZE_WORTH 4.0 ', ('3.9', '4.2'), 'choose_bits'),
    ('choose/choose.h', '#define NW_NEAR_SHARE 0.01 ', ('0.007', '0.013'), 'choose_bits'),
    ('change/widening.c', '#define MOST_EASE_MM 5.0', ('4.9', '5.2'), 'change_widen'),
    ('change/widen.h', '#define NW_LEAST_EASE_MM 0.01', ('0.008', '0.012'), 'change_widen'),
    ('change/widen_lines.c', '#define SLOPE 0.25 ', ('0.5',), 'change_widen'),
    ('change/tab_choice.c', '#define TAB_OF_BIT 1.5 ', ('1.4', '1.6'), 'change_tabs'),
    ('change/tab_choice.c', '#define EACH_MM 250.0 ', ('248.0', '252.0'), 'change_tabs'),
    ('change/tab_choice.c', '#define EACH_MM2 15000.0', ('14900.0', '15100.0'), 'change_tabs'),
    ('change/tab_choice.c', '#define FEWEST 2 ', ('1', '3'), 'change_tabs'),
    ('change/tab_choice.c', '#define FEWEST_LARGE 3', ('2', '4'), 'change_tabs'),
    ('change/tab_choice.c', '#define LARGE_MM 150.0', ('148.0', '152.0'), 'change_tabs'),
    ('change/tab_choice.c', '#define MOST_AUTO 8', ('7', '9'), 'change_tabs'),
    ('change/tab_choice.c', '#define LIGHT_MM2 1500.0', ('1490.0', '1515.0'), 'change_tabs'),
    ('change/tab_choice.c', '#define CRUMB_MM2 100.0', ('98.0', '102.0'), 'change_tabs'),
    ('change/tabs.h', '#define NW_TAB_WIDEST_MM 100.0', ('99.0', '101.0'), 'change_tabs'),
    ('change/tabs_by_hand.c', '#define NEAR_BITS 1.5', ('1.4', '1.6'), 'change_tabs'),
    ('change/bridged.c', '#define LEAST_WIDTH_MM 0.1', ('0.09', '0.11'), 'change_bridges'),
    ('change/bridged.c', '#define MOST_WIDTH_MM 100.0', ('99.0', '101.0'), 'change_bridges'),
    ('change/bridge_holders.c', '#define LARGE_MM 60.0', ('58.0', '62.0'), 'change_bridges'),
    ('change/bridge_holders.c', '#define LARGE_MM2 1500.0', ('1400.0', '1650.0'), 'change_bridges'),
    ('picture/ink/ink_colour.c', '#define PALE_SHARE 0.02 ', ('0.01', '0.04'), 'picture_ink'),
    ('picture/ink/ink_colour.c', '#define TONE_SHARE 0.002 ', ('0.001', '0.004'), 'picture_ink'),
    ('picture/readers/bmp.c', 'x * NW_MM_PER_INCH / 1000', ('x * NW_MM_PER_INCH / 100', 'x'), 'picture_formats'),
    ('change/widen_side.c', '#define TRIM_MM 0.01 ', ('0.03', '0.05'), 'change_widen'),
    ('choose/bit_neck.c', 'fmax(diameter, stock)', ('diameter', 'stock'), 'choose_bits'),
    ('report/sheet/sheet_layout.c', '#define PAD_GROWTH 1.5', ('1.1', '4'), 'report'),
    ('report/sheet/sheet_legend.c', 'True size when printed at 100 %.', ('True size.',), 'report'),
    ('trace/tracing.c', 'TRACE_REACH_PX};\n    return options', ('0.1};\n    return options',), 'trace_known'),
]


def changed(text, old, new):
    """A #define gets another value; anything else is replaced."""
    if not old.startswith('#define'):
        return text.replace(old, new)
    return text.replace(old, ' '.join(old.split()[:2] + [new]) + ' ')


def build_and_run(test):
    """Whether the test passes; None: it was not built."""
    built = subprocess.run(['ninja', '-C', BUILD, f'tests/unit/unit_{test}'], stdout=subprocess.PIPE,
                           stderr=subprocess.STDOUT, text=True, check=False)
    if built.returncode:
        print(built.stdout[-2000:])
        return None
    try:
        return not subprocess.run([os.path.join(BUILD, 'tests', 'unit', f'unit_{test}')], cwd=BUILD,
                                  stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
                                  timeout=SECONDS, check=False).returncode
    except subprocess.TimeoutExpired:
        return False


def mutate(name, old, new, test):
    path = os.path.join(SOURCE, 'src', name)
    with open(path, encoding='utf-8') as file:
        text = file.read()
    if text.count(old) != 1:
        return f'{old!r} stands there {text.count(old)} times'
    try:
        with open(path, 'w', encoding='utf-8') as file:
            file.write(changed(text, old, new))
        passed = build_and_run(test)
    finally:
        with open(path, 'w', encoding='utf-8') as file:
            file.write(text)
    return 'cannot be built' if passed is None else 'SURVIVED' if passed else ''


def prepare(tests):
    """Copies, sets up and builds; the tests that pass."""
    os.makedirs(FOLDER, exist_ok=True)
    shutil.rmtree(SOURCE, ignore_errors=True)
    shutil.copytree(TOP, SOURCE, ignore=shutil.ignore_patterns('build*', '.git'), symlinks=True)
    if not os.path.exists(os.path.join(BUILD, 'build.ninja')):
        subprocess.run(['meson', 'setup', BUILD, SOURCE, '-Dpage=disabled', '-Ddefault_library=static'],
                       check=True, stdout=subprocess.DEVNULL)
    return {test for test in tests if build_and_run(test)}


def main():
    words = [word for word in sys.argv[1:] if word != '-l']
    wanted = [(name, old, new, test) for name, old, news, test in MUTATIONS for new in news
              if not words or any(word in name + ' ' + old for word in words)]
    if '-l' in sys.argv:
        for name, old, new, test in wanted:
            print(f'{name}: {old.strip()} -> {new.strip()} ({test})')
        return
    sound = prepare({test for _, _, _, test in wanted})
    noticed = 0
    for name, old, new, test in wanted:
        wrong = mutate(name, old, new, test) if test in sound else 'its test fails as it is'
        noticed += not wrong
        print(f'{wrong or "noticed"}: {name}: {old.strip()!r} -> {new.strip()!r} ({test})', flush=True)
    print(f'{noticed} of {len(wanted)} mutations noticed')
    sys.exit(0 if noticed == len(wanted) else 1)


main()
