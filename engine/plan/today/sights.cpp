#include "plan/today/sights.hpp"

#include <algorithm>
#include <map>
#include <optional>

#include "units/units.hpp"

namespace budwood::plan {

namespace {

using language::ObservationId;
using language::Sight;
using language::StageId;
using record::What;

/// What was last seen: a value in base units; of what is only seen 1, or 0 when it was not.
using Seen = std::map<ObservationId, double>;

std::optional<double> value_of(const record::Entry& entry) {
  if (entry.what == What::not_seen) return 0;
  if (!entry.number) return 1;
  if (entry.of) return *entry.of > 0 ? std::optional(*entry.number / *entry.of) : std::nullopt;
  if (entry.unit.empty()) return *entry.number;
  // A word that is no known unit is what is counted: thrips, leaves.
  const auto unit = units::find_unit(entry.unit);
  return unit ? unit->to_base(*entry.number) : *entry.number;
}

std::optional<double> number_at(const language::Protocol& protocol, language::FormulaId id) {
  if (id == language::no_formula) return std::nullopt;
  const language::Node& node = protocol.node(id);
  return node.kind == language::Node::Kind::constant ? std::optional(node.value) : std::nullopt;
}

bool compares(Sight::Is is, double value, double low, double high) {
  const double slack = units::slack(value, low);
  switch (is) {
    case Sight::Is::seen:
      return value > 0;
    case Sight::Is::below:
      return value < low - slack;
    case Sight::Is::at_most:
      return value <= low + slack;
    case Sight::Is::equal:
      return std::abs(value - low) <= slack;
    case Sight::Is::unequal:
      return std::abs(value - low) > slack;
    case Sight::Is::at_least:
      return value >= low - slack;
    case Sight::Is::above:
      return value > low + slack;
    case Sight::Is::between:
      return value >= low - slack && value <= high + units::slack(value, high);
  }
  return false;
}

/// What an observation is held against; nothing when that hangs on an input, or was not seen yet.
std::optional<double> measured(const language::Measuring& against,
                               const language::Protocol& protocol, const Seen& seen) {
  const auto value = number_at(protocol, against.value);
  if (!against.other.known()) return value;
  const auto other = seen.find(against.other);
  if (other == seen.end()) return std::nullopt;
  if (against.value == language::no_formula) return other->second;
  if (!value) return std::nullopt;
  switch (against.made) {
    case language::Operation::add:
      return other->second + *value;
    case language::Operation::subtract:
      return other->second - *value;
    default:
      return other->second * *value;
  }
}

bool holds(const Sight& sight, const language::Protocol& protocol, const Seen& seen) {
  const auto found = seen.find(sight.what);
  if (found == seen.end()) return false;
  const auto low = measured(sight.low, protocol, seen);
  const auto high = measured(sight.high, protocol, seen);
  if (sight.is != Sight::Is::seen && !low) return false;
  if (sight.is == Sight::Is::between && !high) return false;
  return compares(sight.is, found->second, low.value_or(0), high.value_or(0)) != sight.negated;
}

/// Since when a stage is known to be under way: since its start, or since what it takes was over.
/// Nothing when nobody noted either.
std::optional<calendar::Day> under_way_since(const language::Protocol& protocol,
                                             const sheet::BatchFacts& facts, StageId stage) {
  if (const auto* start = facts.recorded(stage, false)) return start->day;
  std::optional<calendar::Day> out;
  for (const StageId before : protocol.stages[stage].takes) {
    const auto* end = facts.recorded(before, true);
    if (end == nullptr) return std::nullopt;
    out = std::max(out.value_or(end->day), end->day);
  }
  return out;
}

/// A gate is not seen later than the next stage has begun.
calendar::Day no_later_than_next(const language::Protocol& protocol, const sheet::BatchFacts& facts,
                                 StageId stage, calendar::Day day) {
  for (const StageId next : protocol.stages.ids()) {
    if (!language::takes_from(protocol.stages[next], stage)) continue;
    if (const auto* start = facts.recorded(next, false)) day = std::min(day, start->day);
  }
  return day;
}

bool hold(const language::Sights& sights, const language::Protocol& protocol, const Seen& seen) {
  return std::any_of(sights.begin(), sights.end(), [&](const std::vector<Sight>& all) {
    return std::all_of(all.begin(), all.end(),
                       [&](const Sight& one) { return holds(one, protocol, seen); });
  });
}

/// The day on which an `if` asks; of the last day nothing as long as the stage is under way.
std::optional<calendar::Day> day_wanted(const language::StageDay& day, calendar::Day since,
                                        const sheet::Pin* end) {
  if (!day.last) return since + day.day - 1;
  return end == nullptr ? std::nullopt : std::optional(std::max(since, end->day - 1));
}

}  // namespace

Sights::Sights(const book::Book& book) : working_(book.site.working) {
  for (const record::Entry& entry : book.history) {
    if (entry.what == What::seen || entry.what == What::not_seen) {
      by_batch_[entry.batch].push_back(&entry);
    }
  }
}

/// By day, of one day as noted. All cultivars of a batch are seen together where it is named as a
/// whole.
std::vector<const record::Entry*> Sights::of(const book::Batch& batch,
                                             const std::string& stage) const {
  std::vector<const record::Entry*> out;
  const auto take = [&](const std::string& name) {
    const auto found = by_batch_.find(name);
    if (found == by_batch_.end()) return;
    for (const record::Entry* entry : found->second) {
      if (entry->place.empty() || record::stage_of(*entry) == stage) out.push_back(entry);
    }
  };
  take(batch.id.value);
  if (!batch.split_from.empty() && batch.split_from != batch.id.value) take(batch.split_from);
  std::stable_sort(out.begin(), out.end(),
                   [](const auto* one, const auto* other) { return one->day < other->day; });
  return out;
}

/// What was seen in a stage, as long as nobody noted that it was in another: before the stage began
/// it was, and without a name there is nothing to go by as long as it is not known to have begun.
std::vector<Sights::Saw> Sights::in_stage(const book::Batch& batch,
                                          const language::Protocol& protocol,
                                          const sheet::BatchFacts& facts, StageId stage) const {
  std::vector<Saw> out;
  const auto since = under_way_since(protocol, facts, stage);
  for (const record::Entry* entry : of(batch, protocol.stages[stage].name)) {
    if (since ? entry->day < *since : entry->place.empty()) continue;
    const ObservationId what = protocol.observations.find(entry->name);
    const auto value = value_of(*entry);
    if (what.known() && value) out.push_back({entry->day, what, *value});
  }
  return out;
}

/// What was seen of these, each where a condition of the stage has it looked at; by day.
std::vector<Sights::Saw> Sights::saws_for(const std::vector<ObservationId>& observations,
                                          const book::Batch& batch,
                                          const language::Protocol& protocol,
                                          const sheet::BatchFacts& facts, StageId stage) const {
  std::vector<Saw> out = in_stage(batch, protocol, facts, stage);
  for (const ObservationId what : observations) {
    for (const StageId other : language::looked_at_in(protocol, stage, what)) {
      if (other == stage) continue;
      for (const Saw& saw : in_stage(batch, protocol, facts, other)) {
        if (saw.what == what) out.push_back(saw);
      }
    }
  }
  std::stable_sort(out.begin(), out.end(),
                   [](const Saw& one, const Saw& two) { return one.day < two.day; });
  return out;
}

void Sights::add_gates_seen(const book::Batch& batch, const language::Protocol& protocol,
                            sheet::BatchFacts& facts) const {
  if (by_batch_.empty()) return;
  for (const StageId s : protocol.stages.ids()) {
    const language::Stage& stage = protocol.stages[s];
    if (!stage.gate || stage.gate->sights.empty() || facts.recorded(s, true) != nullptr) continue;
    Seen seen;
    for (const Saw& saw : saws_for(stage.gate->observations, batch, protocol, facts, s)) {
      seen[saw.what] = saw.value;
      if (!hold(stage.gate->sights, protocol, seen)) continue;
      std::erase_if(facts.pins,
                    [&](const auto& pin) { return !pin.recorded && pin.stage == s && pin.end; });
      const calendar::Day day = no_later_than_next(protocol, facts, s, saw.day);
      facts.pins.push_back({s, true, day, true, stage.gate->span, false, true});
      break;
    }
  }
}

std::vector<SeenIf> Sights::ifs_seen(const book::Batch& batch, const language::Protocol& protocol,
                                     const sheet::BatchFacts& facts) const {
  std::vector<SeenIf> out;
  if (by_batch_.empty()) return out;
  for (const StageId s : protocol.stages.ids()) {
    const std::vector<language::Contingency>& all = protocol.stages[s].contingencies;
    const auto since = under_way_since(protocol, facts, s);
    if (all.empty() || !since) continue;
    for (std::uint32_t i = 0; i < all.size(); ++i) {
      const std::vector<Saw> saws = saws_for(all[i].observations, batch, protocol, facts, s);
      const auto wanted = day_wanted(all[i].day, *since, facts.recorded(s, true));
      if (!wanted) continue;
      // A look that was due on a day on which nobody works comes with the next working day.
      const calendar::Day by = working_.days().next(*wanted).value_or(*wanted);
      Seen seen;
      std::optional<calendar::Day> decided;
      for (const Saw& saw : saws) {
        const auto& asked = all[i].observations;
        if (std::find(asked.begin(), asked.end(), saw.what) == asked.end()) continue;
        if (decided && saw.day > by && saw.day > *decided) break;
        seen[saw.what] = saw.value;
        decided = saw.day;
      }
      const bool due = decided && (*decided >= *wanted || *facts.today > by);
      if (due && hold(all[i].sights, protocol, seen)) out.push_back({s, i, *decided});
    }
  }
  return out;
}

std::vector<SeenLook> Sights::looks_done(const book::Batch& batch,
                                         const language::Protocol& protocol,
                                         const sheet::BatchFacts& facts) const {
  std::vector<SeenLook> out;
  if (by_batch_.empty()) return out;
  for (const StageId s : protocol.stages.ids()) {
    const auto& works = protocol.stages[s].works;
    const bool looks = std::any_of(works.begin(), works.end(), language::is_look);
    if (!looks) continue;
    const std::vector<Saw> saws = in_stage(batch, protocol, facts, s);
    for (const language::WorkId w : works.ids()) {
      if (!language::is_look(works[w])) continue;
      for (const Saw& saw : saws) {
        const auto& records = works[w].records;
        const bool asked = std::any_of(records.begin(), records.end(), [&](const auto& one) {
          return protocol.observations.find(one.name) == saw.what;
        });
        const bool fresh = out.empty() || out.back().stage != s || out.back().work != w ||
                           out.back().day != saw.day;
        if (asked && fresh) out.push_back({s, w, saw.day});
      }
    }
  }
  return out;
}

}  // namespace budwood::plan
