#pragma once

#include <cstdint>
#include <optional>
#include <span>

namespace budwood::statistics {

/// Tests of seed: two or four replicates of a hundred seeds each, judged by printed tables. The
/// tables are no single formula rounded, so they are kept as they are printed.

/// How far apart replicates of 100 seeds may lie, in percentage points, before the test has to be
/// made again; a range equal to it passes. `mean` is the whole percentage that the average comes
/// to. US Code of Federal Regulations, 7 CFR 201.55 (Federal Seed Act), which rests on Miles 1963,
/// Proc. ISTA 28:525-686. The table is kept for means from 70 to 99 % (two replicates: 97 %) and,
/// as it is printed too, for those as far from 100 % on the other side (2 to 31 %). Nothing beyond
/// it, and for other numbers of replicates.
std::optional<int> tolerated_range(int replicates, int mean);

/// By how much two tests of 400 seeds may differ, a label's and another one, in percentage points;
/// `mean` is that of both. 2 more where only 200 were tested. 7 CFR 201.63.
int tolerated_difference(double mean, bool only_200 = false);

/// Chance that k counts of n seeds each lie further apart than t, given how many germinated in all:
/// as if the replicates were drawn from the seeds that were counted (multivariate hypergeometric),
/// so that no share has to be guessed. A NaN for numbers that cannot be.
double chance_of_wider_range(int k, int n, std::int64_t total, int t);

}  // namespace budwood::statistics
