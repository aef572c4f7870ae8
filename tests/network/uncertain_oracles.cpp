#include "uncertain_oracles.hpp"

#include <algorithm>
#include <map>

namespace budwood::network {
namespace {

constexpr Length unbound = Length{1} << 60;

/// The labelled distance graph: plain[i][j] bounds j - i; wait[c][i] is the upper-case arc from i
/// to the start of contingent link c.
class Saturation {
 public:
  explicit Saturation(const Uncertain& network)
      : points_(network.points),
        links_(network.contingents),
        plain_(points_, std::vector<Length>(points_, unbound)),
        wait_(links_.size(), std::vector<Length>(points_, unbound)) {
    for (std::size_t i = 0; i < points_; ++i) plain_[i][i] = 0;
    for (const Requirement& r : network.requirements) {
      if (r.high) lower(plain_[r.from][r.to], *r.high);
      if (r.low) lower(plain_[r.to][r.from], -*r.low);
    }
    for (std::size_t c = 0; c < links_.size(); ++c) {
      lower(plain_[links_[c].from][links_[c].to], links_[c].high);
      lower(plain_[links_[c].to][links_[c].from], -links_[c].low);
      lower(wait_[c][links_[c].to], -links_[c].high);
    }
  }

  bool controllable() {
    do {
      if (!consistent_with_all_waits()) return false;
      changed_ = false;
      plain_rules();
      for (std::size_t c = 0; c < links_.size(); ++c) wait_rules(c);
    } while (changed_);
    return true;
  }

 private:
  void lower(Length& value, Length to) {
    if (to >= value) return;
    value = to;
    changed_ = true;
  }

  /// The "AllMax" projection: every wait as a plain bound.
  bool consistent_with_all_waits() const {
    auto d = plain_;
    for (std::size_t c = 0; c < links_.size(); ++c) {
      for (std::size_t i = 0; i < points_; ++i) {
        d[i][links_[c].from] = std::min(d[i][links_[c].from], wait_[c][i]);
      }
    }
    for (std::size_t k = 0; k < points_; ++k) {
      for (std::size_t i = 0; i < points_; ++i) {
        for (std::size_t j = 0; j < points_; ++j) {
          if (d[i][k] < unbound && d[k][j] < unbound)
            d[i][j] = std::min(d[i][j], d[i][k] + d[k][j]);
        }
        if (d[i][i] < 0) return false;
      }
    }
    return true;
  }

  void plain_rules() {
    for (std::size_t k = 0; k < points_; ++k) {
      for (std::size_t i = 0; i < points_; ++i) {
        for (std::size_t j = 0; j < points_; ++j) {
          if (plain_[i][k] < unbound && plain_[k][j] < unbound) {
            lower(plain_[i][j], plain_[i][k] + plain_[k][j]);  // no case
          }
        }
      }
    }
    for (const Contingent& link : links_) {
      for (std::size_t j = 0; j < points_; ++j) {
        const Length on = plain_[link.to][j];
        if (on < 0) lower(plain_[link.from][j], link.low + on);  // lower case
      }
    }
  }

  void wait_rules(std::size_t c) {
    for (std::size_t i = 0; i < points_; ++i) {
      for (std::size_t k = 0; k < points_; ++k) {
        if (plain_[i][k] < unbound && wait_[c][k] < unbound) {
          lower(wait_[c][i], plain_[i][k] + wait_[c][k]);  // upper case
        }
      }
    }
    for (std::size_t other = 0; other < links_.size(); ++other) {
      const Length on = wait_[c][links_[other].to];
      if (other != c && on < 0)
        lower(wait_[c][links_[other].from], links_[other].low + on);  // cross
    }
    for (std::size_t i = 0; i < points_; ++i) {
      if (wait_[c][i] < unbound && wait_[c][i] >= -links_[c].low) {
        lower(plain_[i][links_[c].from], wait_[c][i]);  // label removal
      }
    }
  }

  std::size_t points_;
  std::vector<Contingent> links_;
  std::vector<std::vector<Length>> plain_, wait_;
  bool changed_ = false;
};

/// All games of nature against the grower, day by day.
class Play {
 public:
  explicit Play(const Uncertain& network) : network_(network) {
    for (const Contingent& link : network_.contingents) last_day_ += static_cast<int>(link.high);
    for (const Requirement& r : network_.requirements) {
      last_day_ +=
          static_cast<int>(std::max(std::abs(r.low.value_or(0)), std::abs(r.high.value_or(0))));
    }
  }

  bool grower_wins() { return grower_moves(State(network_.points, not_yet), 0); }

 private:
  using State = std::vector<signed char>;  ///< the day of each point
  static constexpr signed char not_yet = -1;

  bool by_nature(std::size_t point) const {
    const auto& links = network_.contingents;
    return std::any_of(links.begin(), links.end(),
                       [&](const Contingent& link) { return link.to == point; });
  }

  bool violated(const State& days) const {
    const auto& requirements = network_.requirements;
    return std::any_of(requirements.begin(), requirements.end(), [&](const Requirement& r) {
      if (days[r.from] == not_yet || days[r.to] == not_yet) return false;
      const int gap = days[r.to] - days[r.from];
      return (r.low && gap < *r.low) || (r.high && gap > *r.high);
    });
  }

  /// The grower sees `days` on day `today` and does any of what is left, or waits for tomorrow.
  bool grower_moves(const State& days, int today) {
    if (violated(days)) return false;
    if (std::find(days.begin(), days.end(), not_yet) == days.end()) return true;
    if (today > last_day_) return false;
    const auto [known, added] = known_.try_emplace({days, today}, false);
    if (!added) return known->second;

    std::vector<std::size_t> left;
    for (std::size_t point = 0; point < days.size(); ++point) {
      if (days[point] == not_yet && !by_nature(point)) left.push_back(point);
    }
    bool wins = nature_moves(days, today + 1, State());
    for (std::uint32_t chosen = 1; chosen < (1U << left.size()) && !wins; ++chosen) {
      State next = days;
      for (std::size_t i = 0; i < left.size(); ++i) {
        if (chosen & (1U << i)) next[left[i]] = static_cast<signed char>(today);
      }
      // What has just begun may end at once; the rest has had its turn today.
      wins = !violated(next) && nature_moves(next, today, days);
    }
    return known_[{days, today}] = wins;
  }

  /// Whether the grower wins whatever ends today. With `before`, only links that have begun since.
  bool nature_moves(const State& days, int today, const State& before) {
    std::vector<std::size_t> may;
    State next = days;
    for (const Contingent& link : network_.contingents) {
      if (days[link.from] == not_yet || days[link.to] != not_yet) continue;
      if (!before.empty() && before[link.from] != not_yet) continue;
      const int age = today - days[link.from];
      if (age == link.high) {
        next[link.to] = static_cast<signed char>(today);
      } else if (age >= link.low) {
        may.push_back(link.to);
      }
    }
    for (std::uint32_t chosen = 0; chosen < (1U << may.size()); ++chosen) {
      State after = next;
      for (std::size_t i = 0; i < may.size(); ++i) {
        if (chosen & (1U << i)) after[may[i]] = static_cast<signed char>(today);
      }
      // The end of one link may start another, which may end at once too.
      const bool wins =
          after == days ? grower_moves(after, today) : nature_moves(after, today, days);
      if (!wins) return false;
    }
    return true;
  }

  const Uncertain& network_;
  int last_day_ = 0;
  std::map<std::pair<State, int>, bool> known_;
};

}  // namespace

bool controllable_by_saturation(const Uncertain& network) {
  return Saturation(network).controllable();
}

bool controllable_by_play(const Uncertain& network) {
  return Play(network).grower_wins();
}

Uncertain random_uncertain(Draw& draw, int points, int contingents, int spread) {
  Uncertain network;
  network.points = static_cast<std::size_t>(points);
  const auto any = [&](int low) { return static_cast<std::size_t>(draw.between(low, points - 1)); };
  // Each of the last points ends one contingent link that starts at an earlier point.
  for (int i = 0; i < contingents; ++i) {
    const int to = points - contingents + i;
    const auto from = static_cast<std::size_t>(draw.between(0, to - 1));
    const Length low = draw.between(0, 3);
    network.contingents.push_back(
        {from, static_cast<std::size_t>(to), low, low + draw.between(0, spread)});
  }
  for (int i = draw.between(1, points + 1); i > 0; --i) {
    const std::size_t from = any(0), to = any(0);
    if (from == to) continue;
    const Length low = draw.between(-3, 4);
    Requirement requirement{from, to, low, low + draw.between(0, 4)};
    if (draw.chance(25)) requirement.low.reset();
    if (draw.chance(25)) requirement.high.reset();
    network.requirements.push_back(requirement);
  }
  return network;
}

Uncertain named_part(const Uncertain& network, const std::vector<Part>& conflict) {
  Uncertain part;
  part.points = network.points;
  std::vector<char> taken(network.contingents.size(), 0);
  for (const Part& named : conflict) {
    if (named.kind == Part::Kind::contingent) {
      if (!taken[named.index]) part.contingents.push_back(network.contingents[named.index]);
      taken[named.index] = 1;
      continue;
    }
    Requirement bound = network.requirements[named.index];
    (named.side == Part::Side::low ? bound.high : bound.low).reset();
    part.requirements.push_back(bound);
  }
  return part;
}

}  // namespace budwood::network
