"""Adapts a protocol to a site with the program: python3 adapt_test.py PROGRAM"""

import csv
import io
import json
import pathlib
import subprocess
import sys
import tempfile
import unittest

PROGRAM = ""

BASE = """protocol leaves "Leaf cuttings" {
  edition 2
  input strike = 80 % from 40 % to 100 % "pieces that root"
  supply mix "Rooting mix" in L
  part leaf "Leaf piece"
  stage laying of leaf "Laying" {
    lasts 1 day
    room bench
    do "Lay on the mix" on day 1 { rate 90 per hour  crew benchers  use 2 L mix each }
  }
  stage rooting of leaf "Rooting" {
    lasts 20 to 30 days usually 24 days
    room frame
    keep air 20 degC
    mist 5 s every 30 min until day 9
    loses 1 - strike
    do "Look" every 7 days from day 7 within 3 days { time 20 min  crew benchers }
  }
}
"""
OWN = """protocol our_leaves based on leaves edition 2 "Leaf cuttings, our way" {
  edition 1
  change stage rooting { lasts 22 to 34 days usually 27 days  keep air 23 degC }
  drop work "Look" in rooting
  set strike = 70 %
}
"""
SITE = """site: Hill End
latitude: 40
units: us
working: {days: [mon, tue, wed, thu, fri]}
names: {frame: fog tent 2, crew benchers: bench team, mix: house mix}
rooms: {fog tent 2: {}, bench: {}}
crews: {bench team: {people: 2, hours: 7 h}}
"""
BATCHES = "batches: [{batch: L1, protocol: our_leaves, plants: 70, ready: 2027-06-11}]\n"


class Adapting(unittest.TestCase):
    def setUp(self):
        self.holder = tempfile.TemporaryDirectory()
        self.folder = pathlib.Path(self.holder.name)
        self.write("a_our_leaves.bud", OWN)
        self.write("leaves.bud", BASE)
        self.write("site.yaml", SITE)
        self.write("batches.yaml", BATCHES)

    def tearDown(self):
        self.holder.cleanup()

    def write(self, name, text):
        (self.folder / name).write_text(text)

    def run_program(self, command, *arguments, path=None):
        return subprocess.run(
            [PROGRAM, command, str(path or self.folder), *arguments], capture_output=True, text=True
        )

    def test_orders_speak_the_words_of_the_site(self):
        plan = self.run_program("plan")
        self.assertEqual(plan.returncode, 0, plan.stderr)
        self.assertIn("crew bench team, room bench", plan.stdout)
        self.assertIn("fog tent 2: air 73 degF", plan.stdout)
        self.assertIn("house mix: 53 gal", plan.stdout)  # 100 pieces of 2 L are 52.834 gal
        self.assertNotIn("benchers", plan.stdout)
        self.assertNotIn("degC", plan.stdout)
        self.assertIn("Leaf cuttings, our way, edition 1", plan.stdout)
        self.assertNotIn('"Look"', plan.stdout)

    def test_what_is_asked_for_can_be_chosen_by_the_own_names(self):
        plan = self.run_program("plan", "--crew", "bench team", "--format", "csv")
        self.assertEqual(plan.returncode, 0, plan.stderr)
        rows = list(csv.DictReader(io.StringIO(plan.stdout)))
        self.assertEqual({row["crew"] for row in rows}, {"bench team"})
        more = self.run_program("plan", "--set", "site.bench team.people=1 more")
        self.assertEqual(more.returncode, 0, more.stderr)

    def test_plain_numbers_in_files_keep_the_unit_of_the_protocol(self):
        self.write("site.yaml", SITE + "supplies: {house mix: {on_hand: 50, price: 0.10}}\n")
        needs = json.loads(self.run_program("needs", "--format", "json").stdout)
        mix = next(one for one in needs["supplies"] if one["supply"] == "house mix")
        self.assertEqual(mix["unit"], "gal")
        self.assertAlmostEqual(mix["on_hand"], 50 / 3.785411784, places=6)
        # 150 L at 0.10 a litre; a measure in gallons shows a little more.
        self.assertAlmostEqual(mix["cost"], 15.0, delta=0.1)

    def test_values_tell_their_layer(self):
        self.write("batches.yaml", BATCHES.replace("ready:", "set: {strike: 75 %}, ready:"))
        cells = json.loads(self.run_program("sheet", "--format", "json").stdout)["cells"]
        layers = {one["cell"]: one["layer"] for one in cells}
        self.assertEqual(layers["strike"], "batch")
        self.assertEqual(layers["laying.start"], "leaves edition 2")
        self.write("batches.yaml", BATCHES)
        self.write("site.yaml", SITE + "inputs: {our_leaves: {strike: 72 %}}\n")
        cells = json.loads(self.run_program("sheet", "--format", "json").stdout)["cells"]
        self.assertEqual({one["cell"]: one["layer"] for one in cells}["strike"], "site")
        self.write("site.yaml", SITE)
        cells = json.loads(self.run_program("sheet", "--format", "json").stdout)["cells"]
        self.assertEqual({one["cell"]: one["layer"] for one in cells}["strike"], "protocol")

    def test_why_tells_the_file_and_the_base(self):
        why = subprocess.run(
            [PROGRAM, "why", str(self.folder), "L1", "rooting.start"], capture_output=True, text=True
        )
        self.assertIn("a_our_leaves.bud:3", why.stdout)
        why = subprocess.run(
            [PROGRAM, "why", str(self.folder), "L1", "laying.hours"], capture_output=True, text=True
        )
        self.assertIn("leaves.bud:9, `leaves` edition 2", why.stdout)

    def test_check_lists_what_the_site_does_not_have(self):
        self.write("site.yaml", SITE.replace("fog tent 2: {}, ", "").replace("mix: house mix", "mix: peat"))
        check = self.run_program("check")
        self.assertIn("has no room `fog tent 2`, which the protocol calls `frame`", check.stderr)
        self.assertIn("says nothing of `peat`", check.stderr)
        self.write("site.yaml", SITE)
        check = self.run_program("check")
        self.assertIn("what the nozzles of `fog tent 2` let through", check.stderr)
        self.assertEqual(check.returncode, 0)

    def test_check_asks_for_a_protocol_that_no_batch_uses(self):
        other = BASE.replace("protocol leaves", "protocol others").replace("room bench", "room cave")
        self.write("others.bud", other)
        self.assertNotIn("cave", self.run_program("check").stderr)
        self.assertIn("no room `cave`", self.run_program("check", "--protocol", "others").stderr)
        missing = self.run_program("check", "--protocol", "other")
        self.assertEqual(missing.returncode, 1)
        self.assertIn("Did you mean `others`?", missing.stderr)

    def test_a_single_file_finds_its_base_beside_it(self):
        check = self.run_program("check", path=self.folder / "a_our_leaves.bud")
        self.assertEqual(check.returncode, 0, check.stderr)
        self.assertIn("1 protocol: no errors.", check.stdout)
        graph = self.run_program("graph", path=self.folder / "a_our_leaves.bud")
        self.assertEqual(graph.returncode, 0, graph.stderr)
        self.assertIn("22 to 34 days", graph.stdout)

    def test_a_missing_base_keeps_its_batches_from_being_planned(self):
        (self.folder / "leaves.bud").unlink()
        plan = self.run_program("plan")
        self.assertEqual(plan.returncode, 1)
        self.assertIn("[unknown-base]", plan.stderr)

    def test_a_changed_base_is_another_edition(self):
        self.write("leaves.bud", BASE.replace("edition 2", "edition 3"))
        self.assertIn("is there in edition 3, not in edition 2", self.run_program("plan").stderr)


if __name__ == "__main__":
    PROGRAM = sys.argv.pop(1)
    unittest.main()
