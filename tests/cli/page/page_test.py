# SPDX-License-Identifier: Apache-2.0
"""The report in a real browser: page_test.py PROGRAM PROJECT. Passes with a word where Chromium or its driver is missing
(Debian: chromium chromium-driver). Each test is told in the order in which a grower would meet it."""
import csv
import pathlib
import re
import sys
import tempfile
import time

from bench import Bench, season_of
from browser import browser, fits, missing, until

PROGRAM, PROJECT = sys.argv[1], pathlib.Path(sys.argv[2])
PHOTO = PROJECT / "samples/photos/plug-128-brassica.jpg"
HOSTILE = "\"><script>window.hit=1</script><img src=x onerror=\"window.hit=2\">'&</title></script>"
WORDS = ["empty", "one seedling", "two seedlings", "three seedlings", "four seedlings", "five seedlings", "six seedlings"]
RIGHT, DOWN, ENTER, HOME, ESCAPE = "\ue014", "\ue015", "\ue007", "\ue011", "\ue00c"
CONTROLS = ("button", "link", "spinbutton", "textbox", "checkbox", "gridcell", "grid", "DisclosureTriangle", "image")


def name_of(cell, count=None, more=""):
    look = ", look again" if cell["review"] and count is None and not more else ""
    return f"row {cell['row'] + 1} column {cell['col'] + 1}, {WORDS[cell['count'] if count is None else count]}{look}{more}"


def selector(row, col):
    return f".map [aria-label^='row {row} column {col},']"


def shown_rate(page, name):
    return page.run("""return [...document.querySelectorAll('.rate')].find(one =>
        one.firstElementChild.textContent === arguments[0]).querySelector('b').textContent""", name).replace('\u00a0', ' ')


def saved_table(page, bench):
    for old in bench.downloads.glob("*.csv"):
        old.unlink()
    page.click("#editor .save")
    file = until(lambda: next(bench.downloads.glob("*.csv"), None))
    return file, list(csv.DictReader(file.open()))


def test_cells_and_controls_have_names(page, bench, cells):
    names = page.names()
    said = sorted(name for role, name in names if role == "gridcell")
    assert said == sorted(map(name_of, cells)), set(said) ^ set(map(name_of, cells))
    nameless = [role for role, name in names if role in CONTROLS and not name.strip()]
    assert not nameless, nameless
    plots = [name for role, name in names if role == "image"]
    assert any(name.replace("\u00a0", " ").startswith("Germination: 82 %, 95 % interval 74 to 88 %") for name in plots), plots
    assert any(name.startswith("Cells by their number of seedlings: 23 with 0") for name in plots), plots


def test_says_what_the_terminal_says(page, bench, cells):
    lot = bench.lot("Rowan 12")
    assert shown_rate(page, "Germination") == f"{100 * lot['germination']['estimate']:.0f} %"
    assert shown_rate(page, "Gaps") == f"{100 * lot['gaps']['estimate']:.0f} %"
    answer = bench.braird("count", "--tray", "plug-128", "--crop", "kale", "--seeds", 1, "--sown", "2026-04-02", "--taken",
                          "2026-04-09", PHOTO)
    assert page.run("return document.querySelector('.advice strong').textContent") in answer


def test_fits_phones_and_desks_light_and_dark(page, bench, cells):
    fits(page, 1280, 900)
    light = page.run("return getComputedStyle(document.body).backgroundColor")
    page.dark(True)
    fits(page, 1280, 900)
    assert page.run("return getComputedStyle(document.body).backgroundColor") != light
    page.dark(False)
    fits(page, 360, 740, phone=True)
    boxes = page.run("""return [...document.querySelectorAll('[role=gridcell]')].map(one => {
        const box = one.querySelector('use').getBoundingClientRect(); return Math.min(box.width, box.height)})""")
    assert min(boxes) >= 24, min(boxes)  # WCAG 2.2, success criterion 2.5.8: targets of 24 px at least


def test_tapped_cell_is_corrected_and_counts_in_the_next_report(page, bench, cells):
    gap = next(cell for cell in cells if cell["count"] == 0)
    row, col = gap["row"] + 1, gap["col"] + 1
    page.tap(selector(row, col))
    assert page.run("return document.querySelector('#editor .which').textContent") == \
        f"Row {row}, column {col} braird counted: empty"
    colours = until(lambda: page.run("""
        const crop = document.querySelector('#editor canvas'), dots = crop.getContext('2d').getImageData(0, 0, 352, 352).data;
        return new Set(new Uint32Array(dots.buffer)).size""") > 500)
    assert colours  # the crop shows a photo
    fits(page, 360, 740, phone=True)
    page.tap("#editor [data-count='1']")
    names = page.names()
    assert ("gridcell", name_of(gap, 1, ", set by you")) in names
    nameless = [role for role, name in names if role in CONTROLS and not name.strip()]
    assert not nameless, nameless
    before = bench.lot("Rowan 12")
    file, rows = saved_table(page, bench)
    assert [(line["row"], line["col"], line["count"], line["drawn"]) for line in rows] == [(str(row), str(col), "1", "no")]
    assert file.name in page.run("return document.querySelector('#editor .state').textContent")
    assert "1 hand count noted" in bench.braird("check", "--counts", file)
    after = bench.lot("Rowan 12")
    assert after["empty"] == before["empty"] - 1 and after["germination"]["estimate"] > before["germination"]["estimate"]
    bench.braird("report", PHOTO.name, "--out", "next.html")
    page.open(bench.folder / "next.html")
    assert shown_rate(page, "Germination") == f"{100 * after['germination']['estimate']:.0f} %"
    assert shown_rate(page, "Gaps") == f"{100 * after['gaps']['estimate']:.0f} %"
    assert "1 cell was checked by hand." in page.run("return document.body.innerText")
    assert ("gridcell", name_of(gap, 1, ", checked by hand")) in page.names()


def test_keyboard_walks_and_sets(page, bench, cells):
    page.size(1280, 900)
    page.run("document.querySelector('[role=gridcell]').focus()")
    here = "return document.activeElement.getAttribute('aria-label')"
    page.press(RIGHT, RIGHT, DOWN)
    assert page.run(here).startswith("row 2 column 3,")
    page.press("5")
    assert page.run(here) == "row 2 column 3, five seedlings, set by you"
    page.press("\ue003")
    assert "set by you" not in page.run(here)
    page.press(ENTER)
    assert page.run("return document.activeElement.dataset.count") == "0"
    page.press(ESCAPE)
    page.press(HOME)
    assert page.run(here).startswith("row 2 column 1,")
    page.size(360, 740, phone=True)  # the map lies on its side there: down the page is along the row
    page.press(DOWN)
    assert page.run(here).startswith("row 2 column 2,")


def test_checking_all_proposed_cells_corrects_all_rates(page, bench, cells):
    page.size(1280, 900)
    drawn = page.run("return JSON.parse(document.querySelector('.tray-data').textContent).drawn")
    page.click(".walk")
    for _ in range(15):  # not yet all
        page.run("document.querySelector('#editor [data-count=\"1\"]').click(); document.querySelector('#editor .walk').click()")
    _, rows = saved_table(page, bench)
    assert {line["drawn"] for line in rows} == {"no"}
    for _ in range(5):
        page.run("document.querySelector('#editor [data-count=\"1\"]').click(); document.querySelector('#editor .walk').click()")
    file, rows = saved_table(page, bench)
    assert len(rows) == 20 and sum(line["drawn"] == "yes" for line in rows) == len(drawn) == 16
    assert "All rates of kale in plug-128, 1 seed a cell, are now corrected" in bench.braird("check", "--counts", file)
    lot = bench.lot("Rowan 12")
    bench.braird("report", "--lot", "Rowan 12", "--out", "corrected.html")
    page.open(bench.folder / "corrected.html")
    assert shown_rate(page, "Germination") == f"{100 * lot['germination']['estimate']:.0f} %"
    assert "corrected by the counter's error in 16 cells" in page.run("return document.body.innerText")
    assert "21 cells were checked by hand." in page.run("return document.body.innerText")


def test_prints_on_a4_and_letter(page, bench, cells):
    for width, height in ((8.27, 11.69), (8.5, 11)):
        sheet = page.pdf(width, height)
        assert sheet.startswith(b"%PDF-")
        pages = len(re.findall(rb"/Type\s*/Page\b", sheet))
        assert 1 <= pages <= 3, pages
    page.cdp("Emulation.setEmulatedMedia", media="print")
    assert page.run("return getComputedStyle(document.querySelector('.marks .several')).stroke") == "rgb(240, 228, 66)"
    page.cdp("Emulation.setEmulatedMedia", media="")


def test_hostile_names_stay_text(page, bench, cells):
    bench.braird("note", HOSTILE, "--crop", HOSTILE, "--supplier", HOSTILE, "--decided", HOSTILE)
    hostile = bench.folder / f"x{HOSTILE.replace('/', '')}.jpg"
    hostile.write_bytes(PHOTO.read_bytes() + b" ")
    bench.braird("count", "--keep", "--tray", "plug-128", "--seeds", 1, "--lot", HOSTILE, "--sown", "2026-04-02", hostile)
    bench.braird("report", "--lot", HOSTILE, "--out", "hostile.html", "--pictures", "pictures")
    page.open(bench.folder / "hostile.html")
    assert page.run("return document.title") == f"Lot {HOSTILE}"
    assert page.run("return [window.hit, document.images.length, document.scripts.length]") == [None, 1, 3]
    assert HOSTILE in page.run("return document.querySelector('.about').textContent")
    fits(page, 360, 740, phone=True)
    page.click(".walk")
    page.click("#editor [data-count='2']")
    _, rows = saved_table(page, bench)
    assert rows[0]["tray"] == hostile.name
    for picture in (bench.folder / "pictures").glob("*.svg"):
        page.open(picture)
        assert page.run("return document.documentElement.nodeName") == "svg", picture


def test_a_season_of_fifty_trays_is_light(page, bench, cells):
    season = season_of(bench, 50)
    season.braird("report", "--out", "season.html")
    size = (season.folder / "season.html").stat().st_size
    assert size <= 6_000_000, size
    page.cdp("Performance.enable", timeDomain="threadTicks")
    worked, waited = [], []
    for _ in range(3):
        page.open(season.folder / "season.html")
        waited.append(until(lambda: page.run("return performance.getEntriesByType('navigation')[0].loadEventEnd")) / 1000)
        worked.append(next(one["value"] for one in page.cdp("Performance.getMetrics")["metrics"]
                           if one["name"] == "ThreadTime"))
    print(f"  season of 50 trays: {size / 1e6:.2f} MB, loaded in {min(waited):.2f} s, {min(worked):.2f} of them at work")
    assert min(worked) < 1, worked  # seconds of processor time, which a busy machine stretches little
    assert page.run("return document.querySelectorAll('.map').length") == 50
    assert page.run("return document.images.length") == 50
    folded = "return document.querySelectorAll('details:not([open])').length"
    before = page.run(folded)
    page.run("dispatchEvent(new Event('beforeprint'))")
    assert before > 50 and page.run(folded) == 0  # folded trays are printed too
    page.run("dispatchEvent(new Event('afterprint'))")
    assert page.run(folded) == before
    page.cdp("Emulation.setEmulatedMedia", media="print")
    assert page.run("return new Set([...document.querySelectorAll('td, td small')].map(one => getComputedStyle(one).fontSize)).size") == 1
    page.cdp("Emulation.setEmulatedMedia", media="")
    page.run("document.querySelector('tbody a').click()")
    assert until(lambda: page.run("return document.querySelector('details.lot').open"))
    fits(page, 360, 740, phone=True)
    page.run("for (const one of document.querySelectorAll('details')) one.open = true")
    fits(page, 360, 740, phone=True)
    fits(page, 1280, 900)
    page.click(selector(1, 1))
    assert not page.run("return document.getElementById('editor').hidden")


def main():
    if missing():
        print(f"skipped: {', '.join(missing())} not installed")
        return
    with tempfile.TemporaryDirectory() as folder:
        bench = Bench(PROGRAM, PHOTO, pathlib.Path(folder) / "bench")
        cells = bench.keep("Rowan 12")
        bench.braird("report", PHOTO.name, "--out", "tray.html")
        size = (bench.folder / "tray.html").stat().st_size
        print(f"  one tray with its photo: {size / 1e6:.2f} MB")
        assert size <= 1_500_000, size
        with browser(bench.downloads) as page:
            page.size(1280, 900)
            page.open(bench.folder / "tray.html")
            for name, test in list(globals().items()):
                if not name.startswith("test_"):
                    continue
                began = time.monotonic()
                test(page, bench, cells)
                assert not (said := page.complaints()), (name, said)
                print(f"{name[5:].replace('_', ' ')}: {time.monotonic() - began:.1f} s", flush=True)


main()
