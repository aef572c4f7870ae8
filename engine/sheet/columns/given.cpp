#include "sheet/columns/given.hpp"

#include <algorithm>

namespace budwood::sheet {

namespace {

/// The counts behind an input, in the stages that lose just this share.
std::vector<const Evidence*> evidence_of(const Template& t, CellId input) {
  std::vector<const Evidence*> out;
  for (const StageCells& cells : t.stages) {
    const language::InputId number = cells.evidence.input;
    if (number.known() && t.inputs[number] == input) {
      out.push_back(&cells.evidence);
    }
  }
  return out;
}

}  // namespace

bool give(const Template& t, CellId input, double value, const GivenCount& count,
          GivenValues& values) {
  set_given(values, input, value);
  const std::vector<const Evidence*> counts = evidence_of(t, input);
  for (const Evidence* evidence : counts) {
    set_given(values, evidence->good, evidence->lost ? count.seen - count.good : count.good);
    set_given(values, evidence->seen, count.seen);
    set_given(values, evidence->batches, count.batches);
    erase_given(values, evidence->likeness);
    if (count.likeness) set_given(values, evidence->likeness, *count.likeness);
  }
  return !counts.empty();
}

void take_back(const Template& t, CellId input, GivenValues& values) {
  erase_given(values, input);
  for (const Evidence* evidence : evidence_of(t, input)) {
    erase_given(values, evidence->good);
    erase_given(values, evidence->seen);
    erase_given(values, evidence->batches);
    erase_given(values, evidence->likeness);
  }
}

std::optional<double> given(const GivenValues& values, CellId cell) {
  for (auto one = values.rbegin(); one != values.rend(); ++one) {
    if (one->first == cell) return one->second;
  }
  return std::nullopt;
}

void set_given(GivenValues& values, CellId cell, double value) {
  erase_given(values, cell);
  values.emplace_back(cell, value);
}

void erase_given(GivenValues& values, CellId cell) {
  std::erase_if(values, [&](const auto& one) { return one.first == cell; });
}

}  // namespace budwood::sheet
