"""Runs the program on files and arguments that are meant to do harm.

    python3 hostile_test.py PROGRAM FUZZ_REPLAY

Whatever it reads: it ends by itself with 0, 1 or 2, says something where it does not end with 0, no sanitizer
finds anything, and what it says cannot steer a terminal. The inputs are the corpora of the fuzzers.
"""

import concurrent.futures
import itertools
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

CORPUS = pathlib.Path(__file__).resolve().parent.parent / "fuzz" / "corpus"
LONGEST = 120  # seconds, on a slow machine with sanitizers
CONTROLS = re.compile(rb"[\x00-\x08\x0b-\x1f\x7f]")

PROTOCOL = (CORPUS / "protocol" / "usual.bud").read_bytes()
SITE = b"site: Small\nrooms: {bench: {}, tunnel: {}}\ncrews: {cutters: {people: 2, hours: 6 h}}\n"
BATCHES = b"""batches:
  - {batch: A1, protocol: layering, plants: 300, ready: 2027-05-14}
  - {batch: A2, protocol: layering, plants: 90, ready: 2027-06-11, late: 1 week}
"""


class Hostile:
    def __init__(self, program, replay, top):
        self.program, self.replay, self.top = program, replay, pathlib.Path(top)
        self.number = itertools.count()

    def corpus(self, kind):
        """The inputs of a fuzzer, whole, as files."""
        folder = self.top / "corpus" / kind
        subprocess.run([self.replay, "write", folder, CORPUS / kind], check=True)
        return sorted(folder.iterdir())

    def book(self, **files):
        """A folder with a small book, and with these files instead of or beside its own."""
        folder = self.top / f"book{next(self.number)}"
        folder.mkdir()
        everything = {"site.yaml": SITE, "batches.yaml": BATCHES, "layering.bud": PROTOCOL, **files}
        for name, content in everything.items():
            (folder / name).write_bytes(content)
        return folder

    def run(self, case):
        """What is wrong with how the program takes it; "" when nothing is."""
        name, arguments, folder = case
        arguments = [os.fsencode(a) for a in arguments]
        try:
            done = subprocess.run([self.program, *arguments], cwd=folder, capture_output=True, timeout=LONGEST,
                                  stdin=subprocess.DEVNULL, check=False)
        except subprocess.TimeoutExpired:
            return f"{name}: does not end"
        finally:
            shutil.rmtree(folder, ignore_errors=True)
        said = done.stdout + done.stderr
        wrong = []
        if done.returncode not in (0, 1, 2):
            wrong.append(f"ends with {done.returncode}")
        if b"Sanitizer" in said or b"runtime error:" in said:
            wrong.append("a sanitizer found something")
        if done.returncode != 0 and not done.stderr.strip():
            wrong.append("says nothing about what is wrong")
        if CONTROLS.search(done.stderr):
            wrong.append("writes control characters to the terminal")
        try:
            done.stderr.decode()
        except UnicodeDecodeError:
            wrong.append("writes what is no UTF-8")
        if not wrong:
            return ""
        return f"{name}: {', '.join(wrong)}\n{said[-3000:].decode(errors='replace')}"

    # Each gives cases: a name, the arguments, the folder to run in.

    def files_of_books(self):
        """Each file of a book is the hostile one in turn."""
        places = {"site": "site.yaml", "batches": "batches.yaml", "levelled": "levelled.yaml",
                  "editions": "editions.yaml", "protocol": "more.bud"}
        for kind, place in places.items():
            for file in self.corpus(kind):
                book = self.book(**{place: file.read_bytes()})
                yield f"plan with {kind}/{file.name}", ["plan", "."], book
        for file in self.corpus("weather"):
            site = SITE + b"climate: {file: weather.csv}\n"
            book = self.book(**{"weather.csv": file.read_bytes(), "site.yaml": site})
            yield f"check with weather/{file.name}", ["check", "."], book
        for file in self.corpus("journal"):
            book = self.book(**{".budwood-journal": file.read_bytes()})
            yield f"check with journal/{file.name}", ["check", "."], book
        for kind, file in (("site", "no_utf8.yaml"), ("json_lines", "usual.jsonl"), ("pack", "usual.zip")):
            book = self.book(**{"record.db": (CORPUS / kind / file).read_bytes()})
            yield f"plan with {file} as record.db", ["plan", "."], book

    def files_beside_books(self):
        """Files that a command is told to read."""
        commands = {
            "demand": ("wanted.yaml", ["propose", ".", "--rounds", "3", "--demand"]),
            "calendar": ("before.ics", ["plan", ".", "--format", "ics", "--after"]),
            "entry": ("today.txt", ["record", ".", "--on", "2027-04-20", "--read"]),
            "returned_csv": ("week.csv", ["record", ".", "--on", "2027-04-20", "--read"]),
            "json_lines": ("all.jsonl", ["record", ".", "--import"]),
            "pack": ("a.zip", ["unpack", "--into", ".", "--yes"]),
            "key": ("a.secret", ["pack", ".", "--out", "a.zip", "--sign"]),
        }
        for kind, (place, command) in commands.items():
            for file in self.corpus(kind):
                yield f"{command[0]} of {kind}/{file.name}", [*command, place], self.book(**{place: file.read_bytes()})
        for file in self.corpus("returned_workbook"):
            if file.suffix == ".xlsx":
                book = self.book(**{"week.xlsx": file.read_bytes()})
                yield f"record of {file.name}", ["record", ".", "--read", "week.xlsx"], book
        for kind, file in (("protocol", "no_utf8.bud"), ("protocol", "nested_repeat.repeat"), ("pack", "usual.zip")):
            content = (CORPUS / kind / file).read_bytes()
            for command in (["graph"], ["print", "--method"], ["compare", "layering.bud"], ["editions"]):
                yield f"{command[0]} of {file}", [*command, "a.bud"], self.book(**{"a.bud": content})

    def arguments(self):
        """Words where a book, a name, a number or a date belongs."""
        odd = ["", " ", "-", "--", "\n", "a\x1b[31mb", "\u202e\u200b\U000e0041", "x" * 5000, "99999999999999999999",
               "-1", "1e309", "nan", "2027-02-30", "/dev/zero", "/proc/self/mem", "..", "*", "a=b", "%s%n", "A1",
               b"\xff\xfe", "A1.take=\x07", "\"", "';--", "2027-05-14T"]
        forms = [["plan"], ["plan", ".", "--batch"], ["plan", ".", "--from"], ["plan", ".", "--crew"],
                 ["plan", ".", "--set"], ["plan", ".", "--format"], ["plan", ".", "--alarm"], ["check"],
                 ["needs", ".", "--by"], ["load", ".", "--room"], ["propose", ".", "--demand"],
                 ["sheet", ".", "--cells"], ["sheet", ".", "--sensitivity"], ["why", ".", "A1"], ["why", ".", "A1", "x"],
                 ["print", ".", "--skip"], ["print", "--method"], ["graph"], ["compare", "layering.bud"],
                 ["editions", ".", "--move"], ["pack", ".", "--protocol"], ["unpack"], ["keys"], ["record", "."],
                 ["record", ".", "--on"], []]
        # Every form with some of the words, so that each word meets many forms.
        for place, form in enumerate(forms):
            for word in (odd[(place * 7 + step * 4) % len(odd)] for step in range(6)):
                yield f"{form} {word!r:.60}", [*form, word], self.book()

    def changes(self):
        for file in self.corpus("change"):
            lines = [line for line in file.read_bytes().split(b"\n") if line and b"\0" not in line]
            sets = [word for line in lines for word in (b"--set", line)]
            yield f"plan with change/{file.name}", ["plan", ".", *sets], self.book()


def main():
    program, replay = (os.path.abspath(path) for path in sys.argv[1:3])
    with tempfile.TemporaryDirectory(prefix="budwood_hostile_test_") as top:
        hostile = Hostile(program, replay, top)
        cases = itertools.chain(hostile.files_of_books(), hostile.files_beside_books(), hostile.arguments(),
                                hostile.changes())
        with concurrent.futures.ThreadPoolExecutor(max_workers=2) as pool:
            results = list(pool.map(hostile.run, cases))
    wrong = [result for result in results if result]
    for result in wrong:
        print(result)
    print(f"{len(results)} runs, {len(wrong)} of them wrong")
    return 1 if wrong or len(results) < 300 else 0


sys.exit(main())
