#!/usr/bin/env python3
"""Checks that modules look only downwards, only at each other's public headers, and stay easy to find one's way in.

Reads the includes of every file under engine/ and holds them against the USES of the module's
CMakeLists.txt, followed transitively, and against the HEADERS of the module that they are from. Holds
the table of modules in DEVELOPERS.md against the same lists.
"""
import collections
import pathlib
import re
import sys

root = pathlib.Path(__file__).resolve().parent.parent
engine = root / "engine"
developers = root / "DEVELOPERS.md"
modules = sorted(p.name for p in engine.iterdir() if p.is_dir())


MOST_FILES = 27  # in a folder: of each concept two, so a dozen concepts


def words_after(keyword, module):
    """The list that follows HEADERS, SOURCES or USES in the call that makes the module."""
    text = re.sub(r"#.*", "", (engine / module / "CMakeLists.txt").read_text())
    call = re.search(r"budwood_module\(([^)]*)\)", text).group(1)
    found = re.search(rf"\b{keyword}\b(.*?)(\b(HEADERS|SOURCES|USES|LIBRARIES)\b|$)", call, re.S)
    return found.group(1).split() if found else []


def declared_uses(module):
    return set(words_after("USES", module)) & set(modules)


def sources_of(module):
    return sorted(p for p in (engine / module).rglob("*.[ch]pp"))


def reachable(module, seen):
    for used in declared_uses(module) - seen:
        seen.add(used)
        reachable(used, seen)
    return seen


def wrong_table():
    """What the table of modules says otherwise than the build: a row a module, each below those that it uses."""
    rows = re.findall(r"^\| `(\w+)` \| [^|]+ \| ([^|]+) \|$", developers.read_text(), re.M)
    above = []
    for module, words in rows:
        if module not in modules:
            yield f"DEVELOPERS.md has a module {module}, and there is none"
            continue
        used = set() if words == "–" else set(words.split(", "))
        if words != "all" and used != declared_uses(module):
            yield f"DEVELOPERS.md: {module} may use {', '.join(sorted(declared_uses(module))) or '–'}, not {words}"
        for name in sorted(declared_uses(module) - set(above)):
            yield f"DEVELOPERS.md: {module} uses {name}, which stands below it"
        above.append(module)
    for module in sorted(set(modules) - set(above)):
        yield f"DEVELOPERS.md does not name the module {module}"


def main():
    wrong = [*wrong_table()]
    checked = 0
    public = {module: {f"{module}/{name}" for name in words_after("HEADERS", module)} for module in modules}
    for module in modules:
        allowed = reachable(module, set())
        if module in allowed:
            wrong.append(f"engine/{module} uses itself through another module")
        for header in sorted(public[module]):
            if not (engine / header).is_file():
                wrong.append(f"engine/{module} names {header}, which is not there")
        built = {engine / module / name for name in words_after("SOURCES", module)}
        for path in sources_of(module):
            if path.suffix == ".cpp" and path not in built and path.name != "main.cpp":
                wrong.append(f"{path.relative_to(engine)} is not among the SOURCES of its module")
            for header in re.findall(r'#include "([^"]+)"', path.read_text()):
                target = header.split("/")[0]
                if target == module or target not in modules:
                    continue
                checked += 1
                if target not in allowed:
                    wrong.append(f"{path.relative_to(engine)} includes {header}: not in its USES")
                elif header not in public[target]:
                    wrong.append(f"{path.relative_to(engine)} includes {header}: not one of its HEADERS")
    for folder, number in collections.Counter(p.parent for m in modules for p in sources_of(m)).items():
        if number > MOST_FILES:
            wrong.append(f"{folder.relative_to(engine)} holds {number} files: {MOST_FILES} at most")
    for line in wrong:
        print(line)
    print(f"{checked} includes across walls, {len(wrong)} wrong")
    return 1 if wrong or checked == 0 else 0


sys.exit(main())
