#include "sheet/template/template_builder.hpp"

#include <algorithm>

#include "sheet/columns/stage_climate.hpp"
#include "sheet/template/cell_names.hpp"
#include "units/units.hpp"

namespace budwood::sheet {

using language::FormulaId;
using language::Node;
using language::Property;
using language::Type;

namespace {

const Type days_type = Type::quantity(units::number);

}  // namespace

ProgramText& ProgramText::constant(double value) {
  Instruction step;
  step.value = value;
  steps_.push_back(step);
  return *this;
}

ProgramText& ProgramText::cell(CellId id) {
  return code(Instruction::Code::cell, id);
}

ProgramText& ProgramText::operation(Operation operation) {
  Instruction step;
  step.code = Instruction::Code::operation;
  step.operation = operation;
  steps_.push_back(step);
  return *this;
}

ProgramText& ProgramText::code(Instruction::Code code, std::uint32_t index) {
  Instruction step;
  step.code = code;
  step.index = index;
  steps_.push_back(step);
  return *this;
}

ProgramText& ProgramText::start(std::uint32_t losses) {
  return code(Instruction::Code::start, losses);
}

void TemplateBuilder::build() {
  declare_stages();
  add_inputs();
  for (std::size_t i = 0; i < p_.lets.size(); ++i) {
    t_.lets.push_back(
        add_cell(p_.lets[i].name, Cell::Kind::formula, p_.lets[i].type, p_.lets[i].span));
  }
  // Any other formula may ask for the climate of a stage.
  add_settings();
  for (std::int32_t s = 0; s < stage_count(); ++s) add_lengths(s);
  add_counts();
  for (std::int32_t s = 0; s < stage_count(); ++s) add_works(s);
  for (const auto& set : later_) set();
  add_hours();
  add_lets();
  add_dates();
  add_requirements();
}

CellId TemplateBuilder::add_cell(std::string name, Cell::Kind kind, const Type& type,
                                 const text::Span& span) {
  Cell cell;
  cell.name = std::move(name);
  cell.kind = kind;
  cell.type = type;
  cell.span = span;
  t_.cells.push_back(std::move(cell));
  return static_cast<CellId>(t_.cells.size() - 1);
}

namespace {

void rest_on(Cell& cell, CellId used) {
  const bool known = std::find(cell.uses.begin(), cell.uses.end(), used) != cell.uses.end();
  if (!known) cell.uses.push_back(used);
}

}  // namespace

void TemplateBuilder::set_program(CellId id, const ProgramText& program) {
  Cell& cell = t_.cells[id];
  cell.first = static_cast<std::uint32_t>(t_.code.size());
  cell.count = static_cast<std::uint32_t>(program.steps().size());
  for (const Instruction& step : program.steps()) {
    t_.code.push_back(step);
    if (step.code == Instruction::Code::cell) rest_on(cell, step.index);
    if (step.code == Instruction::Code::chilling) {
      const StageId of(static_cast<std::int32_t>(step.index));
      language::Reading kept;
      kept.stage = of;
      kept.measure = *p_.stages[of].gate->kept;
      kept.moment = language::Reading::Moment::first;
      for (const CellId used : cells_behind(p_, t_.stages, kept)) rest_on(cell, used);
    }
    if (step.code == Instruction::Code::reading) {
      for (const CellId used : cells_behind(p_, t_.stages, p_.readings[step.index])) {
        rest_on(cell, used);
      }
    }
  }
}

CellId TemplateBuilder::add_program(std::string name, const Type& type, const text::Span& span,
                                    const ProgramText& program) {
  const CellId id = add_cell(std::move(name), Cell::Kind::formula, type, span);
  set_program(id, program);
  return id;
}

CellId TemplateBuilder::add_formula(std::string name, FormulaId formula, const text::Span& span) {
  ProgramText program;
  append(program, formula);
  const CellId id = add_program(std::move(name), p_.node(formula).type, span, program);
  written_as(id, formula);
  return id;
}

/// A length is judged before it becomes whole days, which hide what is below nothing. The upper end
/// is that of the days. What is written as a number was judged with the protocol.
void TemplateBuilder::expect_low(const std::string& name, FormulaId formula, language::Limit limit,
                                 const std::string& where, const text::Span& span) {
  if (p_.node(formula).kind == Node::Kind::constant) return;
  limit.high = std::numeric_limits<double>::infinity();
  const CellId id = add_formula(name, formula, span);
  label(id, "the length" + (where.starts_with(" in ") ? " of" + where.substr(3) : where));
  expect(id, limit, "," + where, span);
}

/// A number of days.
CellId TemplateBuilder::add_days(std::string name, const ProgramText& program,
                                 const text::Span& span) {
  units::Unit days;
  days.symbol = "days";
  const CellId id = add_program(std::move(name), days_type, span, program);
  show_in(id, days);
  return id;
}

void TemplateBuilder::append(ProgramText& program, FormulaId formula) const {
  const Node& node = p_.node(formula);
  switch (node.kind) {
    case Node::Kind::constant:
      program.constant(node.value);
      return;
    case Node::Kind::input:
      program.cell(t_.inputs[static_cast<std::size_t>(node.target)]);
      return;
    case Node::Kind::let:
      program.cell(t_.lets[static_cast<std::size_t>(node.target)]);
      return;
    case Node::Kind::cell:
      program.cell(cell_of(t_, node.target, node.property));
      // The cell counts days; in formulas it is a length of time like any other.
      if (node.property == Property::days) {
        program.constant(units::seconds_a_day).operation(Operation::multiply);
      }
      return;
    case Node::Kind::reading:
      program.code(Instruction::Code::reading, static_cast<std::uint32_t>(node.target));
      return;
    case Node::Kind::look_up:
      append(program, node.children[0]);
      program.code(Instruction::Code::look_up, static_cast<std::uint32_t>(node.target));
      return;
    case Node::Kind::apply:
      for (const FormulaId child : node.children) {
        if (child != language::no_formula) append(program, child);
      }
      program.operation(node.operation);
      return;
  }
}

/// The cells that other formulas may name, before any formula is compiled.
void TemplateBuilder::declare_stages() {
  t_.ordered = add_cell("batch.plants", Cell::Kind::ordered, language::plants_type, p_.span);
  t_.sure = add_cell("batch.sure", Cell::Kind::sure, Type::quantity(units::number), p_.span);
  show_in(t_.sure, *units::find_unit("%"));
  t_.spare = add_cell("batch.spare", Cell::Kind::input, Type::quantity(units::number), p_.span);
  set_program(t_.spare, ProgramText().constant(0));
  show_in(t_.spare, *units::find_unit("%"));
  label(t_.spare, "the share to spare");
  t_.full_trays =
      add_cell("batch.full_trays", Cell::Kind::input, Type::quantity(units::number), p_.span);
  set_program(t_.full_trays, ProgramText().constant(0));
  label(t_.full_trays, "whether trays are filled");
  t_.lead = add_cell("batch.lead", Cell::Kind::lead, Type::quantity(units::number), p_.span);
  t_.ready = add_cell("batch.ready", Cell::Kind::date, Type::date(), p_.span);
  t_.hours = add_cell("batch.hours", Cell::Kind::formula, Type::quantity(units::time), p_.span);
  t_.stages.resize(p_.stages.size());
  for (std::int32_t s = 0; s < stage_count(); ++s) {
    StageCells& cells = cells_of(s);
    const std::string name = stage(s).name;
    const text::Span& span = stage(s).span;
    const auto date = [&](const char* what) {
      return add_cell(name + what, Cell::Kind::date, Type::date(), span);
    };
    const auto formula = [&](const char* what, const Type& type) {
      return add_cell(name + what, Cell::Kind::formula, type, span);
    };
    cells.start = date(".start");
    cells.end = date(".end");
    cells.earliest = date(".earliest");
    cells.latest = date(".latest");
    cells.float_days = add_cell(name + ".float", Cell::Kind::date, days_type, span);
    cells.days = formula(".days", days_type);
    set_program(cells.days,
                ProgramText().cell(cells.end).cell(cells.start).operation(Operation::subtract));
    cells.plants = formula(".plants", language::plants_type);
    cells.left = formula(".left", language::plants_type);
    cells.hours = formula(".hours", Type::quantity(units::time));
    for (std::size_t i = 1; i <= stage(s).picks.size(); ++i) {
      cells.handled.push_back(
          formula((".handled_" + std::to_string(i)).c_str(), language::plants_type));
    }
  }
}

void TemplateBuilder::add_inputs() {
  for (const language::Input& input : p_.inputs) {
    const CellId id = add_cell(input.name, Cell::Kind::input, input.type, input.span);
    // Its usual value is a constant program, so that an input without a value of its own has one.
    ProgramText program;
    append(program, input.usual);
    set_program(id, program);
    t_.inputs.push_back(id);
    show_in(id, input.unit);
    if (input.lowest != language::no_formula && input.highest != language::no_formula) {
      expect_between(id, p_.node(input.lowest).value, p_.node(input.highest).value, false,
                     "`" + input.name + "` lies outside its range", input.span);
    }
  }
}

void TemplateBuilder::add_lets() {
  for (std::size_t i = 0; i < p_.lets.size(); ++i) {
    ProgramText program;
    append(program, p_.lets[i].value);
    set_program(t_.lets[i], program);
    written_as(t_.lets[i], p_.lets[i].value);
    if (p_.lets[i].unit) show_in(t_.lets[i], *p_.lets[i].unit);
  }
}

void TemplateBuilder::add_requirements() {
  for (std::size_t i = 0; i < p_.requirements.size(); ++i) {
    const language::Requirement& requirement = p_.requirements[i];
    const std::string name = (requirement.advice ? "advise." : "require.") + std::to_string(i + 1);
    t_.requirements.push_back(add_formula(name, requirement.condition, requirement.span));
    t_.cells[t_.requirements.back()].may_lack_value = !requirement.rule.empty();
    add_message(requirement);
  }
}

/// The values in a message are worked out when it is shown, not for every row.
void TemplateBuilder::add_message(const language::Requirement& requirement) {
  t_.messages.emplace_back();
  for (const language::Requirement::Piece& piece : requirement.message) {
    ProgramText program;
    if (piece.value != language::no_formula) append(program, piece.value);
    t_.messages.back().push_back(program.steps());
  }
}

void TemplateBuilder::expect(CellId cell, const language::Limit& limit, const std::string& where,
                             const text::Span& span) {
  Expectation expectation;
  expectation.cell = cell;
  expectation.low = limit.low;
  expectation.above_low = limit.low_open;
  expectation.high = limit.high;
  expectation.below_high = limit.high_open;
  expectation.message = limit.rule + where;
  expectation.span = span;
  t_.expectations.push_back(std::move(expectation));
}

void TemplateBuilder::expect_at_least(CellId cell, double low, bool above, std::string message,
                                      const text::Span& span) {
  Expectation expectation;
  expectation.cell = cell;
  expectation.low = low;
  expectation.above_low = above;
  expectation.high = std::numeric_limits<double>::infinity();
  expectation.message = std::move(message);
  expectation.span = span;
  t_.expectations.push_back(std::move(expectation));
}

void TemplateBuilder::expect_between(CellId cell, double low, double high, bool below,
                                     std::string message, const text::Span& span) {
  expect_at_least(cell, low, false, std::move(message), span);
  t_.expectations.back().high = high;
  t_.expectations.back().below_high = below;
}

void TemplateBuilder::expect_order(CellId low, CellId high, std::string message,
                                   const text::Span& span) {
  expect_at_least(high, -std::numeric_limits<double>::infinity(), false, std::move(message), span);
  t_.expectations.back().not_below = low;
}

}  // namespace budwood::sheet
