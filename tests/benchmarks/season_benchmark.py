#!/usr/bin/env python3
"""How long a season takes to load and to level as it grows: books of 100 to 10,000 batches of ten
stages, 40 rooms and 10 crews, written to a temporary folder. Prints seconds of the whole process,
memory, how many batches find no place, the days that are late and how many are proven to be. With
--tight there are fewer hands and nothing may be earlier, so that much is late; --people says how
many hands, for 1000 batches. --for looks longer for better dates.

    season_benchmark.py BUDWOOD [--tight [--people 5]] [--for "60 s"] [BATCHES...]
"""
import argparse
import datetime
import json
import os
import pathlib
import random
import subprocess
import sys
import tempfile
import time

STAGES = 10
PROTOCOLS = 8
ROOMS = 40
CREWS = 10
usual_people, tight_people = 8, 5  # of a crew, for 1000 batches


def protocol(number):
    lines = [f'protocol line_{number} "Line {number}" {{', "  edition 1", '  part plant "Plant"']
    for s in range(STAGES):
        room = (number * 5 + s * 3) % ROOMS
        crew = (number + s) % CREWS
        lines.append(f'  stage stage_{s} of plant "Stage {s}" {{')
        lines.append(f"    lasts {4 + (number + s) % 5} days")
        lines.append("    may wait 3 days")
        lines.append(f"    room room_{room}")
        lines.append("    space plants")
        lines.append(f'    do "Begin {s}" on day 1 {{ rate 400 per hour  crew crew_{crew} }}')
        lines.append(
            f'    do "Look {s}" every 3 days from day 2 within 2 days '
            f"{{ time 6 min  crew crew_{crew} }}"
        )
        lines.append("  }")
    return "\n".join(lines + ["}", ""])


def write_book(folder, batches, tight=False, people=usual_people):
    random.seed(batches)
    for number in range(PROTOCOLS):
        (folder / f"line_{number}.bud").write_text(protocol(number))
    # As much room and as many hands as the season needs on average, and two fifths more.
    share = batches / 10000
    holds = int(220000 * share) + 2500
    people = max(1, int(people * batches / 1000))
    rooms = "\n".join(f"  room_{r}: {{holds: {holds} plants}}" for r in range(ROOMS))
    crews = "\n".join(f"  crew_{c}: {{people: {people}, hours: 7 h}}" for c in range(CREWS))
    (folder / "site.yaml").write_text(
        f"site: Bench\nworking: {{days: [mon, tue, wed, thu, fri]}}\nrooms:\n{rooms}\ncrews:\n{crews}\n"
    )
    first = datetime.date(2030, 6, 3)
    early, late = (0, 120) if tight else (5, 2)
    lines = [f"early: {early} days", f"late: {late} days", "batches:"]
    for b in range(batches):
        ready = first + datetime.timedelta(days=7 * random.randrange(26) + random.randrange(5))
        lines.append(
            f"  - {{batch: B{b}, protocol: line_{b % PROTOCOLS}, "
            f"plants: {random.randrange(200, 2000)}, ready: {ready}}}"
        )
    (folder / "batches.yaml").write_text("\n".join(lines) + "\n")


def measure(command):
    began = time.perf_counter()
    run = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
    out = run.stdout.read().decode()
    _, _, usage = os.wait4(run.pid, 0)
    return time.perf_counter() - began, usage.ru_maxrss / 1024, out


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("program")
    parser.add_argument("batches", nargs="*", type=int, default=[100, 1000, 10000])
    parser.add_argument("--tight", action="store_true")
    parser.add_argument("--people", type=int, default=tight_people)
    parser.add_argument("--for", dest="time", default="")
    asked = parser.parse_intermixed_args()
    budget = ["--for", asked.time] if asked.time else ["--rounds", "1"]
    heads = ("batches", "plan s", "load s", "level s", "MB", "without", "late", "at least", "moved")
    print(" ".join(f"{head:>8}" for head in heads))
    for batches in asked.batches:
        with tempfile.TemporaryDirectory() as name:
            folder = pathlib.Path(name)
            write_book(folder, batches, asked.tight, asked.people if asked.tight else usual_people)
            plan, _, _ = measure([asked.program, "plan", name, "--format", "csv", "--out", "/dev/null"])
            load, _, _ = measure([asked.program, "load", name, "--format", "csv", "--out", "/dev/null"])
            level, memory, out = measure(
                [asked.program, "plan", name, "--level", "--format", "json", *budget]
            )
            found = json.loads(out)
            without = len(found["unresolved"])
            print(
                f"{batches:8} {plan:8.2f} {load:8.2f} {level:8.2f} {memory:8.0f} {without:8} "
                f"{found['late_days']:8} {found['least_late_days']:8} {found['moved_days']:8}"
            )


if __name__ == "__main__":
    main()
