#pragma once

#include <cstdint>
#include <optional>
#include <span>

#include "statistics/differences.hpp"
#include "statistics/intervals.hpp"

namespace budwood::statistics {

/// Two techniques in one batch (date, house, block): counts of different batches must not be added
/// up, what differs between batches would hide or feign the effect.
struct Stratum {
  Group first;
  Group second;
};

/// The common difference of shares, with weights n1 n2 / N.
struct CommonDifference {
  double difference = 0;
  double error = 0;  ///< standard error (Sato, Greenland & Robins 1989, Biometrics 45:1323-1324)
  double error_greenland_robins = 0;  ///< Greenland & Robins 1985, Biometrics 41:55-68
  Interval interval;                  ///< with Sato's error
};

/// The common odds ratio (Mantel & Haenszel 1959, J. Natl. Cancer Inst. 22:719-748), limits by
/// Robins, Breslow & Greenland 1986, Biometrics 42:311-323. Infinite or 0 without limits where one
/// of its sums is 0.
struct CommonOddsRatio {
  double ratio = 1;
  std::optional<Interval> interval;
};

/// Whether the techniques differ within strata (Cochran, Mantel & Haenszel): 1 degree of freedom.
struct MantelHaenszelTest {
  double chi_square = 0;
  double p = 1;
  double corrected = 0;  ///< with the continuity correction of 1/2
  double p_corrected = 1;
};

/// Whether the odds ratio is the same in all strata (Breslow & Day 1980, with the correction of
/// Tarone 1985, Biometrika 72:91-95). A small p warns that one common figure tells only half.
struct BreslowDayTest {
  double breslow_day = 0;
  double tarone = 0;
  int degrees = 0;  ///< strata that can say something, less one
  double p = 1;     ///< of Tarone's
};

/// Exact, given the margins of every stratum: the sum of good ones of the first is a sum of
/// hypergeometric numbers.
struct ExactStrataTest {
  double two_sided = 1;   ///< sums that are no likelier than the one seen
  double mid_p = 1;       ///< two_sided less half of the sums as likely as the one seen
  double odds_ratio = 1;  ///< conditional maximum likelihood; 0 or infinite at the ends
};

/// All are refused, with nothing, where groups are not counts or no stratum has both techniques in
/// it; a stratum with one of them says nothing and is left out. The tests also where no stratum can
/// tell (all or none good everywhere), Breslow and Day's with fewer than two that can.
std::optional<CommonDifference> common_difference(std::span<const Stratum> strata,
                                                  double confidence = 0.95);
std::optional<CommonOddsRatio> common_odds_ratio(std::span<const Stratum> strata,
                                                 double confidence = 0.95);
std::optional<MantelHaenszelTest> mantel_haenszel_test(std::span<const Stratum> strata);
std::optional<BreslowDayTest> breslow_day_test(std::span<const Stratum> strata);
/// Up to 100 000 plants in a technique; refused above.
std::optional<ExactStrataTest> exact_strata_test(std::span<const Stratum> strata);

}  // namespace budwood::statistics
