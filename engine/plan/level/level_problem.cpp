#include "plan/level/level_problem.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "plan/level/level.hpp"
#include "plan/orders/turns.hpp"
#include "plan/rooms/room_places.hpp"
#include "plan/settings/presence.hpp"
#include "sheet/dates/date_bonds.hpp"
#include "units/rounding.hpp"

namespace budwood::plan {

using calendar::Day;
using levelling::Amount;
using levelling::GroupId;
using levelling::PointId;

namespace {

/// Nobody is asked for on a closed day, so nobody is missing.
constexpr Amount unlimited = Amount{1} << 60;
/// Of a batch that was given up: it has no dates to move.
constexpr GroupId unmoved_group = UINT32_MAX;
/// Whether two batches are cultivars of one.
bool together(const book::Batch& one, const book::Batch& other) {
  return !one.split_from.empty() && one.split_from == other.split_from;
}

/// How far waits may carry dates beyond the days by which a batch may move.
constexpr Day reach = 60;

Amount rounded_down(double amount, double step) {
  return static_cast<Amount>(units::round_down(amount * step));
}

}  // namespace

Amount steps_of(double amount, double step) {
  return static_cast<Amount>(units::round_up(amount * step));
}

LevelProblem::LevelProblem(const Plan& plan, const LevelOptions& options, const Lessons& lessons)
    : plan_(plan),
      options_(options),
      lessons_(lessons),
      places_(plan),
      wait_(plan.book->site.working),
      group_of_(plan.batches.size(), unmoved_group) {
  for (const sheet::Sheet& sheet : plan.sheets) {
    bonds_.push_back(std::make_unique<sheet::DateBonds>(sheet));
  }
  add_resources();
  problem_.objectives.resize(2);
  add_groups();
  for (GroupId group = 0; group < groups_.size(); ++group) {
    add_dates(group);
    add_stays(groups_[group]);
  }
  add_orders();
  set_capacities();
  add_lessons();
}

const WorkOrder* LevelProblem::order_of(std::size_t use) const {
  const std::int64_t order = order_of_[use];
  if (order < 0) return nullptr;
  const auto at = static_cast<std::size_t>(order);
  return at < plan_.orders.size() ? &plan_.orders[at] : &extra_[at - plan_.orders.size()];
}

void LevelProblem::add_use(const levelling::Use& use, std::int64_t order) {
  problem_.uses.push_back(use);
  order_of_.push_back(order);
}

void LevelProblem::add_resources() {
  for (const RoomPlace& room : places_.rooms()) {
    resource_of_room_.push_back(room.holds ? static_cast<std::int32_t>(names_.size()) : -1);
    if (!room.holds) continue;
    names_.push_back({Named::Kind::room, room.room, room.unit, room_step});
    levelling::Resource resource;
    resource.otherwise = rounded_down(*room.holds, room_step);
    problem_.resources.push_back(std::move(resource));
  }
  add_crews();
}

void LevelProblem::add_crews() {
  const auto& crews = plan_.book->site.crews;
  const auto add = [&](Named::Kind kind, const std::string& name) {
    names_.push_back({kind, name, *units::find_unit("h"), crew_step});
    levelling::Resource resource;
    resource.otherwise = unlimited;
    resource.even = kind == Named::Kind::crew || lessons_.open_duty;
    problem_.resources.push_back(std::move(resource));
    return static_cast<levelling::ResourceId>(names_.size() - 1);
  };
  for (const auto& [name, crew] : crews) resource_of_crew_[name] = add(Named::Kind::crew, name);
  for (const auto& [name, crew] : crews) {
    if (crew.duty) resource_of_duty_[name] = add(Named::Kind::duty, name);
  }
}

void LevelProblem::set_capacities() {
  if (problem_.points.empty()) return;
  Day first = calendar::last_day;
  Day last = calendar::first_day;
  for (const levelling::Point& point : problem_.points) {
    first = std::min(first, point.earliest - reach);
    last = std::max(last, point.latest + 2 * reach);
  }
  for (const auto& [name, crew] : plan_.book->site.crews) {
    set_hours(name, crew, first, last);
    if (crew.duty) set_duty(name, crew, first, last);
  }
}

void LevelProblem::set_hours(const std::string& name, const book::Crew& crew, Day first, Day last) {
  const calendar::WorkingDays& working = plan_.book->site.working;
  // What is made stays on its day here; it follows the work that uses of it when all is planned
  // anew.
  std::map<Day, double> making;
  for (const Making& one : plan_.makings) {
    if (plan_.recipes[one.recipe].recipe->crew == name) making[one.date] += one.seconds;
  }
  levelling::Resource& resource = problem_.resources[resource_of_crew_[name]];
  resource.first = first;
  for (Day day = first; day <= last; ++day) {
    const auto made = making.find(day);
    const double there = std::max(
        0.0, crew.person_seconds(day, working) - (made == making.end() ? 0 : made->second));
    resource.by_day.push_back(working.works(day) ? rounded_down(there, crew_step) : unlimited);
  }
}

/// On days on which the site does not work, the hours of whoever has duty.
void LevelProblem::set_duty(const std::string& name, const book::Crew& crew, Day first, Day last) {
  const book::Site& site = plan_.book->site;
  levelling::Resource& resource = problem_.resources[resource_of_duty_[name]];
  resource.first = first;
  for (Day day = first; day <= last; ++day) {
    const auto* there = crew_on_duty(site, day);
    const bool has_duty = there != nullptr && there->first == name && !lessons_.open_duty;
    resource.by_day.push_back(
        has_duty ? rounded_down(crew.person_seconds(day, site.working), crew_step) : unlimited);
  }
}

void LevelProblem::add_groups() {
  for (std::uint32_t b = 0; b < plan_.batches.size(); ++b) {
    const BatchPlan& batch = plan_.batches[b];
    if (!batch.dated) continue;
    const book::Batch& facts = plan_.facts_of(batch);
    // Cultivars that are raised together keep their dates together.
    const bool joins = !facts.lead && b > 0 && group_of_[b - 1] != unmoved_group &&
                       together(facts, plan_.facts_of(plan_.batches[b - 1]));
    if (!joins) groups_.emplace_back();
    Group& group = groups_.back();
    group.batches.push_back(b);
    if (facts.priority) group.priority = facts.priority->value;
    group_of_[b] = static_cast<GroupId>(groups_.size() - 1);
  }
}

/// The points of a batch with what binds them. Dates that levelling chose before are free again.
void LevelProblem::add_dates(GroupId id) {
  Group& group = groups_[id];
  const BatchPlan& batch = plan_.batches[group.batches.front()];
  const book::Batch& written = plan_.facts_of(batch);
  const sheet::Row row = plan_.row_of(batch);
  group.first = static_cast<PointId>(today_.size());
  for (const language::StageId stage : row.protocol().stages.ids()) {
    today_.push_back(row.start(stage));
    today_.push_back(row.end(stage));
  }
  today_.push_back(*row.ready());
  group.ready = static_cast<PointId>(today_.size() - 1);
  const int early = written.early ? written.early->value : 0;
  const int late = written.late ? written.late->value : 0;
  for (PointId p = group.first; p <= group.ready; ++p) {
    problem_.points.push_back({today_[p] - early - reach, today_[p] + late + reach, nullptr, id});
  }
  levelling::Point& ready = problem_.points[group.ready];
  const Day asked = written.ready ? written.ready->value : today_[group.ready];
  ready.earliest = std::min(today_[group.ready], asked - early);
  ready.latest = std::max(today_[group.ready], asked + late);

  sheet::BatchFacts facts = row.facts();
  std::erase_if(facts.pins, [](const sheet::Pin& pin) { return pin.levelled; });
  if (written.not_before) facts.not_before = written.not_before->value - early;
  if (written.start) {
    facts.start = written.start->value - early;
    keep_start(group, row, written.start->value, early, late);
  }
  const std::size_t first_lag = problem_.lags.size();
  first_lag_.push_back(first_lag);
  const std::size_t first_length = problem_.lengths.size();
  const network::Network* network = bonds_[batch.sheet]->of(batch.row, facts);
  if (network == nullptr || !add_bonds(group, *network) ||
      !meets_bonds(group, first_lag, first_length)) {
    hold(id, first_lag, first_length);
  }
  group.stays = options_.stay.contains(written.id.value);
  for (PointId p = group.first; p <= group.ready; ++p) {
    if (group.stays || (options_.frozen && today_[p] < *options_.frozen)) freeze(p);
  }
  add_objectives(group);
}

/// What starts on the day that the batch says, stays there, as near as the batch allows.
void LevelProblem::keep_start(const Group& group, const sheet::Row& row, Day start, int early,
                              int late) {
  for (const language::StageId stage : row.protocol().stages.ids()) {
    if (!row.stage(stage).takes.empty() || row.start(stage) != start) continue;
    levelling::Point& point = problem_.points[group.first + 2 * stage.place()];
    point.earliest = std::max(point.earliest, start - early);
    point.latest = std::min(point.latest, start + late);
  }
}

/// False when a date is bound in a way that cannot be put down.
bool LevelProblem::add_bonds(const Group& group, const network::Network& network) {
  for (network::PointId p = 0; p < network.point_count(); ++p) {
    levelling::Point& point = problem_.points[group.first + p];
    const network::Network::Point& bound = network.point(p);
    point.allowed = bound.allowed;
    if (bound.not_before) point.earliest = std::max(point.earliest, *bound.not_before);
    if (bound.not_after && group.first + p != group.ready) {
      point.latest = std::min(point.latest, *bound.not_after);
    }
  }
  for (network::LinkId id = 0; id < network.link_count(); ++id) {
    const network::Network::Link& link = network.link(id);
    const PointId from = group.first + link.from;
    const PointId to = group.first + link.to;
    if (link.length != nullptr) {
      // The wait for the next working day is asked about near one batch at a time; here near all.
      problem_.lengths.push_back({from, to, link.limit ? &wait_ : link.length, link.limit});
      continue;
    }
    if (link.limit) continue;
    if (link.low) problem_.lags.push_back({from, to, *link.low});
    if (link.high) problem_.lags.push_back({to, from, -*link.high});
  }
  return true;
}

bool LevelProblem::meets_bonds(const Group& group, std::size_t first_lag,
                               std::size_t first_length) const {
  for (PointId p = group.first; p <= group.ready; ++p) {
    const levelling::Point& point = problem_.points[p];
    if (today_[p] < point.earliest || today_[p] > point.latest) return false;
    if (point.allowed != nullptr && !point.allowed->contains(today_[p])) return false;
  }
  for (std::size_t i = first_lag; i < problem_.lags.size(); ++i) {
    const levelling::Lag& lag = problem_.lags[i];
    if (today_[lag.to] < today_[lag.from] + lag.days) return false;
  }
  for (std::size_t i = first_length; i < problem_.lengths.size(); ++i) {
    const levelling::Length& length = problem_.lengths[i];
    const std::optional<Day> end = length.length->end_of(today_[length.from]);
    if (!end || today_[length.to] > *end || (!length.limit && today_[length.to] != *end)) {
      return false;
    }
  }
  return true;
}

/// The batch stays as it is planned.
void LevelProblem::hold(GroupId id, std::size_t first_lag, std::size_t first_length) {
  problem_.lags.resize(first_lag);
  problem_.lengths.resize(first_length);
  for (PointId p = groups_[id].first; p <= groups_[id].ready; ++p) freeze(p);
  held_.push_back(id);
}

void LevelProblem::freeze(PointId point) {
  problem_.points[point].earliest = problem_.points[point].latest = today_[point];
  problem_.points[point].allowed = nullptr;
}

void LevelProblem::add_objectives(Group& group) {
  const book::Batch& written = plan_.facts_of(plan_.batches[group.batches.front()]);
  group.asked = written.ready ? written.ready->value : today_[group.ready];
  problem_.objectives[0].push_back({group.ready, group.asked, group.priority, 0});
  problem_.objectives[1].push_back({group.ready, today_[group.ready], 1, 1});
  for (PointId p = group.first; p < group.ready; p += 2) {
    problem_.objectives[1].push_back({p, today_[p], 1, 1});
  }
}

void LevelProblem::add_stays(const Group& group) {
  for (const std::uint32_t b : group.batches) {
    const std::vector<Standing>& all = places_.standings(plan_.batches[b].sheet);
    for (std::size_t first = 0; first < all.size();) {
      std::size_t end = first + 1;
      while (end < all.size() && all[end].stage == all[first].stage) ++end;
      add_stay(group, b, std::span(all).subspan(first, end - first));
      first = end;
    }
  }
}

/// What a stage of a batch takes of its room, in layers: what it takes from its first day on, and
/// from each day on which it is spaced what it takes more. So its end stays where the plants go on,
/// however long they wait. Where it takes less from a day on, all layers end there.
void LevelProblem::add_stay(const Group& group, std::uint32_t b, std::span<const Standing> levels) {
  const Standing& standing = levels.front();
  const std::int32_t resource = resource_of_room_[standing.room];
  if (resource < 0) return;
  const PointId until = left_by(group, standing.until);
  const PointId start = group.first + sheet::DateLayout::start_of(standing.stage);
  const PointId end = group.first + sheet::DateLayout::end_of(standing.stage);
  const Day length = today_[end] - today_[start];
  // On other days it may last longer, and be spaced once more.
  const Day longest = length + (has_one_length(start, end) ? 0 : reach);
  const auto amount = [&](const Standing& level) {
    return steps_of(std::max(0.0, places_.amount(level, b).value_or(0)), room_step);
  };
  Amount taken = 0;
  for (std::size_t i = 0; i < levels.size(); ++i) {
    if (i > 0 && levels[i].from >= longest) break;  // it is over before
    if (amount(levels[i]) < taken) taken = 0;
    levelling::Use use;
    use.resource = static_cast<levelling::ResourceId>(resource);
    use.amount = amount(levels[i]) - taken;
    taken += use.amount;
    if (use.amount <= 0) continue;
    use.from = {start, levels[i].from};
    use.to = {until, standing.turnover};
    // What is over on the day on which it starts takes its room on that day, and while it waits.
    if (i == 0 && !standing.goes_on && length == 0) {
      use.to = {start, 1 + standing.turnover};
      add_use(use);
      use.from = use.to;
      use.to = {until, standing.turnover};
    }
    for (std::size_t later = i + 1; later < levels.size(); ++later) {
      const Day day = levels[later].from;
      if (amount(levels[later]) >= amount(levels[later - 1])) continue;
      if (day < length) use.to = {start, day};
      break;
    }
    add_use(use);
  }
}

/// Several stages may take the plants of one; that which is planned to do so last decides.
PointId LevelProblem::left_by(const Group& group,
                              const std::vector<language::StageId>& next) const {
  PointId until = group.ready;
  for (const language::StageId stage : next) {
    const PointId start = group.first + sheet::DateLayout::start_of(stage);
    if (until == group.ready || today_[start] > today_[until]) until = start;
  }
  return until;
}

/// Whether there are as many days from the start of a stage to its end wherever it stands.
bool LevelProblem::has_one_length(PointId start, PointId end) const {
  const auto is_fixed = [&](PointId p) {
    return problem_.points[p].earliest == problem_.points[p].latest;
  };
  if (is_fixed(start) && is_fixed(end)) return true;
  const Day length = today_[end] - today_[start];
  bool least = false, most = false;
  for (const levelling::Lag& lag :
       std::span(problem_.lags).subspan(first_lag_[problem_.points[start].group])) {
    least = least || (lag.from == start && lag.to == end && lag.days == length);
    most = most || (lag.from == end && lag.to == start && lag.days == -length);
  }
  return least && most;
}

}  // namespace budwood::plan
