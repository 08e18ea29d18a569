"""Debian's clip art (package openclipart-png, public domain), looked at one by one: outline drawings
have to be recognised, solid art must not, be it silhouettes, rings, letters or lattices."""
import os
import re
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), '..', 'command'))

import program  # noqa: E402
from program import FITS, Case  # noqa: E402

PICTURES = '/usr/share/openclipart/png'

DRAWN_AS_LINES = [
    'animals/mammals/elephant_outline_matthe_r', 'decorations/right_bottom_corner_tri_',
    'electronics/bulb/lightbulb_notlit_benji_p_', 'food/desserts/glace_05_bw_jean-victor__01',
    'food/meats_and_eggs/hamburger_bw', 'food/meats_and_eggs/hot_dog_bw', 'food/onion_rings_bw',
    'geography/south-australia-outline', 'geography/victoria-outline',
    'geography/western-australia-outline', 'office/folder2', 'people/clothing/earring_frouke_01',
    'people/dancer_sketch_erich_schu_01', 'people/silhouette_female_2', 'people/silhouette_male_2',
    'plants/flowers/flower2_juliane_krug_01', 'shapes/arrows/arrow08_4',
    'special/patterns/pattern-puzzle-jigsaw-1', 'tools/simple_shovel_jeff_simps_01',
    'transportation/vehicles/wing_mitchell_johnson_si_', 'unsorted/Simbol_medicina',
    'unsorted/pecorella']

SOLID = [
    'animals/mammals/contour_bat', 'animals/mammals/contour_camel',
    'animals/mammals/contour_giraffe', 'animals/mammals/contour_kangaroo',
    'animals/mammals/echidna_01', 'animals/mammals/fawn_mo_01',
    'computer/icons/flat-theme/action/first_letter_upper',
    'computer/icons/flat-theme/action/grid', 'computer/icons/flat-theme/action/ring',
    'people/clothing/jewelry/wedding_rings_jarno_vas_',
    'signs_and_symbols/font_samples_revdoug_01',
    'signs_and_symbols/map_symbols/aiga_air_transportation1',
    'signs_and_symbols/map_symbols/aiga_bar_', 'signs_and_symbols/padlock_silhouette_a.j.__01',
    'special/patterns/pattern-dots-square-grid-10', 'special/patterns/pattern-herringbone-1',
    'special/patterns/pattern-herringbone-3', 'tools/keyring_as_',
    'transportation/roadsigns/rail_fence']


class DrawnLines(Case):
    def setUp(self):
        super().setUp()
        if not os.path.isdir(PICTURES):
            self.skipTest('the clip art of the package openclipart-png is missing')

    def outline(self, name, *more):
        result = self.run_here('outline', os.path.join(PICTURES, name + '.png'), '--wide', '200mm',
                               '-o', 'out.svg', *more)
        self.assertEqual(result.status, FITS, result.talk)
        return result.talk

    def test_outline_drawings_are_recognised(self):
        for name in DRAWN_AS_LINES:
            with self.subTest(name):
                self.assertRegex(self.outline(name), r'drawn as lines about .* --lines outer')

    def test_solid_art_is_not(self):
        for name in SOLID:
            with self.subTest(name):
                self.assertNotIn('drawn as lines', self.outline(name))

    def test_their_middles_are_curves(self):
        for name in DRAWN_AS_LINES:
            with self.subTest(name):
                self.outline(name, '--lines', 'middle')
                middle = re.search('<g id="middle">(.*?)</g>', self.read('out.svg').decode(), re.S)
                paths = re.findall(' d="([^"]*)"', middle.group(1))
                self.assertTrue(all(path.count('M') == 1 for path in paths), name)


if __name__ == '__main__':
    program.main()
