#!/usr/bin/env python3
"""Lives through the season of Heron Bay with the program: /usr/bin/python3 live.py PROGRAM [--refresh]

People look at the plan of the day, do what is due and note it; nature answers with numbers drawn from a seed. What
they note goes into the files of the folder `season`, one for each piece of the story that README.md tells, and what
is learned of it in the end into two more. A plan holds until something is noted. Without --refresh the files in the
tree are held against what would be written.
"""
import datetime
import json
import pathlib
import random
import shutil
import subprocess
import sys
import tempfile

here = pathlib.Path(__file__).resolve().parent
protocols = ("division", "leaf_cuttings", "plug_seedlings", "tomato_splice_graft")
first, last = datetime.date(2029, 3, 12), datetime.date(2029, 9, 30)

# The pieces of the story, by the day with which each begins.
pieces = {
    "2029-03-12": "1_march.txt",
    "2029-03-28": "3_wrong_number.txt",
    "2029-03-29": "4_cold_seed.txt",
    "2029-04-13": "5_wet_sacks.txt",
    "2029-04-25": "6_slipping_tubes.txt",
    "2029-05-03": "7_bad_take.txt",
    "2029-05-07": "8_spring_sales.txt",
    "2029-06-15": "9_summer.txt",
}
# One day of one batch was noted on a telephone out in the field, and taken in in the evening.
phone_day, phone_batch, phone_file = "2029-03-27", "HOS29-2", "2_phone.jsonl"

people = {
    "field": "Joost", "propagation": "Maren", "sowing": "Wilma", "grafting": "Inge", "potting": "Rasmus",
    "": "Wilma",
}

# What is looked at in a stage: what it comes to on a day, how that is told, which day that is, and what of
# it ends the stage, as the protocols have it.
sights = {
    "division/settling": {"roots_at_edge": (72, "of 20", 35, 70)},
    "leaf_cuttings/rooting": {"rooted": (82, "of 20", 30, 80)},
    "leaf_cuttings/plantlets_showing": {"first_leaf": (31, "mm", 42, 30)},
    "leaf_cuttings/weaning": {"roots_at_edge": (77, "of 20", 35, 75)},
    "heron_plugs/germinating": {"emerged": (85, "%", 7, 80)},
    "heron_plugs/seed_leaves": {"true_leaves": (1, "leaves", 11, 1)},
    "heron_plugs/growing": {"true_leaves": (5, "leaves", 28, 5), "roots_hold": (92, "of 20", 28, 90)},
    "tomato_splice_graft/grow_stock": {"stock_true_leaves": (2, "leaves", 18, 2)},
    "tomato_splice_graft/grow_scion": {"scion_true_leaves": (2, "leaves", 17, 2)},
    "tomato_splice_graft/healing": {"standing": (92, "of 50", 6, None)},
}
samples = {"of 20": 20, "of 50": 50}
counts = {"divisions", "good_stocks", "good_scions", "weaned", "good_plants", "saleable", "plantlets_taken"}
weighed = {"mix": "L mix", "grafting_tube": "grafting_tube"}

# The trial: of each way to cover the seed the share of cells that comes up, and the day on which half of them are up.
trial = "PLG29-5"
truth = {"heron_plugs": (0.84, 8.1), "heron_plugs.vermiculite": (0.94, 5.4)}
cells = 72
next_edition = "heron_plugs_2.bud"

# Where this season was not as usual: how fast a stage came on, and days before which a stage could not begin.
pace = {"STR29-1/rooting": 0.72, "PLG29-2/germinating": 0.35, "GRF29-2/healing": 0.72}
held = {"GRF29-1/grow_stock": "2029-03-29", "GRF29-1/potting": "2029-04-30"}
miscounted = {"HOS29-2/dividing": 95}
left_out = {"PLG29-1/growing/2/4": "rain all week, the trays are heavy"}
make_up = {"2029-05-07": "GRF29-2"}  # in the morning
# What people noted besides; {0} is the id of the first entry of the telephone.
told = {
    "2029-03-26": ["stock mix 165 L on 2029-03-26 by Rasmus"],
    "2029-03-27": [
        'HOS29-1/settling lost 12 plants on 2029-03-27 by Joost, "crows"',
        "stock mix came in 420 L on 2029-03-27 by Rasmus",
    ],
    "2029-03-28": [
        'correct {3} with HOS29-2/dividing counted 288 on 2029-03-27 by Joost, "95 were the clumps"',
        'withdraw {4} on 2029-03-28 "the crows were in the bed, not in the pots"',
    ],
    "2029-03-29": ["GRF29-1/sow_stock ended on 2029-03-29 by Wilma"],
    "2029-04-12": [
        'PLG29-2/germinating note "the mix has 17 degC: the mat is cold" on 2029-04-12 by Wilma',
    ],
    "2029-04-16": [
        'PLG29-2/germinating counted 1297 on 2029-04-16 by Wilma',
        'PLG29-2/germinating lesson "measure the mix in the trays on the second day" on 2029-04-16 by Wilma',
        'PLG29-3/seed_leaves lost 31 plants on 2029-04-16 by Wilma, "damping off"',
    ],
    "2029-04-24": [
        'stock mix thrown out 70 L on 2029-04-24 by Rasmus, "sacks burst in the rain"',
        "stock mix 22 L on 2029-04-24 by Rasmus",
    ],
    "2029-04-30": ["stock mix came in 420 L on 2029-04-30 by Rasmus"],
    "2029-05-04": [
        "GRF29-2/healing counted 209 on 2029-05-04 by Inge",
        'GRF29-2/grafting lesson "tubes of 2 mm slip on thin stems: measure stems first" on 2029-05-04 by Inge',
    ],
    "2029-06-15": ['HOS29-3 stopped on 2029-06-15 by Maren, "mottled leaves; destroyed as local rules allow"'],
}


class Book:
    """A copy of the book as it is at the start of the season, with a record of its own."""

    def __init__(self, program, holder, name):
        self.program, self.folder = program, pathlib.Path(holder) / name
        (self.folder / "protocols").mkdir(parents=True)
        for protocol in protocols:
            shutil.copy(here.parent.parent / "protocols" / f"{protocol}.bud", self.folder / "protocols")
        for name in ("batches.yaml", "heron_plugs.bud"):
            shutil.copy(here / name, self.folder)
        site = (here / "site.yaml").read_text().replace("rules: [good_practice]\n", "")
        (self.folder / "site.yaml").write_text(site.replace("../../protocols", "protocols"))

    def run(self, command, *arguments, fine=(0,)):
        words = [self.program, command, self.folder, *arguments]
        run = subprocess.run(words, capture_output=True, text=True)
        if run.returncode not in fine:
            sys.exit(f"budwood {command} {' '.join(arguments)}\n{run.stdout}{run.stderr}")
        return run.stdout

    def plan(self, *today):
        # Conflicts are part of a season: the plan has them and goes on.
        plan = json.loads(self.run("plan", "--format", "json", *today, fine=(0, 1)))
        for batch in plan["batches"]:
            batch["drawn"] = [note["message"] for note in plan["notes"] if ": tray " in note["message"]]
        return plan["batches"]

    def note(self, lines):
        path = self.folder / "today.txt"
        path.write_text("\n".join(lines) + "\n")
        self.run("record", "--read", str(path))

    def take_in(self, text):
        path = self.folder / "phone.jsonl"
        path.write_text(text)
        self.run("record", "--import", str(path))

    def learned(self):
        """What the season taught: the values that are kept, and the next edition of the method that won."""
        self.run("learn", "--keep")
        file = self.folder / next_edition
        words = [self.program, "revise", "heron_plugs", "--book", self.folder, "--method", "vermiculite", "--out", file]
        run = subprocess.run(words, capture_output=True, text=True)
        if run.returncode != 0:
            sys.exit(f"budwood revise\n{run.stdout}{run.stderr}")
        return {name: (self.folder / name).read_text() for name in ("learned.yaml", next_edition)}

    def make_up(self, batch, today):
        with (self.folder / "batches.yaml").open("a") as batches:
            batches.write(self.run("propose", "--make-up", batch, "--today", today, fine=(0, 1)))


def grown(place, name, day, sight):
    """What is seen on a day of a stage, and its number: it grows evenly."""
    comes_to, form, on_day, _ = sight
    value = comes_to * day / on_day * pace.get(place, 1) * random.Random(f"{place}/{name}/{day}").uniform(1, 1.08)
    if form in samples:
        whole = samples[form]
        value = min(round(value / 100 * whole), whole)
        return f"{value} of {whole}", value / whole * 100
    value = round(value * 2) / 2 if form == "leaves" else min(round(value), 97)
    return f"{value:g} {form}", value


class Morning:
    """One day of one batch: what is due in the plan is done and noted."""

    def __init__(self, batch, today, season):
        self.batch, self.name, self.today, self.season = batch, batch["batch"], today, season
        works = [self.work(order) for order in batch["work_orders"]]
        self.turns = {work: works.count(work) for work in works}
        # On weekends the round is done by whoever has duty; on other days by nobody's crew.
        self.rounds = {self.work(order) for order in batch["work_orders"] if not order["crew"]}
        self.lines = []

    def say(self, place, what, crew, rest=""):
        self.lines.append(f"{place} {what} on {self.today} by {people[crew]}{rest}")

    def work(self, order):
        return order["id"].rsplit("/", 1)[0]

    def before(self, stage):
        """The stages that a stage follows: the one before of its part, or the last ones of the parts that it joins."""
        earlier = self.batch["stages"][: self.batch["stages"].index(stage)]
        parts = stage["joins"] or [stage["part"]]
        found = [[other for other in earlier if other["part"] == part][-1:] for part in parts]
        return [self.place(other) for several in found for other in several]

    def place(self, stage):
        return f"{self.name}/{stage['stage']}"

    def sights(self, stage_name):
        method = self.batch["protocol"].split(".")[0]  # whatever variant
        return sights.get(f"{method}/{stage_name}", {})

    def may_end(self, place):
        """Whether a stage is under way and what it waits for was seen."""
        gated = any(sight[3] is not None for sight in self.sights(place.split("/")[1]).values())
        return place in self.season.began and (not gated or place in self.season.seen)

    def may_begin(self, stage):
        place = self.place(stage)
        if place in self.season.began or stage["start"] > self.today or self.today < held.get(place, ""):
            return False
        return all(self.may_end(other) for other in self.before(stage))

    def live(self):
        """Begins what may begin, does what is due, and returns the lines that people note."""
        for stage in self.batch["stages"]:
            place = self.place(stage)
            if self.may_begin(stage):
                self.season.began[place] = self.today
                self.season.over.update(self.before(stage))
                alone = [o for o in self.due(place) if self.turns[self.work(o)] == 1]
                if not any(order["date"] == stage["start"] for order in alone):
                    self.say(place, "started", "")
            if place in self.season.began and place not in self.season.over:
                for order in self.due(place):
                    self.do(order, place, stage)
        self.leave()
        return self.lines

    def due(self, place):
        orders = [o for o in self.batch["work_orders"] if f"{self.name}/{o['stage']}" == place]
        return [o for o in orders if o["state"] in ("open", "overdue") and o["date"] <= self.today and self.noted(o)]

    def noted(self, order):
        """The daily round has no crew and is ticked on a list at the door; all else is noted."""
        return self.work(order) not in self.rounds or self.looks(order) or self.turns[self.work(order)] == 1

    def looks(self, order):
        names = [word.split()[0] for word in order["record"]]
        return [name for name in names if name in self.sights(order["stage"])]

    def do(self, order, place, stage):
        """Notes what was seen in an order, that it was done or left out, and what was counted after it."""
        if order["id"] in self.season.done:
            return
        self.season.done.add(order["id"])
        self.look(self.looks(order), place, order["crew"])
        # An entry can name an order only if the plan has it when the file is read; what was seen is told anyway.
        if order["id"] not in self.season.orders or (self.looks(order) and self.work(order) in self.rounds):
            return
        if order["id"] in left_out:
            self.say(order["id"], "left out", order["crew"], f', "{left_out[order["id"]]}"')
            return
        chance, rest = random.Random(order["id"]), ""
        if order["crew"]:
            five_minutes = max(1, round(order["person_hours"] * 12 * chance.uniform(0.85, 1.25)))
            hours, minutes = divmod(five_minutes * 5, 60)
            time = [f"{hours} h"] * (hours > 0) + [f"{minutes} min"] * (minutes > 0)
            rest = f", {order['plants']} plants, {' '.join(time)}"
        used = [s for s in order["supplies"] if s["supply"] in weighed]
        if used:
            rest += ", used " + " and ".join(
                f"{round(s['amount'] * chance.uniform(1.0, 1.08))} {weighed[s['supply']]}" for s in used)
        self.say(order["id"], "done", order["crew"], rest)
        for name in sorted({word.split()[0] for word in order["record"]} & counts):
            share = stage["left"] / stage["plants"]
            left = sum(chance.random() < share for _ in range(stage["plants"])) if share < 1 else round(stage["left"])
            self.say(place, f"counted {miscounted.get(place, left)}", order["crew"])

    def look(self, names, place, crew):
        """Notes what is seen today; a stage is over when all that it waits for has come far enough."""
        began = datetime.date.fromisoformat(self.season.began[place])
        day = (datetime.date.fromisoformat(self.today) - began).days + 1
        reached = []
        for name in names:
            sight = self.sights(place.split("/")[1])[name]
            if name == "emerged" and self.name.startswith(trial):
                text, value = self.count_trays(place, day, crew)
            else:
                text, value = grown(place, name, day, sight)
            self.say(place, f"seen {name} {text}", crew)
            reached.append(sight[3] is not None and value >= sight[3])
        if names and all(reached):
            self.season.seen.add(place)

    def count_trays(self, place, day, crew):
        """Cells with a seedling, tray by tray, and what that comes to in all."""
        share, half = truth[self.batch["protocol"]]
        up = []
        for tray in self.trays():
            chance = random.Random(f"{trial}/{tray}")
            of_tray = min(max(chance.gauss(share, 0.025), 0), 1)
            shoots = sum(chance.random() < of_tray and chance.gauss(half, 1.1) <= day for _ in range(cells))
            self.say(place, f"counted {shoots} of {cells} in tray {tray}", crew)
            up.append(shoots)
        percent = round(100 * sum(up) / (cells * len(up)))
        if percent >= self.sights("germinating")["emerged"][3]:
            self.say(place, f"counted {sum(up)}", crew)
        return f"{percent} %", percent

    def trays(self):
        """The trays that the lot gave to this arm, as the plan tells: "Trial X, left rack: tray 1 B, 2 A, ..."."""
        arm = self.name.rsplit("-", 1)[1]
        drawn = [note.split(": tray ")[1].rstrip(".") for note in self.batch["drawn"]]
        return [pair.split()[0] for line in drawn for pair in line.split(", ") if pair.split()[1] == arm]

    def leave(self):
        """The last stage ends when its day has come; the plants are sold."""
        stage = self.batch["stages"][-1]
        place = self.place(stage)
        if place in self.season.began and place not in self.season.over and stage["end"] <= self.today:
            self.season.over.add(place)
            self.say(place, "ended", "potting", ', "sold"')


class Season:
    """All batches from the first day to the last, and the files that come of it."""

    def __init__(self, program, holder):
        self.book = Book(program, holder, "nursery")
        self.phone = Book(program, holder, "phone")
        self.began, self.over, self.seen = {}, set(), set()
        self.files, self.orders, self.done, self.ids = {}, set(), set(), []
        self.stopped = set()

    def live(self):
        plan, today, file = None, first, ""
        while today <= last:
            day = today.isoformat()
            if day in make_up:
                self.book.make_up(make_up[day], day)
                plan = None
            if day in pieces:
                file = pieces[day]
                self.orders = {order["id"] for batch in self.book.plan() for order in batch["work_orders"]}
            plan = plan or self.book.plan("--today", day)
            growing = [batch for batch in plan if batch["batch"] not in self.stopped]
            lines = [line for batch in growing for line in Morning(batch, day, self).live()]
            lines += [line.format(*self.ids) for line in told.get(day, [])]
            self.stopped.update(line.split()[0] for line in lines if " stopped on " in line)
            if day == phone_day:
                lines = self.take_in(lines)
            if lines:
                self.book.note(lines)
                self.files[file] = self.files.get(file, "") + "\n".join(lines) + "\n"
                plan = None
            today += datetime.timedelta(days=1)
        return self.files | self.book.learned()

    def take_in(self, lines):
        """Notes what was out in the field on the telephone, takes that in, and returns the rest."""
        out = [line for line in lines if line.startswith(phone_batch) or "by Joost" in line]
        self.phone.note([line.replace("by Maren", "by Joost") for line in out])
        chance, entries = random.Random(phone_file), []
        for turn, line in enumerate(self.phone.run("record", "--export").splitlines()):
            entry = json.loads(line)
            # Ids and clocks are of the machine; here they are drawn, so that the season is the same each time.
            entry["id"] = "j" + "".join(chance.choices("abcdefghjkmnpqrstvwxyz0123456789", k=15))
            entry["noted"] = f"{phone_day}T16:{10 + turn}:00.000Z"
            entry["turn"] = 1 + turn  # otherwise of the clock on which this script runs
            self.ids.append(entry["id"][:8])
            entries.append(json.dumps(entry, separators=(",", ":")))
        self.files[phone_file] = "\n".join(entries) + "\n"
        self.book.take_in(self.files[phone_file])
        return [line for line in lines if line not in out]


def main():
    program = str(pathlib.Path(sys.argv[1]).resolve())
    with tempfile.TemporaryDirectory() as holder:
        files = Season(program, holder).live()
    folder = here / "season"
    if sys.argv[2:] == ["--refresh"]:
        for old in folder.iterdir():
            old.unlink()
        for name, text in files.items():
            (folder / name).write_text(text)
        return 0
    wrong = [name for name, text in files.items()
             if not (folder / name).exists() or (folder / name).read_text() != text]
    wrong += sorted({path.name for path in folder.iterdir()} - set(files))
    for name in wrong:
        print(f"season/{name} is not what the season writes: live.py PROGRAM --refresh")
    entries = sum(text.count("\n") for name, text in files.items() if name[0].isdigit())
    print(f"{entries} entries in {len(files) - 2} files and what they taught in two more, {len(wrong)} of them wrong")
    return 1 if wrong else 0


sys.exit(main())
