#!/usr/bin/env python3
"""Small slips, put into the engine one at a time: which tests see them?

    tests/slips/run.py [--build FOLDER] [--only TEXT] [--all-tests]
    tests/slips/run.py --own [--build FOLDER] [--only TEXT]
    tests/slips/run.py --check

A copy of the tree gets all slips of slips.txt at once, each behind a number that an environment variable
chooses, and is built once. Every fast test is then run with each slip: first those of its own module, until one
fails. Prints who saw what, and how many of each module were seen. Exit status 1 when fewer than nine in ten were.
With --own nothing but the test of the module itself is built and run, and nine in ten are asked of every module.
"""
import argparse
import collections
import os
import re
import shutil
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor

HERE = os.path.dirname(os.path.abspath(__file__))
TOP = os.path.dirname(os.path.dirname(HERE))
AIM = 0.9
PATIENCE = 15  # seconds: longer tests are run for slips of their own module alone
SLOW = re.compile(r"layout|walls|codes|slips|office_workbook|print|pictures_browser|levelling_networks|page_.*|"
                  r"fuzz_.*|heron_bay|app_hostile|app_record_kill")
Slip = collections.namedtuple("Slip", "number file old new")

SWITCH = """#pragma once
#include <cstdlib>
inline bool budwood_slip(int number) {
  static const int chosen = [] {
    const char* text = std::getenv("BUDWOOD_SLIP");
    return text == nullptr ? 0 : std::atoi(text);
  }();
  return chosen == number;
}
"""


def read_slips():
    slips, file, old = [], None, None
    for line in open(os.path.join(HERE, "slips.txt"), encoding="utf-8"):
        line = line.rstrip("\n")
        if line.startswith("#") or not line:
            continue
        if line.startswith("- "):
            old = line[2:]
        elif line.startswith("+ "):
            slips.append(Slip(len(slips) + 1, file, old, line[2:]))
        else:
            file = line
    return slips


def places_of(slip, text):
    """Code may be laid out over several lines."""
    return list(re.finditer(r"\s+".join(re.escape(word) for word in slip.old.split()), text))


def put_in(text, slip):
    """The text with the slip behind its number."""
    found = places_of(slip, text)
    if len(found) != 1:
        sys.exit(f"slip {slip.number}: `{slip.old}` stands {len(found)} times in {slip.file}")
    old, choice = found[0].group(0), f"budwood_slip({slip.number})"
    if slip.old.endswith(";"):
        new = f"if ({choice}) {{ {slip.new} }} else {{ {old} }}"
    else:
        new = f"({choice} ? ({slip.new}) : ({old}))"
    return text[:found[0].start()] + new + text[found[0].end():]


def check(slips):
    """Whether each slip can still be made: code goes on, and the list has to follow it."""
    lost = 0
    for slip in slips:
        path = os.path.join(TOP, "engine", slip.file)
        text = open(path, encoding="utf-8").read() if os.path.exists(path) else ""
        times = len(places_of(slip, text))
        lost += times != 1
        if times != 1:
            print(f"{slip.file}: `{slip.old}` stands there {times} times, not once")
    return 1 if lost else 0


def make_tree(slips, folder):
    source = os.path.join(folder, "source")
    fresh = source + ".new"
    shutil.rmtree(fresh, ignore_errors=True)
    files = subprocess.run(["git", "ls-files", "-z"], cwd=TOP, check=True, capture_output=True).stdout
    for name in filter(None, files.decode().split("\0")):
        os.makedirs(os.path.dirname(os.path.join(fresh, name)), exist_ok=True)
        shutil.copy2(os.path.join(TOP, name), os.path.join(fresh, name))
    switch = os.path.join(source, "slip.hpp")
    with open(os.path.join(fresh, "slip.hpp"), "w", encoding="utf-8") as out:
        out.write(SWITCH)
    for file in sorted({slip.file for slip in slips}):
        path = os.path.join(fresh, "engine", file)
        text = open(path, encoding="utf-8").read()
        for slip in slips:
            if slip.file == file:
                text = put_in(text, slip)
        with open(path, "w", encoding="utf-8") as out:
            out.write(f'#include "{switch}"\n' + text)
    # What did not change keeps its time, so that a second run builds little; what did has that of now.
    subprocess.run(["rsync", "-a", "--no-times", "--checksum", "--delete", fresh + "/", source + "/"], check=True)
    shutil.rmtree(fresh)
    # The program looks for its library beside the folder that it was built in.
    library = os.path.join(folder, "protocols")
    if not os.path.islink(library):
        os.symlink(os.path.join("source", "protocols"), library)
    return source


def build(source, folder, programs=()):
    """All, or these programs alone."""
    target = os.path.join(folder, "build")
    # Slips make conditions that the compiler finds odd, so no warning stops the build.
    subprocess.run(["cmake", "-S", source, "-B", target, "-G", "Ninja", "-DCMAKE_BUILD_TYPE=Release",
                    "-DCMAKE_CXX_FLAGS_RELEASE=-O1", "-DBUDWOOD_TESTS=ON", "-DBUDWOOD_STRICT=OFF",
                    "-DBUDWOOD_REFERENCE_BOOKS=300"],
                   check=True, stdout=subprocess.DEVNULL)
    subprocess.run(["cmake", "--build", target, "--", "--quiet", "-k", "0", *programs], check=True)
    return target


def tests_of(target, all_tests):
    listed = subprocess.run(["ctest", "-N"], cwd=target, check=True, capture_output=True, text=True).stdout
    names = re.findall(r"Test +#\d+: (\S+)", listed)
    return [name for name in names if all_tests or not SLOW.fullmatch(name)]


def fails(target, number, name, limit):
    """Whether a test sees the slip: a wrong answer, a crash, or no end."""
    done = subprocess.run(["ctest", "-R", f"^{name}$", "--timeout", str(limit)], cwd=target, check=False,
                          env={**os.environ, "BUDWOOD_SLIP": str(number)}, capture_output=True)
    return done.returncode != 0


def own_fails(target, number, module, limit):
    """The same of the test of a module, which ends with the first thing that is wrong."""
    program = os.path.join(target, "tests", module, f"{module}_test")
    try:
        done = subprocess.run([program, "--abort-after=1"], cwd=os.path.dirname(program), check=False, timeout=limit,
                              env={**os.environ, "BUDWOOD_SLIP": str(number)}, capture_output=True)
    except subprocess.TimeoutExpired:
        return True
    return done.returncode != 0


def time_of(target, name, failing):
    """What a test takes without a slip, seconds."""
    began = time.monotonic()
    if failing(target, 0, name, 600):
        sys.exit(f"the test {name} fails without any slip")
    return time.monotonic() - began


def module_of(slip):
    return slip.file.split("/")[0]


def who_sees(target, slip, tests, times, failing):
    """The test that sees a slip; one that takes many times as long as usual has no end."""
    module = module_of(slip)
    far = lambda name: name.split("_")[0] != module
    near = sorted((name for name in tests if not far(name) or times[name] < PATIENCE),
                  key=lambda name: (far(name), times[name]))
    return next((name for name in near if failing(target, slip.number, name, 10 + int(8 * times[name]))), None)


def main():
    arguments = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    arguments.add_argument("--build", default=os.path.join(TOP, "build", "slips"), help="where to build")
    arguments.add_argument("--only", default="", help="slips of files whose path holds this text")
    arguments.add_argument("--all-tests", action="store_true", help="slow tests too")
    arguments.add_argument("--own", action="store_true", help="the test of the module itself alone")
    arguments.add_argument("--check", action="store_true", help="only look whether each slip can be made")
    options = arguments.parse_args()
    slips = read_slips()
    if options.check:
        return check(slips)
    chosen = [slip for slip in slips if options.only in slip.file]
    modules = sorted({module_of(slip) for slip in chosen})
    os.makedirs(options.build, exist_ok=True)
    target = build(make_tree(slips, options.build), options.build,
                   [f"{module}_test" for module in modules] if options.own else ())
    tests = modules if options.own else tests_of(target, options.all_tests)
    seen = collections.Counter()
    total = collections.Counter()
    with ThreadPoolExecutor(os.cpu_count()) as pool:
        failing = own_fails if options.own else fails
        times = dict(zip(tests, pool.map(lambda name: time_of(target, name, failing), tests)))
        near = lambda slip: [module_of(slip)] if options.own else tests
        found = pool.map(lambda slip: who_sees(target, slip, near(slip), times, failing), chosen)
        for slip, who in zip(chosen, found):
            module = module_of(slip)
            total[module] += 1
            seen[module] += who is not None
            print(f"{who or 'NOBODY':20} {slip.file}: {slip.old}  ->  {slip.new}", flush=True)
    print()
    for module in sorted(total):
        print(f"{module:12} {seen[module]:3} of {total[module]:3}")
    print(f"{'all':12} {seen.total():3} of {total.total():3}")
    if options.own:
        return 0 if all(seen[module] >= AIM * total[module] for module in total) else 1
    return 0 if seen.total() >= AIM * total.total() else 1


if __name__ == "__main__":
    sys.exit(main())
