"""A real browser, spoken to in the W3C WebDriver protocol from Python's own library."""

import base64
import json
import pathlib
import re
import shutil
import subprocess
import tempfile
import time
import urllib.error
import urllib.request

DRIVER = shutil.which("chromedriver")
BROWSER = shutil.which("chromium")
ELEMENT = "element-6066-11e4-a52e-4f735466cecf"
KEYS = {"Enter": "\ue007", "Escape": "\ue00c", "Left": "\ue012", "Up": "\ue013", "Right": "\ue014", "Down": "\ue015", "Tab": "\ue004",
        "Alt": "\ue00a", "Control": "\ue009", "Shift": "\ue008"}


class Browser:
    """One window of a size; `phone` has touch and a small screen."""

    def __init__(self, width, height, phone=False):
        self.home = tempfile.mkdtemp(prefix="page-browser-")
        self.driver = subprocess.Popen([DRIVER, "--port=0"], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
        for line in self.driver.stdout:
            found = re.search(r"successfully on port (\d+)", line)
            if found:
                self.port = int(found[1])
                break
        options = {"binary": BROWSER, "args": ["--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", f"--user-data-dir={self.home}",
                                               "--disable-extensions", "--disable-component-update", "--disable-background-networking", "--no-first-run",
                                               f"--window-size={width},{height}", "--force-device-scale-factor=1", "--hide-scrollbars", "--lang=en-GB"]}
        if phone:
            options["mobileEmulation"] = {"deviceMetrics": {"width": width, "height": height, "pixelRatio": 2, "touch": True}}
        self.session = self.begin(options)
        self.command("POST", "/timeouts", {"script": 120000})
        if not phone:
            self.command("POST", "/window/rect", {"width": width, "height": height})

    def begin(self, options):
        """A machine that is busy may take the browser for dead before it has begun."""
        asked = {"capabilities": {"alwaysMatch": {"browserName": "chrome", "goog:chromeOptions": options, "goog:loggingPrefs": {"browser": "ALL"}}}}
        for left in (2, 1, 0):
            try:
                return self.call("POST", "/session", asked)["sessionId"]
            except AssertionError:
                if left == 0:
                    raise

    def call(self, method, path, body=None):
        request = urllib.request.Request(f"http://127.0.0.1:{self.port}{path}", json.dumps(body).encode() if body is not None else None,
                                         {"Content-Type": "application/json"}, method=method)
        try:
            with urllib.request.urlopen(request, timeout=180) as answer:
                return json.loads(answer.read())["value"]
        except urllib.error.HTTPError as error:
            raise AssertionError(json.loads(error.read())["value"]["message"]) from None

    def command(self, method, path, body=None):
        return self.call(method, f"/session/{self.session}{path}", body)

    def end(self):
        try:
            self.command("DELETE", "")
        finally:
            self.driver.terminate()
            self.driver.wait()
            self.driver.stdout.close()
            shutil.rmtree(self.home, ignore_errors=True)

    def open(self, url):
        self.command("POST", "/url", {"url": url})

    def tab(self):
        """The name of another window of the same browser, for `turn_to`."""
        return self.command("POST", "/window/new", {"type": "tab"})["handle"]

    def here(self):
        return self.command("GET", "/window")

    def turn_to(self, tab):
        self.command("POST", "/window", {"handle": tab})

    def close_tab(self):
        self.command("DELETE", "/window")

    def run(self, script, *arguments):
        return self.command("POST", "/execute/sync", {"script": script, "args": list(arguments)})

    def run_async(self, script, *arguments):
        return self.command("POST", "/execute/async", {"script": script, "args": list(arguments)})

    def find(self, css, text=None, seconds=60):
        """The first element that is shown and holds the text, as soon as there is one."""
        script = """const [css, text] = arguments;
            return [...document.querySelectorAll(css)].find((one) => one.getClientRects().length > 0 &&
              (text === null || one.textContent.includes(text) || (one.getAttribute('aria-label') || '').includes(text))) || null;"""
        return self.wait(lambda: self.run(script, css, text), seconds, f"{css} {text or ''}")

    def settle(self):
        """Waits until everything that was asked for is there and drawn."""
        self.wait(lambda: self.run("""return document.querySelector('.wait') === null && document.readyState === 'complete' &&
            [...document.images].every((one) => one.loading === 'lazy' || one.complete)"""), name="the whole view")
        self.run_async("const done = arguments[0]; requestAnimationFrame(() => requestAnimationFrame(() => done(true)));")

    def wait(self, what, seconds=60, name="something"):
        until = time.monotonic() + seconds
        while True:
            found = what()
            if found:
                return found
            if time.monotonic() > until:
                raise AssertionError(f"waited in vain for {name}: " + str(self.run("return document.body.innerText"))[:1500])
            time.sleep(0.05)

    def text(self):
        return self.run("return document.body.innerText")

    def click(self, css, text=None):
        element = self.find(css, text)
        self.run("arguments[0].scrollIntoView({block: 'center'})", element)
        self.wait_until_still(element)
        self.command("POST", f"/element/{element[ELEMENT]}/click", {})

    def wait_until_still(self, element):
        """What grows or goes above a button moves it: a click there and then would miss it."""
        where = lambda: self.run("const {x, y} = arguments[0].getBoundingClientRect(); return [x, y]", element)
        before = where()
        for _ in range(40):
            time.sleep(0.03)
            now = where()
            if now == before:
                return
            before = now

    def type(self, css, words, text=None):
        element = self.find(css, text)
        self.command("POST", f"/element/{element[ELEMENT]}/clear", {})
        self.command("POST", f"/element/{element[ELEMENT]}/value", {"text": words})

    def keys(self, *keys):
        """Presses keys at the place that has the focus; "Alt+Enter" holds the first one."""
        actions = []
        for key in keys:
            held = key.split("+") if len(key) > 1 else [key]
            held = [KEYS.get(one, one) for one in held]
            actions += [{"type": "keyDown", "value": one} for one in held] + [{"type": "keyUp", "value": one} for one in reversed(held)]
        self.command("POST", "/actions", {"actions": [{"type": "key", "id": "keys", "actions": actions}]})

    def drag(self, css, right, text=None, hold=None):
        """Pulls an element to the right by so many pixels; `hold` is called before it is let go."""
        element = self.find(css, text)
        self.run("arguments[0].scrollIntoView({block: 'center', inline: 'center'})", element)
        move = lambda x, duration, origin: {"type": "pointerMove", "duration": duration, "x": x, "y": 0, "origin": origin}
        start = [move(0, 0, element), {"type": "pointerDown", "button": 0}] + [move(right // 4, 60, "pointer") for _ in range(4)]
        pointer = lambda actions: self.command("POST", "/actions", {"actions": [{"type": "pointer", "id": "mouse", "actions": actions}]})
        pointer(start)
        if hold:
            hold()
        pointer([{"type": "pointerUp", "button": 0}])

    def network(self, there):
        """Cuts the network of the window, or gives it back."""
        self.command("POST", "/goog/cdp/execute", {"cmd": "Network.enable", "params": {}})
        self.command("POST", "/goog/cdp/execute", {"cmd": "Network.emulateNetworkConditions", "params": {
            "offline": not there, "latency": 0, "downloadThroughput": -1, "uploadThroughput": -1}})

    def complaints(self):
        """What the browser has complained about, refusals by its own policy included."""
        return [one["message"] for one in self.command("POST", "/se/log", {"type": "browser"}) if one["level"] == "SEVERE"]

    def picture(self, path):
        pathlib.Path(path).write_bytes(base64.b64decode(self.command("GET", "/screenshot")))
