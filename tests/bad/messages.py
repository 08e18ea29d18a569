"""What is said about a bad request or a bad file names the thing and says what to do next."""
import os
import sys

sys.path.insert(0, os.path.join(os.path.dirname(__file__), '..', 'command'))
import program  # noqa: E402
from program import Case, dumbbell, pgm, png, svg  # noqa: E402

CUT = ['--cut', 'inside', '--bit', '2mm']
ART = 'art.svg'
REQUESTS = [  # arguments; what is named; what to do
    (['check', ART, *CUT, '--stubs', 'open'], 'check does not take --stubs', 'option of widen'),
    (['pieces', ART, '--bit', '3'], 'pieces does not take --bit', 'check, bits, sizes, widen, outline'),
    (['check', ART, *CUT, '--json=yes'], '--json takes no value', "leave '=yes' out"),
    ([ART, *CUT], f"'{ART}'", f'narrows check {ART}'),
    ([*CUT, ART], "'--cut'", 'narrows check ART --cut'),
    (['check', ART, *CUT, '-wide', '9mm'], "'-wide'", '--wide meant'),
    (['check', ART, *CUT, '--output', 'out'], "'--output'", '-o meant'),
    (['check', ART, '--cut', 'inside', '--diameter', '3mm'], "'--diameter'", '--bit meant'),
    (['check', ART, '--bit', '2mm', '--cut'], '--cut needs a value', 'such as inside'),
    (['check', ART, '--cut', 'inside', '--bit'], '--bit needs a value', 'such as 1/8in'),
    (['check', ART, *CUT, '--keep'], '--keep needs a value', 'such as art'),
    (['check', ART, '--cut', 'inside', '--bit', '1/8'], "'1/8' has no unit", '1/8in'),
    (['check', ART, *CUT, '-o', '-'], '-o: check writes files into a folder', '--json'),
    (['check', ART, *CUT, '-o', 'grey.png'], "'grey.png' is a file", 'name a folder'),
    (['check', ART, ART, *CUT, '-o', 'grey.png'], "'grey.png' is a file", 'name a folder'),
    (['bits', ART, '--cut', 'inside', '-o', 'chart.svg'], "'chart.svg'", 'without such an ending'),
    (['widen', ART, *CUT, '-o', 'new.pdf'], "'new.pdf'", 'without such an ending'),
    (['widen', ART, *CUT, '--ease', '50mm'], '--ease', 'between 0.01 and 5 mm'),
    (['widen', ART, *CUT, '--longer', '0'], '--longer', 'a whole number from 1 to 1024'),
    (['check', ART, *CUT, '--stock', '2m'], '--stock', 'is the unit right'),
    (['check', ART, *CUT, '--rack', 'missing'], "'missing'", 'is the name right'),
    (['check', 'missing', *CUT], "'missing'", 'is the name right'),
    (['check', 'folder', *CUT], "'folder'", 'name a file in it'),
    (['outline', ART, '-o', 'missing/art.svg'], "'missing/art.svg'", 'make the folder'),
    (['check', 'grey.png', *CUT, '--wide', '9mm', '--smooth', '1m'], '--smooth', '50 pixels'),
    (['check', ART, *CUT, '--bit', '3'], '--bit is given twice', 'leave one of them out'),
    (['check', ART, '--cut', 'inside', '--bit', '1/8', 'in'], 'without a space', '1/8in'),
    (['check', '--cut', 'inside', '--wide', '8', '"', ART], 'without a space', '8"'),
    (['check', 'the', 'oar.svg', *CUT], "'the oar.svg'", 'quotes'),
    (['check', ART, 'my', 'old', 'oar.svg', *CUT], "'my old oar.svg'", 'quotes'),
    (['outline', 'my', 'art.svg'], "'art.svg'", 'in quotes'),
    (['outline', ART, '-o', 'art.ai'], "'art.ai'", 'art.svg'),
    (['check', ART, '--cut', 'inside'], 'which bit', '--bit 1/8in'),
    (['check', ART, '--bit', '3'], 'how the art is cut', '--cut inside, --cut outside'),
    (['check', ART, '--cut', 'inside', '--bit', '0.001mm'], '0.01mm', 'unit'),
    (['check', ART, '--cut', 'inside', '--bit', '2000'], '1000mm', 'unit'),
    (['check', ART, *CUT, '--wide', '20furlong'], "'20furlong'", '120mm'),
    (['check', ART, *CUT, '--wide', '2000000'], 'kilometre', 'unit'),
    (['check', ART, *CUT, '--wide', '0.01mm'], 'smaller', 'unit'),
    (['check', ART, *CUT, '--neck', '-3'], "'-3'", 'more than 0'),
    (['check', ART, *CUT, '--ppi', 'fine'], "'fine'", '300'),
    (['check', ART, *CUT, '--break-tabs'], '--break-tabs', '--tabs auto'),
    (['outline', ART, *CUT, '--bridge-count', '2'], '--bridge-count', '--bridge 5mm'),
    (['check', ART, '--cut', 'pocket', '--bit', '2mm', '--tabs', '2'], '--tabs', 'leave it out'),
    (['check', ART, *CUT, '--keep', '9'], "'9'", "'narrows pieces'"),
    (['check', ART, *CUT, '--drop', 'all'], "'all'", 'use a number'),
    (['check', ART, *CUT, '-o', 'missing/deep'], "'missing/deep'", 'make the one'),
    (['check', ART, ART, *CUT, '-o', 'missing/deep'], "'missing/deep'", 'make the one'),
    (['check', ART, *CUT, '--stock-size', '9mm,9mm'], 'too small', 'stock needed'),
    (['widen', ART, *CUT, '--stock-size', '9mm,9mm'], 'too small', 'stock needed'),
    (['bits', ART, '--cut', 'inside', '--json', '--csv'], '--json and --csv', 'give one'),
    (['bits', ART, '--cut', 'inside', '--rack', 'empty'], 'empty: no bit', 'fine, 1/16in'),
    (['widen', ART, *CUT, '--spots', '7'], "'7'", 'write for example'),
    (['check', 'grey.png', *CUT], 'how large', '--wide 120mm'),
    (['check', 'grey.png', *CUT, '--wide', '9mm', '--ink', 'alpha'], 'transparent', 'leave --ink'),
    (['check', 'grey.png', *CUT, '--wide', '9mm', '--ink', 'red'], '#ff0000', '--ink'),
    (['check', 'black.pgm', *CUT, '--wide', '9mm'], 'no shape', '--ink or --level'),
]
FILES = [  # bytes; what is named; what to do
    (b'', 'empty', 'get it again'),
    (b'hello\n' * 99, 'no picture of a known kind', 'save it as PNG'),
    (b'P5\n9 9\n255\n123', 'PNM', 'save it as PNG'),
    (png([b'\0\xff' * 9] * 18)[:60], 'PNG', 'save it as PNG'),
    (b'GIF89a\x01\0\x01\0\0\0\0;', 'GIF', 'save it as PNG'),
    (b'BM' + b'\0' * 60, 'BMP', 'save it as PNG'),
    (b'<html xmlns="x"/>', 'no picture of a known kind', 'SVG if it is a drawing'),
    (b'<svg><rect', 'line 1', 'plain SVG'),
    (svg('<path d="M0 0H9V9Z" fill="none"/>'), 'no shape', 'fill what is to be cut'),
    (svg('<path d="M0 0H9V9Z" fill="none" stroke="red" stroke-opacity="0"/>'), 'no shape', 'fill what is to be cut'),
    (svg('<text>oar</text>'), 'only text', 'into outlines'),
]


class Messages(Case):
    def setUp(self):
        super().setUp()
        self.write(ART, dumbbell())
        os.mkdir(self.path('folder'))
        self.write('grey.png', png([b'\xff' * 30] + [b'\xff' + b'\0' * 28 + b'\xff'] * 9))
        self.write('black.pgm', pgm([b'\0' * 9] * 9))
        self.write('empty', b'# nothing\n')
        self.write('the oar.svg', dumbbell())
        self.write('my old oar.svg', dumbbell())

    def said(self, arguments, *words):
        before = self.names()
        lines = self.refused(self.run_here(*arguments), *words)
        self.assertLessEqual(len(lines[-1]), 300)
        self.assertEqual(self.names(), before)

    def test_about_a_request(self):
        for arguments, *words in REQUESTS:
            with self.subTest(arguments=arguments):
                self.said(arguments, *words)

    def test_about_a_file(self):
        for data, *words in FILES:
            with self.subTest(data=data[:40]):
                self.write('bad', data)
                self.said(['check', 'bad', *CUT, '--wide', '90mm'], "'bad'", *words)


if __name__ == '__main__':
    program.main()
