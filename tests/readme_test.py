#!/usr/bin/env python3
"""Runs the commands in README.md and holds their output against what it prints.

    readme_test.py PROGRAM [--refresh]

A block marked `console` starts with one line `$ build/budwood ...`; the rest of it is what the command
prints, standard output before standard error. A picture below `<!-- build/budwood ... -->` is what that
command prints. With --refresh blocks and pictures are rewritten.
"""
import pathlib
import re
import shlex
import subprocess
import sys

root = pathlib.Path(__file__).resolve().parent.parent
block = re.compile(r"```console\n\$ build/budwood ([^\n]*)\n(.*?)```", re.S)


picture = re.compile(r"<!-- build/budwood ([^\n]*) -->\n!\[[^\]]*\]\(([^)]+)\)")


def drawn(program, arguments):
    return subprocess.run([program, *shlex.split(arguments)], cwd=root, capture_output=True).stdout


def output_of(program, arguments):
    run = subprocess.run([program, *shlex.split(arguments)], cwd=root, capture_output=True, text=True)
    return run.stdout + run.stderr


def main():
    program = sys.argv[1]
    readme = root / "README.md"
    text = readme.read_text()
    if sys.argv[2:] == ["--refresh"]:
        fill = lambda m: f"```console\n$ build/budwood {m[1]}\n{output_of(program, m[1])}```"
        readme.write_text(block.sub(fill, text))
        for arguments, path in picture.findall(text):
            (root / path).write_bytes(drawn(program, arguments))
        return 0
    failed = 0
    blocks = block.findall(text)
    for arguments, printed in blocks:
        real = output_of(program, arguments)
        if real != printed:
            failed += 1
            print(f"budwood {arguments} prints:\n{real}\nREADME.md says:\n{printed}")
    pictures = picture.findall(text)
    for arguments, path in pictures:
        file = root / path
        if not file.exists() or drawn(program, arguments) != file.read_bytes():
            failed += 1
            print(f"{path} is not what budwood {arguments} draws")
    print(f"{len(blocks) + len(pictures) - failed} passed, {failed} failed")
    return 1 if failed or not blocks else 0


sys.exit(main())
