"""What came of a small book, as the program tells it: python3 results_test.py PROGRAM"""

import csv
import io
import json
import pathlib
import shutil
import sys
import unittest
import xml.etree.ElementTree

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
from record_book import PROTOCOL, RecordBook

VARIANT = '  variant clipped "Clip instead of tape" { change stage healing { loses 5 % } }\n}\n'
TRIAL = """batches:
  - batch: T
    protocol: whips
    plants: 200
    start: 2027-04-01
    trial: {arms: {tape: , clip: {variant: clipped}}, trays: 6, blocks: [left, right], seed: 5}
"""


class Results(RecordBook):
    def results(self, *arguments):
        run = self.run_program("results", *arguments)
        self.assertEqual(run.returncode, 0, run.stderr)
        return run.stdout

    def rows(self, *arguments):
        return json.loads(self.results("--format", "json", *arguments))["rows"]

    def test_takes_by_batch(self):
        self.note("W1/healing counted 61 of 80 on 2027-04-15 by Ana",
                  "W2/healing counted 30 of 40 in tray 1 on 2027-04-20",
                  "W2/healing counted 20 of 40 in tray 2 on 2027-04-20")
        rows = {row["group"]: row for row in self.rows()}
        self.assertEqual((rows["W1"]["left"], rows["W1"]["started"]), (61, 80))
        self.assertAlmostEqual(rows["W1"]["share"], 61 / 80)
        # Wilson 1927: 61 of 80.
        self.assertAlmostEqual(rows["W1"]["low"], 0.6585, places=3)
        self.assertAlmostEqual(rows["W1"]["high"], 0.8425, places=3)
        self.assertEqual(rows["W2"]["units"], 2)
        self.assertEqual(len(self.rows("--by", "tray")), 3)
        table = self.results()
        self.assertIn("76.2 %", table)
        self.assertIn("90.0 %", table)  # as the protocol has it
        lines = list(csv.DictReader(io.StringIO(self.results("--format", "csv"))))
        self.assertEqual(lines[0]["left"], "61")

    def test_nothing_noted(self):
        run = self.run_program("results")
        self.assertEqual(run.returncode, 0)
        self.assertIn("no-results", run.stderr)

    def test_picture_and_workbook(self):
        self.note("W1/healing counted 61 of 80 on 2027-04-15")
        picture = xml.etree.ElementTree.fromstring(self.results("--format", "svg"))
        words = "".join(picture.itertext())
        self.assertIn("W1", words)
        self.assertIn("76.2 % of 80", words)
        file = self.folder / "results.xlsx"
        self.results("--format", "xlsx", "--out", str(file))
        self.assertEqual(file.read_bytes()[:2], b"PK")

    def test_what_cannot_be_asked(self):
        self.note("W1/healing counted 61 of 80 on 2027-04-15")
        for arguments, words in (
                (("--by", "moon"), "nothing to group by"),
                (("--of", "luck"), "no kind of result"),
                (("--stage", "heeling"), "Did you mean `healing`?"),
                (("--compare", "W1", "W3"), "Nothing was noted of `W3`"),
                (("--compare", "W1", "W1"), "two different groups"),
                (("--of", "cost", "--by", "tray"), "costs are those of whole batches"),
                (("--looks", "3"), "--compare"),
                (("--course", "survival"), "--course belongs to --compare"),
                (("--compare", "W1", "W2", "--course", "moon"), "is no course"),
                (("--compare", "W1", "W2", "--compare-all"), "either --compare or --compare-all"),
                (("--compare-all", "--of", "rate"), "--compare-all is about takes"),
                (("--compare", "W1", "W2", "--of", "days", "--looks", "2"), "--looks is about takes")):
            run = self.run_program("results", *arguments)
            self.assertEqual(run.returncode, 2, arguments)
            self.assertIn(words, run.stderr)

    def test_counts_that_cannot_be(self):
        self.note("W1/grafting/1/1 done on 2027-04-02, 50 plants")
        self.note("W1/healing counted 61 on 2027-04-15")
        run = self.run_program("results")
        self.assertIn("count-left-out", run.stderr)
        self.assertIn("61 were counted where 50", run.stderr)

    def test_few_plants_are_told(self):
        self.note("W1/healing counted 40 of 80 on 2027-04-15 by Ana")
        run = self.run_program("results")
        self.assertIn("below-expectation", run.stderr)
        self.assertIn("where 90 % is usual", run.stderr)
        self.assertIn("budwood propose BOOK --make-up W1", run.stderr)

    def test_few_plants_are_told_when_they_are_noted(self):
        told = self.record("W1/healing counted 40 of 80 on 2027-04-15 by Ana")
        self.assertEqual(told.returncode, 0)
        self.assertIn("[below-expectation] Batch `W1`: 40 of 80 in `healing`", told.stderr)
        # Once; what comes next has nothing to do with it.
        self.assertNotIn("below-expectation", self.record("W1/healing note \"warm\" on 2027-04-15").stderr)
        self.assertNotIn("below-expectation", self.record("W2/healing counted 76 of 80 on 2027-04-20").stderr)

    def test_two_batches_compared(self):
        self.note("W1/healing counted 61 of 80 on 2027-04-15", "W2/healing counted 70 of 80 on 2027-04-20")
        first = self.results("--compare", "W1", "W2").splitlines()
        self.assertIn("No more than luck can do: W2 88 %, W1 76 %", first[1])
        self.assertIn("Not a trial", " ".join(first))

    def test_rates_days_and_costs_compared(self):
        jobs = [("Ana", 60), ("Ana", 64), ("Ana", 58), ("Ana", 62), ("Ben", 50), ("Ben", 49), ("Ben", 53), ("Ben", 47)]
        self.write("batches.yaml", "batches:\n" + "".join(
            f"  - {{batch: W{i}, protocol: whips, plants: 80, start: 2027-04-01}}\n" for i in range(1, 9)))
        self.note(*(f"W{i}/grafting/1/1 done on 2027-04-01 by {who}, {plants} plants, 2 h"
                    for i, (who, plants) in enumerate(jobs, 1)))
        told = " ".join(self.results("--of", "rate", "--by", "person", "--compare", "Ben", "Ana").split())
        self.assertIn("Ana was faster: 30.5 against 24.9 plants an hour, by", told)
        self.assertIn("by Welch's test of jobs", told)
        self.assertIn("Nobody gave jobs to the two by lot", told)
        one = json.loads(self.results("--of", "rate", "--by", "person", "--compare", "Ben", "Ana",
                                      "--format", "json"))["comparisons"][0]
        self.assertEqual((one["verdict"], one["second"]["units"]), ("second", 4))
        lines = list(csv.DictReader(io.StringIO(self.results(
            "--of", "rate", "--by", "person", "--compare", "Ben", "Ana", "--format", "csv"))))
        self.assertEqual(lines[0]["p_method"], "Welch's test")
        run = self.run_program("results", "--of", "rate", "--by", "person", "--compare", "Ben", "Eva")
        self.assertIn("Nothing was noted of `Eva`", run.stderr)

    def test_all_at_once(self):
        self.note("W1/healing counted 70 of 80 on 2027-04-15", "W2/healing counted 40 of 80 on 2027-04-20")
        told = self.results("--compare-all")
        self.assertNotIn("groups:", told)  # two are no more than a pair
        self.assertIn("W1 took better", told)

    def test_one_book_twice(self):
        self.note("W1/healing counted 61 of 80 on 2027-04-15")
        copy = self.folder.parent / (self.folder.name + "_copy")
        shutil.copytree(self.folder, copy)
        for command in ("results", "learn"):
            for other, words in ((self.folder, "is named twice"), (copy, "hold the same entries")):
                run = self.run_program(command, str(other))
                self.assertEqual(run.returncode, 2, run.stdout)
                self.assertIn(words, run.stderr)

    def counted_trial(self):
        """A trial whose trays were counted, a third of them so noted that the arm has to be found."""
        arms, notes = self.trial()
        clip = arms["whips.clipped"]
        drawn = [word.split() for line in notes if ": tray " in line
                 for word in line.split(": tray ")[1].rstrip(".").split(", ")]
        for number, letter in drawn:
            name = "T" if int(number) % 3 == 0 else f"T-{letter}"
            alive = 24 if f"T-{letter}" == clip else 18
            self.note(f"{name}/healing counted {alive // 2} of 25 in tray {number} on 2027-04-{12 if alive == 24 else 14}",
                      f"{name}/healing counted {alive} of 25 in tray {number} on 2027-04-15")

    def test_a_tray_of_the_whole_trial_is_that_of_its_arm(self):
        self.counted_trial()
        answer = " ".join(self.results("--compare", "clip", "tape", "--by", "arm").split())
        self.assertIn("clip took better: 96 % against 72 %", answer)
        self.assertIn("clip: 144 of 150 in 6 counts", answer)
        self.note("T/healing counted 200 of 300 on 2027-04-16")
        run = self.run_program("results", "--by", "arm")
        self.assertIn("it is not known of which of T-A and T-B", run.stderr)

    def test_course_of_a_trial(self):
        self.counted_trial()
        told = " ".join(self.results("--compare", "clip", "tape", "--by", "arm", "--course", "germination").split())
        self.assertIn("clip came up sooner: half by day", told)
        self.assertIn("by lot alone so large a difference comes 1 time in 200", told)

    def test_a_trial_that_was_changed(self):
        self.counted_trial()
        self.write("batches.yaml", TRIAL.replace("seed: 5", "seed: 6"))
        for more in ((), ("--course", "germination")):
            run = self.run_program("results", "--compare", "clip", "tape", "--by", "arm", *more)
            self.assertEqual(run.returncode, 1)
            self.assertIn("No answer: trays of trial T", run.stdout)
            self.assertIn("[trial-changed]", run.stderr)
            self.assertIn("put it back as it was", run.stderr)
        self.assertIn("[trial-changed]", self.run_program("plan").stderr)

    def trial(self):
        self.write("whips.bud", PROTOCOL.rstrip()[:-1] + VARIANT)
        self.write("batches.yaml", TRIAL)
        run = self.run_program("plan")
        notes = [line for line in run.stdout.splitlines() if "Trial T" in line]
        self.assertTrue(any("left: tray 1" in line for line in notes), notes)
        self.assertIn("small-trial", run.stderr)
        plan, _ = self.plan()
        ids = [batch["batch"] for batch in plan["batches"]]
        self.assertEqual(ids, ["T-A", "T-B"])
        return {b["protocol"]: b["batch"] for b in plan["batches"]}, notes

    def test_trial(self):
        arms, notes = self.trial()
        drawn = {}
        for line in notes:
            if ": tray " not in line:
                continue
            for word in line.split(": tray ")[1].rstrip(".").split(", "):
                number, letter = word.split()
                drawn[int(number)] = "T-" + letter
        self.assertEqual(sorted(drawn), list(range(1, 13)))
        clip = arms["whips.clipped"]
        lines = [f"{batch}/healing counted {24 if batch == clip else 18} of 25 in tray {number} on 2027-04-15"
                 for number, batch in drawn.items()]
        self.note(*lines)
        answer = self.results("--compare", "clip", "tape", "--by", "arm").splitlines()
        # Blocks of 3 + 3 trays: 20 x 20 lots, of which this one and its mirror differ most.
        self.assertIn("clip took better: 96 % against 72 %", answer[1])
        self.assertIn("1 time in 200", " ".join(answer))
        self.assertNotIn("Not a trial", " ".join(answer))
        # A tray that the lot gave to the other arm.
        other = next(number for number, batch in drawn.items() if batch != clip)
        refused = self.run_program("record", f"{clip}/healing counted 9 of 25 in tray {other} on 2027-04-16")
        self.assertEqual(refused.returncode, 1)
        self.assertIn("[unknown-tray]", refused.stderr)

    def test_learned(self):
        self.note("W1/healing counted 61 of 80 on 2027-04-15")
        self.write("whips.bud", PROTOCOL.replace("  part whip", "  input rot = 10 %\n  part whip")
                   .replace("loses 10 %", "loses rot"))
        run = self.run_program("learn", "--format", "json")
        self.assertEqual(run.returncode, 0, run.stderr)
        learned = json.loads(run.stdout)["learned"]
        self.assertEqual([one["input"] for one in learned], ["rot"])
        self.assertEqual((learned[0]["good"], learned[0]["seen"]), (61, 80))
        self.assertFalse(learned[0]["from_batches"])
        # Between what the protocol has and what was counted: 10 % and 23.75 % lost.
        self.assertGreater(learned[0]["learned"], 12)
        self.assertLess(learned[0]["learned"], 23.75)
        self.assertIn("61 of 80", self.run_program("learn").stdout)


if __name__ == "__main__":
    RecordBook.program = str(pathlib.Path(sys.argv.pop(1)).resolve())
    unittest.main()
