"""What a season teaches: kept, planned with, and put into the next edition: learn_test.py PROGRAM"""

import json
import pathlib
import subprocess
import sys
import unittest
import xml.etree.ElementTree

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
from record_book import RecordBook

PROTOCOL = """# The house way. Keep this line.
protocol whips "Whips" {
  edition 1
  input take  = 90 %   from 30 % to 100 %   # guessed
  input speed = 40 per hour
  part whip "Whip"
  stage grafting of whip {
    lasts 2 days
    do "Graft" { rate speed }
  }
  stage healing of whip {
    lasts 8 to 14 days usually 10 days
    loses 1 - take
    do "Look" on day 3 { time 5 min }
  }
  variant clip "Clip" { set take = 95 % }
}
"""
BATCHES = "batches:\n" + "".join(
    f"  - {{batch: W{i}, protocol: whips, plants: 80, start: 2027-04-0{i}}}\n"
    for i in range(1, 7)) + """  - {batch: AHEAD, protocol: whips, plants: 100, ready: 2027-09-01, sure: 90 %}
"""


class Learn(RecordBook):
    def setUp(self):
        super().setUp()
        self.write("whips.bud", PROTOCOL)
        self.write("batches.yaml", BATCHES)
        for i, good in enumerate((60, 71, 55, 66, 74, 62), 1):
            self.note(f"W{i}/healing counted {good} of 80 on 2027-04-2{i}")
        self.note('W2/healing lesson "Cover them on the first night." on 2027-05-02 by Ana')

    def starts(self, batch="AHEAD"):
        run = self.run_program("sheet", "--batch", batch, "--cells", "grafting.plants",
                               "--format", "json")
        self.assertEqual(run.returncode, 0, run.stderr)
        return json.loads(run.stdout)

    def learn(self, *arguments):
        run = self.run_program("learn", *arguments)
        self.assertEqual(run.returncode, 0, run.stderr)
        return run

    def learned(self):
        return (self.folder / "learned.yaml").read_text()

    def test_kept_and_planned_with(self):
        before = self.starts()
        run = self.learn("--keep")
        self.assertIn("388 of 480 in 6 batches", run.stdout)
        text = self.learned()
        self.assertIn("input: take", text)
        self.assertIn("value: 80.", text)
        self.assertIn("seen 388 of 480 in 6 batches spread ", text)
        self.assertIn("usual: 90 %", text)
        self.assertIn("day: 2027-05-02", text)
        self.assertNotEqual(before, self.starts())
        sheet = self.run_program("sheet", "--batch", "AHEAD").stdout
        self.assertIn("~ learned from the record", sheet)
        why = self.run_program("why", "AHEAD", "grafting.plants").stdout
        self.assertIn("learned from 388 of 480 in 6 batches by Sun 2 May 2027", why)
        self.assertIn("batches differ by", why)
        csv = self.run_program("sheet", "--batch", "AHEAD", "--cells", "take", "--format",
                               "csv").stdout
        self.assertIn("learned", csv)
        # Learning again from the same record writes the same.
        self.learn("--keep")
        self.assertEqual(text, self.learned())
        (self.folder / "learned.yaml").unlink()
        self.assertEqual(before, self.starts())

    def test_a_site_comes_first(self):
        self.learn("--keep")
        self.write("site.yaml", "site: Whip Yard\ninputs: {whips: {take: 70 %}}\n")
        why = self.run_program("why", "AHEAD", "take").stdout
        self.assertIn("what the site has learned", why)
        self.assertIn("70 %", why)

    def test_what_no_longer_holds(self):
        self.learn("--keep")
        self.write("whips.bud", PROTOCOL.replace("edition 1", "edition 2"))
        run = self.run_program("plan", "--batch", "AHEAD")
        self.assertIn("learned-stale", run.stderr + self.run_program("check").stderr)
        # Where batches are on both editions it holds for those that are on its own.
        self.write("whips.bud", PROTOCOL)
        self.write("whips_2.bud", PROTOCOL.replace("edition 1", "edition 2"))
        self.write("batches.yaml", BATCHES.replace("protocol: whips,", "protocol: whips edition 1,")
                   .replace("{batch: AHEAD, protocol: whips edition 1", "{batch: AHEAD, protocol: whips edition 2"))
        run = self.run_program("plan", "--batch", "AHEAD")
        self.assertNotIn("learned-stale", run.stderr + self.run_program("check").stderr)
        self.assertIn("learned from", self.run_program("why", "W1", "take").stdout)
        self.assertIn("the usual value of the protocol", self.run_program("why", "AHEAD", "take").stdout)

    def test_a_file_with_mistakes(self):
        for text, words in (
                ("learned: [{protocol: whips}]\n", "missing"),
                ("learned: 3\n", "a list"),
                ("learned:\n  - {protocol: whips, edition: 1, input: take, value: much, usual: 90 %,"
                 " day: 2027-05-02}\n", "value"),
                ("learned:\n  - {protocol: whips, edition: 1, input: take, value: 80 % seen 9 of 8,"
                 " usual: 90 %, day: 2027-05-02}\n", "count that cannot be"),
                ("learned:\n  - {protocol: whips, edition: 1, input: take, value: 80 % spread 60 %,"
                 " usual: 90 %, day: 2027-05-02}\n", "cannot differ so much")):
            self.write("learned.yaml", text)
            run = self.run_program("plan", "--batch", "AHEAD")
            self.assertEqual(run.returncode, 1, text)
            self.assertIn(words, run.stderr)
            self.assertIn("learned.yaml", run.stderr)

    def test_misuse(self):
        run = self.run_program("learn", str(self.folder), "--keep")
        self.assertEqual(run.returncode, 2)
        self.assertIn("name one book", run.stderr)

    def test_curve_only_when_asked_for(self):
        self.assertNotIn("got faster", self.learn().stdout)
        for i in (1, 2, 3):
            self.note(f"W{i}/grafting/1/1 done on 2027-04-0{i} by Ana, 89 plants, {130 - 20 * i} min")
        self.assertIn("Graft, Ana: with twice as many plants done", self.learn("--curve").stdout)
        self.assertIn("minutes a plant", self.learn().stdout)

    def revise(self, *arguments):
        out = pathlib.Path(self.holder.name) / "next.bud"
        out.unlink(missing_ok=True)
        run = subprocess.run([self.program, "revise", "whips", "--book", str(self.folder), "--out",
                              str(out), *arguments], capture_output=True, text=True)
        return run, out

    def test_the_next_edition(self):
        run, out = self.revise()
        self.assertEqual(run.returncode, 0, run.stderr)
        text = out.read_text()
        self.assertTrue(text.startswith("# The house way. Keep this line.\n"))
        self.assertIn("edition 2", text)
        self.assertIn("from 30 % to 100 %   # guessed", text)
        self.assertIn("seen 388 of 480 in 6 batches", text)
        self.assertIn('note "Edition 2: take is ', text)
        self.assertIn('note "Lesson: Cover them on the first night. (Ana, W2, 2027-05-02)"', text)
        self.assertIn("`whips` edition 2, from edition 1", run.stdout)
        self.assertIn("instead of 90 %", run.stdout)
        # What it does to the batch ahead, and to none that began.
        self.assertIn("AHEAD", run.stdout)
        # It is a protocol like any other, and the same once more.
        check = subprocess.run([self.program, "check", str(out)], capture_output=True, text=True)
        self.assertEqual(check.returncode, 0, check.stderr)
        again = out.read_bytes()
        self.revise()
        self.assertEqual(again, out.read_bytes())

    def test_a_variant_that_won(self):
        run, out = self.revise("--method", "clip")
        self.assertEqual(run.returncode, 0, run.stderr)
        self.assertNotIn("variant", out.read_text())
        self.assertIn("learned of the old way alone", run.stdout)
        run, out = self.revise("--method", "clap")
        self.assertNotEqual(run.returncode, 0)
        self.assertIn("no variant `clap`", run.stderr)
        self.assertFalse(out.exists())

    def test_own_files_stay(self):
        import subprocess
        own = self.folder / "whips.bud"
        before = own.read_bytes()
        run = subprocess.run([self.program, "revise", "whips", "--book", str(self.folder), "--out",
                              str(own)], capture_output=True, text=True)
        self.assertNotEqual(run.returncode, 0)
        self.assertEqual(before, own.read_bytes())

    def test_pictures(self):
        for picture in ("rows", "time", "survival", "germination"):
            run = self.run_program("results", "--format", "svg", "--picture", picture)
            self.assertEqual(run.returncode, 0, run.stderr)
            words = "".join(xml.etree.ElementTree.fromstring(run.stdout).itertext())
            self.assertIn("W3", words, picture)
        run = self.run_program("results", "--picture", "survival")
        self.assertEqual(run.returncode, 2)
        run = self.run_program("results", "--format", "svg", "--picture", "moon")
        self.assertEqual(run.returncode, 2)
        self.assertIn("no picture of results", run.stderr)

    def test_seed(self):
        for tray, count in enumerate((81, 90, 94, 79), 1):
            self.note(f"AHEAD/healing counted {count} of 100 in tray {tray} on 2027-08-20")
        run = self.run_program("results", "--replicates")
        self.assertEqual(run.returncode, 0, run.stderr)
        self.assertIn("test again", run.stdout)
        rows = json.loads(self.run_program("results", "--replicates", "--format",
                                           "json").stdout)["tests"]
        self.assertEqual((rows[0]["range"], rows[0]["allowed"]), (15, 14))
        self.assertEqual(self.run_program("results", "--replicates", "--format", "svg").returncode,
                         2)


if __name__ == "__main__":
    RecordBook.program = str(pathlib.Path(sys.argv.pop(1)).resolve())
    unittest.main()
