"""Prints small books as a browser and a scanner see them: python3 print_test.py PROGRAM

Where Chromium, pdftotext, pdftoppm or zbarimg are missing, the tests that need them are skipped, and the
run ends with status 77.
"""

import collections
import csv
import html.parser
import io
import os
import pathlib
import re
import resource
import shutil
import subprocess
import sys
import tempfile
import unittest
import xml.etree.ElementTree

PROGRAM = ""
NOBODY = 65534
ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
QUARRY_LANE = ROOT / "examples" / "quarry_lane"
A4 = (595, 842)  # points
LETTER = (612, 792)
missing = set()

PROTOCOL = """protocol division "Division of clumps" {
  edition 2
  crop "hosta"
  source "house practice"
  note "Early in the year."
  supply clump "Clump" in clumps
  supply spirit "Spirit" in mL hazard flammable
  supply tray "Tray, 12 cells" in trays reused
  observe roots in % "crowns with new roots"
  part crown "Crown"
  stage cutting_up of crown "Cutting up" {
    lasts 1 day
    room bench
    do "Wash, cut into crowns" on day 1 {
      rate 40 per hour
      crew potting
      use 1 clump per 6
      use 10 mL spirit
      use 1 tray per 12
      tool "Knife"
      caution "Mind the knife."
      note "Dry hands."
      record crowns in plants
    }
  }
  stage growing_on of crown "Growing on" {
    lasts 5 weeks to 7 weeks usually 6 weeks
    room tunnel
    loses 10 %
    keep air 16 degC
    do "Look over" every 14 days from day 7 { time 20 min  record roots }
    if roots < 50 % on day 21 { warn "Wait." }
  }
}
"""
SITE = """site: Willow Yard
working: {days: [mon, tue, wed, thu, fri]}
rooms: {bench: {}, tunnel: {}}
crews: {potting: {people: 2, hours: 6 h}}
"""
BATCHES = """batches:
  - {batch: D1, protocol: division, plants: 120, ready: 2027-06-11, note: plain, lots: {clump: own}}
  - {batch: D2, protocol: division edition 2, plants: 60, ready: 2027-07-09}
"""
# What nobody should write, and somebody will.
HOSTILE = ("<script>alert(1)</script>", "</td></table><h1>x", "a & b &amp; <!-- c", "\u05e9\u05dc\u05d5\u05dd \u202e \u200f x",
           "\U0001F331 \u82f9\u679c", "<img src=x onerror=alert(1)>", "']]>{}</style><b>", "W" * 1900)


def needs(*tools):
    absent = [tool for tool in tools if shutil.which(tool) is None]
    missing.update(absent)
    return unittest.skipIf(absent, "not installed: " + ", ".join(absent))


def run(*arguments, **more):
    return subprocess.run([PROGRAM, *map(str, arguments)], stdin=subprocess.DEVNULL, capture_output=True,
                          timeout=300, **more)


class Printing(unittest.TestCase):
    def setUp(self):
        self.folder = pathlib.Path(tempfile.mkdtemp(prefix="budwood_print_test_"))
        os.chmod(self.folder, 0o755)
        self.addCleanup(shutil.rmtree, self.folder, True)

    def book(self, protocol=PROTOCOL, site=SITE, batches=BATCHES, name="book"):
        folder = self.folder / name
        folder.mkdir()
        (folder / "division.bud").write_text(protocol, encoding="utf-8")
        (folder / "site.yaml").write_text(site, encoding="utf-8")
        (folder / "batches.yaml").write_text(batches, encoding="utf-8")
        return folder

    def printed(self, *arguments, status=0):
        done = run("print", *arguments)
        self.assertEqual(done.returncode, status, done.stderr.decode())
        return done.stdout.decode()

    def ids(self, book, *arguments):
        done = run("plan", book, "--format", "csv", *arguments)
        return [row["id"] for row in csv.DictReader(io.StringIO(done.stdout.decode()))]

    def browser(self, *arguments):
        profile = tempfile.mkdtemp(dir=self.folder)
        done = subprocess.run(
            ["chromium", "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
             "--disable-background-networking", "--disable-component-update", "--disable-sync",
             f"--user-data-dir={profile}", *arguments],
            capture_output=True, timeout=300)
        self.assertEqual(done.returncode, 0, done.stderr.decode())

    def pdf(self, page, name="page"):
        """The PDF that a browser makes of a page."""
        source, target = self.folder / f"{name}.html", self.folder / f"{name}.pdf"
        source.write_text(page, encoding="utf-8")
        self.browser("--no-pdf-header-footer", f"--print-to-pdf={target}", source.as_uri())
        return target

    def texts(self, pdf):
        """What stands on each of its pages, in the order in which it is drawn."""
        done = subprocess.run(["pdftotext", "-raw", pdf, "-"], capture_output=True, check=True)
        return done.stdout.decode().split("\f")[:-1]

    def page_size(self, pdf):
        done = subprocess.run(["pdfinfo", pdf], capture_output=True, check=True, text=True)
        found = re.search(r"Page size: *([\d.]+) x ([\d.]+)", done.stdout)
        return tuple(round(float(one)) for one in found.groups())

    def assert_orders(self, pages, ids):
        """Each order once, and each whole: it is signed near its beginning and ends with its id."""
        found = collections.Counter()
        wanted = set(ids)
        for page in pages:
            marks = [word for word in page.split() if word in wanted or word == "Initials"]
            found.update(word for word in marks if word != "Initials")
            for first, second in zip(marks[::2], marks[1::2]):
                self.assertEqual(first, "Initials", page)
                self.assertIn(second, wanted, page)
            self.assertEqual(len(marks) % 2, 0, page)
        self.assertEqual(found, collections.Counter(ids))


@needs("chromium", "pdftotext", "pdfinfo")
class PagesTest(Printing):
    def check(self, by, size, points, *part):
        ids = self.ids(QUARRY_LANE, *part)
        self.assertGreater(len(ids), 30)
        pdf = self.pdf(self.printed(QUARRY_LANE, "--by", by, "--page", size, *part))
        width, height = self.page_size(pdf)
        self.assertAlmostEqual(width, points[0], delta=1)
        self.assertAlmostEqual(height, points[1], delta=1)
        pages = self.texts(pdf)
        self.assert_orders(pages, ids)
        for page in pages:
            self.assertIn("Quarry Lane Nursery", page)  # the head is repeated
        return pages

    def test_a_day_a_page_on_a4(self):
        pages = self.check("day", "a4", A4)
        plan = run("plan", QUARRY_LANE, "--format", "csv").stdout.decode()
        days = {row["date"] for row in csv.DictReader(io.StringIO(plan))}
        starts = [re.search(r"\w+day (\d{4}-\d\d-\d\d)", page)[1] for page in pages]
        self.assertEqual(set(starts), days)
        self.assertGreaterEqual(len(pages), len(days))

    def test_a_week_on_letter(self):
        self.check("week", "letter", LETTER, "--batch", "BM27-1")

    def test_a_crew_on_letter(self):
        self.check("crew", "letter", LETTER, "--from", "2027-04-05", "--to", "2027-04-23")

    def test_a_room_on_a4(self):
        self.check("room", "a4", A4, "--from", "2027-04-05", "--to", "2027-04-23")

    def test_a_batch_on_a4(self):
        self.check("batch", "a4", A4, "--batch", "FU27-1")

    def test_a_method(self):
        pages = self.texts(self.pdf(self.printed("--method", ROOT / "protocols" / "approach_graft.bud", "--page", "a4")))
        self.assertGreater(len(pages), 2)
        for page in pages:
            self.assertIn("Approach graft of a cucurbit", page)
        for title in ("Scion: sowing and germination", "Grafting", "Hardening off"):
            self.assertTrue(any(title in page for page in pages), title)

    def test_the_season_has_landscape_pages_that_can_be_read(self):
        pdf = self.pdf(self.printed(QUARRY_LANE, "--season", "--page", "a4"))
        pages = self.texts(pdf)
        self.assertEqual(len(pages), 2)  # batches, then rooms and crews
        width, height = self.page_size(pdf)
        self.assertAlmostEqual(width, A4[1], delta=1)
        self.assertAlmostEqual(height, A4[0], delta=1)

    def test_hostile_words_show_on_the_page(self):
        book = hostile_book(self, "<script>alert(1)</script>")
        text = "\n".join(self.texts(self.pdf(self.printed(book, "--by", "batch"))))
        self.assertGreater(text.count("<script>alert(1)</script>"), 5)


@needs("chromium", "pdftoppm", "zbarimg")
class LabelsTest(Printing):
    def codes(self, pdf, count):
        """What a scanner reads on all pages, at the best of three distances: it may miss a code at one."""
        found = []
        for dots in ("300", "450", "220"):
            name = f"label{dots}"
            subprocess.run(["pdftoppm", "-r", dots, "-gray", "-png", pdf, self.folder / name], check=True)
            found.append(self.scanned(sorted(self.folder.glob(f"{name}-*.png"))))
            if len(found[-1]) >= count:
                break
        return max(found, key=len)

    def scanned(self, images):
        done = subprocess.run(["zbarimg", "--raw", "-q", "-Sdisable", "-Sqrcode.enable", *images], capture_output=True)
        return sorted(done.stdout.decode().split("\n")[:-1])

    def test_codes_of_batches_are_their_ids(self):
        wanted = sorted({one.split("/")[0] for one in self.ids(QUARRY_LANE) if "/set/" not in one})
        page = self.printed(QUARRY_LANE, "--labels", "batches", "--skip", "4")
        self.assertEqual(self.codes(self.pdf(page), len(wanted)), wanted)

    def test_codes_of_trays_are_their_orders(self):
        orders = [one for one in csv.DictReader(io.StringIO(
            run("plan", QUARRY_LANE, "--format", "csv").stdout.decode()))]
        wanted = []
        for order in orders:
            for column, amount in order.items():
                if column.endswith("(trays)") and amount:
                    wanted += [order["id"]] * int(float(amount))
        self.assertGreater(len(wanted), 48)
        page = self.printed(QUARRY_LANE, "--labels", "trays")
        self.assertEqual(self.codes(self.pdf(page), len(wanted)), sorted(wanted))

    def test_the_smallest_label_with_the_longest_id_reads(self):
        long = "B" * 40
        labels = "labels: {page: [100 mm, 60 mm], across: 2, down: 3, width: 45 mm, height: 18 mm}\n"
        book = self.book(site=SITE + labels, batches=BATCHES.replace("D1", long))
        page = self.printed(book, "--labels", "trays", "--batch", long)
        codes = self.codes(self.pdf(page), 1)
        self.assertEqual(set(codes), {f"{long}/cutting_up/1/1"})
        pages = self.page_size(self.folder / "page.pdf")
        self.assertAlmostEqual(pages[0], 283, delta=1)
        self.assertAlmostEqual(pages[1], 170, delta=1)

    def test_a_sheet_as_svg(self):
        picture = self.folder / "labels.svg"
        self.printed(QUARRY_LANE, "--labels", "batches", "--format", "svg", "--out", picture)
        root = xml.etree.ElementTree.parse(picture).getroot()
        self.assertEqual(root.get("width"), "210mm")
        wanted = sorted({one.split("/")[0] for one in self.ids(QUARRY_LANE) if "/set/" not in one})
        found = set()
        for scale in (3, 2, 4):  # a reader may miss a code at one size
            shot = self.folder / f"shot{scale}.png"
            self.browser(f"--screenshot={shot}", f"--force-device-scale-factor={scale}",
                         "--window-size=794,1123", picture.as_uri())
            found |= set(self.scanned([shot]))
        self.assertEqual(sorted(found), wanted)


class Elements(html.parser.HTMLParser):
    """Counts elements and attributes, and collects text."""

    def __init__(self, page):
        super().__init__(convert_charrefs=True)
        self.counts, self.text, self.sources = collections.Counter(), [], []
        self.feed(page)
        self.close()

    def handle_starttag(self, tag, attributes):
        self.counts[tag] += 1
        for name, value in attributes:
            self.counts[f"{tag} {name}"] += 1
            if name in ("src", "href"):
                self.sources.append(value)

    def handle_comment(self, data):
        self.counts["comment"] += 1

    def handle_data(self, data):
        self.text.append(data)


def hostile_book(test, words, name="hostile"):
    written = words.replace("\\", "\\\\").replace('"', '\\"')
    protocol = re.sub(r'"[^"]*"', lambda _: f'"{written}"', PROTOCOL)
    short = words[:150].replace("'", "''").replace("\u202e", "").replace("\u200f", "")
    site = SITE.replace("Willow Yard", f"'{short}'")
    batches = BATCHES.replace("plain", f"'{short}'").replace("own", f"'{short}'")
    return test.book(protocol, site, batches, name)


class HostileTest(Printing):
    WAYS = (["--by", "day"], ["--by", "batch"], ["--labels", "batches"], ["--labels", "trays"],
            ["--protocol", "division"], ["--season"])

    def test_what_is_written_never_becomes_an_element(self):
        plain = hostile_book(self, "harmless words", "harmless")
        for number, words in enumerate(HOSTILE):
            book = hostile_book(self, words, f"hostile{number}")
            for way in self.WAYS:
                with self.subTest(words=words[:30], way=way):
                    elements = Elements(self.printed(book, *way))
                    expected = Elements(self.printed(plain, *way)).counts
                    # Labels shrink and wrap: lines may be more or fewer, but of the same kind.
                    if way[0] == "--labels":
                        self.assertEqual(set(elements.counts), set(expected))
                    else:
                        self.assertEqual(elements.counts, expected)
                    self.assertNotIn("script", elements.counts)
                    text = "".join(elements.text)
                    self.assertNotRegex(text, "[\u202a-\u202e\u2066-\u2069\u200e\u200f]")
                    if way[0] == "--by":
                        self.assertIn(re.sub("[\u202e\u200f]", "?", words), text)

    def test_pages_need_nothing_from_elsewhere(self):
        for way in self.WAYS:
            page = self.printed(QUARRY_LANE if "division" not in way else self.book(), *way)
            elements = Elements(page)
            for source in elements.sources:
                self.assertTrue(source.startswith("data:image/svg+xml;base64,"), source[:60])
            self.assertNotIn("script", elements.counts)
            self.assertNotIn("link", elements.counts)
            self.assertNotRegex(page, r"@import|url\(")

    def test_line_breaks_stay_in_notes(self):
        batches = BATCHES.replace("plain", '"one\\ntwo"')
        self.assertIn("<bdi>one\ntwo</bdi>", self.printed(self.book(batches=batches), "--by", "batch"))


class FilesTest(Printing):
    def test_the_same_book_gives_the_same_bytes(self):
        book = self.book()
        for way in HostileTest.WAYS:
            out = self.folder / "page.html"
            self.printed(book, *way, "--out", out)
            self.assertEqual(self.printed(book, *way), out.read_text(encoding="utf-8"))

    def test_a_disk_that_is_full_keeps_the_older_file(self):
        book = self.book()
        old = self.folder / "old.html"
        for way in HostileTest.WAYS:
            old.write_text("old")
            done = run("print", book, *way, "--out", old,
                       preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (500, 500)))
            self.assertEqual(done.returncode, 1)
            self.assertIn("unchanged", done.stderr.decode())
            self.assertEqual(old.read_text(), "old")
            self.assertEqual(sorted(one.name for one in self.folder.iterdir()), ["book", "old.html"])

    def test_a_folder_that_may_not_be_written(self):
        book = self.book()
        os.chmod(self.folder, 0o555)
        self.addCleanup(os.chmod, self.folder, 0o755)
        as_nobody = {"user": NOBODY} if os.geteuid() == 0 else {}
        done = run("print", book, "--out", self.folder / "page.html", **as_nobody)
        self.assertEqual(done.returncode, 1)
        self.assertIn("was not written", done.stderr.decode())
        self.assertEqual([one.name for one in self.folder.iterdir()], ["book"])


class WordsTest(Printing):
    def test_misuse(self):
        book = self.book()
        for words, told in (
            (["--by", "month"], "day, week, crew, room or batch"),
            (["--by", "day", "--season"], "one thing at a time"),
            (["--labels", "batches", "--page", "a4"], "leave --page out"),
            (["--format", "svg"], "for labels"),
            (["--skip", "3"], "for labels"),
            (["--labels", "batches", "--skip", "24"], "leaves nothing"),
            (["--labels", "batches", "--format", "svg", "--sheet", "2"], "no sheet 2"),
            (["--protocol", "divison"], "Did you mean `division`?"),
            (["--protocol", "division", "--edition", "7"], "no protocol `division edition 7`"),
            (["--protocol", "division", "--batch", "D1"], "no batches"),
            (["--edition", "2"], "--protocol"),
            (["--batch", "D9"], "no batch `D9`"),
            (["--from", "2027-05-02", "--to", "2027-05-01"], "comes before"),
            (["--page", "a5"], "a4 or letter"),
            (["--format", "pdf"], "html or svg"),
        ):
            with self.subTest(words=words):
                done = run("print", book, *words)
                self.assertEqual(done.returncode, 2, done.stderr.decode())
                self.assertEqual(done.stdout, b"")
                self.assertIn(told, done.stderr.decode())

    def test_a_site_without_labels_is_told_what_was_taken(self):
        book = self.book()
        done = run("print", book, "--labels", "batches")
        self.assertEqual(done.returncode, 0)
        self.assertIn("no-labels", done.stderr.decode())
        (book / "site.yaml").write_text(
            SITE + "labels: {page: letter, across: 2, down: 5, width: 4 in, height: 2 in}\n")
        done = run("print", book, "--labels", "batches")
        self.assertNotIn("no-labels", done.stderr.decode())
        self.assertIn("215.9mm", done.stdout.decode())

    def test_labels_that_do_not_fit_are_not_printed(self):
        book = self.book(site=SITE + "labels: {page: A4, across: 5, down: 5, width: 5 cm, height: 5 cm}\n")
        out = self.folder / "labels.html"
        done = run("print", book, "--labels", "batches", "--out", out)
        self.assertEqual(done.returncode, 1)
        self.assertIn("That is 40 mm too much", done.stderr.decode())
        self.assertFalse(out.exists())

    def test_a_protocol_with_mistakes_is_not_printed(self):
        bad = self.folder / "bad.bud"
        bad.write_text(PROTOCOL.replace("lasts 1 day", "lasts 1 litre"))
        done = run("print", "--method", bad)
        self.assertEqual(done.returncode, 1)
        self.assertEqual(done.stdout, b"")

    def test_nothing_to_print_is_told(self):
        done = run("print", self.book(), "--to", "2020-01-01")
        self.assertEqual(done.returncode, 0)
        self.assertIn("No work orders", done.stderr.decode())


if __name__ == "__main__":
    PROGRAM = os.path.abspath(sys.argv.pop(1))
    ended = unittest.main(exit=False).result
    if missing:
        print("Skipped what needs " + ", ".join(sorted(missing)) + ": not installed.", file=sys.stderr)
    sys.exit(1 if not ended.wasSuccessful() else 77 if missing else 0)
