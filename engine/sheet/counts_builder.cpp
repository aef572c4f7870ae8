#include <algorithm>

#include "sheet/template_builder.hpp"

/// Counts, worked back from the plants ordered (a chain is what lies between two joins).
namespace budwood::sheet {

using language::Stage;
using language::Type;

namespace {

const Type plants_type = Type::quantity(units::count);
const Type share_type = Type::quantity(units::number);

}  // namespace

void TemplateBuilder::add_counts() {
  for (std::int32_t s = 0; s < stage_count(); ++s) add_survival(s);
  std::vector<bool> taken(p_.stages.size(), false);
  for (const Stage& one : p_.stages) {
    for (const std::int32_t from : one.takes) taken[static_cast<std::size_t>(from)] = true;
  }
  for (std::int32_t s = 0; s < stage_count(); ++s) {
    const bool last_of_protocol = !taken[static_cast<std::size_t>(s)];
    const bool before_join = std::any_of(p_.stages.begin(), p_.stages.end(), [&](const Stage& one) {
      return !one.joined.empty() &&
             std::find(one.takes.begin(), one.takes.end(), s) != one.takes.end();
    });
    if (last_of_protocol || before_join) add_chain(s);
  }
}

void TemplateBuilder::add_survival(std::int32_t s) {
  const Stage& written = stage(s);
  const bool loses = written.loses != language::no_formula;
  const text::Span& span = loses ? p_.node(written.loses).span : written.span;
  ProgramText survival;
  survival.constant(1);
  if (loses) {
    const CellId loss = add_formula(written.name + ".loss", written.loses, span);
    label(loss, "the loss of `" + written.name + "`");
    show_in(loss, *units::find_unit("%"));
    cells_of(s).loss = loss;
    survival.cell(loss).operation(Operation::subtract);
    // A loss of everything would need endlessly many plants to start with.
    expect_between(loss, 0, 1, true,
                   "The loss of `" + written.name + "` is not between 0 % and just under 100 %",
                   span);
  }
  const CellId id = add_program(written.name + ".survival", share_type, span, survival);
  label(id, "the loss of `" + written.name + "`");
  cells_of(s).survival = id;
}

/// The chain that ends with `last`: plants to start with at its head, and how they dwindle.
void TemplateBuilder::add_chain(std::int32_t last) {
  std::vector<std::int32_t> chain{last};
  while (stage(chain.back()).joined.empty() && !stage(chain.back()).takes.empty()) {
    chain.push_back(stage(chain.back()).takes.front());
  }
  std::reverse(chain.begin(), chain.end());

  CellId needed = t_.ordered;
  for (std::int32_t s = 0; s < stage_count(); ++s) {
    const std::vector<std::int32_t>& takes = stage(s).takes;
    if (std::find(takes.begin(), takes.end(), last) != takes.end()) needed = cells_of(s).plants;
  }
  ProgramText start;
  start.cell(needed).cell(cells_of(chain.front()).survival);
  for (std::size_t i = 1; i < chain.size(); ++i) {
    start.cell(cells_of(chain[i]).survival).operation(Operation::multiply);
  }
  start.operation(Operation::divide).operation(Operation::ceil);
  set_program(cells_of(chain.front()).plants, start);

  for (std::size_t i = 0; i < chain.size(); ++i) {
    const StageCells& cells = cells_of(chain[i]);
    // Expected numbers run on unrounded; whole plants are what is handled.
    const CellId from = i == 0 ? cells.plants : cells_of(chain[i - 1]).left;
    if (i > 0) set_program(cells.plants, ProgramText().cell(from).operation(Operation::ceil));
    set_program(cells.left,
                ProgramText().cell(from).cell(cells.survival).operation(Operation::multiply));
  }
}

}  // namespace budwood::sheet
