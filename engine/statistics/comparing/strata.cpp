#include "statistics/comparing/strata.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "statistics/comparing/student.hpp"
#include "statistics/normal.hpp"
#include "statistics/refusal.hpp"

namespace budwood::statistics {
namespace {

/// A stratum as a table: a good and b bad of the first, c good and d bad of the second.
struct Table {
  double a = 0, b = 0, c = 0, d = 0;
  double first() const { return a + b; }
  double second() const { return c + d; }
  double good() const { return a + c; }
  double bad() const { return b + d; }
  double all() const { return a + b + c + d; }
  /// Not so where all or none are good: then the table can only be as it is.
  bool can_tell() const { return good() > 0 && bad() > 0; }
};

bool is_group_of_plants(const Group& g) {
  return is_count(g.good) && is_count(g.of) && g.good <= g.of;
}

/// Strata with both techniques in them; nothing when counts are impossible or there is none.
std::optional<std::vector<Table>> tables_of(std::span<const Stratum> strata) {
  std::vector<Table> tables;
  for (const Stratum& s : strata) {
    if (!is_group_of_plants(s.first) || !is_group_of_plants(s.second)) return std::nullopt;
    if (s.first.of == 0 || s.second.of == 0) continue;
    const auto number = [](std::int64_t n) { return static_cast<double>(n); };
    tables.push_back({number(s.first.good), number(s.first.of - s.first.good),
                      number(s.second.good), number(s.second.of - s.second.good)});
  }
  if (tables.empty()) return std::nullopt;
  return tables;
}

/// Tables that can tell the techniques apart.
std::vector<Table> telling(std::vector<Table> tables) {
  std::erase_if(tables, [](const Table& t) { return !t.can_tell(); });
  return tables;
}

/// The good ones of the first that a table with these margins would have at an odds ratio: a root
/// of a quadratic.
double expected_good(const Table& t, double odds_ratio) {
  const double p = 1 - odds_ratio;
  if (std::abs(p) < 1e-12) return t.good() * t.first() / t.all();
  const double q = t.second() - t.good() + odds_ratio * (t.good() + t.first());
  const double r = -odds_ratio * t.good() * t.first();
  const double root = std::sqrt(std::max(q * q - 4 * p * r, 0.0));
  const double low = std::max(0.0, t.good() - t.second());
  const double high = std::min(t.good(), t.first());
  const double one = (-q + root) / (2 * p);
  return one >= low - 1e-9 && one <= high + 1e-9 ? one : (-q - root) / (2 * p);
}

}  // namespace

std::optional<CommonDifference> common_difference(std::span<const Stratum> strata,
                                                  double confidence) {
  const auto tables = tables_of(strata);
  if (!tables || !(confidence > 0 && confidence < 1)) return std::nullopt;
  double weights = 0;
  double sum = 0;
  double p = 0;  // Sato's two sums
  double q = 0;
  double greenland = 0;
  for (const Table& t : *tables) {
    const double n = t.all();
    const double n1 = t.first();
    const double n2 = t.second();
    weights += n1 * n2 / n;
    sum += (t.a * n2 - t.c * n1) / n;
    p += (n1 * n1 * t.c - n2 * n2 * t.a + n1 * n2 * (n2 - n1) / 2) / (n * n);
    q += (t.a * t.d + t.c * t.b) / (2 * n);
    greenland += (t.a * t.b * n2 * n2 * n2 + t.c * t.d * n1 * n1 * n1) / (n1 * n2 * n * n);
  }
  CommonDifference common;
  common.difference = sum / weights;
  common.error = std::sqrt(std::max(common.difference * p + q, 0.0)) / weights;
  common.error_greenland_robins = std::sqrt(greenland) / weights;
  const double reach = two_sided_z(confidence) * common.error;
  common.interval = {common.difference - reach, common.difference + reach};
  return common;
}

std::optional<CommonOddsRatio> common_odds_ratio(std::span<const Stratum> strata,
                                                 double confidence) {
  const auto tables = tables_of(strata);
  if (!tables || !(confidence > 0 && confidence < 1)) return std::nullopt;
  double r = 0;
  double s = 0;
  double pr = 0;
  double ps_qr = 0;
  double qs = 0;
  for (const Table& t : *tables) {
    const double n = t.all();
    const double for_first = t.a * t.d / n;
    const double for_second = t.b * t.c / n;
    const double agree = (t.a + t.d) / n;
    const double differ = (t.b + t.c) / n;
    r += for_first;
    s += for_second;
    pr += agree * for_first;
    ps_qr += agree * for_second + differ * for_first;
    qs += differ * for_second;
  }
  if (r == 0 && s == 0) return std::nullopt;
  CommonOddsRatio common;
  common.ratio = s == 0 ? std::numeric_limits<double>::infinity() : r / s;
  if (r == 0 || s == 0) return common;
  const double error = std::sqrt(pr / (2 * r * r) + ps_qr / (2 * r * s) + qs / (2 * s * s));
  const double factor = std::exp(two_sided_z(confidence) * error);
  common.interval = Interval{common.ratio / factor, common.ratio * factor};
  return common;
}

std::optional<MantelHaenszelTest> mantel_haenszel_test(std::span<const Stratum> strata) {
  const auto tables = tables_of(strata);
  if (!tables) return std::nullopt;
  double miss = 0;
  double variance = 0;
  for (const Table& t : telling(*tables)) {
    const double n = t.all();
    miss += t.a - t.first() * t.good() / n;
    variance += t.first() * t.second() * t.good() * t.bad() / (n * n * (n - 1));
  }
  if (!(variance > 0)) return std::nullopt;
  MantelHaenszelTest test;
  const double corrected = std::max(std::abs(miss) - 0.5, 0.0);
  test.chi_square = miss * miss / variance;
  test.p = chi_square_above(test.chi_square, 1);
  test.corrected = corrected * corrected / variance;
  test.p_corrected = chi_square_above(test.corrected, 1);
  return test;
}

std::optional<BreslowDayTest> breslow_day_test(std::span<const Stratum> strata) {
  const auto tables = tables_of(strata);
  const auto common = common_odds_ratio(strata);
  if (!tables || !common || !common->interval) return std::nullopt;
  const auto informative = telling(*tables);
  if (informative.size() < 2) return std::nullopt;
  BreslowDayTest test;
  double miss = 0;
  double variance = 0;
  for (const Table& t : informative) {
    const double a = expected_good(t, common->ratio);
    const double of_stratum =
        1 / (1 / a + 1 / (t.first() - a) + 1 / (t.good() - a) + 1 / (t.second() - t.good() + a));
    test.breslow_day += (t.a - a) * (t.a - a) / of_stratum;
    miss += t.a - a;
    variance += of_stratum;
  }
  test.tarone = test.breslow_day - miss * miss / variance;
  test.degrees = static_cast<int>(informative.size()) - 1;
  test.p = chi_square_above(std::max(test.tarone, 0.0), test.degrees);
  return test;
}

}  // namespace budwood::statistics
