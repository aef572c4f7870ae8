#include "report/results/revision_report.hpp"

#include <ostream>

namespace budwood::report {

namespace {

void write_step(std::ostream& out, const std::string& sentence, const Style& style) {
  bool first = true;
  for (const std::string& line : wrap(sentence, style.width - 2 * indent)) {
    out << spaces(first ? indent : 2 * indent) << line << '\n';
    first = false;
  }
}

/// "strike: 66 % instead of 70 %"
std::string said(const revision::Step& step) {
  std::string out = step.about;
  if (!step.after.empty()) out += ": " + step.after;
  if (!step.before.empty()) out += " instead of " + step.before;
  return out;
}

}  // namespace

void write_revision(std::ostream& out, const language::Protocol& before,
                    const revision::Revision& next, const std::string& file, const Style& style) {
  out << inked("`" + before.name + "` edition " + std::to_string(next.edition), Ink::strong, style)
      << ", from edition " << before.edition << ", is in " << file << "\n";
  for (const revision::Step& step : next.steps) {
    write_step(out, said(step) + "; " + step.behind, style);
  }
  if (next.left.empty()) return;
  out << "Left as it is\n";
  for (const revision::Step& step : next.left) {
    write_step(out, said(step) + "; " + step.behind, style);
  }
}

}  // namespace budwood::report
