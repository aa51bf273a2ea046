# SPDX-License-Identifier: Apache-2.0
"""Takes README.md's pictures of the report anew: pictures.py PROGRAM PROJECT. Needs Chromium and its driver."""
import base64
import pathlib
import subprocess
import sys
import tempfile
import time

from browser import browser, missing

PROGRAM, PROJECT = sys.argv[1], pathlib.Path(sys.argv[2])
PHOTO = PROJECT / "samples/photos/plug-128-brassica.jpg"
PLACE = PROJECT / "samples/pictures"


def braird(folder, *arguments):
    subprocess.run([PROGRAM, *map(str, arguments), "--ledger", f"{folder}/ledger.sqlite"], check=True, cwd=folder,
                   stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)


def take(page, name):
    time.sleep(0.5)  # the crop and the photo are drawn when they are decoded
    shot = page.cdp("Page.captureScreenshot", format="webp", quality=82)
    (PLACE / name).write_bytes(base64.b64decode(shot["data"]))
    print(f"{PLACE / name}: {(PLACE / name).stat().st_size // 1000} kB")


def main():
    if missing():
        sys.exit(f"{', '.join(missing())} not installed; on Debian: apt install chromium chromium-driver")
    PLACE.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder, browser(folder) as page:
        braird(folder, "count", "--keep", "--tray", "plug-128", "--crop", "kale", "--seeds", 1, "--lot", "Rowan 12", "--sown",
               "2026-04-02", "--taken", "2026-04-09", PHOTO)
        braird(folder, "report", PHOTO.name, "--out", "tray.html")
        page.size(1180, 830)
        page.open(f"{folder}/tray.html")
        take(page, "report-desk.webp")
        page.size(360, 740, phone=True)
        page.dark(True)
        page.open(f"{folder}/tray.html")
        page.tap(".map [aria-label^='row 6 column 6,']")
        page.tap("#editor [data-count='2']")
        take(page, "report-phone.webp")


main()
