"""A small book in which things happen, for the tests of the record."""

import json
import pathlib
import re
import subprocess
import tempfile
import unittest

PROTOCOL = """protocol whips "Whips" {
  supply tape "Tape" in m
  supply mix "Mix" in L
  observe callus in %
  part whip "Whip"
  stage grafting of whip {
    lasts 2 days
    may wait 10 days
    do "Graft" { time 1 min each  use 0.1 m tape each  use 1 L mix }
  }
  stage healing of whip {
    after grafting
    lasts 8 to 14 days usually 10
    loses 10 %
    do "Look" on day 3, day 6 { time 5 min  record callus }
  }
}
"""
SITE = "site: Whip Yard\n"
BATCHES = """batches:
  - {batch: W1, protocol: whips, plants: 80, start: 2027-04-01}
  - {batch: W2, protocol: whips, plants: 80, start: 2027-04-08}
"""


class RecordBook(unittest.TestCase):
    program = ""

    def setUp(self):
        self.holder = tempfile.TemporaryDirectory()
        self.folder = pathlib.Path(self.holder.name) / "book"
        self.folder.mkdir()
        self.write("whips.bud", PROTOCOL)
        self.write("site.yaml", SITE)
        self.write("batches.yaml", BATCHES)

    def tearDown(self):
        self.holder.cleanup()

    def write(self, name, text):
        (self.folder / name).write_text(text)
        return str(self.folder / name)

    def run_program(self, *arguments, **more):
        return subprocess.run(
            [self.program, arguments[0], str(self.folder), *arguments[1:]],
            capture_output=True, text=True, **more)

    def record(self, *arguments, **more):
        return self.run_program("record", *arguments, **more)

    def note(self, *entries):
        """Notes entries that are right; gives the fronts of their ids."""
        run = self.record(*entries)
        self.assertEqual(run.returncode, 0, run.stderr)
        return re.findall(r"^([a-z0-9]{8})  ", run.stdout, re.M)

    def listed(self, *arguments):
        run = self.record("--format", "json", *arguments)
        self.assertEqual(run.returncode, 0, run.stderr)
        return json.loads(run.stdout)["entries"]

    def exported(self):
        run = self.record("--export")
        self.assertEqual(run.returncode, 0, run.stderr)
        return [json.loads(line) for line in run.stdout.splitlines()]

    def plan(self, *arguments):
        run = self.run_program("plan", "--format", "json", *arguments)
        return json.loads(run.stdout), run.stderr

    def stage(self, batch, stage):
        plan, _ = self.plan()
        stages = next(b for b in plan["batches"] if b["batch"] == batch)["stages"]
        return next(s for s in stages if s["stage"] == stage)
