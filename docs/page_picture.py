"""Takes a picture of a page once its engine has answered: page_picture.py PAGE.HTML PICTURE.PNG.

Says so and does nothing where there is no chromium."""
import os
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), '..', 'tests', 'page'))
import browser  # noqa: E402


def main(page, picture):
    if not browser.CHROMIUM or not os.path.exists(page):
        print('No picture of the page: it takes chromium and a build that writes page.html',
              file=sys.stderr)
        return
    view = browser.Browser()
    try:
        view.size(1400, 940)
        view.theme('light')
        view.open(page)
        view.wait('document.documentElement.dataset.answers > 0 && engine.idle')
        view.screenshot(picture)
    finally:
        view.close()


main(*sys.argv[1:3])
