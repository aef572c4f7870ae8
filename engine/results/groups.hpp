/// What results are grouped by. Private to this module.
#pragma once

#include <string>
#include <vector>

#include "results/outcomes.hpp"
#include "results/summary.hpp"

namespace budwood::results {

/// What a result belongs to, whatever kind of result it is.
struct Belongs {
  std::uint32_t batch = 0;
  language::StageId stage;
  std::string tray, person;
  calendar::Day began = 0;
};

/// The groups into which it falls: one, or one a lot.
std::vector<std::string> groups_of(const plan::Plan& plan, const Belongs& what, By by);

/// "bench_graft" of a batch that follows "bench_graft.splice".
std::string method_of(const plan::Plan& plan, std::uint32_t batch);

}  // namespace budwood::results
