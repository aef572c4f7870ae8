#include <sstream>

#include "plan/plan.hpp"
#include "plan/trials/what_if.hpp"
#include "small_book.hpp"

namespace {

using namespace budwood;

/// A plan that every input is tried on.
struct SmallPlan {
  SmallPlan() {
    plan = plan::make_plan(small.book(), diagnostics);
    fuzz::must(plan.batches.size() == 3 && plan.conflicts.empty(), "a small plan with conflicts");
  }
  fuzz::SmallBook small;
  text::Diagnostics diagnostics;
  plan::Plan plan;
};

}  // namespace

/// Any lines as changes that are tried out: a book that can be planned, or an error for each that
/// is wrong.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const SmallPlan small;
  constexpr std::size_t most_changes = 20;
  std::vector<std::string> changes;
  std::istringstream lines(fuzz::bytes_of(data, size));
  for (std::string line; changes.size() < most_changes && std::getline(lines, line);) {
    changes.push_back(line);
  }
  text::Sources sources;
  text::Diagnostics diagnostics;
  const auto tried = plan::what_if(small.plan, changes, sources, diagnostics);
  fuzz::check_told(diagnostics);
  fuzz::must(tried.has_value() != diagnostics.has_errors(), "neither a change nor an error");
  fuzz::accepted = tried && !tried->changes.empty();
  if (!fuzz::accepted) return 0;
  text::Diagnostics planning;
  const plan::Plan changed = plan::make_plan(tried->book, planning);
  fuzz::check_told(planning);
  fuzz::must(changed.batches.size() == 3 || planning.has_errors(), "a batch that is gone");
  return 0;
}
