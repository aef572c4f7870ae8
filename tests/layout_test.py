#!/usr/bin/env python3
"""Holds the layout of all C++ against clang-format, with the file .clang-format at the top of the tree."""
import pathlib
import subprocess
import sys

root = pathlib.Path(__file__).resolve().parent.parent


def main():
    files = []
    for folder in ("engine", "tests", "examples"):
        files += sorted((root / folder).rglob("*.[ch]pp"))
    if not files:
        print("there is no C++ to look at")
        return 1
    try:
        run = subprocess.run(["clang-format", "--dry-run", "-Werror", *files], capture_output=True, text=True)
    except FileNotFoundError:
        print("clang-format is missing; .ci/packages.sh lists what the tests need")
        return 1
    print(run.stderr, end="")
    print(f"{len(files)} files, {run.stderr.count('[-Wclang-format-violations]')} places to lay out anew")
    return run.returncode


sys.exit(main())
