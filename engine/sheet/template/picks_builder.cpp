#include "sheet/template/template_builder.hpp"

/// Plants that are picked in portions, and sorted.
namespace budwood::sheet {

using language::Grade;
using language::Type;
namespace limits = language::limits;

namespace {

const Type of_plants = Type::quantity(units::number);
/// Keeps what divides by what is left off nothing.
constexpr double hardly_any = 1e-12;

bool goes_on(const Grade& grade) {
  return grade.way == Grade::Way::goes_on;
}

}  // namespace

/// The sum of shares, which is all plants at most.
CellId TemplateBuilder::add_portions(const std::string& name, const std::string& what,
                                     std::span<const CellId> of, const text::Span& span) {
  ProgramText sum;
  sum.constant(0);
  for (const CellId one : of) sum.cell(one).operation(Operation::add);
  const CellId id = add_program(name, of_plants, span, sum);
  show_in(id, *units::find_unit("%"));
  label(id, what);
  expect_between(id, 0, 1, false, "More than all plants are in " + what, span);
  return id;
}

/// The share of what comes through a stage that goes on.
void TemplateBuilder::add_kept(std::int32_t s) {
  const language::Stage& written = stage(s);
  if (written.picks.empty()) return;
  const std::string of = " of `" + written.name + "`";
  const auto share = [&](const std::string& name, language::FormulaId formula,
                         const text::Span& span) {
    const CellId id = add_formula(name, formula, span);
    show_in(id, *units::find_unit("%"));
    label(id, "`" + name + "`");
    expect(id, limits::portion, ", in `" + written.name + "`", span);
    return id;
  };
  ProgramText kept;
  kept.constant(1);
  StageCells& cells = cells_of(s);
  if (language::picks_in_portions(written)) {
    for (std::size_t i = 0; i < written.picks.size(); ++i) {
      const language::Picking& one = written.picks[i];
      cells.pick_shares.push_back(
          share(written.name + ".pick_" + std::to_string(i + 1), one.share, one.span));
    }
    const CellId all = add_portions(written.name + ".picks", "the pickings" + of, cells.pick_shares,
                                    written.picks.front().span);
    kept.cell(all).operation(Operation::multiply);
  }
  if (!written.grades.empty()) {
    std::vector<CellId> going_on;
    for (const Grade& one : written.grades) {
      cells.grade_shares.push_back(share(written.name + ".share_" + one.name, one.share, one.span));
      if (goes_on(one)) going_on.push_back(cells.grade_shares.back());
    }
    add_portions(written.name + ".sorted", "the grades" + of, cells.grade_shares,
                 written.grades.front().span);
    const CellId on = add_portions(written.name + ".goes_on", "the grades that go on" + of,
                                   going_on, written.grades.front().span);
    kept.cell(on).operation(Operation::multiply);
  }
  cells.kept = add_program(written.name + ".kept", of_plants, written.picks.front().span, kept);
  show_in(cells.kept, *units::find_unit("%"));
  label(cells.kept, "the share" + of + " that goes on");
  expect_at_least(cells.kept, 0, true, "No plant goes on from `" + written.name + "`",
                  written.picks.front().span);
}

/// What each picking takes, and what of it is of which grade. Where a picking was counted, each
/// plant that it left is taken by the next one as if the first had not been (the multinomial
/// distribution, given its first numbers): so more in the first means less in the second.
void TemplateBuilder::add_picked(std::int32_t s, CellId from) {
  const language::Stage& written = stage(s);
  StageCells& cells = cells_of(s);
  const bool portions = language::picks_in_portions(written);
  for (std::size_t i = 0; i < written.picks.size(); ++i) {
    ProgramText picked;
    picked.cell(from);
    for (std::size_t j = 0; j < i; ++j) picked.cell(cells.picked[j]).operation(Operation::subtract);
    picked.constant(0).operation(Operation::maximum);
    picked.cell(cells.survival).operation(Operation::multiply);
    if (portions) picked.cell(cells.pick_shares[i]).operation(Operation::multiply);
    if (i > 0) {
      picked.constant(1);
      for (std::size_t j = 0; j < i; ++j) {
        picked.cell(cells.survival).cell(cells.pick_shares[j]).operation(Operation::multiply);
        picked.operation(Operation::subtract);
      }
      picked.constant(hardly_any).operation(Operation::maximum).operation(Operation::divide);
    }
    const std::string number = portions ? "_" + std::to_string(i + 1) : "";
    const CellId id = add_program(written.name + ".picked" + number, language::plants_type,
                                  written.picks[i].span, picked);
    label(id, (portions ? "what picking " + std::to_string(i + 1) + " of `"
                        : std::string("what is sorted of `")) +
                  written.name + "` brings");
    cells.picked.push_back(id);
    set_program(cells.handled[i], ProgramText().cell(id).operation(Operation::ceil));
  }
  for (std::size_t g = 0; g < written.grades.size(); ++g) {
    ProgramText graded;
    graded.constant(0);
    for (const CellId picked : cells.picked) graded.cell(picked).operation(Operation::add);
    graded.cell(cells.grade_shares[g]).operation(Operation::multiply);
    const CellId id = add_program(written.name + ".grade_" + written.grades[g].name,
                                  language::plants_type, written.grades[g].span, graded);
    label(id, "grade `" + written.grades[g].name + "` of `" + written.name + "`");
    cells.grades.push_back(id);
  }
}

/// What goes on, before it multiplies.
ProgramText TemplateBuilder::brought(std::int32_t s) const {
  const language::Stage& written = p_.stages[s];
  const StageCells& cells = t_.stages[s];
  ProgramText sum;
  sum.constant(0);
  if (written.grades.empty()) {
    for (const CellId picked : cells.picked) sum.cell(picked).operation(Operation::add);
  }
  for (std::size_t g = 0; g < written.grades.size(); ++g) {
    if (goes_on(written.grades[g])) sum.cell(cells.grades[g]).operation(Operation::add);
  }
  return sum;
}

/// What stands behind is put together: so much of the space as there are plants that were not
/// picked.
void TemplateBuilder::scale_by_standing(ProgramText& program, StageId s,
                                        const language::Space& space) const {
  if (space.picked == 0) return;
  const StageCells& cells = t_.stages[s];
  program.cell(cells.plants);
  for (int i = 0; i < space.picked; ++i) {
    program.cell(cells.picked[static_cast<std::size_t>(i)]).operation(Operation::subtract);
  }
  program.constant(0).operation(Operation::maximum);
  program.cell(cells.plants).constant(1).operation(Operation::maximum).operation(Operation::divide);
  program.operation(Operation::multiply);
  if (space.noun != "m2" && space.noun != "L") program.operation(Operation::ceil);
}

/// The plants that a work is about: those of its picking, else those of its stage.
CellId TemplateBuilder::plants_of(const language::UsePlace& place) const {
  const language::Work& work = p_.stages[place.stage].works[place.work];
  const StageCells& cells = t_.stages[place.stage];
  return work.picks == 0 ? cells.plants : cells.handled[static_cast<std::size_t>(work.picks) - 1];
}

}  // namespace budwood::sheet
