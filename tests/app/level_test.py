"""Levels small books with the program: python3 level_test.py PROGRAM"""

import json
import pathlib
import signal
import subprocess
import sys
import tempfile
import time
import unittest

PROGRAM = ""

PROTOCOL = """protocol tents "Tents" {
  part plant "Plant"
  stage tent of plant {
    lasts 10 days
    may wait 3 days
    room tent
    space plants
    do "Air" on day 3 within 2 days { time 2 h  crew airers }
  }
}
"""
SITE = """site: Tent Yard
working: {days: [mon, tue, wed, thu, fri]}
rooms: {tent: {holds: 100 plants}}
crews: {airers: {people: 2, hours: 6 h}}
"""
BATCHES = """early: 21 days
batches:
  - {batch: T1, protocol: tents, plants: 80, ready: 2027-06-11}
  - {batch: T2, protocol: tents, plants: 80, ready: 2027-06-11}
"""


class Levelling(unittest.TestCase):
    def setUp(self):
        self.holder = tempfile.TemporaryDirectory()
        self.folder = pathlib.Path(self.holder.name)
        self.write("tents.bud", PROTOCOL)
        self.write("site.yaml", SITE)
        self.write("batches.yaml", BATCHES)

    def tearDown(self):
        self.holder.cleanup()

    def write(self, name, text):
        (self.folder / name).write_text(text)

    def run_program(self, *arguments):
        return subprocess.run(
            [PROGRAM, arguments[0], str(self.folder), *arguments[1:]], capture_output=True, text=True
        )

    def test_plain_plan_overflows_and_the_levelled_one_does_not(self):
        plain = self.run_program("plan")
        self.assertEqual(plain.returncode, 1)
        self.assertIn("room-full", plain.stderr)
        level = self.run_program("plan", "--level")
        self.assertEqual(level.returncode, 0, level.stderr)
        self.assertIn("1 batch moves of 2, and all find room and hands.", level.stdout)
        self.assertFalse((self.folder / "levelled.yaml").exists())
        self.assertEqual(self.run_program("load", "--level").returncode, 0)
        self.assertEqual(self.run_program("load").returncode, 1)

    def test_kept_dates_hold_for_every_command(self):
        self.assertEqual(self.run_program("plan", "--level", "--keep").returncode, 0)
        self.assertEqual(self.run_program("plan").returncode, 0)
        self.assertEqual(self.run_program("load").returncode, 0)
        again = self.run_program("plan", "--level")
        self.assertIn("0 batches move of 2", again.stdout)
        first = (self.folder / "levelled.yaml").read_bytes()
        self.run_program("plan", "--level", "--keep")
        self.assertEqual((self.folder / "levelled.yaml").read_bytes(), first)

    def test_the_same_seed_and_rounds_give_the_same_bytes(self):
        one = self.run_program("plan", "--level", "--format", "json", "--seed", "4", "--rounds", "50")
        two = self.run_program("plan", "--level", "--format", "json", "--seed", "4", "--rounds", "50")
        self.assertEqual(one.stdout, two.stdout)
        found = json.loads(one.stdout)
        self.assertEqual(found["batches"], 2)
        self.assertEqual(found["unresolved"], [])
        self.assertEqual(len(found["moves"]), 1)

    def test_what_finds_no_place_is_an_error_with_what_would_help(self):
        self.write("batches.yaml", BATCHES.replace("early: 21 days\n", ""))
        level = self.run_program("plan", "--level")
        self.assertEqual(level.returncode, 1)
        self.assertIn("No place for T", level.stdout)
        self.assertIn("room for 60 plants more", level.stdout)
        table = self.run_program("plan", "--level", "--format", "csv").stdout.splitlines()
        self.assertIn(table[1].split(",")[:2], (["T1", "no"], ["T2", "no"]))

    def test_what_would_help_most_is_listed_with_its_price(self):
        self.write("batches.yaml", BATCHES.replace("early: 21 days\n", ""))
        self.write("site.yaml", SITE.replace("100 plants", "500 plants").replace(
            "{people: 2, hours: 6 h}", "{people: 1, hours: 2 h, cost: 25 EUR}"))
        protocol = PROTOCOL.replace("within 2 days ", "").replace("    may wait 3 days\n", "")
        self.write("tents.bud", protocol)
        table = self.run_program("plan", "--level").stdout
        self.assertIn("What would help most, each by itself", table)
        self.assertRegex(table, "2 h overtime of crew `airers` on .* 50.00 EUR +places T")
        found = json.loads(self.run_program("plan", "--level", "--format", "json").stdout)
        best = found["would_help"][0]
        self.assertEqual(len(best["places"]), 1)
        hours = [one for one in found["would_help"] if one["more"]][0]
        self.assertEqual(hours["price"], 50)
        self.assertEqual(hours["more"][0]["crew"], "airers")
        self.assertEqual(hours["more"][0]["hours"], 2)

    def test_what_is_frozen_and_too_much_is_told(self):
        level = self.run_program("plan", "--level", "--frozen", "2030-01-01")
        self.assertEqual(level.returncode, 1)
        self.assertIn("0 batches move of 2, but what cannot move asks for too much.", level.stdout)
        self.assertIn("room-full", level.stderr)

    def test_an_interrupt_keeps_the_best(self):
        self.write("batches.yaml", BATCHES.replace("early: 21 days\n", ""))
        # Once the book is read and planned, however slow the machine is.
        begin = time.monotonic()
        self.run_program("plan")
        reading = time.monotonic() - begin
        run = subprocess.Popen(
            [PROGRAM, "plan", str(self.folder), "--level", "--for", "60 s"],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        time.sleep(1 + 3 * reading)
        run.send_signal(signal.SIGINT)
        out, _ = run.communicate(timeout=20)
        self.assertEqual(run.returncode, 1)
        self.assertIn("No place for T", out)

    def test_misuse_is_told(self):
        for words in (
            ["--keep"],
            ["--for", "10 s"],
            ["--level", "--for", "soon"],
            ["--level", "--for", "3 kg"],
            ["--level", "--for", "-1 s"],
            ["--level", "--batch", "T1"],
            ["--frozen", "2027-06-01"],
            ["--level", "--rounds", "-4"],
            ["--level", "--seed", "x"],
        ):
            run = self.run_program("plan", *words)
            self.assertEqual(run.returncode, 2, words)
            self.assertEqual(run.stdout, "", words)
            self.assertNotEqual(run.stderr, "", words)

    def test_a_demand_becomes_batches_that_can_be_pasted(self):
        self.write(
            "wanted.yaml",
            "early: 14 days\nbatches:\n"
            "  - {batch: W, protocol: tents, plants: 60, ready: 2027-07-16, every: 1 week, times: 3}\n",
        )
        found = self.run_program("propose", "--demand", str(self.folder / "wanted.yaml"))
        self.assertEqual(found.stderr.count("error [no-place]"), 0, found.stderr)
        self.write("batches.yaml", BATCHES + found.stdout)
        level = self.run_program("plan", "--level")
        self.assertEqual(level.returncode, 0, level.stderr)
        bad = self.run_program("propose", "--demand", str(self.folder / "none.yaml"))
        self.assertEqual(bad.returncode, 1)
        self.write("wanted.yaml", "batches:\n  - {batch: T1, protocol: tents, plants: 6, ready: 2027-07-16}\n")
        taken = self.run_program("propose", "--demand", str(self.folder / "wanted.yaml"))
        self.assertIn("duplicate-batch", taken.stderr)


if __name__ == "__main__":
    PROGRAM = sys.argv.pop(1)
    unittest.main()
