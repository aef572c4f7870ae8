"""Lays pictures out in a browser and looks for text that lies over other text or leaves its picture.

    browser_test.py PROGRAM [--keep FOLDER]

With --keep the pictures stay in FOLDER, each as SVG and as the browser shows it.
"""

import html
import json
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

import books

SKIPPED = 77
MOST = 1.0  # pixels by which boxes may overlap or stand out
QUARRY_LANE = books.ROOT / "examples" / "quarry_lane"
FERN_HILL = books.ROOT / "examples" / "fern_hill"

MEASURE = """
const round = v => Math.round(v * 10) / 10;
const found = {};
for (const holder of document.querySelectorAll('div[id]')) {
  const frame = holder.querySelector('svg').getBoundingClientRect();
  found[holder.id] = {
    width: round(frame.width), height: round(frame.height),
    texts: [...holder.querySelectorAll('text')].map(text => {
      const box = text.getBoundingClientRect();
      return [text.textContent, round(box.left - frame.left), round(box.top - frame.top),
              round(box.right - frame.left), round(box.bottom - frame.top)];
    })};
}
const out = document.createElement('pre');
out.id = 'measured';
out.textContent = JSON.stringify(found);
document.body.replaceChildren(out);
"""


def pictures(folder):
    """Each picture by name: what to give `budwood plan`."""
    year = books.year_of_batches(folder / "year")
    long = books.long_titles(folder / "long")
    tiny = books.one_day(folder / "tiny")
    all_batches = {"season_quarry_lane": [QUARRY_LANE], "season_today": [QUARRY_LANE, "--today", "2027-04-20"],
                   "season_fern_hill": [FERN_HILL], "season_year": [year, "--today", "2027-09-10"],
                   "season_one": [books.year_of_batches(folder / "one", 1)], "season_long": [long],
                   "season_tiny": [tiny], "season_room": [QUARRY_LANE, "--room", "mist_frame"],
                   "season_crew": [QUARRY_LANE, "--crew", "sowing"],
                   "season_days": [QUARRY_LANE, "--from", "2027-04-10", "--to", "2027-04-24"]}
    for name, book, batch in (("approach", QUARRY_LANE, "BM27-2"), ("cuttings", QUARRY_LANE, "FU27-2"),
                              ("long", long, "L1"), ("tiny", tiny, "T"), ("longest_id", long, "L" * 40)):
        all_batches["batch_" + name] = [book, "--batch", batch]
        all_batches["settings_" + name] = [book, "--batch", batch, "--settings"]
    all_batches["batch_today"] = [QUARRY_LANE, "--batch", "BM27-1", "--today", "2027-05-05"]
    all_batches["batch_first_day"] = [QUARRY_LANE, "--batch", "BM27-1", "--today", "2027-03-24"]
    return all_batches


def drawn(program, arguments):
    done = subprocess.run([program, "plan", *map(str, arguments), "--format", "svg"], capture_output=True, timeout=300)
    if not done.stdout:
        raise SystemExit(f"budwood plan {arguments} drew nothing:\n{done.stderr.decode()}")
    return done.stdout.decode()


def chromium(program, *arguments):
    with tempfile.TemporaryDirectory() as profile:
        return subprocess.run(
            [program, "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
             "--disable-background-networking", "--disable-component-update", "--disable-sync",
             "--hide-scrollbars", f"--user-data-dir={profile}", *arguments],
            capture_output=True, timeout=400).stdout.decode()


def measured(program, folder, svgs):
    body = "".join(f'<div id="{name}">{re.sub(r"^<[?].*?[?]>", "", svg)}</div>' for name, svg in svgs.items())
    page = folder / "page.html"
    page.write_text(f'<!doctype html><meta charset="utf-8"><body>{body}<script>{MEASURE}</script>')
    dom = chromium(program, "--dump-dom", page.as_uri())
    found = re.search(r'<pre id="measured">(.*?)</pre>', dom, re.S)
    if not found:
        raise SystemExit("the browser measured nothing:\n" + dom[:2000])
    return json.loads(html.unescape(found[1]))


def faults_of(picture):
    width, height, texts = picture["width"], picture["height"], picture["texts"]
    for text, left, top, right, bottom in texts:
        if left < -MOST or top < -MOST or right > width + MOST or bottom > height + MOST:
            yield f"leaves the picture: {text!r}"
    by_top = sorted(texts, key=lambda one: one[2])
    for i, (text, left, top, right, bottom) in enumerate(by_top):
        for other, left2, top2, right2, bottom2 in by_top[i + 1:]:
            if top2 > bottom - MOST:
                break
            if min(right, right2) - max(left, left2) > MOST and min(bottom, bottom2) - top2 > MOST:
                yield f"{text!r} and {other!r} overlap at {left2:.0f},{top2:.0f}"


def keep(program, folder, svgs, boxes):
    folder.mkdir(parents=True, exist_ok=True)
    for name, svg in svgs.items():
        (folder / f"{name}.svg").write_text(svg)
        size = f"--window-size={int(boxes[name]['width'])},{int(boxes[name]['height'])}"
        chromium(program, f"--screenshot={folder / name}.png", size, (folder / f"{name}.svg").absolute().as_uri())


def main():
    program = sys.argv[1]
    browser = shutil.which("chromium") or shutil.which("chromium-browser")
    if browser is None:
        print("SKIPPED: there is no chromium, so nobody looked whether text in pictures overlaps.")
        return SKIPPED
    # A browser from a snap sees no hidden or temporary folders; Debian's does.
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        svgs = {name: drawn(program, arguments) for name, arguments in pictures(folder).items()}
        boxes = measured(browser, folder, svgs)
        if sys.argv[2:3] == ["--keep"]:
            keep(browser, pathlib.Path(sys.argv[3]), svgs, boxes)
    wrong = 0
    for name in svgs:
        texts = boxes[name]["texts"]
        found = list(faults_of(boxes[name]))
        if not texts:
            found.append("has no text")
        wrong += len(found)
        for fault in found[:10]:
            print(f"{name}: {fault}")
        if len(found) > 10:
            print(f"{name}: and {len(found) - 10} more")
    print(f"{len(svgs)} pictures, {sum(len(one['texts']) for one in boxes.values())} texts, {wrong} faults")
    return 1 if wrong else 0


sys.exit(main())
