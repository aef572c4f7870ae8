#include "plan/today/gates.hpp"

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
  const auto unit = units::find_unit(entry.unit);
  return unit ? std::optional(unit->to_base(*entry.number)) : std::nullopt;
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

bool holds(const Sight& sight, const language::Protocol& protocol, const Seen& seen) {
  const auto found = seen.find(sight.what);
  if (found == seen.end()) return false;
  const auto low = number_at(protocol, sight.low);
  const auto high = number_at(protocol, sight.high);
  if (sight.is != Sight::Is::seen && !low) return false;
  if (sight.is == Sight::Is::between && !high) return false;
  return compares(sight.is, found->second, low.value_or(0), high.value_or(0)) != sight.negated;
}

ObservationId observation_named(const language::Protocol& protocol, const std::string& name) {
  for (const ObservationId id : protocol.observations.ids()) {
    if (protocol.observations[id].name == name) return id;
  }
  return {};
}

}  // namespace

Sights::Sights(const book::Book& book) {
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

void Sights::add_gates_seen(const book::Batch& batch, const language::Protocol& protocol,
                            sheet::BatchFacts& facts) const {
  if (by_batch_.empty()) return;
  for (const StageId s : protocol.stages.ids()) {
    const language::Stage& stage = protocol.stages[s];
    if (!stage.gate || stage.gate->sights.empty()) continue;
    const bool known = std::any_of(facts.pins.begin(), facts.pins.end(), [&](const auto& pin) {
      return pin.recorded && pin.stage == s && pin.end;
    });
    if (known) continue;
    Seen seen;
    for (const record::Entry* entry : of(batch, stage.name)) {
      const ObservationId what = observation_named(protocol, entry->name);
      const auto value = value_of(*entry);
      if (!what.known() || !value) continue;
      seen[what] = *value;
      const auto& sights = stage.gate->sights;
      const bool open = std::all_of(sights.begin(), sights.end(),
                                    [&](const Sight& one) { return holds(one, protocol, seen); });
      if (!open) continue;
      std::erase_if(facts.pins,
                    [&](const auto& pin) { return !pin.recorded && pin.stage == s && pin.end; });
      facts.pins.push_back({s, true, entry->day, true, stage.gate->span, false, true});
      break;
    }
  }
}

}  // namespace budwood::plan
