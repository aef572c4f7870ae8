#!/usr/bin/env python3
"""Takes a protocol from one example site to the other and holds the plans of both against golden files.

    two_sites_test.py PROGRAM [--refresh]
"""
import pathlib
import shutil
import subprocess
import sys
import tempfile

root = pathlib.Path(__file__).resolve().parent.parent.parent
golden = pathlib.Path(__file__).resolve().parent / "two_sites"
failures = []


def check(holds, what):
    if not holds:
        failures.append(what)
        print("FAILED:", what)


def main():
    program = str(pathlib.Path(sys.argv[1]).resolve())
    refresh = sys.argv[2:] == ["--refresh"]
    holder = tempfile.TemporaryDirectory()
    here = pathlib.Path(holder.name)
    for name in ("examples", "protocols"):
        shutil.copytree(root / name, here / name)

    def run(*arguments):
        return subprocess.run([program, *arguments], cwd=here, capture_output=True, text=True)

    def files():
        return sorted(str(p.relative_to(here)) for p in (here / "examples/cedar_fork").rglob("*"))

    before = files()
    alone = run("plan", "examples/cedar_fork")
    check(alone.returncode == 1 and "[unknown-base]" in alone.stderr, "without the base there is no plan")
    for name in ("one.zip", "two.zip"):
        packed = run("pack", "examples/quarry_lane", "--protocol", "lavender_cuttings", "--out", name)
        check(packed.returncode == 0, "it is packed: " + packed.stderr)
    check((here / "one.zip").read_bytes() == (here / "two.zip").read_bytes(), "packs have the same bytes")
    looked = run("unpack", "one.zip", "--into", "examples/cedar_fork")
    check(looked.returncode == 0 and files() == before, "looking writes nothing")
    taken = run("unpack", "one.zip", "--into", "examples/cedar_fork", "--yes")
    check(taken.returncode == 0, "it is taken over: " + taken.stderr)
    added = set(files()) - set(before)
    check(added and all(name.startswith("examples/cedar_fork/protocols/") for name in added),
          f"only protocols are added: {added}")
    again = run("unpack", "one.zip", "--into", "examples/cedar_fork", "--yes")
    check(again.returncode == 0, "taking it over twice does nothing")
    checked = run("check", "examples/cedar_fork")
    check(checked.returncode == 0 and "missing" not in checked.stderr,
          "the site has what the method needs: " + checked.stderr)
    plans = {
        "cedar_fork_plan.txt": run("plan", "examples/cedar_fork"),
        "cedar_fork_needs.txt": run("needs", "examples/cedar_fork"),
        "quarry_lane_plan.txt": run("plan", "examples/quarry_lane", "--batch", "LA27-1"),
    }
    for name, plan in plans.items():
        check(plan.returncode == 0, f"{name}: {plan.stderr}")
        if refresh:
            golden.mkdir(exist_ok=True)
            (golden / name).write_text(plan.stdout)
        held = (golden / name).read_text()
        check(plan.stdout == held, f"{name} is as it was; review and refresh if it should change")
    words = plans["cedar_fork_plan.txt"].stdout
    for word in ("fog tent 2", "crew stick crew", "grit mix", "degF", "gal"):
        check(word in words, f"the orders say `{word}`")
    for word in ("mist_frame", "crew propagation", "rooting_mix", "degC"):
        check(word not in words, f"the orders do not say `{word}`")
    print(f"{len(failures)} failed")
    return 1 if failures else 0


sys.exit(main())
