#!/usr/bin/env python3
"""Holds the codes in grammar/findings.md against those that the program gives.

A code is written out where a diagnostic is made, so that it can be found: whatever gives one that is not is
listed in `passed_on`, with what it hands on.
"""
import collections
import pathlib
import re
import sys

root = pathlib.Path(__file__).resolve().parent.parent
listed_in = root / "grammar" / "findings.md"
# Two halves, each with codes of its own: what `language`, `text` and `files` say, and what all else says.
of_language = {"Files and text", "Protocols"}

word = re.compile(r'"([a-z]+(?:-[a-z]+)*)"')
# Where a diagnostic or a conflict gets its code.
made = [
    re.compile(r"[dD]iagnostics_?\.(?:error|warning|note)\(\s*([^,]*),"),
    re.compile(r"\bfound_\.(?:error|warning|note)\(\s*([^,]*),"),
    re.compile(r"\b(?:d|out|finding|conflict|diagnostic)\.code = ([^;]*);"),
    re.compile(r"Severity::\w+,\s*([^,]*),"),
    re.compile(r"throw GaveUp\{[^,}]*,\s*([^,]*),"),
]
# Functions that report for others and are handed a code.
handed = [
    re.compile(r'\b(?:error|warning|refuse|wrong)\(\s*("[a-z-]+"),'),
    re.compile(r'\bconflict\(\s*[^",]*(?:\([^)]*\))?[^",]*,\s*("[a-z-]+"),'),
    re.compile(r'\breport_missing\([^;"]*"\w+",\s*("[a-z-]+"),'),
]
passed_on = {
    "requirement.rule": "the name of a rule: good_practice.mist_end",
    "conflict.code": "the code of a conflict of the plan",
    "one.code": "the same, as an editor shows it",
    "d.code": "of a diagnostic, as an editor shows it",
    "reason.code": "the code with which reading was given up",
    "std::move(code)": "of a function that reports for others",
    "code": "of a function that reports for others",
}
# Files in which `out.code` is no code of a diagnostic.
others = {"engine/paper/labels/label_facts.cpp"}


def given():
    """The codes of each half, each with the files that give it; and what is wrong."""
    codes = {True: collections.defaultdict(set), False: collections.defaultdict(set)}
    wrong = []
    for path in sorted((root / "engine").rglob("*.[ch]pp")):
        name = str(path.relative_to(root))
        if name in others:
            continue
        half = codes[name.startswith(("engine/language/", "engine/text/", "engine/files/"))]
        text = path.read_text()
        for pattern in made:
            for argument in pattern.findall(text):
                argument = argument.strip()
                if "+" in argument or not (word.search(argument) or argument in passed_on):
                    wrong.append(f"{name}: the code `{argument}` is not written out")
        for pattern in made + handed:
            for argument in pattern.findall(text):
                for code in word.findall(argument):
                    half[code].add(name)
    return codes, wrong


def listed():
    """The codes of each half in the first column of the tables."""
    codes = {True: set(), False: set()}
    half = False
    for line in listed_in.read_text().splitlines():
        if line.startswith("## "):
            half = line[3:] in of_language
        elif line.startswith("| `"):
            codes[half].update(re.findall(r"`([a-z-]+)`", line.split(" | ")[0]))
    return codes


def main():
    codes, wrong = given()
    in_reference = listed()
    for half, name in ((True, "of the language"), (False, "of the rest")):
        for code in sorted(set(codes[half]) - in_reference[half]):
            wrong.append(f"`{code}` of {', '.join(sorted(codes[half][code]))} is not listed")
        for code in sorted(in_reference[half] - set(codes[half])):
            wrong.append(f"`{code}` is listed among those {name}, and nothing gives it")
    for line in wrong:
        print(line)
    number = len(codes[True]) + len(codes[False])
    print(f"{number} codes, {len(wrong)} wrong")
    return 1 if wrong or number < 100 else 0


sys.exit(main())
