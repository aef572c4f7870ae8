"""Prints what became of batches: python3 record_history_test.py PROGRAM"""

import html.parser
import pathlib
import sys
import unittest

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
from record_book import RecordBook

BATCHES = """batches:
  - {batch: W1, protocol: whips, plants: 60, ready: 2027-04-20, lots: {tape: "roll 7"}, note: "north bench"}
  - {batch: W2, protocol: whips, plants: 80, start: 2027-04-08}
  - {batch: C, protocol: whips, start: 2027-04-01, cultivars: {Rex: 20, Bonita: 30}}
"""


class Tables(html.parser.HTMLParser):
    """The words of a page, and the rows of the tables below each heading."""

    def __init__(self, text):
        super().__init__()
        self.words, self.rows, self.heading, self.cell, self.inside = "", {}, "", None, ""
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        self.inside = tag
        if tag == "h2":
            self.heading = ""
        if tag == "tr" and self.heading:
            self.rows.setdefault(self.heading, []).append([])
        if tag == "td" and self.heading:
            self.rows[self.heading][-1].append("")

    def handle_data(self, data):
        self.words += data
        if self.inside == "h2":
            self.heading += data
        elif self.heading and self.rows.get(self.heading) and self.rows[self.heading][-1]:
            self.rows[self.heading][-1][-1] += data.strip()

    def handle_endtag(self, tag):
        self.inside = ""
        if tag == "h2":
            self.rows[self.heading] = []


class History(RecordBook):
    def setUp(self):
        super().setUp()
        self.write("batches.yaml", BATCHES)

    def history(self, batch, status=0):
        run = self.run_program("print", "--history", batch)
        self.assertEqual(run.returncode, status, run.stderr)
        page = Tables(run.stdout)
        return page, {head: [row for row in rows if row] for head, rows in page.rows.items()}

    def test_who_did_what_and_what_was_corrected(self):
        ids = self.note(
            "W1/grafting/1/1 done on 2027-04-02 by Ana, 70 plants, 1 h 20 min, used 9 m tape",
            "W1/healing started on 2027-04-05 by Ben", "W1/healing/1/1 done on 2027-04-07 by Ben",
            'W1/healing lost 4 plants on 2027-04-08 by Ben, "<b>rot</b> & mould"', "W1/healing counted 58 on 2027-04-09",
            "W2/grafting/1/1 done on 2027-04-09 by Zoe")
        self.note(f"correct {ids[1]} with W1/healing started on 2027-04-06 by Ana", f'withdraw {ids[4]} "miscounted"')
        page, rows = self.history("W1")
        self.assertIn("roll 7", page.words)
        self.assertIn("north bench", page.words)
        self.assertNotIn("Zoe", page.words)
        stages = rows["Stages, as far as they are noted"]
        self.assertEqual(stages[0][2], "Fri 2027-04-02, taken for granted")
        self.assertEqual(stages[1][2:], ["Tue 2027-04-06", "", ""])
        work = rows["Work that was done"]
        self.assertEqual(work[0][:6], ["Fri 2027-04-02", "Ana", "Graft (grafting/1/1)", "70 plants", "1 h 20 min", "9 m tape"])
        self.assertEqual([row[2] for row in work], ["Graft (grafting/1/1)", "Look (healing/1/1)"])
        others = rows["Seen, counted, lost and told"]
        self.assertEqual([row[0] for row in others], ["Tue 2027-04-06", "Thu 2027-04-08"])
        self.assertIn("<b>rot</b> & mould", others[1][2])
        entries = rows["Every entry as it was noted"]
        self.assertEqual([row[0] for row in entries][:5], ids[:5])
        self.assertEqual([row[5] for row in entries],
                         ["", f"corrected by {entries[5][0]}", "", "", f"withdrawn by {entries[6][0]}", "", ""])
        self.assertIn("miscounted", entries[6][4])

    def test_what_was_used_as_planned_is_told_with_its_lot(self):
        self.note("W1/grafting/1/1 done on 2027-04-02 by Ana")
        used = self.history("W1")[1]["Work that was done"][0][5]
        self.assertIn("as planned: Tape: ", used)
        self.assertIn("(lot: roll 7)", used)

    def test_a_batch_that_was_given_up_keeps_its_history(self):
        self.note("W2/grafting/1/1 done on 2027-04-08 by Ana", 'W2 stopped on 2027-04-12 "frost in the tunnel"')
        page, rows = self.history("W2")
        self.assertIn("Given up on Mon 2027-04-12: frost in the tunnel", page.words)
        self.assertEqual(rows["Work that was done"][0][2], "Graft (grafting/1/1)")

    def test_a_cultivar_has_what_was_said_of_all(self):
        self.note("C/healing started on 2027-04-06", "C-c1/healing counted 18 on 2027-04-12", "C-c2/healing counted 27 on 2027-04-12")
        page, rows = self.history("C-c1")
        self.assertEqual(rows["Stages, as far as they are noted"][1][2:], ["Tue 2027-04-06", "", "18"])
        self.assertEqual(len(rows["Every entry as it was noted"]), 2)

    def test_nothing_noted_and_misuse(self):
        self.assertIn("Nothing has been noted of it.", self.history("W1")[0].words)
        self.assertEqual(self.history("W1")[1]["Stages, as far as they are noted"][0][0], "grafting")
        for words in (["--history", "W9"], ["--history", "W1", "--batch", "W1"], ["--history", "W1", "--by", "day"],
                      ["--history", "W1", "--season"], ["--history", "W1", "--from", "2027-04-01"]):
            self.assertEqual(self.run_program("print", *words).returncode, 2, words)


if __name__ == "__main__":
    RecordBook.program = str(pathlib.Path(sys.argv.pop(1)).resolve())
    unittest.main()
