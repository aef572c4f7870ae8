#include "plan/level/level.hpp"

#include <algorithm>
#include <map>
#include <memory>
#include <numeric>
#include <tuple>

#include "plan/level/level_check.hpp"
#include "plan/level/level_helps.hpp"
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

/// How often the season is levelled again with what its plan has shown, and for how many rounds.
constexpr int most_passes = 8;
constexpr std::uint64_t rounds_again = 500;

/// Levels a plan once, with what was learned before.
class Leveller {
 public:
  /// `start`: where points stood at the end of the pass before; empty in the first one.
  Leveller(const Plan& today, const LevelOptions& options, const Lessons& lessons,
           std::vector<Day> start)
      : today_(today),
        options_(options),
        start_(std::move(start)),
        levelled_(today, options, lessons) {
    out_.book = *today_.book;
    out_.batches = static_cast<int>(levelled_.groups().size());
    season_ = levelling::level_season(levelled_.problem(), season_options());
    note_orders();
    const LevelReasons reasons(today_);
    for (GroupId g = 0; g < levelled_.groups().size(); ++g) {
      if (season_.dated[g]) keep(g, reasons);
    }
    if (!season_.standing.costs.empty()) {
      out_.late_days = season_.standing.costs[0];
      out_.moved_days = season_.standing.costs[1];
    }
    look_again();
  }

  bool all_fit() const { return faults_.empty(); }
  const Lessons& learned() const { return learned_; }
  const std::vector<Day>& days() const { return season_.schedule.days; }
  std::uint64_t rounds() const { return season_.rounds; }
  /// Whether there may be places for more if duty were no matter.
  bool may_lack_duty() const {
    return levelled_.has_duty() && !levelled_.duty_is_open() &&
           std::find(season_.placed.begin(), season_.placed.end(), false) != season_.placed.end();
  }

  /// Compared from the first on; less is better.
  auto worth() const {
    long long without = 0;
    for (GroupId g = 0; g < levelled_.groups().size(); ++g) {
      if (!season_.placed[g] || faults_of_.contains(g)) without += levelled_.groups()[g].priority;
    }
    return std::tuple(without, out_.late_days, out_.moved_days);
  }

  /// What is proven without any lessons holds for all that has some.
  void prove(Levelling& out) const {
    if (!season_.bound.empty()) out.least_late_days = season_.bound[0];
    for (const std::vector<GroupId>& groups : season_.proven_too_much) {
      std::vector<std::string> batches;
      for (const GroupId g : groups) batches.push_back(id_of(g));
      out.proven_too_much.push_back(std::move(batches));
    }
    for (const GroupId g : levelled_.held()) out.held.push_back(id_of(g));
  }

  Levelling finish() {
    find_reliefs();
    out_.helps =
        find_helps(levelled_, season_.schedule, season_.placed, season_options().order, today_);
    for (const auto& [group, faults] : faults_of_)
      add_help(today_, id_of(group), faults, out_.helps);
    sort_helps(out_.helps);
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
    const bool again = !start_.empty();
    out.wanted = again ? start_ : levelled_.today();
    out.rounds = again ? std::min(options_.rounds, rounds_again) : options_.rounds;
    out.seconds = again ? 0 : options_.seconds;
    out.prove = !again;
    out.seed = options_.seed;
    out.go_on = options_.go_on;
    return out;
  }

  /// The uses that are orders, by batch.
  void note_orders() {
    uses_of_.resize(today_.batches.size());
    const auto& uses = levelled_.problem().uses;
    for (std::size_t u = 0; u < uses.size(); ++u) {
      const WorkOrder* order = levelled_.order_of(u);
      if (order != nullptr) uses_of_[order->batch].push_back(u);
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
      const WorkOrder& order = *levelled_.order_of(u);
      const Day day = day_of(u);
      const Day first = season_.schedule.days[use.from.point] + use.from.offset;
      if (use.starts->next(first) == day && order.parts == 1) continue;
      const PointId start = use.from.point;
      const bool stage_stays = season_.schedule.days[start] == levelled_.today()[start];
      if (stage_stays && day != order.date) ++moved;
      out.push_back({order_name(today_, order), day, {}});
    }
    return out;
  }

  /// Plans the new dates. Of those that do not fit then although they were placed, the one that
  /// chose last has no place after all.
  void look_again() {
    text::Diagnostics told;
    const Plan anew = make_plan(out_.book, told);
    if (anew.batches.size() != today_.batches.size()) return;
    const LevelCheck check(levelled_, season_, today_, anew);
    learned_ = check.learned();
    faults_ = check.faults();
    const std::vector<GroupId> order = season_options().order;
    std::vector<std::size_t> turn(order.size());
    for (std::size_t i = 0; i < order.size(); ++i) turn[order[i]] = i;
    for (const Fault& fault : faults_) {
      std::optional<GroupId> last;
      bool known = false;
      for (const std::uint32_t batch : fault.batches) {
        if (!levelled_.is_grouped(batch)) continue;
        const GroupId g = levelled_.group_of(batch);
        known = known || !season_.placed[g];
        const bool chosen = faults_of_.contains(g);
        if (!check.can_move(batch)) continue;
        if (chosen || !last || (turn[g] > turn[*last] && !faults_of_.contains(*last))) last = g;
      }
      if (last && !known) faults_of_[*last].push_back(&fault);
    }
  }

  /// What a batch is short of that found a place before its dates were planned.
  Unresolved unfit(GroupId group, const std::vector<const Fault*>& faults) const {
    Unresolved out;
    out.batch = id_of(group);
    struct Short {
      std::size_t days = 0;
      const Fault* first = nullptr;
      double most = 0;
    };
    std::map<std::string, Short> crews;
    for (const Fault* fault : faults) {
      if (fault->crew.empty()) {
        out.short_of.push_back(fault->short_of);
        out.reliefs.insert(out.reliefs.end(), fault->helps.begin(), fault->helps.end());
        continue;
      }
      Short& one = crews[fault->crew];
      if (one.days++ == 0) one.first = fault;
      one.most = std::max(one.most, fault->seconds);
    }
    for (const auto& [crew, one] : crews) {
      const std::string hours = hours_text(one.most);
      std::string when = "on " + calendar::short_date(one.first->day);
      if (one.days > 1) when += " and on " + calendar::days_text(one.days - 1) + " after it";
      const bool off = !today_.book->site.working.works(one.first->day);
      const std::string who = crew_text(crew, off);
      out.short_of.push_back(who + " lacks up to " + hours + " " + when);
      out.reliefs.push_back("Have up to " + hours + " a day more of " + who + " " + when + ".");
    }
    return out;
  }

  void find_reliefs() {
    for (GroupId g = 0; g < levelled_.groups().size(); ++g) {
      if (const auto found = faults_of_.find(g); found != faults_of_.end()) {
        out_.unresolved.push_back(unfit(g, found->second));
        continue;
      }
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
  std::vector<Day> start_;
  LevelProblem levelled_;
  levelling::Season season_;
  std::vector<std::vector<std::size_t>> uses_of_;
  Lessons learned_;
  std::vector<Fault> faults_;
  std::map<GroupId, std::vector<const Fault*>> faults_of_;  ///< by group without a place for them
  Levelling out_;
};

}  // namespace

Levelling level(const Plan& today, const LevelOptions& options) {
  LevelOptions chosen = options;
  // What has been is never moved.
  if (const auto day = today.book->today)
    chosen.frozen = std::max(chosen.frozen.value_or(*day), *day);
  Lessons lessons;
  auto best = std::make_unique<Leveller>(today, chosen, lessons, std::vector<Day>{});
  Levelling proven;
  best->prove(proven);
  std::uint64_t rounds = best->rounds();
  if (best->may_lack_duty()) {
    Lessons open;
    open.open_duty = true;
    auto next = std::make_unique<Leveller>(today, chosen, open, std::vector<Day>{});
    if (next->worth() < best->worth()) {
      best = std::move(next);
      lessons = open;
    }
  }
  // What is learned is learned from the last pass, whether or not that was better.
  std::unique_ptr<Leveller> last;
  for (int pass = 1; pass < most_passes && !best->all_fit(); ++pass) {
    const Leveller& before = last ? *last : *best;
    if (!lessons.add(before.learned())) break;
    auto next = std::make_unique<Leveller>(today, chosen, lessons, before.days());
    rounds += next->rounds();
    if (next->worth() < best->worth() || next->all_fit()) {
      best = std::move(next);
      last.reset();
    } else {
      last = std::move(next);
    }
  }
  Levelling out = best->finish();
  out.rounds = rounds;
  out.least_late_days = proven.least_late_days;
  out.proven_too_much = std::move(proven.proven_too_much);
  out.held = std::move(proven.held);
  return out;
}

}  // namespace budwood::plan
