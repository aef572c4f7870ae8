#include "plan/numbers.hpp"

#include <algorithm>

namespace budwood::plan {

double started(const sheet::Row& row) {
  double sum = 0;
  for (const sheet::Chain& chain : row.layout().chains) {
    const language::StageId first = chain.stages.front();
    if (row.stage(first).takes.empty()) sum += row.value(row.cells(first).plants);
  }
  return sum;
}

double delivered(const sheet::Row& row) {
  double sum = 0;
  for (const sheet::Chain& chain : row.layout().chains) {
    if (chain.next.empty()) sum += row.value(row.cells(chain.stages.back()).left);
  }
  return sum;
}

bool is_begun(const sheet::Row& row) {
  const auto& pins = row.facts().pins;
  return !row.facts().counted.empty() ||
         std::any_of(pins.begin(), pins.end(), [](const auto& pin) { return pin.recorded; });
}

}  // namespace budwood::plan
