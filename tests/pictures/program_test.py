"""What `budwood plan --format svg` draws, as XML: python3 program_test.py PROGRAM"""

import pathlib
import shutil
import subprocess
import sys
import tempfile
import unittest
import xml.etree.ElementTree

import books

PROGRAM = ""
SVG = "{http://www.w3.org/2000/svg}"
QUARRY_LANE = books.ROOT / "examples" / "quarry_lane"
ELEMENTS = {"svg", "title", "desc", "defs", "pattern", "marker", "g", "rect", "path", "circle", "polyline",
            "polygon", "text"}


def run(*arguments):
    return subprocess.run([PROGRAM, *map(str, arguments)], capture_output=True, timeout=300)


class PicturesTest(unittest.TestCase):
    def setUp(self):
        self.folder = pathlib.Path(tempfile.mkdtemp(prefix="budwood_pictures_test_"))
        self.addCleanup(shutil.rmtree, self.folder, True)

    def picture(self, *arguments, status=(0,)):
        done = run("plan", *arguments, "--format", "svg")
        self.assertIn(done.returncode, status, done.stderr.decode())
        root = xml.etree.ElementTree.fromstring(done.stdout)
        for element in root.iter():
            self.assertIn(element.tag.removeprefix(SVG), ELEMENTS)
            for name, value in element.attrib.items():
                self.assertNotIn("href", name)
                self.assertFalse(name.startswith("on"), name)
                self.assertNotIn("//", value)
        return root

    def texts(self, root):
        return [element.text for element in root.iter(SVG + "text")]

    def test_season_batch_and_settings(self):
        season = self.texts(self.picture(QUARRY_LANE))
        self.assertIn("Season of Quarry Lane Nursery", season)
        for batch in ("BM27-1", "FU27-3"):
            self.assertIn(batch, season)
        batch = self.texts(self.picture(QUARRY_LANE, "--batch", "BM27-1", "--today", "2027-03-22"))
        self.assertIn("Batch BM27-1: 240 plants ready on Fri 2027-05-07", batch)
        self.assertIn("today, Mon 2027-03-22", batch)
        settings = self.texts(self.picture(QUARRY_LANE, "--batch", "BM27-1", "--settings"))
        self.assertIn("Temperature", settings)

    def test_hostile_titles_are_text(self):
        book = books.long_titles(self.folder / "book")
        for more in ([], ["--batch", "L1"], ["--batch", "L1", "--settings"]):
            root = self.picture(book, *more, status=(0, 1))
            words = " ".join(self.texts(root))
            self.assertIn("<b>markup</b> &", words)
            self.assertNotIn("\u202e", words)
            self.assertIn("\u2026", words)

    def test_more_batches_make_a_taller_picture(self):
        heights = [float(self.picture(books.year_of_batches(self.folder / str(count), count),
                                      status=(0, 1)).get("height")) for count in (1, 10, 60)]
        self.assertEqual(heights, sorted(set(heights)))
        self.assertGreater(heights[2], heights[1] + 50 * 15)

    def test_the_same_bytes(self):
        for more in ([], ["--batch", "BM27-2"], ["--batch", "BM27-2", "--settings"]):
            runs = [run("plan", QUARRY_LANE, *more, "--format", "svg").stdout for _ in range(2)]
            self.assertEqual(runs[0], runs[1])

    def test_out_is_written_whole(self):
        out = self.folder / "season.svg"
        self.assertEqual(run("plan", QUARRY_LANE, "--format", "svg", "--out", out).returncode, 0)
        self.assertEqual(out.read_bytes(), run("plan", QUARRY_LANE, "--format", "svg").stdout)
        self.assertEqual(run("plan", QUARRY_LANE, "--format", "svg", "--out", self.folder / "no" / "a.svg").returncode, 1)
        self.assertEqual([path.name for path in self.folder.iterdir()], ["season.svg"])

    def test_changes_and_levelling_are_drawn(self):
        changed = self.texts(self.picture(QUARRY_LANE, "--batch", "BM27-1", "--set", "BM27-1.ready=1 week later"))
        self.assertIn("Batch BM27-1: 240 plants ready on Fri 2027-05-14", changed)
        plain = self.texts(self.picture(books.ROOT / "examples" / "fern_hill", status=(1,)))
        level = self.texts(self.picture(books.ROOT / "examples" / "fern_hill", "--level", "--rounds", "200"))
        self.assertNotEqual(plain, level)

    def test_nothing_to_draw_is_told(self):
        done = run("plan", QUARRY_LANE, "--format", "svg", "--from", "2031-01-01")
        self.assertEqual(done.returncode, 0)
        self.assertIn(b"No batches with dates from 2031-01-01 on.", done.stderr)
        xml.etree.ElementTree.fromstring(done.stdout)

    def test_misuse(self):
        for arguments, words in (
                (["--format", "svg", "--today", "tomorrow"], "is not a date"),
                (["--format", "svg", "--settings"], "--batch ID"),
                (["--format", "svg", "--batch", "BM27-1", "--room", "bench"], "shows all of it"),
                (["--format", "svg", "--batch", "BM27-9"], "no batch `BM27-9`"),
                (["--format", "svg", "--level", "--batch", "BM27-1"], "whole book"),
        ):
            with self.subTest(arguments=arguments):
                done = run("plan", QUARRY_LANE, *arguments)
                self.assertEqual(done.returncode, 2)
                self.assertEqual(done.stdout, b"")
                self.assertIn(words, done.stderr.decode())


if __name__ == "__main__":
    PROGRAM = sys.argv.pop(1)
    unittest.main()
