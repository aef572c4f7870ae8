"""Ends writers in the middle of noting, with kill -9: python3 record_kill_test.py PROGRAM

Eight of them note at once. Each entry that was confirmed must be there, each once, and the file must be
whole. BUDWOOD_KILLS says how often; 60 without it.
"""

import os
import pathlib
import random
import re
import signal
import sqlite3
import subprocess
import sys
import threading
import time
import unittest

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
from record_book import RecordBook

KILLS = int(os.environ.get("BUDWOOD_KILLS", "60"))
WRITERS = 8


class Kills(RecordBook):
    def test_what_was_confirmed_is_there_once(self):
        self.note("W1/healing started on 2027-04-05")
        begin = time.monotonic()
        self.note("W2/healing started on 2027-04-12")
        usual = time.monotonic() - begin
        (self.folder / "record.db").unlink()  # the first kills are to meet the making of the file
        left = [KILLS]
        lock = threading.Lock()
        confirmed = []
        killed = [0]

        def work(writer):
            lot = random.Random(writer)
            for turn in range(10 * KILLS):
                with lock:
                    if left[0] <= 0:
                        return
                several = lot.choice((1, 1, 30))
                entries = [f'W1 note "{writer}-{turn}-{i}"' for i in range(several)]
                run = subprocess.Popen([self.program, "record", str(self.folder), *entries],
                                       stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
                time.sleep(lot.uniform(0, 6 * usual))
                run.send_signal(signal.SIGKILL)
                out, _ = run.communicate()
                with lock:
                    if run.returncode == -signal.SIGKILL:
                        left[0] -= 1
                        killed[0] += 1
                    confirmed.extend(re.findall(r'^([a-z0-9]{8})  .*"(\d+-\d+-\d+)"\n', out, re.M))

        threads = [threading.Thread(target=work, args=(w,)) for w in range(WRITERS)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        self.assertGreaterEqual(killed[0], KILLS)
        there = self.exported()
        notes = [e["words"] for e in there if e["what"] == "note"]
        self.assertEqual(len(notes), len(set(notes)))
        ids = {e["id"][:8]: e.get("words") for e in there}
        for front, words in confirmed:
            self.assertEqual(ids.get(front), words)
        # All or none: what was noted in one run is there as a whole.
        runs = {}
        for words in notes:
            writer, turn, _ = words.split("-")
            runs[(writer, turn)] = runs.get((writer, turn), 0) + 1
        self.assertTrue(set(runs.values()) <= {1, 30}, runs)
        with sqlite3.connect(self.folder / "record.db") as db:
            self.assertEqual(db.execute("pragma integrity_check").fetchone()[0], "ok")
        print(f"{killed[0]} killed, {len(confirmed)} confirmed, {len(notes)} there")


if __name__ == "__main__":
    RecordBook.program = str(pathlib.Path(sys.argv.pop(1)).resolve())
    unittest.main()
