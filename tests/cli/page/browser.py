# SPDX-License-Identifier: Apache-2.0
"""A headless Chromium, spoken to through its driver by the W3C WebDriver protocol (https://www.w3.org/TR/webdriver2/) with
Python's standard library alone. `cdp` reaches the browser's own debugging protocol through the driver."""
import base64
import contextlib
import json
import pathlib
import shutil
import subprocess
import tempfile
import time
import urllib.request

ELEMENT = "element-6066-11e4-a52e-4f735466cecf"  # how the protocol marks an element


def missing():
    """The programs that are not installed."""
    return [name for name in ("chromium", "chromedriver") if not shutil.which(name)]


class Browser:
    def __init__(self, driver_port, session):
        self.base = f"http://127.0.0.1:{driver_port}/session/{session}"

    def call(self, method, path, body=None):
        data = None if method == "GET" else json.dumps(body or {}).encode()
        request = urllib.request.Request(self.base + path, data, {"Content-Type": "application/json"}, method=method)
        try:
            with urllib.request.urlopen(request, timeout=60) as answer:
                return json.load(answer)["value"]
        except urllib.error.HTTPError as trouble:
            raise AssertionError(f"{method} {path}: {json.load(trouble)['value']['message'].splitlines()[0]}") from None

    def cdp(self, command, **parameters):
        return self.call("POST", "/goog/cdp/execute", {"cmd": command, "params": parameters})

    def open(self, file):
        self.call("POST", "/url", {"url": pathlib.Path(file).absolute().as_uri()})

    def run(self, script, *arguments):
        return self.call("POST", "/execute/sync", {"script": script, "args": list(arguments)})

    def find(self, selector):
        return self.call("POST", "/element", {"using": "css selector", "value": selector})[ELEMENT]

    def click(self, selector):
        self.call("POST", f"/element/{self.find(selector)}/click")

    def tap(self, selector):
        """A finger in the middle of the element."""
        point = {"type": "pointerMove", "duration": 0, "origin": {ELEMENT: self.find(selector)}, "x": 0, "y": 0}
        self.call("POST", "/actions", {"actions": [{
            "type": "pointer", "id": "finger", "parameters": {"pointerType": "touch"},
            "actions": [point, {"type": "pointerDown", "button": 0}, {"type": "pointerUp", "button": 0}]}]})

    def press(self, *keys):
        actions = [{"type": kind, "value": key} for key in keys for kind in ("keyDown", "keyUp")]
        self.call("POST", "/actions", {"actions": [{"type": "key", "id": "keyboard", "actions": actions}]})

    def size(self, width, height, phone=False):
        self.cdp("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=2 if phone else 1,
                 mobile=phone)

    def dark(self, on):
        features = [{"name": "prefers-color-scheme", "value": "dark" if on else "light"}]
        self.cdp("Emulation.setEmulatedMedia", features=features)

    def picture(self, file, whole=True):
        shot = self.cdp("Page.captureScreenshot", format="png", captureBeyondViewport=whole)
        pathlib.Path(file).write_bytes(base64.b64decode(shot["data"]))

    def pdf(self, width_in, height_in):
        printed = self.cdp("Page.printToPDF", paperWidth=width_in, paperHeight=height_in, preferCSSPageSize=False,
                           printBackground=False)
        return base64.b64decode(printed["data"])

    def complaints(self):
        """Errors and warnings that the console got since last asked."""
        return [entry["message"] for entry in self.call("POST", "/se/log", {"type": "browser"})
                if entry["level"] in ("SEVERE", "WARNING")]

    def names(self):
        """The accessibility tree: (role, name) of all that a screen reader is told of."""
        nodes = self.cdp("Accessibility.getFullAXTree")["nodes"]
        return [(node["role"]["value"], node.get("name", {}).get("value", "")) for node in nodes if not node["ignored"]]


@contextlib.contextmanager
def browser(downloads):
    """A fresh browser, ended with all it kept. Files that pages save land in `downloads`."""
    folder = tempfile.mkdtemp(prefix="braird-browser-")
    driver = subprocess.Popen(["chromedriver", "--port=0"], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
    session = None
    try:
        line = next(line for line in driver.stdout if "successfully on port" in line)
        port = int(line.split("on port ")[1].rstrip(".\n"))
        options = {
            "args": ["--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--no-first-run",
                     "--disable-background-networking", "--hide-scrollbars", f"--user-data-dir={folder}"],
            "prefs": {"download.default_directory": str(downloads), "download.prompt_for_download": False}}
        wanted = {"capabilities": {"alwaysMatch": {"browserName": "chrome", "goog:chromeOptions": options,
                                                   "goog:loggingPrefs": {"browser": "ALL"},
                                                   "unhandledPromptBehavior": "accept"}}}
        request = urllib.request.Request(f"http://127.0.0.1:{port}/session", json.dumps(wanted).encode(),
                                         {"Content-Type": "application/json"})
        with urllib.request.urlopen(request, timeout=60) as answer:
            session = json.load(answer)["value"]["sessionId"]
        yield Browser(port, session)
    finally:
        if session:
            with contextlib.suppress(Exception):
                urllib.request.urlopen(urllib.request.Request(
                    f"http://127.0.0.1:{port}/session/{session}", method="DELETE"), timeout=20).read()
        driver.terminate()
        driver.wait()
        shutil.rmtree(folder, ignore_errors=True)


def fits(page, width, height, phone=False):
    """Everything is to be seen without scrolling sideways."""
    page.size(width, height, phone)
    wide, over = page.run("""
        const wide = innerWidth, over = [...document.querySelectorAll('body :not(svg *, caption)')]
          .filter(one => one.checkVisibility() && one.getBoundingClientRect().right > wide + 1);
        return [[document.documentElement.scrollWidth, wide], over.map(one => one.outerHTML.slice(0, 80))];""")
    assert wide[0] <= wide[1] == width and not over, (width, wide, over)


def until(holds, seconds=10):
    """Waits for something to hold, and says what it came to."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        value = holds()
        if value:
            return value
        time.sleep(0.05)
    raise AssertionError("waited in vain")
