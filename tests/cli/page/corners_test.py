# SPDX-License-Identifier: Apache-2.0
"""Corner cells told by four taps, in a real browser: corners_test.py PROGRAM PROJECT. Passes with a word where Chromium or its
driver is missing."""
import json
import math
import pathlib
import shlex
import sys
import tempfile

from bench import Bench
from browser import browser, fits, missing

PROGRAM, PROJECT = sys.argv[1], pathlib.Path(sys.argv[2])
PHOTO = PROJECT / "samples/photos/plug-128-brassica.jpg"
RIGHT, ENTER = "\ue014", "\ue007"


def taps_make_the_command_that_counts_it(page, bench, cells):
    photo = bench.folder / "the grower's tray.jpg"
    photo.write_bytes(PHOTO.read_bytes() + b"  ")
    bench.braird("count", "--tray", "22x12", "--page", "by-hand.html", photo, status=1)
    page.open(bench.folder / "by-hand.html")
    assert page.run("return document.title") == "1 photo not counted"
    page.size(360, 740, phone=True)
    at = {(cell["row"], cell["col"]): (cell["x"], cell["y"]) for cell in cells}
    rows, cols = 1 + max(row for row, _ in at), 1 + max(col for _, col in at)
    for place in ((0, 0), (rows - 1, cols - 1), (0, cols - 1), (rows - 1, 0)):  # whatever comes after the first
        page.run("""const picture = document.querySelector('.picture img'), box = picture.getBoundingClientRect();
            const by = box.width / picture.naturalWidth * document.querySelector('.uncounted').dataset.scale;
            picture.dispatchEvent(new MouseEvent('click', {bubbles: true, clientX: box.left + by * arguments[0],
              clientY: box.top + by * arguments[1]}))""", *at[place])
    page.run("""const tray = document.querySelector('[name=tray]'); tray.value = arguments[0];
        tray.dispatchEvent(new Event('input'))""", f"{rows}x{cols}")
    said = "return document.querySelector('.uncounted code').textContent"
    fits(page, 360, 740, phone=True)
    command = shlex.split(page.run(said))
    assert command[:2] == ["braird", "count"] and command[-1] == str(photo), command
    counted = json.loads(bench.braird("count", "--json", *command[2:]))["trays"][0]
    assert (counted["rows"], counted["cols"]) == (rows, cols)
    far = [math.dist((cell["x"], cell["y"]), at[cell["row"], cell["col"]]) for cell in counted["cells"]]
    assert max(far) < 0.2 * counted["pitch_px"], max(far)
    page.run("document.querySelector('.picture').focus()")
    page.press(RIGHT, ENTER)  # the nearest corner goes there
    assert shlex.split(page.run(said)) != command and len(shlex.split(page.run(said))) == len(command)
    page.click(".told button")
    assert page.run("return document.querySelector('.uncounted [role=status]').textContent") == "Corner cells still to tap: 4."
    assert page.run("return document.querySelector('.uncounted code').hidden")


def main():
    if missing():
        print(f"skipped: {', '.join(missing())} not installed")
        return
    with tempfile.TemporaryDirectory() as folder:
        bench = Bench(PROGRAM, PHOTO, pathlib.Path(folder) / "bench")
        cells = json.loads(bench.braird("count", "--json", PHOTO))["trays"][0]["cells"]
        with browser(bench.downloads) as page:
            taps_make_the_command_that_counts_it(page, bench, cells)
            assert not (said := page.complaints()), said


main()
