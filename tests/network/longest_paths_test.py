"""The earliest plan of project networks against the longest paths of NetworkX.

    longest_paths_test.py PROGRAM [DATA]

Random networks always; with DATA, all networks of its folder rcpsp-max/ as well. Exit status 77, which
ctest reports as skipped, where NetworkX is not installed.
"""

import os
import pathlib
import random
import subprocess
import sys
import tempfile

try:
    import networkx
except ImportError:
    print("skipped: python3-networkx is not installed")
    sys.exit(77)


def read_lags(path):
    """Number of activities and (from, to, lag) for each successor."""
    lines = path.read_text().splitlines()
    activities = int(lines[0].split()[0]) + 2
    lags = []
    for line in lines[1 : activities + 1]:
        fields = line.replace("[", " ").replace("]", " ").split()
        count = int(fields[2])
        for to, lag in zip(fields[3 : 3 + count], fields[3 + count : 3 + 2 * count]):
            lags.append((int(fields[0]), int(to), int(lag)))
    return activities, lags


def longest_paths(path):
    """The earliest starts with the source at 0, or None for a cycle that is longer than 0."""
    activities, lags = read_lags(path)
    graph = networkx.DiGraph()
    graph.add_nodes_from(range(activities))
    for start, to, lag in lags + [(0, to, 0) for to in range(1, activities)]:
        weight = -lag
        if start == to:
            if weight < 0:
                return None
        elif not graph.has_edge(start, to) or graph[start][to]["weight"] > weight:
            graph.add_edge(start, to, weight=weight)
    if networkx.negative_edge_cycle(graph):
        return None
    distances = networkx.single_source_bellman_ford_path_length(graph, 0)
    starts = [-distances[i] for i in range(activities)]
    # The source stands at 0: a lag that would push it later cannot be met.
    return starts if starts[0] == 0 else None


def write_random(path, draw):
    """A project of up to 60 activities with minimum and maximum lags."""
    real = draw.randint(1, 60)
    lines = [f"{real}\t1\t0\t0"]
    for start in range(real + 2):
        after = [(to, draw.randint(0, 9)) for to in range(start + 1, real + 2) if draw.random() < 0.1]
        if start > 0 and draw.random() < 0.2:
            after.append((draw.randint(1, start), -draw.randint(0, 60)))
        fields = [start, 1, len(after)] + [to for to, _ in after] + [f"[{lag}]" for _, lag in after]
        lines.append("\t".join(map(str, fields)))
    path.write_text("\n".join(lines) + "\n")


def main():
    program = sys.argv[1]
    data = os.environ.get("BUDWOOD_SHARED_DATA") or (sys.argv[2] if len(sys.argv) > 2 else "")
    with tempfile.TemporaryDirectory() as folder:
        draw = random.Random(20270314)
        paths = [pathlib.Path(folder) / f"{i}.sch" for i in range(300)]
        for path in paths:
            write_random(path, draw)
        projects = sorted(pathlib.Path(data).glob("rcpsp-max/*/*.sch")) if data else []
        if not projects:
            print("skipped: no rcpsp-max/ (set BUDWOOD_SHARED_DATA to the data folder)")
        paths += projects
        printed = subprocess.run([program, *map(str, paths)], capture_output=True, check=True, text=True)

        wrong = infeasible = 0
        for path, line in zip(paths, printed.stdout.splitlines(), strict=True):
            ours = None if line == "infeasible" else [int(day) for day in line.split()]
            infeasible += ours is None
            if ours != longest_paths(path):
                wrong += 1
                print(f"{path}: {line}")
    print(f"{len(paths)} networks, {infeasible} of them infeasible, {wrong} wrong")
    sys.exit(1 if wrong else 0)


main()
