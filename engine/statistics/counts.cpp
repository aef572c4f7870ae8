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
constexpr double most_work = 2e7;    // probabilities summed by one thinning, before groups are used
constexpr double most_points = 4e6;  // of one distribution, before a grid is used
constexpr double longest_spread = 5e4;  // numbers that one is spread over, before cells are used
constexpr double most_cells = 4096;     // 128 or so for each standard deviation

/// The largest power of two that is not above the value; 1 for less.
std::int64_t power_of_two_below(double value) {
  std::int64_t power = 1;
  while (static_cast<double>(power) * 2 <= value && power < largest_count) power *= 2;
  return power;
}

/// The smallest power of two, or twice it, that leaves no more than so many points.
std::int64_t step_for(std::int64_t from, std::int64_t to, double points) {
  const double all = static_cast<double>(to - from) + 1;
  return all <= points ? 1 : 2 * power_of_two_below(all / points);
}

/// P(T >= t) for T with the density of a tent from -1 to 1.
double tent_above(double t) {
  if (t <= -1) return 1;
  if (t >= 1) return 0;
  return t < 0 ? 1 - (1 + t) * (1 + t) / 2 : (1 - t) * (1 - t) / 2;
}

}  // namespace

/// Collects probabilities of the numbers from `from` to `to`.
class Counts::Grid {
 public:
  Grid(std::int64_t from, std::int64_t to, std::int64_t step)
      : lowest_(from - from % step),
        step_(step),
        mass_(static_cast<std::size_t>((to - lowest_ + step - 1) / step + 1)) {}

  /// Divided between the two grid numbers beside the value, so that the mean is kept.
  void add(std::int64_t value, double mass) {
    const std::int64_t offset = value - lowest_;
    if (step_ == 1) {  // nearly always, and far quicker without dividing
      mass_[static_cast<std::size_t>(offset)] += mass;
      return;
    }
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

  /// The cell of a grid number reaches half a step to either side.
  std::size_t cell_of(std::int64_t value) const {
    return static_cast<std::size_t>((value - lowest_ + step_ / 2) / step_);
  }
  double upper_edge(std::size_t cell) const {
    return static_cast<double>(lowest_) +
           static_cast<double>(step_) * (static_cast<double>(cell) + 0.5);
  }
  void add_to_cell(std::size_t cell, double mass) { mass_[cell] += mass; }

  /// Without the ends that hold next to nothing.
  Counts take() && {
    constexpr double nothing = 1e-18;
    std::size_t first = 0;
    std::size_t last = mass_.size() - 1;
    for (double sum = 0; first < last && sum + mass_[first] < nothing; ++first) sum += mass_[first];
    for (double sum = 0; last > first && sum + mass_[last] < nothing; --last) sum += mass_[last];
    const auto begin = mass_.begin();
    mass_.erase(begin + static_cast<std::ptrdiff_t>(last) + 1, mass_.end());
    mass_.erase(begin, begin + static_cast<std::ptrdiff_t>(first));
    return Counts(lowest_ + step_ * static_cast<std::int64_t>(first), step_, std::move(mass_));
  }

 private:
  std::int64_t lowest_;
  std::int64_t step_;
  std::vector<double> mass_;
};

/// A number, or one of two that stand for its neighbours as well.
struct Counts::Group {
  std::int64_t value;
  double mass;
};

Counts::Counts(std::int64_t lowest, std::int64_t step, std::vector<double> mass)
    : lowest_(lowest), step_(step), mass_(std::move(mass)), cap_(no_cap) {}

Counts Counts::certain(std::int64_t n) {
  return Counts(std::clamp<std::int64_t>(n, 0, largest_count), 1, {1.0});
}

Counts Counts::at_step(std::int64_t step) const {
  if (step == step_) return *this;
  const std::int64_t room = step < step_ ? step_ : 0;
  Grid grid(std::max<std::int64_t>(lowest_ - room, 0), highest() + room, step);
  for (std::size_t i = 0; i < mass_.size(); ++i) {
    grid.add(on_grid(i), step < step_
                             ? mass_[i] * static_cast<double>(step) / static_cast<double>(step_)
                             : mass_[i]);
    // Finer: the tent is filled in.
    for (std::int64_t d = step; d < step_; d += step) {
      const double height = 1 - static_cast<double>(d) / static_cast<double>(step_);
      const double mass =
          mass_[i] * height * static_cast<double>(step) / static_cast<double>(step_);
      grid.add(std::max<std::int64_t>(on_grid(i) - d, 0), mass);
      grid.add(on_grid(i) + d, mass);
    }
  }
  Counts result = std::move(grid).take();
  result.cap_ = cap_;
  return result;
}

Counts Counts::smaller(const Counts& a, const Counts& b) {
  if (a.step_ > b.step_) return smaller(b, a);
  if (a.step_ < b.step_) {
    const double refined =
        static_cast<double>(b.highest() - b.lowest_) / static_cast<double>(a.step_);
    if (refined <= most_points) return smaller(a, b.at_step(a.step_));
    if (a.mass_.size() > 1) return smaller(a.at_step(b.step_), b);
    Counts capped = b;
    capped.cap_ = std::min(b.cap_, a.lowest_);
    return capped;
  }
  const std::int64_t step = a.step_;
  const std::int64_t from = std::min(a.lowest_, b.lowest_);
  const std::int64_t to = std::min(a.highest(), b.highest());
  const auto mass_at = [](const Counts& counts, std::int64_t value) {
    return value < counts.lowest_ || value > counts.highest()
               ? 0.0
               : counts.mass_[static_cast<std::size_t>((value - counts.lowest_) / counts.step_)];
  };
  const auto mass_above = [to](const Counts& counts) {
    double sum = 0;
    for (std::size_t i = counts.mass_.size(); i-- > 0 && counts.on_grid(i) > to;) {
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
  const Thinning uncertain(*rate.uncertain());
  if (rate.factor() == 1) return through(uncertain);
  // Either may come first: the known part leaves fewer numbers, but a density that is sharp at an
  // end is kept best while there are fewest.
  const Rate factor = *Rate::known(rate.factor());
  return uncertain.is_smooth() ? thinned(factor).through(uncertain)
                               : through(uncertain).thinned(factor);
}

std::vector<Counts::Group> Counts::groups(double widest) const {
  std::vector<Group> all;
  double owed = 0;  // mass times distance by which rounding has moved what came before
  const auto add = [&](std::int64_t first, double distance, double mass) {
    const double wanted = distance + std::clamp(owed / mass, -0.5, 0.5);
    const auto rounded = std::llround(wanted);
    owed += mass * (distance - static_cast<double>(rounded));
    all.push_back({first + rounded, mass});
  };
  for (std::size_t i = 0; i < mass_.size();) {
    const std::int64_t first = value(i);
    double mass = 0;
    double moment = 0;  // these two about the first number, which keeps them precise
    double square = 0;
    do {
      const auto distance = static_cast<double>(value(i) - first);
      mass += mass_[i];
      moment += mass_[i] * distance;
      square += mass_[i] * distance * distance;
      ++i;
    } while (i < mass_.size() && static_cast<double>(value(i) - first) < widest);
    if (mass < 1e-300) continue;
    const double mean = moment / mass;
    const double deviation = std::sqrt(std::max(square / mass - mean * mean, 0.0));
    if (deviation < 0.5) {
      add(first, mean, mass);
    } else {
      add(first, mean - deviation, mass / 2);
      add(first, mean + deviation, mass / 2);
    }
  }
  return all;
}

Counts Counts::through(const Thinning& thinning) const {
  const auto top = static_cast<double>(value(mass_.size() - 1));
  const double numbers = std::min(18 * std::sqrt(thinning.variance(top)) + 2, top + 1);
  if (numbers * static_cast<double>(mass_.size()) <= most_work) {
    return number_by_number(groups(0), thinning);
  }
  const double own = std::sqrt(thinning.variance(mean()));
  const double before = std::sqrt(variance()) * thinning.share();
  // Where many groups overlap their errors even out, so that they may be coarser.
  const bool overlapping = before > 4 * own;
  const double part =
      thinning.is_smooth() ? (overlapping ? 1.0 / 2 : 1.0 / 4) : (overlapping ? 1.0 / 8 : 1.0 / 64);
  const std::vector<Group> few = groups(part * own / thinning.share());
  const bool is_little = numbers * static_cast<double>(few.size()) <= 4 * most_work;
  const bool fits_cells = numbers > longest_spread && 64 * own >= before;
  return is_little || !fits_cells ? number_by_number(few, thinning) : cell_by_cell(few, thinning);
}

Counts Counts::number_by_number(std::span<const Group> groups, const Thinning& thinning) {
  // One number of room on either side: ranges widen with x, but for rounding.
  const std::int64_t most = groups.back().value;
  const std::int64_t from =
      std::max<std::int64_t>(thinning.range(groups.front().value).from - 1, 0);
  const std::int64_t to = std::min(thinning.range(most).to + 1, most);
  Grid grid(from, to, step_for(from, to, most_points));
  Thinning::Peak peak;
  for (const Group& group : groups) {
    thinning.spread(group.value, peak,
                    [&](std::int64_t k, double p) { grid.add(k, group.mass * p); });
  }
  return std::move(grid).take();
}

Counts Counts::cell_by_cell(std::span<const Group> groups, const Thinning& thinning) {
  const auto reach = [&](std::int64_t x, double deviations) {
    const auto number = static_cast<double>(x);
    return nearest_count(
        number * thinning.share() + deviations * std::sqrt(thinning.variance(number)), 0, x);
  };
  const std::int64_t from = reach(groups.front().value, -16);
  const std::int64_t to = reach(groups.back().value, 16);
  Grid grid(from, to, step_for(from, to, most_cells));
  for (const Group& group : groups) {
    const std::size_t last = grid.cell_of(reach(group.value, 16));
    double below = 0;
    // What lies beyond the ends goes into the cells at the ends.
    for (std::size_t cell = grid.cell_of(reach(group.value, -16)); cell <= last; ++cell) {
      const double next = cell == last ? 1
                                       : thinning.continuous_below(static_cast<double>(group.value),
                                                                   grid.upper_edge(cell));
      grid.add_to_cell(cell, group.mass * (next - below));
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
  if (m <= 0) return 1;
  double sum = 0;
  if (step_ == 1) {
    const auto first =
        static_cast<std::size_t>(std::clamp<std::int64_t>(m - lowest_, 0, std::ssize(mass_)));
    // The shorter side, which is as a rule the less likely one: its small sum is not rounded away.
    if (first > mass_.size() / 2) {
      for (std::size_t i = first; i < mass_.size(); ++i) sum += mass_[i];
      return sum;
    }
    for (std::size_t i = 0; i < first; ++i) sum += mass_[i];
    return 1 - sum;
  }
  for (std::size_t i = 0; i < mass_.size(); ++i) {
    const double above = static_cast<double>(m) - 0.5 - static_cast<double>(on_grid(i));
    sum += mass_[i] * tent_above(above / static_cast<double>(step_));
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
