"""How fast the page is in a browser, with a large book: python3 page_benchmark.py PROGRAM [BATCHES]

Writes books of many batches (the fuchsia cuttings that ship; the season of plugs that the other benchmarks know),
serves them, and measures in Chromium in one run: how long until the first view is there, how long a frame takes while
the sheet is scrolled, how long from a changed number to the screen, how ten windows agree. The same season is then
edited in LibreOffice Calc (Debian: python3-uno), where there is one. Beside each time stands how busy the machine was,
with whatever else it did: times are longer then than the program's own.
"""

import os
import pathlib
import shutil
import statistics
import subprocess
import sys
import tempfile
import time

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent / "page"))
from browser import Browser  # noqa: E402
from phones_test import processor_time, write_batches  # noqa: E402
from serving import Served  # noqa: E402

FRAME = 1 / 60


def busy():
    """Processor time spent by everybody, and there to be spent, in seconds."""
    fields = [int(one) for one in pathlib.Path("/proc/stat").read_text().splitlines()[0].split()[1:9]]
    idle = fields[3] + fields[4]
    return sum(fields) - idle, sum(fields)


class Measured:
    """How long something takes, and which part of the machine others and we took meanwhile."""

    def __enter__(self):
        self.before = busy()
        self.begun = time.monotonic()
        return self

    def __exit__(self, *_):
        self.seconds = time.monotonic() - self.begun
        after = busy()
        self.load = (after[0] - self.before[0]) / max(1, after[1] - self.before[1])


def show(what, times, load=None):
    times = sorted(times)
    p99 = times[min(len(times) - 1, int(0.99 * len(times)))]
    print(f"{what}: median {1000 * statistics.median(times):.0f} ms, p99 {1000 * p99:.0f} ms, of {len(times)}"
          + (f"; the machine was busy {100 * load:.0f} %" if load is not None else ""), flush=True)


def window_time(window):
    """The processor time of the window's main thread, seconds."""
    metrics = window.command("POST", "/goog/cdp/execute", {"cmd": "Performance.getMetrics", "params": {}})["metrics"]
    return next(one["value"] for one in metrics if one["name"] == "TaskDuration")


def first_views(window, served):
    """From asking for the address to the view with its data, as the window measures it; five times each."""
    window.command("POST", "/goog/cdp/execute", {"cmd": "Performance.enable", "params": {"timeDomain": "threadTicks"}})
    for view, ready in [("/today?day=2027-05-03", ".order"), ("/season", ".season-row .bar"), ("/sheet", ".grid .row .cell sup"), ("/needs", "table.needs")]:
        times, own = [], []
        with Measured() as all_of_it:
            for _ in range(5):
                window.open("about:blank")
                before = processor_time(served.process.pid), window_time(window)
                window.open(served.url + view)
                times.append(window.run_async("""const [ready, done] = arguments;
                    const look = () => document.querySelector(ready) ? requestAnimationFrame(() => done(performance.now())) : setTimeout(look, 2);
                    look();""", ready) / 1000)
                after = processor_time(served.process.pid), window_time(window)
                own.append((after[0] - before[0], after[1] - before[1] if after[1] > before[1] else after[1]))
        show(f"first view {view}", times, all_of_it.load)
        print("  processor time: the first of the server {:.0f} ms and of the window {:.0f} ms, later {:.0f} and {:.0f} ms".format(
            *(1000 * one for one in own[0]), *(1000 * statistics.median(one[i] for one in own[1:]) for i in (0, 1))), flush=True)


def edits(window, served, count):
    """From the key that ends an edit to the frame that shows what follows from it, as the window measures it."""
    window.open(served.url + "/sheet")
    window.find(".grid .row .cell sup")
    for kept in (False, True):
        if not kept:
            window.click("#what-if")
        window.click(".grid .row .cell.open")
        window.run("performance.clearMeasures('edit')")
        with Measured() as all_of_it:
            for i in range(count):
                window.keys(*str(400 + i), "Enter")
                window.keys("Up")
                window.wait(lambda: window.run("return performance.getEntriesByName('edit').length") > i)
        durations = window.run("return performance.getEntriesByName('edit').map((one) => one.duration)")
        show("edit to screen, " + ("kept in the book" if kept else "only tried"), [one / 1000 for one in durations], all_of_it.load)
        if not kept:
            window.click(".trial button", "Let it go")
            window.click("#what-if")


def scrolling(window, served):
    """How long the frames are while the sheet is scrolled through, row by row and across."""
    window.open(served.url + "/sheet?all=1")
    window.find(".grid .row .cell sup")
    with Measured() as all_of_it:
        frames = window.run_async("""const done = arguments[0];
            const box = document.querySelector('.grid'); const frames = []; let before = null;
            const step = (now) => {
              if (before !== null) frames.push(now - before);
              before = now;
              if (frames.length === 240) return done(frames);
              box.scrollTop += 90; box.scrollLeft += 20;
              requestAnimationFrame(step);
            };
            requestAnimationFrame(step);""")
    show("a frame while scrolling", [one / 1000 for one in frames], all_of_it.load)
    late = sum(one > 1500 * FRAME for one in frames)
    print(f"  frames that came later than the next one was due: {late} of {len(frames)}")


def ten_windows(window, served, count):
    """How long after a change is kept each of ten windows of one browser has heard of it and is drawn."""
    tabs = [window.here()] + [window.tab() for _ in range(9)]
    for tab in tabs:
        window.turn_to(tab)
        window.open(served.url + "/sheet")
        window.find(".grid .row .cell sup")
        window.run_async("""const done = arguments[0];
            import('/web/server.js').then(({listen}) => { window.heard = []; listen('cells', () => window.heard.push(Date.now())); done(true); });""")
    times = []
    with Measured() as all_of_it:
        for i in range(count):
            begun = time.time()
            assert served.post("keep", {"changes": [{"change": f"B0.plants={1000 + i}"}]})[1]["done"]
            for tab in tabs:
                window.turn_to(tab)
                window.find(".grid .row .cell", str(1000 + i))
                times.append(window.run("return window.heard[window.heard.length - 1]") / 1000 - begun)
    show("ten windows, from the change to each", times, all_of_it.load)
    for tab in tabs[1:]:
        window.turn_to(tab)
        window.close_tab()
    window.turn_to(tabs[0])


# The values of `plug_season.bud` as formulas of a row: A name, B plants, C take, D pace, E ready, then these.
FORMULAS = ["E{r}-21", "E{r}-24", "CEILING(B{r}/C{r},1)", "CEILING(H{r}/100,1)", "CEILING(H{r}/72,1)", "H{r}/300", "B{r}/200", "CEILING(H{r}*1.05,1)", "M{r}*0.021", "J{r}*0.38",
            "J{r}*2.4", "P{r}*0.11", "J{r}+2", "R{r}*0.03", "(K{r}+L{r})*D{r}", "T{r}*19.5", "J{r}*24", "V{r}*0.014", "N{r}+O{r}+Q{r}+S{r}", "X{r}+U{r}+W{r}", "Y{r}/B{r}", "B{r}*0.29",
            "AA{r}-Y{r}", "AB{r}/AA{r}", "AB{r}/Y{r}"]


def write_workbook(path, batches):
    """The same season in a spreadsheet: a row a batch, and for each day of a year the trays on the bench and the hours of the crew."""
    import openpyxl
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.append(["Batch", "Plants", "Take", "Pace", "Ready"] + FORMULAS)
    last = batches + 1
    for i in range(batches):
        row = i + 2
        sheet.append([f"B{i}", 300 + i % 500, 0.85, 1, 46500 + i * 7 % 365] + ["=" + one.format(r=row) for one in FORMULAS])
    totals = book.create_sheet("Totals")
    for day in range(365):
        at = f"A{day + 1}"
        totals.append([46480 + day, f"=SUMIFS(Sheet.$J$2:$J${last},Sheet.$F$2:$F${last},\"<=\"&{at},Sheet.$E$2:$E${last},\">\"&{at})".replace("Sheet.", "Sheet!"),
                       f"=SUMIFS(Sheet.$T$2:$T${last},Sheet.$F$2:$F${last},{at})".replace("Sheet.", "Sheet!")])
    book.save(path)


def spreadsheet(batches, count):
    """An edit of the same season in LibreOffice Calc without a screen: until all is worked out, nothing is drawn."""
    try:
        import uno
        from com.sun.star.beans import PropertyValue
        from com.sun.star.connection import NoConnectException
    except ImportError:
        return print("LibreOffice Calc with python3-uno is not here: no comparison")
    with tempfile.TemporaryDirectory() as home:
        write_workbook(f"{home}/season.xlsx", batches)
        pipe = f"pipe,name=page{os.getpid()}"
        office = subprocess.Popen(["soffice", "--headless", "--norestore", f"--accept={pipe};urp;", f"-env:UserInstallation=file://{home}/profile"])
        try:
            resolver = uno.getComponentContext().ServiceManager.createInstance("com.sun.star.bridge.UnoUrlResolver")
            for _ in range(600):
                try:
                    context = resolver.resolve(f"uno:{pipe};urp;StarOffice.ComponentContext")
                    break
                except NoConnectException:
                    time.sleep(0.1)
            desktop = context.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", context)
            document = desktop.loadComponentFromURL(f"file://{home}/season.xlsx", "_blank", 0, (PropertyValue("Hidden", 0, True, 0),))
            document.calculateAll()
            season, totals = document.Sheets.getByIndex(0), document.Sheets.getByIndex(1)
            plants, cost, day = season.getCellRangeByName("B2"), season.getCellRangeByName("Y2"), totals.getCellRangeByName("B15")
            times, seen = [], set()
            with Measured() as all_of_it:
                for i in range(count):
                    begun = time.monotonic()
                    plants.Value = 2000 + 100 * i
                    seen.add((cost.Value, day.Value))
                    times.append(time.monotonic() - begun)
            assert len(seen) == count, "the spreadsheet does not follow"
            show("an edit in LibreOffice Calc, worked out and not drawn", times, all_of_it.load)
            document.close(True)
        finally:
            office.terminate()
            office.wait()


def season_of_plugs(folder, batches):
    """The season that the other benchmarks work out as well."""
    write_batches(folder, batches, "plug_season")
    shutil.copy(pathlib.Path(__file__).resolve().parent / "plug_season.bud", folder)


def served_with(program, batches, write):
    with Measured() as start:
        served = Served(program, prepare=lambda folder: write(folder, batches))
    print(f"{batches} batches ({write.__name__}) read and planned: {start.seconds:.2f} s; the machine was busy {100 * start.load:.0f} %", flush=True)
    return served


def main():
    program, batches = os.path.abspath(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 1000
    window = Browser(1280, 900)
    try:
        served = served_with(program, batches, write_batches)
        try:
            first_views(window, served)
            scrolling(window, served)
        finally:
            served.end()
        served = served_with(program, batches, season_of_plugs)
        try:
            edits(window, served, 100)
            ten_windows(window, served, 10)
        finally:
            served.end()
    finally:
        window.end()
    if shutil.which("soffice"):
        spreadsheet(batches, 20)


if __name__ == "__main__":
    main()
