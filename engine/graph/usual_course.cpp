#include "graph/usual_course.hpp"

#include <cmath>

#include "sheet/template/compile.hpp"
#include "units/units.hpp"

namespace budwood::graph {

namespace {

using language::Stage;
using sheet::Sheet;
using sheet::Template;

/// A formula that is a number of days, `at_most` at most when that is a formula.
language::FormulaId add_days(language::Protocol& protocol, int days, language::FormulaId at_most) {
  language::Node number;
  number.kind = language::Node::Kind::constant;
  number.value = days * units::seconds_a_day;
  number.type = language::Type::quantity(units::time);
  protocol.nodes.push_back(number);
  auto id = static_cast<language::FormulaId>(protocol.nodes.size() - 1);
  if (at_most == language::no_formula) return id;
  language::Node least;
  least.kind = language::Node::Kind::apply;
  least.operation = language::Operation::minimum;
  least.children[0] = id;
  least.children[1] = at_most;
  least.type = number.type;
  protocol.nodes.push_back(least);
  return id + 1;
}

/// The protocol with a length in days for every stage that follows the site's temperatures.
language::Protocol in_days(language::Protocol protocol) {
  for (std::size_t s = 0; s < protocol.stages.size(); ++s) {
    if (!language::follows_site(protocol.stages[s])) continue;
    std::optional<language::Gate>& gate = protocol.stages[s].gate;
    if (gate) gate->kind = language::Gate::Kind::observation;
    if (!protocol.stages[s].heat) continue;
    const language::FormulaId at_most = gate ? gate->at_most : language::no_formula;
    const language::FormulaId days = add_days(protocol, sheet::nominal_series_days, at_most);
    Stage& stage = protocol.stages[s];
    stage.heat.reset();
    stage.shortest = stage.usual = stage.longest = days;
  }
  return protocol;
}

/// One batch where people work every day. It is given a start: then the parts come ready for each
/// other as early as can be, whatever time of the year the protocol asks for.
std::optional<Sheet> course_of(const std::shared_ptr<const Template>& t) {
  if (t == nullptr) return std::nullopt;
  const sheet::Site site;
  Sheet sheet(t, site);
  sheet::BatchFacts batch;
  constexpr double some_plants = 100;
  batch.plants = some_plants;
  batch.not_before = calendar::last_day / 2;
  sheet.add(batch);
  sheet.evaluate();
  if (sheet.conflict(0) || std::isnan(sheet.value(t->ready, 0))) return std::nullopt;
  return sheet;
}

}  // namespace

std::optional<Sheet> usual_course(const std::shared_ptr<const Template>& t) {
  // Thirty days of warmth may not fit between the limits that are written; then any length will do.
  text::Diagnostics ignored;
  std::optional<Sheet> course = course_of(sheet::compile(in_days(t->protocol), ignored));
  return course ? std::move(course) : course_of(t);
}

}  // namespace budwood::graph
