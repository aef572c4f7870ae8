#!/usr/bin/env python3
"""Checks that modules look only downwards and only at each other's public header.

Reads the includes of every file under engine/ and holds them against the USES of the module's
CMakeLists.txt, followed transitively.
"""
import pathlib
import re
import sys

engine = pathlib.Path(__file__).resolve().parent.parent / "engine"
modules = sorted(p.name for p in engine.iterdir() if p.is_dir())


def declared_uses(module):
    text = (engine / module / "CMakeLists.txt").read_text()
    found = re.search(r"\bUSES\b([^)]*?)(\bLIBRARIES\b|\bSOURCES\b|\))", text)
    return set(found.group(1).split()) & set(modules) if found else set()


def reachable(module, seen):
    for used in declared_uses(module) - seen:
        seen.add(used)
        reachable(used, seen)
    return seen


def main():
    wrong = []
    checked = 0
    for module in modules:
        allowed = reachable(module, set())
        if module in allowed:
            wrong.append(f"engine/{module} uses itself through another module")
        for path in sorted((engine / module).glob("*.[ch]pp")):
            for header in re.findall(r'#include "([^"]+)"', path.read_text()):
                target = header.split("/")[0]
                if target == module or target not in modules:
                    continue
                checked += 1
                if target not in allowed:
                    wrong.append(f"{path.relative_to(engine)} includes {header}: not in its USES")
                elif header != f"{target}/{target}.hpp":
                    wrong.append(f"{path.relative_to(engine)} includes {header}: not its public header")
    for line in wrong:
        print(line)
    print(f"{checked} includes across walls, {len(wrong)} wrong")
    return 1 if wrong or checked == 0 else 0


sys.exit(main())
