#include "plan/level/level.hpp"

#include <algorithm>
#include <numeric>
#include <tuple>

#include "plan/level/level_problem.hpp"
#include "plan/level/level_reasons.hpp"
#include "plan/level/level_relief.hpp"

namespace budwood::plan {

using calendar::Day;
using levelling::GroupId;
using levelling::PointId;

namespace {

/// Relief is looked for, batch by batch, for as many as people will read.
constexpr std::size_t most_reliefs = 50;

class Leveller {
 public:
  Leveller(const Plan& today, const LevelOptions& options)
      : today_(today), options_(options), levelled_(today, options) {}

  Levelling run() {
    out_.book = *today_.book;
    out_.batches = static_cast<int>(levelled_.groups().size());
    season_ = levelling::level_season(levelled_.problem(), season_options());
    note_orders();
    const LevelReasons reasons(today_);
    for (GroupId g = 0; g < levelled_.groups().size(); ++g) {
      if (season_.dated[g]) keep(g, reasons);
    }
    find_reliefs();
    for (const std::vector<GroupId>& groups : season_.proven_too_much) {
      std::vector<std::string> batches;
      for (const GroupId g : groups) batches.push_back(id_of(g));
      out_.proven_too_much.push_back(std::move(batches));
    }
    for (const GroupId g : levelled_.held()) out_.held.push_back(id_of(g));
    out_.rounds = season_.rounds;
    if (!season_.standing.costs.empty()) {
      out_.late_days = season_.standing.costs[0];
      out_.moved_days = season_.standing.costs[1];
      out_.least_late_days = season_.bound[0];
    }
    return std::move(out_);
  }

 private:
  const std::string& id_of(GroupId group) const {
    const std::uint32_t first = levelled_.groups()[group].batches.front();
    return today_.facts_of(today_.batches[first]).id.value;
  }

  /// Those that matter most choose first, then those that are ready first.
  levelling::SeasonOptions season_options() const {
    levelling::SeasonOptions out;
    const auto& groups = levelled_.groups();
    out.order.resize(groups.size());
    std::iota(out.order.begin(), out.order.end(), 0U);
    const auto key = [&](GroupId g) {
      return std::tuple(-groups[g].priority, levelled_.today()[groups[g].ready], g);
    };
    std::sort(out.order.begin(), out.order.end(),
              [&](GroupId a, GroupId b) { return key(a) < key(b); });
    for (const LevelProblem::Group& group : groups) out.weights.push_back(group.priority);
    out.wanted = levelled_.today();
    out.rounds = options_.rounds;
    out.seconds = options_.seconds;
    out.seed = options_.seed;
    out.go_on = options_.go_on;
    return out;
  }

  /// The uses that are orders, by batch.
  void note_orders() {
    uses_of_.resize(today_.batches.size());
    const auto& uses = levelled_.problem().uses;
    for (std::size_t u = 0; u < uses.size(); ++u) {
      const std::int64_t order = levelled_.order_of(u);
      if (order >= 0) uses_of_[today_.orders[static_cast<std::size_t>(order)].batch].push_back(u);
    }
  }

  Day day_of(std::size_t use) const {
    const levelling::Use& one = levelled_.problem().uses[use];
    return season_.schedule.days[one.from.point] + one.from.offset + season_.schedule.slips[use];
  }

  /// Puts the dates of a group that moved into the book. One that stands on levelled dates already
  /// keeps them.
  void keep(GroupId id, const LevelReasons& reasons) {
    const LevelProblem::Group& group = levelled_.groups()[id];
    const BatchPlan& lead = today_.batches[group.batches.front()];
    BatchMove move;
    move.batch = id_of(id);
    move.ready_before = levelled_.today()[group.ready];
    move.ready_after = season_.schedule.days[group.ready];
    move.start_before = move.start_after = calendar::last_day;
    book::Levelled levelled;
    levelled.ready = move.ready_after;
    levelled.span = today_.facts_of(lead).span;
    const auto& stages = today_.protocol_of(lead).stages;
    for (const language::StageId s : stages.ids()) {
      const PointId start = group.first + sheet::DateLayout::start_of(s);
      const Day before = levelled_.today()[start];
      const Day after = season_.schedule.days[start];
      move.start_before = std::min(move.start_before, before);
      move.start_after = std::min(move.start_after, after);
      if (before != after) ++move.stages;
      levelled.dates.push_back(
          {stages[s].name, book::Pin::Side::start, after, levelled.span, false});
    }
    bool moved = move.stages > 0 || move.ready_before != move.ready_after;
    std::vector<std::vector<book::OrderDay>> orders;
    for (const std::uint32_t b : group.batches) {
      orders.push_back(orders_of(b, move.orders));
      moved = moved || !orders.back().empty();
    }
    if (!moved && !lead.levelled) return;
    for (std::size_t i = 0; i < group.batches.size(); ++i) {
      levelled.orders = std::move(orders[i]);
      out_.book.batches[today_.batches[group.batches[i]].batch].levelled = levelled;
    }
    const bool new_dates =
        move.stages > 0 || move.orders > 0 || move.ready_before != move.ready_after;
    if (!new_dates) return;
    move.because = reasons.because(group.batches.front());
    out_.moves.push_back(std::move(move));
  }

  /// The orders of a batch that fall on another day than they would by themselves.
  std::vector<book::OrderDay> orders_of(std::uint32_t batch, int& moved) const {
    std::vector<book::OrderDay> out;
    const auto& uses = levelled_.problem().uses;
    for (const std::size_t u : uses_of_[batch]) {
      const levelling::Use& use = uses[u];
      if (use.slack == 0 || season_.schedule.slips[u] == levelling::left_out) continue;
      const auto order = static_cast<std::size_t>(levelled_.order_of(u));
      const Day day = day_of(u);
      const Day first = season_.schedule.days[use.from.point] + use.from.offset;
      if (use.starts->next(first) == day && today_.orders[order].parts == 1) continue;
      const PointId start = use.from.point;
      const bool stage_stays = season_.schedule.days[start] == levelled_.today()[start];
      if (stage_stays && day != today_.orders[order].date) ++moved;
      out.push_back({order_name(today_, today_.orders[order]), day, {}});
    }
    return out;
  }

  void find_reliefs() {
    for (GroupId g = 0; g < levelled_.groups().size(); ++g) {
      if (season_.placed[g]) continue;
      if (out_.unresolved.size() < most_reliefs) {
        out_.unresolved.push_back(
            find_relief(levelled_, season_.schedule, season_.dated, g, today_));
      } else {
        out_.unresolved.push_back({id_of(g), {}, {}});
      }
    }
  }

  const Plan& today_;
  const LevelOptions& options_;
  LevelProblem levelled_;
  levelling::Season season_;
  std::vector<std::vector<std::size_t>> uses_of_;
  Levelling out_;
};

}  // namespace

Levelling level(const Plan& today, const LevelOptions& options) {
  LevelOptions chosen = options;
  // What has been is never moved.
  if (const auto day = today.book->today)
    chosen.frozen = std::max(chosen.frozen.value_or(*day), *day);
  return Leveller(today, chosen).run();
}

}  // namespace budwood::plan
