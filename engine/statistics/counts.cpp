#include "statistics/counts.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "statistics/binomial.hpp"
#include "statistics/integer_search.hpp"
#include "statistics/thinning.hpp"

namespace budwood::statistics {
namespace {

constexpr std::int64_t no_cap = std::numeric_limits<std::int64_t>::max();
constexpr double most_work = 2e7;      // probabilities summed in one step, before a grid is used
constexpr double most_points = 32768;  // of one distribution, before a grid is used

/// The largest power of two that is not above the value; 1 for less.
std::int64_t power_of_two_below(double value) {
  std::int64_t power = 1;
  while (static_cast<double>(power) * 2 <= value && power < largest_count) power *= 2;
  return power;
}

/// The smallest power of two that leaves no more than so many points.
std::int64_t step_for(std::int64_t from, std::int64_t to, double points) {
  const double all = static_cast<double>(to - from) + 1;
  return all <= points ? 1 : 2 * power_of_two_below(all / points);
}

std::int64_t grid_below(std::int64_t value, std::int64_t step) {
  return value - value % step;
}

/// P(T >= t) for T with the density of a tent from -1 to 1.
double tent_above(double t) {
  if (t <= -1) return 1;
  if (t >= 1) return 0;
  return t < 0 ? 1 - (1 + t) * (1 + t) / 2 : (1 - t) * (1 - t) / 2;
}

}  // namespace

/// Collects probabilities on a grid that covers `from` to `to`.
class Counts::Grid {
 public:
  Grid(std::int64_t from, std::int64_t to, std::int64_t step)
      : lowest_(grid_below(from, step)),
        step_(step),
        mass_(static_cast<std::size_t>((to - lowest_ + step - 1) / step + 1)) {}

  void add(std::int64_t value, double mass) {
    const std::int64_t offset = value - lowest_;
    const auto index = static_cast<std::size_t>(offset / step_);
    const std::int64_t rest = offset % step_;
    if (rest == 0) {
      mass_[index] += mass;
      return;
    }
    const double upper = mass * (static_cast<double>(rest) / static_cast<double>(step_));
    mass_[index] += mass - upper;
    mass_[index + 1] += upper;
  }

  /// Without the ends that hold next to nothing.
  Counts take() && {
    constexpr double nothing = 1e-18;
    std::size_t first = 0;
    std::size_t last = mass_.size() - 1;
    for (double sum = 0; first < last && sum + mass_[first] < nothing; ++first) sum += mass_[first];
    for (double sum = 0; last > first && sum + mass_[last] < nothing; --last) sum += mass_[last];
    const auto begin = mass_.begin();
    std::vector<double> kept(begin + static_cast<std::ptrdiff_t>(first),
                             begin + static_cast<std::ptrdiff_t>(last) + 1);
    return Counts(lowest_ + step_ * static_cast<std::int64_t>(first), step_, std::move(kept));
  }

  /// The cell of a number reaches half a step to either side of it.
  std::size_t cell_of(std::int64_t value) const {
    return static_cast<std::size_t>((value - lowest_ + step_ / 2) / step_);
  }
  double upper_edge(std::size_t cell) const {
    return static_cast<double>(lowest_ + step_ * static_cast<std::int64_t>(cell)) +
           0.5 * static_cast<double>(step_);
  }
  void add_to_cell(std::size_t cell, double mass) { mass_[cell] += mass; }

 private:
  std::int64_t lowest_;
  std::int64_t step_;
  std::vector<double> mass_;
};

Counts::Counts(std::int64_t lowest, std::int64_t step, std::vector<double> mass)
    : lowest_(lowest), step_(step), mass_(std::move(mass)), cap_(no_cap) {}

Counts Counts::certain(std::int64_t n) {
  return Counts(std::clamp<std::int64_t>(n, 0, largest_count), 1, {1.0});
}

Counts Counts::on_grid(std::int64_t step) const {
  if (step <= step_) return *this;
  Grid grid(lowest_, highest(), step);
  for (std::size_t i = 0; i < mass_.size(); ++i) {
    grid.add(lowest_ + step_ * static_cast<std::int64_t>(i), mass_[i]);
  }
  Counts result = std::move(grid).take();
  result.cap_ = cap_;
  return result;
}

Counts Counts::smaller(const Counts& a, const Counts& b) {
  const auto capped = [](const Counts& counts, const Counts& certain) {
    Counts result = counts;
    result.cap_ = std::min(counts.cap_, certain.lowest_);
    return result;
  };
  const std::int64_t step = std::max(a.step_, b.step_);
  if (step > 1 && a.mass_.size() == 1 && a.step_ == 1) return capped(b, a);
  if (step > 1 && b.mass_.size() == 1 && b.step_ == 1) return capped(a, b);
  if (a.step_ != b.step_) return smaller(a.on_grid(step), b.on_grid(step));

  const std::int64_t from = std::min(a.lowest_, b.lowest_);
  const std::int64_t to = std::min(a.highest(), b.highest());
  const auto mass_at = [step](const Counts& counts, std::int64_t value) {
    return value < counts.lowest_ || value > counts.highest()
               ? 0.0
               : counts.mass_[static_cast<std::size_t>((value - counts.lowest_) / step)];
  };
  const auto mass_above = [&](const Counts& counts) {
    double sum = 0;
    for (std::size_t i = counts.mass_.size(); i-- > 0;) {
      if (counts.lowest_ + step * static_cast<std::int64_t>(i) <= to) break;
      sum += counts.mass_[i];
    }
    return sum;
  };
  double a_above = mass_above(a);
  double b_above = mass_above(b);
  std::vector<double> mass(static_cast<std::size_t>((to - from) / step) + 1);
  for (std::size_t i = mass.size(); i-- > 0;) {
    const std::int64_t value = from + step * static_cast<std::int64_t>(i);
    const double at_a = mass_at(a, value);
    const double at_b = mass_at(b, value);
    mass[i] = at_a * (at_b + b_above) + a_above * at_b;
    a_above += at_a;
    b_above += at_b;
  }
  Counts result(from, step, std::move(mass));
  result.cap_ = std::min(a.cap_, b.cap_);
  return result;
}

Counts Counts::smallest(std::span<const Counts> parts) {
  if (parts.empty()) return certain(0);
  Counts result = parts.front();
  for (const Counts& part : parts.subspan(1)) result = smaller(result, part);
  return result;
}

Counts Counts::thinned(const Rate& rate) const {
  if (rate.is_known() && rate.factor() == 1) return *this;
  if (rate.is_known() && rate.factor() == 0) return certain(0);
  if (rate.is_known()) return through(Thinning(rate.factor()));
  const Counts before = rate.factor() == 1 ? *this : thinned(*Rate::known(rate.factor()));
  return before.through(Thinning(*rate.uncertain()));
}

Counts Counts::through(const Thinning& thinning) const {
  const auto top = static_cast<double>(value(mass_.size() - 1));
  const double numbers = std::min(18 * std::sqrt(thinning.variance(top)) + 2, top + 1);
  if (numbers * static_cast<double>(mass_.size()) <= most_work) return number_by_number(thinning);

  const double deviation =
      std::sqrt(thinning.variance(mean()) + thinning.share() * thinning.share() * variance());
  const double blur = deviation / (64 * thinning.share());
  const Counts coarse = on_grid(power_of_two_below(blur));
  if (numbers * static_cast<double>(coarse.mass_.size()) <= 4 * most_work) {
    return coarse.number_by_number(thinning);
  }
  return on_grid(power_of_two_below(2 * blur)).cell_by_cell(thinning);
}

Counts Counts::number_by_number(const Thinning& thinning) const {
  // One number of room on either side: ranges widen with x, but for rounding.
  const std::int64_t most = value(mass_.size() - 1);
  const std::int64_t from = std::max<std::int64_t>(thinning.range(value(0)).from - 1, 0);
  const std::int64_t to = std::min(thinning.range(most).to + 1, most);
  Grid grid(from, to, step_for(from, to, most_points));
  for (std::size_t i = 0; i < mass_.size(); ++i) {
    if (mass_[i] == 0) continue;
    thinning.spread(value(i), [&](std::int64_t k, double p) { grid.add(k, mass_[i] * p); });
  }
  return std::move(grid).take();
}

Counts Counts::cell_by_cell(const Thinning& thinning) const {
  constexpr double cells = 8192;
  const auto reach = [&](std::int64_t x, double deviations) {
    const auto number = static_cast<double>(x);
    return nearest_count(
        number * thinning.share() + deviations * std::sqrt(thinning.variance(number)), 0, x);
  };
  const std::int64_t from = reach(value(0), -16);
  const std::int64_t to = reach(value(mass_.size() - 1), 16);
  Grid grid(from, to, step_for(from, to, cells));
  for (std::size_t i = 0; i < mass_.size(); ++i) {
    const std::int64_t x = value(i);
    const std::size_t last = grid.cell_of(reach(x, 16));
    double below = 0;
    // What lies beyond the ends goes into the cells at the ends.
    for (std::size_t cell = grid.cell_of(reach(x, -16)); cell <= last; ++cell) {
      const double next =
          cell == last ? 1
                       : thinning.continuous_below(static_cast<double>(x), grid.upper_edge(cell));
      grid.add_to_cell(cell, mass_[i] * (next - below));
      below = next;
    }
  }
  return std::move(grid).take();
}

std::optional<Counts> Counts::multiplied(double factor) const {
  const auto scaled = [&](std::int64_t v) {
    return std::floor(static_cast<double>(v) * factor * (1 + 1e-12));
  };
  const std::int64_t most = value(mass_.size() - 1);
  if (!(factor > 0) || !(scaled(most) <= static_cast<double>(largest_count))) return std::nullopt;
  const auto from = static_cast<std::int64_t>(scaled(value(0)));
  const auto to = static_cast<std::int64_t>(scaled(most));
  const std::int64_t blur =
      step_ == 1 ? 1 : power_of_two_below(static_cast<double>(step_) * factor);
  Grid grid(from, to, std::max(step_for(from, to, most_points), blur));
  for (std::size_t i = 0; i < mass_.size(); ++i) {
    grid.add(static_cast<std::int64_t>(scaled(value(i))), mass_[i]);
  }
  return std::move(grid).take();
}

double Counts::at_least(std::int64_t m) const {
  if (m > cap_) return 0;
  double sum = 0;
  if (step_ == 1) {
    // The shorter sum of the two sides of the mean, so that a small tail is not rounded away.
    if (m <= lowest_) return 1;
    const std::size_t first =
        static_cast<std::size_t>(std::min<std::int64_t>(m - lowest_, std::ssize(mass_)));
    if (static_cast<double>(m) > mean()) {
      for (std::size_t i = first; i < mass_.size(); ++i) sum += mass_[i];
      return sum;
    }
    for (std::size_t i = 0; i < first; ++i) sum += mass_[i];
    return 1 - sum;
  }
  const auto width = static_cast<double>(step_);
  for (std::size_t i = 0; i < mass_.size(); ++i) {
    const auto centre = static_cast<double>(lowest_ + step_ * static_cast<std::int64_t>(i));
    sum += mass_[i] * tent_above((static_cast<double>(m) - 0.5 - centre) / width);
  }
  return std::clamp(sum, 0.0, 1.0);
}

std::optional<std::int64_t> Counts::quantile(double share) const {
  if (!(share > 0 && share < 1)) return std::nullopt;
  const std::int64_t most = std::min(cap_, highest() + step_);
  return smallest_reaching(0, most, mean(),
                           [&](std::int64_t k) { return at_least(k + 1) <= 1 - share + 1e-12; });
}

double Counts::mean() const {
  double sum = 0;
  for (std::size_t i = 0; i < mass_.size(); ++i) sum += mass_[i] * static_cast<double>(value(i));
  return sum;
}

double Counts::variance() const {
  const double centre = mean();
  double sum = 0;
  for (std::size_t i = 0; i < mass_.size(); ++i) {
    const double d = static_cast<double>(value(i)) - centre;
    sum += mass_[i] * d * d;
  }
  return sum;
}

}  // namespace budwood::statistics
