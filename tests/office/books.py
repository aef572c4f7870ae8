"""Books for the tests of calendars and spreadsheets, and the program that reads them."""

import csv
import io
import os
import pathlib
import shutil
import subprocess
import tempfile
import unittest

ROOT = pathlib.Path(__file__).resolve().parents[2]
EXAMPLES = [ROOT / "examples" / name for name in ("quarry_lane", "fern_hill")]
program = ""

PROTOCOL = """protocol division "Division of clumps" {
  edition 2
  crop "hosta"
  supply clump "Clump" in clumps
  supply mix "Potting mix" in L pack 50 L
  supply tray "Tray, 20 cells" in trays reused
  part crown "Crown"
  stage cutting_up of crown {
    lasts 1 day
    room bench
    loses 4 %
    do "Wash, cut into crowns" on day 1 {
      rate 40 per hour
      crew cutting
      use 1 clump per 6
      use 1 tray per 20
      record crowns in plants
    }
  }
  stage growing_on of crown {
    lasts 5 weeks to 7 weeks usually 6 weeks
    room tunnel
    loses 10 %
    keep air 16 degC
    do "Look over" every 14 days from day 7 { time 20 min }
    do "Pot on" on last day { rate 80 per hour  crew potting  use 1.5 L mix each }
  }
}
"""
SITE = """site: Willow Yard
currency: EUR
working: {days: [mon, tue, wed, thu, fri]}
rooms: {bench: {holds: 300 plants}, tunnel: {holds: 400 plants}}
crews: {potting: {people: 2, hours: 6 h, cost: 21}, cutting: {people: 1, hours: 6 h}}
supplies:
  mix: {on_hand: 30 L, price: 9.90 per pack, lead_time: 5 days}
  clump: {price: 2.40, scrap: 5 %}
  tray: {on_hand: 100, price: 1.10}
"""
BATCHES = """batches:
  - {batch: D1, protocol: division, plants: 120, ready: 2027-06-11}
  - {batch: D2, protocol: division edition 2, plants: 60, ready: 2027-07-09}
"""

# Titles as an unkind file could hold them; each is a work of its own.
UNKIND_TITLES = [
    "=1+1", "+2", "-3", "@SUM(A1)", "semicolon; comma, backslash \\\\ colon:",
    "BEGIN:VEVENT", "http://example.invalid/ & <b>", "_x0041_ literal", "tab\there",
    "\U0001F331" * 120, "x" + "\u00e4\U0001F331;," * 200, "e\u0301" * 80,
    "right \u202e left \u200f mark", "bell \x07 escape \x1b[2J", "  blanks  ",
    "A" * 1990, "\uffff no character",
]


def quoted(title):
    return '"' + title.replace('"', '\\"') + '"'


UNKIND_PROTOCOL = (
    'protocol unkind "Unkind" {\n  part plant "Plant"\n  stage only of plant {\n    lasts 30 days\n'
    "    room bench\n    keep air 20 degC\n"
    + "".join(f"    do {quoted(t)} on day {i + 1} within 3 days {{ time 20 min }}\n"
              for i, t in enumerate(UNKIND_TITLES))
    + "  }\n}\n")
UNKIND_SITE = 'site: "A & B; \\"C\\", \\u00e4 <D> \\U0001F331"\nrooms: {bench: {}}\n'
UNKIND_BATCHES = (
    "batches:\n"
    '  - {batch: U1, protocol: unkind, plants: 50, ready: 2027-06-11, note: "a\\nb"}\n')


class Result:
    def __init__(self, done):
        self.status = done.returncode
        self.raw = done.stdout
        self.err = (done.stderr or b"").decode()


def run(*arguments, stdout=subprocess.PIPE, **more):
    done = subprocess.run([program, *map(str, arguments)], stdout=stdout, stderr=subprocess.PIPE,
                          stdin=subprocess.DEVNULL, timeout=300, **more)
    return Result(done)


def rows(*arguments):
    """What the program gives as CSV: the heads, and the rows as dictionaries."""
    result = run(*arguments, "--format", "csv")
    assert result.status in (0, 1) and result.raw, result.err
    table = list(csv.reader(io.StringIO(result.raw.decode(), newline="")))
    return table[0], [dict(zip(table[0], row)) for row in table[1:]]


def plain(field):
    """A text of the CSV without the apostrophe that keeps it from being a formula."""
    return field[1:] if field[:1] == "'" and field[1:2] in "=+-@\t\r" else field


class BookTest(unittest.TestCase):
    def setUp(self):
        self.folder = pathlib.Path(tempfile.mkdtemp(prefix="budwood_office_"))
        os.chmod(self.folder, 0o755)
        self.addCleanup(shutil.rmtree, self.folder, True)

    def book(self, name="book", protocol=PROTOCOL, site=SITE, batches=BATCHES):
        folder = self.folder / name
        folder.mkdir(exist_ok=True)
        (folder / "method.bud").write_text(protocol)
        (folder / "site.yaml").write_text(site)
        (folder / "batches.yaml").write_text(batches)
        return folder

    def unkind_book(self):
        return self.book("unkind", UNKIND_PROTOCOL, UNKIND_SITE, UNKIND_BATCHES)

    def all_books(self):
        return [*EXAMPLES, self.book(), self.unkind_book()]

    def assert_status(self, result, status):
        self.assertEqual(result.status, status, result.err)
        self.assertNotIn("Sanitizer", result.err)
