#!/usr/bin/env python3
"""Holds the index of the library, protocols/README.md, and its pictures against the protocols.

    pictures_test.py PROGRAM [--refresh]

Each protocol has a picture, drawn by `budwood graph`, and a place in the index with its title. With
--refresh the pictures are drawn anew; the words of the index are people's work.
"""
import pathlib
import re
import subprocess
import sys

library = pathlib.Path(__file__).resolve().parent.parent.parent / "protocols"
pictures = library / "pictures"
heading = re.compile(r'^protocol (\w+)(?: based on \w+(?: edition \d+)?)?(?: "([^"]*)")?', re.M)
link = re.compile(r"(!?)\[([^\[\]]*)\]\(([^)#:]+)\)")


def draw(program, file):
    run = subprocess.run([program, "graph", str(file), "--protocol", file.stem], capture_output=True)
    if run.returncode != 0:
        return None
    return run.stdout


def findings(program):
    """What is wrong, a sentence each."""
    files = sorted(library.glob("*.bud"))
    if not files:
        yield f"there are no protocols in {library}"
    index = (library / "README.md").read_text()
    links = [(target, text) for mark, text, target in link.findall(index) if not mark]
    shown = [target for mark, text, target in link.findall(index) if mark]
    for file in files:
        headings = heading.findall(file.read_text())
        if len(headings) != 1 or headings[0][0] != file.stem:
            yield f"{file.name} holds not one protocol {file.stem}, but {[name for name, _ in headings]}"
            continue
        title = headings[0][1] or file.stem
        if links.count((file.name, title)) != 1:
            yield f"the index does not name [{title}]({file.name}) once"
        if shown.count(f"pictures/{file.stem}.svg") != 1:
            yield f"the index does not show pictures/{file.stem}.svg once"
        picture = pictures / f"{file.stem}.svg"
        drawn = draw(program, file)
        if drawn is None:
            yield f"{file.name} cannot be drawn"
        elif not picture.exists() or picture.read_bytes() != drawn:
            yield f"{picture.name} is not what budwood graph {file.name} draws"
    for target in [target for target, _ in links] + shown:
        if not (library / target).exists():
            yield f"the index points to {target}, which is not there"
    stems = {file.stem for file in files}
    for picture in sorted(pictures.glob("*")):
        if picture.suffix != ".svg" or picture.stem not in stems:
            yield f"{picture.name} is the picture of no protocol"


def refresh(program):
    pictures.mkdir(exist_ok=True)
    stems = {file.stem for file in library.glob("*.bud")}
    for picture in pictures.glob("*.svg"):
        if picture.stem not in stems:
            picture.unlink()
    failed = []
    for file in sorted(library.glob("*.bud")):
        drawn = draw(program, file)
        if drawn is None:
            failed.append(file.name)
        else:
            (pictures / f"{file.stem}.svg").write_bytes(drawn)
    for name in failed:
        print(f"{name} cannot be drawn")
    return 1 if failed else 0


def main():
    program = sys.argv[1]
    if sys.argv[2:] == ["--refresh"]:
        return refresh(program)
    wrong = list(findings(program))
    for sentence in wrong:
        print(sentence)
    print(f"{len(wrong)} findings in {len(list(library.glob('*.bud')))} protocols")
    return 1 if wrong else 0


sys.exit(main())
