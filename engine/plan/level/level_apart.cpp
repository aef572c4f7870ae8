#include <algorithm>
#include <bit>
#include <map>

#include "plan/level/level_problem.hpp"
#include "plan/orders/settings.hpp"
#include "plan/orders/turns.hpp"
#include "plan/rooms/climate_profile.hpp"
#include "plan/rooms/room_closures.hpp"

namespace budwood::plan {

using calendar::Day;
using levelling::GroupId;
using levelling::PointId;
using levelling::ResourceId;
using levelling::Use;

namespace {

/// Days of a stage in a room on which it wants one climate.
struct ClimateRun {
  std::uint32_t batch = 0;
  GroupId group = 0;
  std::size_t kind = 0;
  levelling::Moment from, to;
  bool over_at_once = false;  ///< it may be over on its first day, which counts all the same
  Day first = 0, last = 0;    ///< about which days it can be there
};

/// A climate: a band for each column that is set.
using Climate = std::vector<std::pair<std::size_t, Band>>;

std::vector<std::uint64_t> key_of(const Climate& climate) {
  std::vector<std::uint64_t> out;
  for (const auto& [column, band] : climate) {
    out.insert(out.end(), {column, std::bit_cast<std::uint64_t>(band.low),
                           std::bit_cast<std::uint64_t>(band.high)});
  }
  return out;
}

/// The climates that are wanted in one room, each once.
class ClimateKinds {
 public:
  explicit ClimateKinds(std::vector<double> tolerance) : tolerance_(std::move(tolerance)) {}

  std::size_t number_of(const Climate& climate) {
    const auto [found, fresh] = numbers_.try_emplace(key_of(climate), kinds_.size());
    if (fresh) kinds_.push_back(climate);
    return found->second;
  }
  std::size_t size() const { return kinds_.size(); }
  bool at_odds(std::size_t one, std::size_t other) const {
    return std::any_of(kinds_[one].begin(), kinds_[one].end(), [&](const auto& mine) {
      return std::any_of(kinds_[other].begin(), kinds_[other].end(), [&](const auto& theirs) {
        return mine.first == theirs.first &&
               beyond(gap(mine.second, theirs.second), tolerance_[mine.first], mine.second.low);
      });
    });
  }

 private:
  std::vector<double> tolerance_;
  std::vector<Climate> kinds_;
  std::map<std::vector<std::uint64_t>, std::size_t> numbers_;
};

Climate climate_on(const ClimateProfile& profile, int day) {
  Climate out;
  for (const ClimateProfile::Column& column : profile.columns) {
    const Band& band = column.bands[static_cast<std::size_t>(day)];
    if (!std::isnan(band.low)) out.push_back({column.number, band});
  }
  return out;
}

/// Waits carry a stage a few days beyond those by which its batch may move.
constexpr Day waits = 21;

}  // namespace

void LevelProblem::add_lessons() {
  for (const auto& [batch, stage, day] : lessons_.not_on) keep_off(batch, stage, day);
  if (!lessons_.climates.empty() || !lessons_.apart.empty()) add_climates();
  if (!lessons_.treated.empty()) add_closures();
  take_less();
}

void LevelProblem::keep_off(std::uint32_t batch, language::StageId stage, Day day) {
  levelling::Point& point =
      problem_.points[groups_[group_of_[batch]].first + sheet::DateLayout::start_of(stage)];
  if (point.earliest == point.latest) return;
  // What would help is looked for on later days as well.
  auto days = std::make_unique<calendar::DaySet>(
      calendar::DaySet::between(point.earliest, point.latest + most_days_later));
  if (point.allowed != nullptr) *days &= *point.allowed;
  days->remove(day);
  point.allowed = days.get();
  days_.push_back(std::move(days));
}

/// Of what there is without an end there is no less.
void LevelProblem::take_less() {
  for (const auto& [number, amounts] : lessons_.less) {
    levelling::Resource& resource = problem_.resources[number];
    for (const auto& [day, amount] : amounts) {
      if (resource.by_day.empty()) resource.first = day;
      while (day < resource.first) {
        resource.by_day.insert(resource.by_day.begin(), resource.otherwise);
        --resource.first;
      }
      while (day >= resource.first + static_cast<Day>(resource.by_day.size())) {
        resource.by_day.push_back(resource.otherwise);
      }
      resource.by_day[static_cast<std::size_t>(day - resource.first)] -= amount;
    }
  }
}

/// Of a resource of this kind nothing is taken yet, and there is nothing of it.
ResourceId LevelProblem::add_apart(std::string why) {
  names_.push_back({Named::Kind::apart, std::move(why), units::counting_unit("times"), 1});
  problem_.resources.emplace_back();
  return static_cast<ResourceId>(names_.size() - 1);
}

namespace {

/// Keeps runs away from those that are at odds with them. There is as much as there are others: one
/// of these takes one, the run itself takes all.
class RunsApart {
 public:
  RunsApart(const std::vector<ClimateRun>& runs, const ClimateKinds& kinds)
      : runs_(runs), kinds_(kinds), by_kind_(kinds.size()) {
    for (std::size_t i = 0; i < runs.size(); ++i) by_kind_[runs[i].kind].push_back(i);
  }

  /// By run: those that it is kept away from. Of two kinds the rarer one has them.
  std::map<std::size_t, std::vector<std::size_t>> all() const {
    std::map<std::size_t, std::vector<std::size_t>> out;
    for (std::size_t a = 0; a < by_kind_.size(); ++a) {
      for (std::size_t b = a + 1; b < by_kind_.size(); ++b) {
        if (!kinds_.at_odds(a, b)) continue;
        const bool swap = by_kind_[b].size() < by_kind_[a].size();
        add(by_kind_[swap ? b : a], by_kind_[swap ? a : b], out);
      }
    }
    return out;
  }

 private:
  void add(const std::vector<std::size_t>& these, const std::vector<std::size_t>& those,
           std::map<std::size_t, std::vector<std::size_t>>& out) const {
    for (const std::size_t one : these) {
      for (const std::size_t other : those) {
        const ClimateRun& a = runs_[one];
        const ClimateRun& b = runs_[other];
        // A batch cannot get out of its own way.
        if (a.group == b.group || a.first > b.last || b.first > a.last) continue;
        out[one].push_back(other);
      }
    }
  }

  const std::vector<ClimateRun>& runs_;
  const ClimateKinds& kinds_;
  std::vector<std::vector<std::size_t>> by_kind_;
};

}  // namespace

void LevelProblem::add_climates() {
  std::map<std::string, std::pair<ClimateKinds, std::vector<ClimateRun>>> rooms;
  ClimateProfiles profiles;
  const auto is_wanted = [&](std::uint32_t b, const std::string& room) {
    if (lessons_.climates.contains(room)) return true;
    return std::any_of(lessons_.apart.begin(), lessons_.apart.end(),
                       [&](const auto& pair) { return pair.first == b || pair.second == b; });
  };
  for (std::uint32_t b = 0; b < plan_.batches.size(); ++b) {
    if (!is_grouped(b) || !plan_.facts_of(plan_.batches[b]).lead) continue;
    const sheet::Row row = plan_.row_of(plan_.batches[b]);
    const Group& group = groups_[group_of_[b]];
    for (const Standing& standing : places_.standings(plan_.batches[b].sheet)) {
      const language::Stage& stage = row.stage(standing.stage);
      const bool sets = !stage.settings.empty() || !stage.mists.empty();
      if (standing.from > 0 || !sets || !is_wanted(b, stage.room)) continue;
      std::vector<double> tolerance;
      for (const ClimateColumn& column : climate_columns()) {
        tolerance.push_back(plan_.book->site.tolerance_in(stage.room, column.measure));
      }
      auto& [kinds, runs] =
          rooms.try_emplace(stage.room, ClimateKinds(tolerance), std::vector<ClimateRun>{})
              .first->second;
      const ClimateProfile& profile = profiles[profiles.find(row, standing.stage)];
      const PointId start = group.first + sheet::DateLayout::start_of(standing.stage);
      const PointId until = left_by(group, standing.until);
      const levelling::Point& ready = problem_.points[group.ready];
      const Day early = today_[group.ready] - ready.earliest + waits;
      const Day late = ready.latest - today_[group.ready] + waits;
      for (int day = 0; day < profile.days;) {
        const Climate climate = climate_on(profile, day);
        int end = day + 1;
        while (end < profile.days && key_of(climate_on(profile, end)) == key_of(climate)) ++end;
        ClimateRun run;
        run.batch = b;
        run.group = group_of_[b];
        run.kind = kinds.number_of(climate);
        run.from = {start, day};
        run.to = end == profile.days ? levelling::Moment{until, 0} : levelling::Moment{start, end};
        run.over_at_once = end == profile.days && today_[until] <= today_[start] + day;
        run.first = today_[start] + day - early;
        run.last = today_[start] + end + late;
        if (!climate.empty()) runs.push_back(run);
        day = end;
      }
    }
  }
  const auto take = [&](ResourceId resource, const ClimateRun& run, levelling::Amount amount) {
    Use use;
    use.resource = resource;
    use.amount = amount;
    use.from = run.from;
    use.to = run.over_at_once ? levelling::Moment{run.from.point, run.from.offset + 1} : run.to;
    add_use(use);
  };
  for (const auto& [room, kinds_and_runs] : rooms) {
    const auto& [kinds, runs] = kinds_and_runs;
    const bool all = lessons_.climates.contains(room);
    for (auto& [one, others] : RunsApart(runs, kinds).all()) {
      if (!all) {
        std::erase_if(others, [&, one = one](std::size_t other) {
          const auto pair = std::minmax(runs[one].batch, runs[other].batch);
          return !lessons_.apart.contains(pair);
        });
      }
      if (others.empty()) continue;
      const ResourceId resource = add_apart("`" + room + "` is kept in another climate");
      const auto count = static_cast<levelling::Amount>(others.size());
      problem_.resources[resource].otherwise = count;
      take(resource, runs[one], count);
      for (const std::size_t other : others) take(resource, runs[other], 1);
    }
  }
}

namespace {

/// Orders of a batch by their room.
std::multimap<std::string, const WorkOrder*> by_room(const Plan& plan, std::uint32_t batch) {
  std::multimap<std::string, const WorkOrder*> out;
  for (const WorkOrder& order : plan.orders) {
    if (order.batch != batch || order.settled()) continue;
    out.insert({plan.protocol_of(plan.batches[batch]).stages[order.stage].room, &order});
  }
  return out;
}

}  // namespace

/// Work that has no open day left within its limits is kept off the days on which a treatment has
/// closed its room: the treatment takes all of these days, work takes one for each of its turns.
void LevelProblem::add_closures() {
  struct Kept {
    ResourceId resource = 0;
    std::size_t treatment = 0;  ///< its use
  };
  std::map<std::pair<const WorkOrder*, Day>, Kept> kept;
  const Shift shift = shift_of(plan_);
  const calendar::DaySet& working = plan_.book->site.working.days();
  for (const auto& [treating, kept_off] : lessons_.treated) {
    const auto works = by_room(plan_, kept_off);
    for (const auto& [room, treatment] : by_room(plan_, treating)) {
      const auto closure = closure_after(plan_, *treatment);
      if (!closure) continue;
      const Day closed = open_from(*closure, shift) - closure->day - 1;
      const Group& group = groups_[group_of_[treating]];
      const PointId start = group.first + sheet::DateLayout::start_of(treatment->stage);
      const auto [first, end] = works.equal_range(room);
      for (auto at = first; at != end; ++at) {
        const WorkOrder& order = *at->second;
        if (&order == treatment || order.key() == treatment->key()) continue;
        const sheet::Row row = plan_.row_of(plan_.batches[kept_off]);
        const language::Work& work = row.stage(order.stage).works[order.work];
        const StageSpan span = work_span(row, order.stage, order.work);
        const Day slack = std::max(0, latest_day(work, order.due, span) - order.due);
        if (slack >= closed) continue;
        const auto [place, fresh] = kept.try_emplace({treatment, slack});
        if (fresh) {
          place->second = {add_apart("nobody may enter `" + room + "` after a treatment"),
                           problem_.uses.size()};
          Use use;
          use.resource = place->second.resource;
          use.from = {start, treatment->date - today_[start] + 1};
          use.to = {start, use.from.offset + closed - slack};
          add_use(use);
        }
        Use use;
        use.resource = place->second.resource;
        use.amount = 1;
        use.from = {groups_[group_of_[kept_off]].first + sheet::DateLayout::start_of(order.stage),
                    order.due - span.first};
        use.to = {use.from.point, use.from.offset + 1};
        if (!work.crew.empty() && !language::looks_after_plants(work)) {
          use.starts = &working;
          use.optional = true;
        }
        add_use(use);
        ++problem_.uses[place->second.treatment].amount;
        ++problem_.resources[place->second.resource].otherwise;
      }
    }
  }
}

}  // namespace budwood::plan
