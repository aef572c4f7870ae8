#include "levelling/season/season.hpp"

#include <algorithm>
#include <chrono>
#include <limits>
#include <numeric>
#include <random>
#include <tuple>

#include "levelling/search/search.hpp"
#include "levelling/season/crowding.hpp"
#include "levelling/season/neighbours.hpp"
#include "levelling/season/piece.hpp"
#include "levelling/season/takers.hpp"

namespace budwood::levelling {

namespace {

constexpr std::size_t tries_at_first = 200;
constexpr std::size_t tries_again = 60;
/// Of a piece for the complete search, and what that may spend on one and on all bounds together.
constexpr std::size_t points_of_piece = 60;
constexpr std::int64_t conflicts_of_piece = 1000;
constexpr std::int64_t conflicts_of_bounds = 20'000;
constexpr std::size_t most_bound_pieces = 400;
/// Rounds from one piece to the next.
constexpr std::uint64_t rounds_between_pieces = 50;
/// How often groups choose their days while prices rise: all together without a time, and each.
constexpr std::size_t choices_of_prices = 150'000;
constexpr std::size_t most_choices = 400, most_choices_in_time = 3000;
/// How many groups move in the time of a round, when all move together.
constexpr std::uint64_t moves_by_round = 60;
/// A day late among so many groups is for the rounds to mend.
constexpr Cost few_late = 20;
/// How often those without a place push others aside, and how often in a row for nothing.
constexpr int most_sweeps = 200;
constexpr int most_idle_sweeps = 12;
/// Of days on which one that pushes others aside finds too little.
constexpr std::size_t most_shorts = 24;

class SeasonSearch : private SeasonCrowding {
 public:
  SeasonSearch(const Problem& problem, const SeasonOptions& options)
      : SeasonCrowding(problem, options),
        random_(options.seed),
        started_(std::chrono::steady_clock::now()),
        least_(groups_.count(), Costs{}) {
    season_.bound.assign(problem.objectives.size(), 0);
  }

  Season run() {
    take_fixed();
    keep_fixed();
    prices_.emplace(problem_, groups_, fixed_profile_);
    if (options_.prove) find_bounds();
    for (const GroupId group : order()) {
      if (!groups_.is_fixed(group)) put(group, tries_at_first);
    }
    add_up();
    season_.first = standing();
    Neighbours neighbours(problem_, groups_);
    if (options_.prove) prove(neighbours);
    const Takers takers(problem_, groups_, options_.wanted);
    make_room(takers);
    // Part of the time and of the rounds before prices are sought, and part of them after.
    improve(neighbours, takers, {0.1, options_.rounds / 2});
    if (options_.prove && is_much_late()) {
      raise_bound(0.25);
      // What does not come of it in half of the time is left to the rounds.
      if (move_all(0.6) && options_.seconds > 0) move_all(0.8);
    }
    improve(neighbours, takers, {options_.prove ? 0.9 : 1, options_.rounds});
    if (options_.prove) raise_bound(1);
    stand_anyway();
    season_.standing = standing();
    return std::move(season_);
  }

 private:
  /// What an improvement may use, of the time and of the rounds of all.
  struct Budget {
    double share = 1;
    std::uint64_t rounds = 0;
  };

  void take_fixed() {
    for (GroupId g = 0; g < groups_.count(); ++g) {
      if (!groups_.is_fixed(g)) continue;
      const Placement found =
          placer_.place(g, options_.wanted, season_.schedule, season_.placed, 1);
      if (found.found) settle(g, found, true);
      // What cannot move is nobody's fault.
      season_.placed[g] = found.found;
      missing_[g] = 0;
    }
  }

  void keep_fixed() {
    for (GroupId g = 0; g < groups_.count(); ++g) {
      if (season_.dated[g]) placer_.take(g, season_.schedule, fixed_profile_, false);
    }
  }

  /// What each group costs at least, beside nothing but what cannot move; that costs what it does.
  void find_bounds() {
    const std::vector<bool> nobody(groups_.count(), false);
    for (GroupId g = 0; g < groups_.count(); ++g) {
      const bool fixed = groups_.is_fixed(g);
      const Costs least =
          fixed ? costs_[g]
                : placer_.least_costs(g, options_.wanted, season_.schedule, nobody, tries_at_first);
      least_[g] = least;
      if (fixed) cost_of_fixed_ += least[0];
      for (std::size_t level = 0; level < season_.bound.size(); ++level) {
        season_.bound[level] += least[level];
      }
    }
  }

  /// Raises the bound by what groups that compete cost together. Clusters have no group in common,
  /// so what they cost at least adds up; and none has a bond to what is not in it, so no schedule
  /// of all groups is cheaper there.
  void prove(const Neighbours& neighbours) {
    std::vector<bool> used(groups_.count(), false);
    std::int64_t left = conflicts_of_bounds;
    std::size_t pieces = 0;
    for (const bool unplaced : {true, false}) {
      for (GroupId g = 0; g < groups_.count(); ++g) {
        if (left <= 0 || pieces >= most_bound_pieces || out_of_time()) return;
        if (groups_.is_fixed(g) || used[g] || season_.placed[g] == unplaced) continue;
        if (!unplaced && costs_[g] <= least_[g]) continue;
        const auto cluster = neighbours.cluster(g, points_of_piece, used);
        for (const GroupId one : cluster) used[one] = true;
        left -= prove_cluster(cluster);
        ++pieces;
      }
    }
  }

  std::int64_t prove_cluster(const std::vector<GroupId>& cluster) {
    const std::vector<bool> nobody(groups_.count(), false);
    const Piece piece(problem_, groups_, cluster, fixed_profile_, nobody, season_.schedule);
    const SearchResult result = search(piece.problem(), piece_options());
    if (result.status == Status::infeasible) {
      season_.proven_too_much.push_back(cluster);
      return result.conflicts + 1;
    }
    std::vector<Cost> alone(season_.bound.size(), 0);
    for (const GroupId g : cluster) {
      for (std::size_t level = 0; level < alone.size(); ++level) alone[level] += least_[g][level];
    }
    // Both hold level by level as long as the levels before are met, so the later one counts.
    if (result.bounds <= alone) return result.conflicts + 1;
    for (std::size_t level = 0; level < alone.size(); ++level) {
      season_.bound[level] += result.bounds[level] - alone[level];
    }
    return result.conflicts + 1;
  }

  /// What all groups together cost at least in the first objective, whoever competes with whom.
  void raise_bound(double share) {
    share_ = share;
    if (season_.bound.empty() || totals_.unplaced > 0 || totals_.costs[0] <= season_.bound[0]) {
      return;
    }
    const double began = seconds();
    const std::size_t choices = options_.seconds > 0
                                    ? groups_.count() * most_choices_in_time
                                    : std::min(choices_of_prices, groups_.count() * most_choices);
    const Cost raised = cost_of_fixed_ + prices_->raise(totals_.costs[0] - cost_of_fixed_, choices,
                                                        [&] { return share_since(began); });
    if (raised <= season_.bound[0]) return;
    // What was proven of the others holds for schedules that cost less in the first.
    std::fill(season_.bound.begin(), season_.bound.end(), 0);
    season_.bound[0] = raised;
  }

  SearchOptions piece_options() const {
    SearchOptions out;
    out.conflicts = conflicts_of_piece;
    out.seed = options_.seed;
    if (options_.seconds > 0) out.seconds = std::max(0.0, options_.seconds - seconds());
    return out;
  }

  /// Those without a place push others aside, who look for places of their own then: again and
  /// again, until all have one or nothing comes of it.
  void make_room(const Takers& takers) {
    if (totals_.unplaced == 0) return;
    int idle = 0;
    for (int sweep = 0; sweep < most_sweeps && idle < most_idle_sweeps; ++sweep) {
      const Cost before = totals_.unplaced;
      for (const GroupId g : order()) {
        if (season_.placed[g] || groups_.is_fixed(g)) continue;
        push_aside(g, takers);
        if (out_of_time()) return;
      }
      if (totals_.unplaced == 0) return;
      if (!may_look_on(standing())) return;
      idle = totals_.unplaced < before ? 0 : idle + 1;
    }
  }

  /// Gives a group days that cost no more than `most` in the first objective; those that take what
  /// it lacks there look for others. Of one without a place what comes of it is kept when no more
  /// are without one than before, else when nothing is worse.
  bool push_aside(GroupId group, const Takers& takers,
                  Cost most = std::numeric_limits<Cost>::max()) {
    const Totals before = totals_;
    const bool had_place = season_.placed[group];
    std::vector<Former> formers{leave(group)};
    put(group, tries_again, false, most);
    if (!had_place && (season_.placed[group] || !season_.dated[group])) {
      add(group, 1);
      totals_.unevenness = profile_.unevenness();
      return season_.placed[group];
    }
    const bool fitted = season_.placed[group];
    const std::vector<Placer::Short> shorts =
        fitted ? std::vector<Placer::Short>{} : placer_.shorts(group, season_.schedule);
    std::vector<GroupId> aside;
    bool enough = season_.dated[group] && shorts.size() <= most_shorts;
    for (std::size_t i = 0; enough && i < shorts.size(); ++i) {
      enough = takers.choose(shorts[i].resource, shorts[i].day, shorts[i].amount, season_.schedule,
                             season_.placed, random_, aside);
    }
    if (!enough) {
      go_back(formers, before);
      return false;
    }
    for (const GroupId g : aside) formers.push_back(leave(g));
    if (fitted) {
      add(group, 1);
    } else {
      stand(group);
    }
    for (const GroupId g : aside) {
      put(g, tries_again);
      add(g, 1);
    }
    totals_.unevenness = profile_.unevenness();
    const bool fits = placer_.has_enough(group, season_.schedule);
    const bool better =
        had_place ? totals_.key() <= before.key() : totals_.unplaced <= before.unplaced;
    if (fits && better) return true;
    go_back(formers, before);
    return false;
  }

  /// What has found no place stands where it is short of least.
  void stand_anyway() {
    for (const GroupId g : order()) {
      if (season_.placed[g] || groups_.is_fixed(g)) continue;
      add(g, -1);
      take_out(g);
      put(g, tries_at_first, true);
      add(g, 1);
    }
    totals_.unevenness = profile_.unevenness();
  }

  /// Days for all groups at once, where that makes it better: once, or as often as there is time.
  /// Whether it did.
  bool move_all(double share) {
    share_ = share;
    std::vector<GroupId> all;
    for (GroupId g = 0; g < groups_.count(); ++g) {
      if (may_crowd(g)) all.push_back(g);
    }
    const bool timed = options_.seconds > 0;
    bool better = false;
    bool again = !all.empty();
    while (again && !is_done()) {
      const Standing best = standing();
      if (!may_look_on(best)) break;
      const Effort effort{timed ? SIZE_MAX : options_.rounds * moves_by_round, best.costs[0] - 1,
                          [&] { return !may_look_on(best); }};
      better = negotiate(all, effort, random_) || better;
      again = timed;
    }
    return better;
  }

  /// Takes some groups out, places them anew in the given order, and keeps what is no worse.
  bool replace(const std::vector<GroupId>& chosen) {
    const Totals before = totals_;
    std::vector<Former> formers;
    for (const GroupId g : chosen) formers.push_back(leave(g));
    for (const GroupId g : chosen) {
      put(g, tries_again);
      add(g, 1);
    }
    totals_.unevenness = profile_.unevenness();
    if (totals_.key() <= before.key()) return totals_.key() < before.key();
    go_back(formers, before);
    return false;
  }

  /// Gives the piece around a group to the complete search. Kept when it is better.
  bool polish(const std::vector<GroupId>& chosen) {
    const Totals before = totals_;
    std::vector<Former> formers;
    bool all_placed = true;
    for (const GroupId g : chosen) {
      all_placed = all_placed && season_.placed[g];
      formers.push_back(leave(g));
    }
    const Piece piece(problem_, groups_, chosen, profile_, season_.placed, season_.schedule);
    SearchOptions options = piece_options();
    if (all_placed) options.start = piece.start(season_.schedule);
    const SearchResult result = search(piece.problem(), options);
    if (!result.schedule.days.empty()) {
      for (std::size_t i = 0; i < chosen.size(); ++i) {
        settle(chosen[i], piece.placement(result.schedule, i));
        costs_[chosen[i]] = placer_.cost_of(chosen[i], season_.schedule);
        add(chosen[i], 1);
      }
      totals_.unevenness = profile_.unevenness();
      if (totals_.key() < before.key() && all_have_enough(chosen)) return true;
    }
    go_back(formers, before);
    return false;
  }

  /// The search takes a use as given where bonds leave it one day; here it counts like any other.
  bool all_have_enough(const std::vector<GroupId>& chosen) const {
    return std::all_of(chosen.begin(), chosen.end(),
                       [&](GroupId g) { return placer_.has_enough(g, season_.schedule); });
  }

  /// More late than what a few rounds mend.
  bool is_much_late() const {
    if (totals_.unplaced > 0 || season_.bound.empty()) return false;
    const Cost gap = totals_.costs[0] - season_.bound[0];
    return gap * few_late > static_cast<Cost>(groups_.count()) && 20 * gap > totals_.costs[0];
  }

  bool is_done() const {
    if (totals_.unplaced > 0) return false;
    const auto levels = static_cast<std::ptrdiff_t>(season_.bound.size());
    return std::equal(season_.bound.begin(), season_.bound.end(), totals_.costs.begin(),
                      totals_.costs.begin() + levels);
  }

  double seconds() const {
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - started_).count();
  }

  /// Of the time from `began` to the end of what may be used by now; 0 where no time is set.
  double share_since(double began) const {
    if (options_.seconds <= 0) return 0;
    const double end = share_ * options_.seconds;
    return end <= began ? 1 : (seconds() - began) / (end - began);
  }

  bool out_of_time() const {
    return options_.seconds > 0 && seconds() >= share_ * options_.seconds;
  }

  bool may_go_on(std::uint64_t round, std::uint64_t most) const {
    if (round >= most) return false;
    constexpr std::uint64_t look_at_clock = 16;
    if (round % look_at_clock != 0) return true;
    return may_look_on(standing());
  }

  /// There is time, and whoever is told how things stand does not stop it.
  bool may_look_on(const Standing& standing) const {
    const double now = seconds();
    if (out_of_time()) return false;
    return !options_.go_on || options_.go_on({season_.rounds, now, &standing});
  }

  /// A group that costs something, or else is without a place, and some that stand in its way.
  void improve(const Neighbours& neighbours, const Takers& takers, const Budget& budget) {
    share_ = budget.share;
    const std::vector<bool> any(groups_.count(), false);
    Wanting wanting = groups_that_want();
    for (; !wanting.any.empty() && !is_done() && may_go_on(season_.rounds, budget.rounds);
         ++season_.rounds) {
      priced_ = prices_->has_prices() && random_() % 2 == 0;
      const auto one_of = [&](const std::vector<GroupId>& of) { return of[random_() % of.size()]; };
      const std::uint64_t turn = season_.rounds % rounds_between_pieces;
      bool better = false;
      if (turn == rounds_between_pieces - 1) {
        better = polish(neighbours.cluster(one_of(wanting.any), points_of_piece, any));
      } else if (!wanting.dear.empty() && turn % 4 != 0) {
        const GroupId group = one_of(wanting.dear);
        const Cost most = costs_[group][0] - 1;
        better = push_aside(group, takers, random_() % 2 == 0 ? 0 : most - most / 2);
      } else {
        better = replace(neighbours.choose(one_of(wanting.any), random_));
      }
      if (better) wanting = groups_that_want();
    }
    priced_ = false;
  }

  struct Wanting {
    std::vector<GroupId> any;   ///< those without a place, or else those that cost something
    std::vector<GroupId> dear;  ///< those that cost something in the first objective
  };
  Wanting groups_that_want() const {
    Wanting out;
    std::vector<GroupId> costly;
    for (GroupId g = 0; g < groups_.count(); ++g) {
      if (groups_.is_fixed(g)) continue;
      if (!season_.placed[g]) out.any.push_back(g);
      if (costs_[g] > Costs{}) costly.push_back(g);
      if (season_.placed[g] && costs_[g][0] > 0) out.dear.push_back(g);
    }
    if (out.any.empty()) {
      out.any = std::move(costly);
    } else {
      out.dear.clear();
    }
    return out;
  }

  std::mt19937_64 random_;
  std::chrono::steady_clock::time_point started_;
  std::vector<Costs> least_;  ///< by group: what it costs at least
  double share_ = 1;          ///< of the time: what may be used by now
  Cost cost_of_fixed_ = 0;    ///< in the first objective
};

}  // namespace

Season level_season(const Problem& problem, const SeasonOptions& options) {
  return SeasonSearch(problem, options).run();
}

}  // namespace budwood::levelling
