#include "sheet/template/requirements.hpp"

#include <algorithm>

#include "sheet/columns/shown.hpp"
#include "sheet/sheet.hpp"
#include "sheet/site/site.hpp"
#include "sheet/template/template.hpp"

namespace budwood::sheet {

namespace {

using language::Node;
using language::Requirement;

/// What requirements are tried with: one that fails for all is not met whatever is ordered.
constexpr double tried_plants[] = {100, 1, 10, 1000, 10'000, 100'000};

/// Whether a cell rests on a cell of this kind.
bool rests_on(const Template& t, CellId id, Cell::Kind kind) {
  std::vector<CellId> open{id};
  std::vector<bool> seen(t.cells.size(), false);
  while (!open.empty()) {
    const CellId next = open.back();
    open.pop_back();
    if (seen[next]) continue;
    seen[next] = true;
    if (t.cell(next).kind == kind) return true;
    open.insert(open.end(), t.cell(next).uses.begin(), t.cell(next).uses.end());
  }
  return false;
}

/// Lengths between dates are the same in every year; with a written date the batch's year counts.
bool needs_year(const Template& t, CellId id) {
  const std::vector<Node>& nodes = t.protocol.nodes;
  const bool dated = std::any_of(nodes.begin(), nodes.end(), [](const Node& node) {
    return node.kind == Node::Kind::constant && node.type.kind == language::Type::Kind::date;
  });
  return dated && rests_on(t, id, Cell::Kind::date);
}

/// A protocol at its usual inputs, where people work every day.
class Usual {
 public:
  explicit Usual(const std::shared_ptr<const Template>& t)
      : template_(t), t_(*t), sheet_(t, stand_in_site()) {
    sheet_.add(stand_in_batch(tried_plants[0]));
    sheet_.evaluate();
  }

  std::vector<std::size_t> never_met() const {
    std::vector<std::size_t> out;
    if (sheet_.conflict(0)) return out;
    for (std::size_t i = 0; i < t_.requirements.size(); ++i) {
      if (fails(t_.requirements[i]) && !needs_year(t_, t_.requirements[i])) out.push_back(i);
    }
    return out;
  }

  void report(text::Diagnostics& diagnostics) const {
    for (const std::size_t i : never_met()) {
      const Requirement& requirement = t_.protocol.requirements[i];
      std::string message = message_of(Row(sheet_, 0), i);
      diagnostics.add(requirement.rule.empty()
                          ? own_finding(requirement, std::move(message), t_.requirements[i])
                          : rule_finding(requirement, std::move(message)));
    }
  }

 private:
  bool fails(CellId condition) const {
    if (sheet_.value(condition, 0) != 0) return false;
    if (!rests_on(t_, condition, Cell::Kind::ordered)) return true;
    const std::span<const double> met = sizes().columns().of(condition);
    return std::all_of(met.begin(), met.end(), [](double one) { return one == 0; });
  }

  /// Batches of all sizes, worked out when they are first asked for.
  const Sheet& sizes() const {
    if (!sizes_) {
      sizes_.emplace(template_, stand_in_site());
      for (const double plants : tried_plants) sizes_->add(stand_in_batch(plants));
      sizes_->evaluate();
    }
    return *sizes_;
  }

  text::Diagnostic own_finding(const Requirement& requirement, std::string message,
                               CellId condition) const {
    text::Diagnostic d;
    d.severity = requirement.advice ? text::Severity::warning : text::Severity::error;
    d.code = requirement.advice ? "advice" : "requirement";
    d.span = requirement.span;
    d.message = std::move(message);
    d.advice = "This is not met with the usual inputs, ";
    d.advice += rests_on(t_, condition, Cell::Kind::ordered)
                    ? "for a batch of one plant as for one of 100000."
                    : "whatever the batch.";
    return d;
  }

  text::Diagnostic rule_finding(const Requirement& requirement, std::string message) const {
    text::Diagnostic d;
    d.severity = requirement.advice ? text::Severity::warning : text::Severity::error;
    d.code = requirement.rule;
    d.span = requirement.span;
    d.message = std::move(message);
    if (const language::Waiver* waiver = language::waiver_of(t_.protocol, requirement)) {
      d.severity = text::Severity::note;
      d.message = "Waived (" + waiver->reason + "): " + d.message;
      d.related.push_back({waiver->span, "It is waived here."});
      return d;
    }
    d.advice = requirement.reason;
    d.related.push_back({requirement.rule_span, "The rule is here."});
    return d;
  }

  std::shared_ptr<const Template> template_;
  const Template& t_;
  Sheet sheet_;
  mutable std::optional<Sheet> sizes_;
};

}  // namespace

std::vector<std::size_t> never_met(const std::shared_ptr<const Template>& t) {
  return Usual(t).never_met();
}

void report_requirements(const std::shared_ptr<const Template>& t, text::Diagnostics& diagnostics) {
  Usual(t).report(diagnostics);
}

}  // namespace budwood::sheet
