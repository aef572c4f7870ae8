#include "results/groups.hpp"

#include <algorithm>
#include <map>
#include <utility>

#include "language/bases/layer.hpp"

namespace budwood::results {

namespace {

const language::Protocol& protocol_in(const plan::Plan& plan, std::uint32_t batch) {
  return plan.protocol_of(plan.batches[batch]);
}

std::vector<std::string> lots_of(const plan::Plan& plan, const plan::BatchPlan& batch) {
  std::vector<std::string> lots;
  for (const plan::Origin& one : plan::origins_of(plan, batch)) {
    lots.push_back(one.supply + ": " + one.text);
  }
  if (lots.empty()) lots.emplace_back(not_told);
  return lots;
}

std::string or_not_told(const std::string& text) {
  return text.empty() ? not_told : text;
}

}  // namespace

const std::string& title_of(const language::Stage& stage) {
  return stage.title.empty() ? stage.name : stage.title;
}

std::string method_of(const plan::Plan& plan, std::uint32_t batch) {
  return language::method_of(protocol_in(plan, batch).name);
}

const std::string& whole_name(const book::Batch& batch) {
  return batch.split_from.empty() ? batch.id.value : batch.split_from;
}

std::string whole_batch(const plan::Plan& plan, std::size_t book, std::uint32_t batch) {
  return std::to_string(book) + "/" + whole_name(plan.facts_of(plan.batches[batch]));
}

std::string block_of(const plan::Plan& plan, std::size_t book, std::uint32_t batch,
                     const std::string& tray) {
  const book::Batch& facts = plan.facts_of(plan.batches[batch]);
  const book::TrialTray* drawn = facts.trial ? facts.trial->own_tray(tray) : nullptr;
  return whole_batch(plan, book, batch) + (drawn != nullptr ? "/" + drawn->block : "");
}

std::string changed_trial(const plan::Plan& plan, std::uint32_t batch) {
  const book::Batch& facts = plan.facts_of(plan.batches[batch]);
  const auto& changed = plan.changed_trials;
  if (!facts.trial) return "";
  const bool is_of = std::find(changed.begin(), changed.end(), facts.trial->name) != changed.end();
  return is_of ? facts.trial->name : "";
}

std::vector<int> numbered_blocks(const std::vector<BlockedUnit>& units) {
  std::map<std::string, std::pair<int, int>> blocks;  // its number, and 1 and 2 for the sides seen
  bool blocked = false;
  for (const BlockedUnit& unit : units) {
    auto& [number, sides] =
        blocks.try_emplace(unit.block, static_cast<int>(blocks.size()), 0).first->second;
    sides |= unit.is_first ? 1 : 2;
    blocked = blocked || sides == 3;
  }
  std::vector<int> out;
  for (const BlockedUnit& unit : units) out.push_back(blocked ? blocks[unit.block].first : 0);
  return out;
}

std::vector<std::string> groups_of(const plan::Plan& plan, const Belongs& what, By by) {
  const book::Batch& batch = plan.facts_of(plan.batches[what.batch]);
  const language::Protocol& protocol = protocol_in(plan, what.batch);
  switch (by) {
    case By::batch:
      return {batch.id.value};
    case By::protocol:
      return {language::method_of(protocol.name)};
    case By::edition:
      return {language::method_of(protocol.name) + " edition " + std::to_string(protocol.edition)};
    case By::variant: {
      const std::string variant = language::variant_of(protocol.name);
      return {variant.empty() ? as_written : variant};
    }
    case By::arm:
      return {batch.trial ? batch.trial->arm : no_trial};
    case By::tray:
      return {batch.id.value + (what.tray.empty() ? "" : ", tray " + what.tray)};
    case By::person:
      return {or_not_told(what.person)};
    case By::lot:
      return lots_of(plan, plan.batches[what.batch]);
    case By::room:
      return {or_not_told(protocol.stages[what.stage].room)};
    case By::week:
      return {calendar::iso_week_text(what.began)};
    case By::site:
      return {plan.book->site.name.value};
  }
  return {};
}

}  // namespace budwood::results
