"""Compares the engine's statistics with SciPy on a grid of cases, extremes included.

Usage: reference_check.py PROGRAM, where PROGRAM is built from reference_cases.cpp.
Exit status: 0 all agree, 1 some do not, 77 SciPy is not installed (nothing was checked).
"""

import math
import subprocess
import sys

try:
    from scipy import stats
except ImportError:
    print("skipped: SciPy is not installed (Debian: python3-scipy)")
    sys.exit(77)

SHARES = [0.0001, 0.003, 0.05, 0.3, 0.5, 0.77, 0.85, 0.97, 0.999, 0.9999]
NUMBERS = [1, 2, 5, 29, 100, 1000, 20000, 10**6, 10**7]
ASSURANCES = [0.2, 0.5, 0.9, 0.95, 0.999]


def near(relative, absolute=0.0):
    """A comparison of two lists of numbers."""

    def agree(got, expected):
        return len(got) == len(expected) and all(
            math.isclose(g, e, rel_tol=relative, abs_tol=absolute) for g, e in zip(got, expected)
        )

    return agree


def tail_cases():
    for n in NUMBERS:
        for p in SHARES:
            deviation = math.sqrt(n * p * (1 - p))
            for z in (-8, -3, -1, 0, 1, 3, 8):
                m = min(max(round(n * p + z * deviation), 0), n)
                # SciPy's own tails are good to about 1e-9 at ten million.
                yield f"at_least {n} {m} {p}", [stats.binom.sf(m - 1, n, p)], near(1e-7, 1e-300)
                yield f"fewer {n} {m} {p}", [stats.binom.cdf(m - 1, n, p)], near(1e-7, 1e-300)
                yield f"exactly {n} {m} {p}", [stats.binom.pmf(m, n, p)], near(1e-6, 1e-300)
            for share in (0.001, 0.05, 0.5, 0.95, 0.999):
                yield f"quantile {n} {p} {share}", [stats.binom.ppf(share, n, p)], near(0)


def reference_start(m, p, assurance):
    """The number of trials to the m-th success at that quantile: m plus the failures before it."""
    return m + int(stats.nbinom.ppf(assurance, m, p))


def start_cases():
    for m in NUMBERS:
        for p in SHARES:
            for assurance in ASSURANCES:
                expected = reference_start(m, p, assurance)
                # A quantile may land one off by rounding: the tails are compared instead.
                def agree(got, _, m=m, p=p, assurance=assurance):
                    n = int(got[0])
                    enough = stats.binom.sf(m - 1, n, p)
                    before = stats.binom.sf(m - 1, n - 1, p)
                    return enough >= assurance - 1e-8 and (n == m or before < assurance + 1e-8)

                yield f"start {m} {p} {assurance}", [expected], agree


def predicted_cases():
    for good, seen in [(0, 0), (0, 20), (3, 4), (20, 20), (46, 50), (184, 200), (1900, 2000)]:
        alpha, beta = good + 0.5, seen - good + 0.5
        for n in (1, 2, 10, 125, 1000, 4000):
            distribution = stats.betabinom(n, alpha, beta)
            for part in (0, 0.2, 0.5, 0.8, 0.9, 0.95, 1):
                m = round(part * n)
                expected = sum(distribution.pmf(k) for k in range(m, n + 1)) if n <= 125 else float(
                    distribution.sf(m - 1)
                )
                # SciPy adds up terms from log-gamma functions.
                yield f"predicted {n} {m} {good} {seen}", [expected], near(1e-8, 1e-9)
        if good == 0:
            continue
        for m in (1, 5, 40):
            for assurance in (0.5, 0.9):
                n = m
                while stats.betabinom(n, alpha, beta).sf(m - 1) < assurance:
                    n += 1
                yield f"predicted_start {m} {good} {seen} {assurance}", [n], near(0)


def interval_cases():
    for n in (1, 5, 20, 29, 263, 5000, 10**6):
        for x in sorted({0, 1, n // 10, n // 2, n - 1, n}):
            if not 0 <= x <= n:
                continue
            result = stats.binomtest(x, n)
            for confidence in (0.5, 0.9, 0.95, 0.999):
                limits = result.proportion_ci(confidence, "wilson")
                yield f"wilson {x} {n} {confidence}", [limits.low, limits.high], near(1e-6, 1e-9)


def fisher_cases():
    for n1, n2 in [(4, 4), (1, 7), (10, 12), (70, 80), (500, 300)]:
        for a in sorted({0, 1, n1 // 3, n1 - 1, n1}):
            for b in sorted({0, n2 // 2, n2}):
                table = [[a, n1 - a], [b, n2 - b]]
                expected = [
                    stats.fisher_exact(table, side)[1] for side in ("two-sided", "less", "greater")
                ]
                yield f"fisher {a} {n1} {b} {n2}", expected, near(1e-6, 1e-12)


def main():
    cases = [
        case
        for source in (tail_cases, start_cases, predicted_cases, interval_cases, fisher_cases)
        for case in source()
    ]
    program = subprocess.run(
        [sys.argv[1]],
        input="".join(f"{line}\n" for line, _, _ in cases),
        capture_output=True,
        text=True,
        check=True,
    )
    answers = program.stdout.splitlines()
    wrong = 0
    for (line, expected, agree), answer in zip(cases, answers, strict=True):
        got = [float(word) for word in answer.split()]
        if not got or not agree(got, expected):
            wrong += 1
            print(f"{line}: got {got}, SciPy {[float(e) for e in expected]}")
    print(f"{len(cases)} cases compared with SciPy, {wrong} differ")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
