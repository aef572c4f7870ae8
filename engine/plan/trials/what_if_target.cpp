#include "plan/trials/what_if_target.hpp"

#include <algorithm>
#include <iterator>

namespace budwood::plan {

namespace {

using sheet::Cell;
using sheet::CellId;
using sheet::Template;
/// What every batch has, whatever its protocol.
Target of_batch(const Template& t, const std::string& name) {
  if (name == "plants") return {Target::Kind::plants, 0, false, t.ordered};
  if (name == "sure") return {Target::Kind::sure, 0, false, t.sure};
  if (name == "spare") return {Target::Kind::spare, 0, false, t.spare};
  if (name == "full_trays") return {Target::Kind::full_trays, 0, false, t.full_trays};
  if (name == "ready") return {Target::Kind::ready, 0, false, t.ready};
  if (name == "start") return {Target::Kind::start, 0, false, sheet::no_cell};
  if (name == "not_before") return {Target::Kind::not_before, 0, false, sheet::no_cell};
  for (std::size_t i = 0; i < std::size(demand_values); ++i) {
    if (name == std::string("demand.") + demand_values[i]) {
      return {Target::Kind::demand, i, false, sheet::no_cell};
    }
  }
  return {};
}

Target of_stage(const Template& t, const std::string& stage, const std::string& what) {
  for (std::size_t s = 0; s < t.stages.size(); ++s) {
    if (t.protocol.stages[s].name != stage) continue;
    if (what == "start") return {Target::Kind::stage_date, s, false, t.stages[s].start};
    if (what == "end") return {Target::Kind::stage_date, s, true, t.stages[s].end};
    if (what == "left") return {Target::Kind::count, s, false, t.stages[s].left};
  }
  return {};
}

}  // namespace

Target find_target(const Template& t, const std::string& name) {
  for (std::size_t i = 0; i < t.inputs.size(); ++i) {
    if (t.protocol.inputs[i].name == name) return {Target::Kind::input, i, false, t.inputs[i]};
  }
  const bool told = name.starts_with("batch.");
  const Target batch = of_batch(t, told ? name.substr(6) : name);
  if (batch.kind != Target::Kind::unknown) return batch;
  const std::size_t dot = name.find('.');
  if (dot != std::string::npos) {
    const Target stage = of_stage(t, name.substr(0, dot), name.substr(dot + 1));
    if (stage.kind != Target::Kind::unknown) return stage;
  }
  const CellId cell = t.find(name);
  if (cell == sheet::no_cell) return {};
  return {Target::Kind::worked_out, 0, false, cell};
}

namespace {

/// The name under which a cell can be set; "" when it cannot.
std::string settable_name(const Template& t, CellId id) {
  std::string name = t.cell(id).name;
  const Target target = find_target(t, name);
  if (target.kind == Target::Kind::worked_out || target.cell != id) return "";
  return name.starts_with("batch.") ? name.substr(6) : name;
}

}  // namespace

std::vector<std::string> settable_behind(const Template& t, CellId cell) {
  std::vector<std::string> out;
  std::vector<bool> seen(t.cells.size());
  std::vector<CellId> queue = {cell};
  seen[cell] = true;
  bool dates = false;
  for (std::size_t at = 0; at < queue.size(); ++at) {
    const Cell& one = t.cell(queue[at]);
    if (at > 0) {
      const std::string name = settable_name(t, queue[at]);
      if (!name.empty() && name != "ready") out.push_back(name);
    }
    std::vector<CellId> uses = one.uses;
    if (one.kind == Cell::Kind::date && !dates) {
      dates = true;
      out.insert(out.end(), {"ready", "start", "not_before"});
      uses.insert(uses.end(), t.dates.uses.begin(), t.dates.uses.end());
    }
    for (const CellId used : uses) {
      if (!seen[used]) queue.push_back(used);
      seen[used] = true;
    }
  }
  return out;
}

std::vector<std::string> settable_names(const Template& t) {
  std::vector<std::string> out(std::begin(batch_values), std::end(batch_values));
  for (const language::Input& input : t.protocol.inputs) out.push_back(input.name);
  for (const language::Stage& stage : t.protocol.stages) {
    for (const char* what : {".start", ".end", ".left"}) out.push_back(stage.name + what);
  }
  return out;
}

}  // namespace budwood::plan
