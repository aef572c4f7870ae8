"""How fast the page is in a browser, with a large book: python3 page_benchmark.py PROGRAM [BATCHES]

Writes a book of many batches of the fuchsia cuttings that ship, serves it, and measures in Chromium: how long
until the first view is there, how long from a changed number to the screen, how long phones wait for a tick.
"""

import pathlib
import statistics
import sys
import tempfile
import threading
import time

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent / "page"))
from browser import Browser  # noqa: E402
from serving import ROOT, Served, new_id  # noqa: E402


def book(folder, batches):
    lines = ["batches:"]
    for i in range(batches):
        month, day = 3 + i % 7, 1 + i % 28
        lines += [f"  - batch: B{i}", "    protocol: softwood_cuttings", f"    plants: {300 + i % 500}", f"    ready: 2027-{month + 2:02}-{day:02}"]
    (folder / "site.yaml").write_text("site: Many batches\nprotocols: ../../protocols\n")
    (folder / "batches.yaml").write_text("\n".join(lines) + "\n")
    return folder


def show(what, times):
    times = sorted(times)
    print(f"{what}: median {1000 * statistics.median(times):.0f} ms, p99 {1000 * times[min(len(times) - 1, int(0.99 * len(times)))]:.0f} ms, of {len(times)}")


def first_views(window, served):
    for view, ready in [("/today?day=2027-05-03", ".order, .nothing"), ("/season", ".season-row .bar"), ("/sheet", ".grid .row .cell sup"), ("/needs", "table.needs")]:
        begun = time.monotonic()
        window.open(served.url + view)
        window.find(ready, seconds=120)
        print(f"first view {view}: {1000 * (time.monotonic() - begun):.0f} ms")


def edits(window, served, count):
    """From the key that ends an edit to the frame that shows what follows from it, as the window measures it."""
    window.open(served.url + "/sheet")
    window.find(".grid .row .cell sup", seconds=120)
    window.run("performance.clearMeasures('edit')")
    window.click("#what-if")
    window.click(".grid .row .cell.open")
    for i in range(count):
        window.keys(*str(400 + i), "Enter")
        window.keys("Up")
        window.wait(lambda: window.run("return performance.getEntriesByName('edit').length") > i)
    show("edit to screen, only tried", [one / 1000 for one in window.run("return performance.getEntriesByName('edit').map((one) => one.duration)")])


def phones(served, number, each):
    times, lost = [], []

    def phone(name):
        for i in range(each):
            begun = time.monotonic()
            if served.note(f'B{name} note "{i}" on 2027-03-01') != ["noted"]:
                lost.append(name)
            times.append(time.monotonic() - begun)
            time.sleep(max(0, 1 - (time.monotonic() - begun)))

    served.note('B0 note "first" on 2027-03-01')
    threads = [threading.Thread(target=phone, args=(name,)) for name in range(number)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    show(f"{number} phones, an entry each a second", times)
    print(f"entries sent {number * each + 1}, in the record {len(served.recorded())}, refused {len(lost)}")


def main():
    program, batches = sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else 1000
    with tempfile.TemporaryDirectory() as top:
        folder = pathlib.Path(top) / "book"
        folder.mkdir()
        begun = time.monotonic()
        served = Served(program, book(folder, batches))
        print(f"{batches} batches read and planned: {time.monotonic() - begun:.2f} s")
        window = Browser(1280, 900)
        try:
            first_views(window, served)
            edits(window, served, 100)
            phones(served, 20, 10)
        finally:
            window.end()
            served.end()


main()
