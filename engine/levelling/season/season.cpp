#include "levelling/season/season.hpp"

#include <algorithm>
#include <chrono>
#include <numeric>
#include <random>
#include <tuple>

#include "levelling/search/search.hpp"
#include "levelling/season/neighbours.hpp"
#include "levelling/season/piece.hpp"
#include "levelling/season/place.hpp"
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
/// How often those without a place push others aside, and how often in a row for nothing.
constexpr int most_sweeps = 200;
constexpr int most_idle_sweeps = 12;
/// Of days on which one that pushes others aside finds too little.
constexpr std::size_t most_shorts = 24;

class SeasonSearch {
 public:
  SeasonSearch(const Problem& problem, const SeasonOptions& options)
      : problem_(problem),
        options_(options),
        groups_(problem),
        profile_(problem),
        fixed_profile_(problem),
        placer_(problem, groups_, profile_),
        random_(options.seed),
        started_(std::chrono::steady_clock::now()) {
    const std::size_t count = groups_.count();
    season_.schedule.days = options.wanted;
    season_.schedule.slips.assign(problem.uses.size(), 0);
    season_.placed.assign(count, false);
    season_.dated.assign(count, false);
    missing_.assign(count, 0);
    costs_.assign(count, Costs{});
    takes_.assign(count, false);
    least_.assign(count, Costs{});
    season_.bound.assign(problem.objectives.size(), 0);
  }

  Season run() {
    take_fixed();
    keep_fixed();
    if (options_.prove) find_bounds();
    for (const GroupId group : order()) {
      if (!groups_.is_fixed(group)) put(group, tries_at_first);
    }
    add_up();
    season_.first = standing();
    Neighbours neighbours(problem_, groups_);
    if (options_.prove) prove(neighbours);
    make_room();
    improve(neighbours);
    stand_anyway();
    season_.standing = standing();
    return std::move(season_);
  }

 private:
  struct Totals {
    Cost unplaced = 0;
    Cost missing = 0;
    Costs costs{};
    double unevenness = 0;
    auto key() const { return std::tie(unplaced, missing, costs, unevenness); }
  };
  /// What a group had, to go back to it.
  struct Former {
    GroupId group = 0;
    bool placed = false, dated = false, takes = false;
    Cost missing = 0;
    Costs costs{};
    std::vector<Day> days, slips;
  };

  std::vector<GroupId> order() const {
    if (!options_.order.empty()) return options_.order;
    std::vector<GroupId> all(groups_.count());
    std::iota(all.begin(), all.end(), 0U);
    return all;
  }
  Cost weight(GroupId group) const {
    return options_.weights.empty() ? 1 : options_.weights[group];
  }

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

  /// What each group costs at least, beside nothing but what cannot move.
  void find_bounds() {
    const std::vector<bool> nobody(groups_.count(), false);
    for (GroupId g = 0; g < groups_.count(); ++g) {
      if (groups_.is_fixed(g)) continue;
      const Costs least =
          placer_.least_costs(g, options_.wanted, season_.schedule, nobody, tries_at_first);
      least_[g] = least;
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

  SearchOptions piece_options() const {
    SearchOptions out;
    out.conflicts = conflicts_of_piece;
    out.seed = options_.seed;
    if (options_.seconds > 0) out.seconds = std::max(0.0, options_.seconds - seconds());
    return out;
  }

  /// One that does not fit takes nothing, so that it is in nobody's way, unless it is to.
  void settle(GroupId group, const Placement& placement, bool anyway = false) {
    const auto points = groups_.points(group);
    const auto uses = groups_.uses(group);
    for (std::size_t i = 0; i < points.size(); ++i) {
      season_.schedule.days[points[i]] = placement.days[i];
    }
    for (std::size_t i = 0; i < uses.size(); ++i) {
      season_.schedule.slips[uses[i]] = placement.slips[i];
    }
    season_.dated[group] = true;
    season_.placed[group] = placement.fits;
    missing_[group] = placement.missing;
    costs_[group] = placement.costs;
    takes_[group] = placement.fits || anyway;
    if (takes_[group]) placer_.take(group, season_.schedule);
  }

  void put(GroupId group, std::size_t tries, bool anyway = false) {
    const Placement found =
        placer_.place(group, options_.wanted, season_.schedule, season_.placed, tries);
    if (found.found) {
      settle(group, found, anyway);
    } else {
      season_.dated[group] = season_.placed[group] = false;
      missing_[group] = 0;
      costs_[group] = Costs{};
    }
  }

  void take_out(GroupId group) {
    if (takes_[group]) placer_.take(group, season_.schedule, true);
    takes_[group] = season_.dated[group] = season_.placed[group] = false;
  }

  void add_up() {
    totals_ = Totals{};
    for (GroupId g = 0; g < groups_.count(); ++g) add(g, 1);
    totals_.unevenness = profile_.unevenness();
  }
  void add(GroupId group, Cost times) {
    if (!season_.placed[group]) totals_.unplaced += times * weight(group);
    totals_.missing += times * missing_[group];
    for (std::size_t level = 0; level < most_objectives; ++level) {
      totals_.costs[level] += times * costs_[group][level];
    }
  }

  Standing standing() const {
    Standing out;
    out.unplaced = totals_.unplaced;
    out.missing = totals_.missing;
    const auto levels = static_cast<std::ptrdiff_t>(problem_.objectives.size());
    out.costs.assign(totals_.costs.begin(), totals_.costs.begin() + levels);
    out.unevenness = totals_.unevenness;
    return out;
  }

  Former former(GroupId group) const {
    Former out{group,
               season_.placed[group],
               season_.dated[group],
               takes_[group],
               missing_[group],
               costs_[group],
               {},
               {}};
    for (const PointId p : groups_.points(group)) out.days.push_back(season_.schedule.days[p]);
    for (const std::uint32_t u : groups_.uses(group)) {
      out.slips.push_back(season_.schedule.slips[u]);
    }
    return out;
  }

  void restore(const Former& former) {
    Placement placement;
    placement.days = former.days;
    placement.slips = former.slips;
    if (former.dated) settle(former.group, placement, former.takes);
    season_.placed[former.group] = former.placed;
    missing_[former.group] = former.missing;
    costs_[former.group] = former.costs;
  }

  /// Those without a place push others aside, who look for places of their own then: again and
  /// again, until all have one or nothing comes of it.
  void make_room() {
    if (totals_.unplaced == 0) return;
    const Takers takers(problem_, groups_, options_.wanted);
    int idle = 0;
    for (int sweep = 0; sweep < most_sweeps && idle < most_idle_sweeps; ++sweep) {
      const Cost before = totals_.unplaced;
      for (const GroupId g : order()) {
        if (season_.placed[g] || groups_.is_fixed(g)) continue;
        push_aside(g, takers);
        if (out_of_time()) return;
      }
      if (totals_.unplaced == 0) return;
      if (options_.go_on) {
        const Standing now_at = standing();
        if (!options_.go_on({season_.rounds, seconds(), &now_at})) return;
      }
      idle = totals_.unplaced < before ? 0 : idle + 1;
    }
  }

  /// Kept when no more are without a place than before.
  bool push_aside(GroupId group, const Takers& takers) {
    const Totals before = totals_;
    std::vector<GroupId> chosen{group};
    std::vector<Former> formers{former(group)};
    add(group, -1);
    take_out(group);
    put(group, tries_again);
    if (season_.placed[group] || !season_.dated[group]) {
      add(group, 1);
      totals_.unevenness = profile_.unevenness();
      return season_.placed[group];
    }
    const std::vector<Placer::Short> shorts = placer_.shorts(group, season_.schedule);
    std::vector<GroupId> aside;
    bool enough = shorts.size() <= most_shorts;
    for (std::size_t i = 0; enough && i < shorts.size(); ++i) {
      enough = takers.choose(shorts[i].resource, shorts[i].day, shorts[i].amount, season_.schedule,
                             season_.placed, random_, aside);
    }
    if (!enough) {
      go_back(chosen, formers, before);
      return false;
    }
    for (const GroupId g : aside) {
      chosen.push_back(g);
      formers.push_back(former(g));
      add(g, -1);
      take_out(g);
    }
    stand(group);
    for (const GroupId g : aside) {
      put(g, tries_again);
      add(g, 1);
    }
    totals_.unevenness = profile_.unevenness();
    const bool fits = placer_.has_enough(group, season_.schedule);
    if (fits && totals_.unplaced <= before.unplaced) return true;
    go_back(chosen, formers, before);
    return false;
  }

  /// Where its days are, whether or not there is enough.
  void stand(GroupId group) {
    season_.placed[group] = takes_[group] = true;
    missing_[group] = 0;
    costs_[group] = placer_.cost_of(group, season_.schedule);
    placer_.take(group, season_.schedule);
    add(group, 1);
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

  /// Takes some groups out, places them anew in the given order, and keeps what is no worse.
  bool replace(const std::vector<GroupId>& chosen) {
    const Totals before = totals_;
    std::vector<Former> formers;
    for (const GroupId g : chosen) {
      formers.push_back(former(g));
      add(g, -1);
      take_out(g);
    }
    for (const GroupId g : chosen) {
      put(g, tries_again);
      add(g, 1);
    }
    totals_.unevenness = profile_.unevenness();
    if (totals_.key() <= before.key()) return totals_.key() < before.key();
    go_back(chosen, formers, before);
    return false;
  }

  /// Gives the piece around a group to the complete search. Kept when it is better.
  bool polish(const std::vector<GroupId>& chosen) {
    const Totals before = totals_;
    std::vector<Former> formers;
    bool all_placed = true;
    for (const GroupId g : chosen) {
      formers.push_back(former(g));
      all_placed = all_placed && season_.placed[g];
      add(g, -1);
      take_out(g);
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
    go_back(chosen, formers, before);
    return false;
  }

  /// The search takes a use as given where bonds leave it one day; here it counts like any other.
  bool all_have_enough(const std::vector<GroupId>& chosen) const {
    return std::all_of(chosen.begin(), chosen.end(),
                       [&](GroupId g) { return placer_.has_enough(g, season_.schedule); });
  }

  void go_back(const std::vector<GroupId>& chosen, const std::vector<Former>& formers,
               const Totals& before) {
    for (const GroupId g : chosen) take_out(g);
    for (const Former& one : formers) restore(one);
    totals_ = before;
    profile_.set_unevenness(before.unevenness);
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

  bool out_of_time() const { return options_.seconds > 0 && seconds() >= options_.seconds; }

  bool may_go_on(std::uint64_t round) const {
    if (round >= options_.rounds) return false;
    constexpr std::uint64_t look_at_clock = 16;
    if (round % look_at_clock != 0) return true;
    const double now = seconds();
    if (out_of_time()) return false;
    if (!options_.go_on) return true;
    const Standing now_at = standing();
    return options_.go_on({round, now, &now_at});
  }

  /// A group that costs something, or else is without a place, and some that stand in its way.
  void improve(const Neighbours& neighbours) {
    const std::vector<bool> any(groups_.count(), false);
    std::vector<GroupId> wanting = groups_that_want();
    for (; !wanting.empty() && !is_done() && may_go_on(season_.rounds); ++season_.rounds) {
      const GroupId first = wanting[random_() % wanting.size()];
      const bool by_search = season_.rounds % rounds_between_pieces == rounds_between_pieces - 1;
      const bool better = by_search ? polish(neighbours.cluster(first, points_of_piece, any))
                                    : replace(neighbours.choose(first, random_));
      if (better) wanting = groups_that_want();
    }
  }

  std::vector<GroupId> groups_that_want() const {
    std::vector<GroupId> without, costly;
    for (GroupId g = 0; g < groups_.count(); ++g) {
      if (groups_.is_fixed(g)) continue;
      if (!season_.placed[g]) without.push_back(g);
      if (costs_[g] > Costs{}) costly.push_back(g);
    }
    return without.empty() ? costly : without;
  }

  const Problem& problem_;
  const SeasonOptions& options_;
  Groups groups_;
  Profile profile_;
  Profile fixed_profile_;  ///< beside what cannot move
  Placer placer_;
  std::mt19937_64 random_;
  std::chrono::steady_clock::time_point started_;
  Season season_;
  std::vector<bool> takes_;    ///< by group: what it takes is taken
  std::vector<Cost> missing_;  ///< by group
  std::vector<Costs> costs_;   ///< by group
  std::vector<Costs> least_;   ///< by group: what it costs at least
  Totals totals_;
};

}  // namespace

Season level_season(const Problem& problem, const SeasonOptions& options) {
  return SeasonSearch(problem, options).run();
}

}  // namespace budwood::levelling
