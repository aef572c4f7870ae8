#include "statistics/comparing/looks.hpp"

#include <cmath>
#include <numbers>
#include <vector>

#include "statistics/normal.hpp"

namespace budwood::statistics {
namespace {

constexpr int most_looks = 100;
constexpr int cells = 400;  // of a density between the limits, by Simpson's rule

double density(double x) {
  return std::exp(-x * x / 2) / std::sqrt(2 * std::numbers::pi);
}

double simpson_weight(int i) {
  return i == 0 || i == cells ? 1 : i % 2 == 1 ? 4 : 2;
}

}  // namespace

std::optional<double> false_alarm_of_looks(int looks, double z) {
  if (looks < 1 || looks > most_looks || !(z > 0) || !std::isfinite(z)) return std::nullopt;
  // The sum of what came in so far is a walk with steps of variance 1; it is inside when |sum| < z
  // sqrt(look). The density of walks that were never outside is carried from look to look.
  std::vector<double> inside(cells + 1);
  double reach = z;
  for (int i = 0; i <= cells; ++i) inside[i] = density(-reach + 2 * reach * i / cells);
  for (int look = 2; look <= looks; ++look) {
    const double wider = z * std::sqrt(look);
    std::vector<double> next(cells + 1, 0);
    for (int i = 0; i <= cells; ++i) {
      const double to = -wider + 2 * wider * i / cells;
      for (int j = 0; j <= cells; ++j) {
        const double from = -reach + 2 * reach * j / cells;
        next[i] += simpson_weight(j) * inside[j] * density(to - from);
      }
      next[i] *= 2 * reach / cells / 3;
    }
    inside = std::move(next);
    reach = wider;
  }
  double never = 0;
  for (int i = 0; i <= cells; ++i) never += simpson_weight(i) * inside[i];
  return 1 - never * 2 * reach / cells / 3;
}

std::optional<double> limit_for_looks(int looks, double risk) {
  if (looks < 1 || looks > most_looks || !(risk > 0 && risk < 1)) return std::nullopt;
  double low = 0.01;
  double high = 8;
  for (int i = 0; i < 40; ++i) {
    const double middle = (low + high) / 2;
    (*false_alarm_of_looks(looks, middle) > risk ? low : high) = middle;
  }
  return (low + high) / 2;
}

}  // namespace budwood::statistics
