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
constexpr double most_work = 2e7;      // probabilities summed in one step before grids are used
constexpr double most_points = 65536;  // of one distribution before grids are used
constexpr double longest_spread = 4'000'000;  // numbers, before they are taken as continuous

/// The largest power of two that is not above the value; 1 for less.
std::int64_t power_of_two_below(double value) {
  std::int64_t power = 1;
  while (static_cast<double>(power) * 2 <= value && power < largest_count) power *= 2;
  return power;
}

/// 1 while the points are not too many, else a step that leaves between 8192 and 16384 of them.
std::int64_t step_for(std::int64_t from, std::int64_t to) {
  const double points = static_cast<double>(to - from) + 1;
  return points <= most_points ? 1 : 2 * power_of_two_below(points / 16384);
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

  std::int64_t step() const { return step_; }
  std::int64_t value(std::size_t index) const {
    return lowest_ + step_ * static_cast<std::int64_t>(index);
  }
  std::vector<double>& mass() { return mass_; }

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
    for (std::int64_t v = counts.highest(); v > to; v -= step) sum += mass_at(counts, v);
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
  if (!rate.is_known() && rate.factor() != 1) {
    return thinned(*Rate::known(rate.factor())).thinned(rate.without_factor());
  }
  if (rate.is_known() && rate.factor() == 1) return *this;
  if (rate.is_known() && rate.factor() == 0) return certain(0);
  const Thinning thinning = rate.is_known() ? Thinning(rate.factor()) : Thinning(*rate.uncertain());

  const auto top = static_cast<double>(value(mass_.size() - 1));
  const double numbers = std::min(18 * std::sqrt(thinning.variance(top)) + 2, top + 1);
  const bool continuous = numbers > longest_spread;
  Counts input = *this;
  if (continuous || numbers * static_cast<double>(mass_.size()) > most_work) {
    const double deviation =
        std::sqrt(thinning.variance(mean()) + thinning.share() * thinning.share() * variance());
    input = on_grid(power_of_two_below(deviation / (64 * thinning.share())));
  }
  const std::int64_t least = input.value(0);
  const std::int64_t most = input.value(input.mass_.size() - 1);
  // One number of room on either side: ranges widen with x, but for rounding.
  const std::int64_t from =
      continuous ? 0 : std::max<std::int64_t>(thinning.range(least).from - 1, 0);
  const std::int64_t to = continuous ? most : std::min(thinning.range(most).to + 1, most);
  Grid grid(from, to, step_for(from, to));
  for (std::size_t i = 0; i < input.mass_.size(); ++i) {
    const double mass = input.mass_[i];
    if (mass == 0) continue;
    const std::int64_t x = input.value(i);
    if (!continuous) {
      thinning.spread(x, [&](std::int64_t k, double p) { grid.add(k, mass * p); });
      continue;
    }
    double below = 0;
    for (std::size_t cell = 0; cell < grid.mass().size(); ++cell) {
      const double edge =
          static_cast<double>(grid.value(cell)) + 0.5 * static_cast<double>(grid.step());
      const double next = thinning.continuous_below(static_cast<double>(x), edge);
      grid.mass()[cell] += mass * (next - below);
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
  Grid grid(from, to, std::max(step_for(from, to), blur));
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
