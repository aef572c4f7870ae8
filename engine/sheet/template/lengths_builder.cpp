#include <limits>

#include "sheet/columns/kept_cold.hpp"
#include "sheet/template/template_builder.hpp"

/// Lengths of stages: in days, in degree-days, until a gate; and waits.
namespace budwood::sheet {

using language::FormulaId;
using language::no_formula;
using language::Type;

namespace limits = language::limits;

/// The degrees above the base, on average over day and night, of the temperature that the stage
/// keeps; no cell when its length is not in degree-days.
CellId TemplateBuilder::add_heat(std::int32_t s) {
  const language::Stage& written = stage(s);
  if (!written.heat || written.heat->day == no_formula) return no_cell;
  const language::Heat& heat = *written.heat;
  ProgramText program;
  for (const FormulaId kept : {heat.day, heat.night}) {
    append(program, kept);
    if (heat.upper != no_formula) {
      append(program, heat.upper);
      program.operation(Operation::minimum);
    }
    append(program, heat.base);
    program.operation(Operation::subtract).constant(0).operation(Operation::maximum);
  }
  program.operation(Operation::add).constant(2).operation(Operation::divide);
  const CellId id =
      add_program(written.name + ".heat", Type::quantity(units::temperature), heat.span, program);
  label(id, "the warmth of `" + written.name + "` above its base");
  expect_at_least(id, 0, true,
                  "`" + written.name +
                      "` is never warmer than its base temperature, so its degree-days are never "
                      "reached",
                  heat.span);
  if (heat.upper != no_formula) {
    ProgramText span;
    append(span, heat.upper);
    append(span, heat.base);
    span.operation(Operation::subtract);
    const CellId range = add_program(written.name + ".heat_range",
                                     Type::quantity(units::temperature), heat.span, span);
    expect_at_least(range, 0, true, "The upper limit of the degree-days is not above their base",
                    heat.span);
  }
  return id;
}

/// Degree-days that come from the site's temperatures stay sums until there are dates.
void TemplateBuilder::add_series_heat(std::int32_t s) {
  const language::Stage& written = stage(s);
  const language::Heat& heat = *written.heat;
  StageCells& cells = cells_of(s);
  const auto sum = [&](const char* what, FormulaId formula) {
    const CellId id = add_formula(written.name + what, formula, written.length_span);
    expect(id, limits::heat_sum, ", in `" + written.name + "`", written.length_span);
    return id;
  };
  cells.shortest = sum(".shortest", written.shortest);
  cells.usual = sum(".usual", written.usual);
  cells.longest = sum(".longest", written.longest);
  expect_order(cells.shortest, cells.usual,
               "The usual degree-days of `" + written.name + "` are fewer than the fewest",
               written.length_span);
  expect_order(cells.usual, cells.longest,
               "The usual degree-days of `" + written.name + "` are more than the most",
               written.length_span);
  cells.series_lower = add_formula(written.name + ".base", heat.base, heat.span);
  if (heat.upper != no_formula) {
    cells.series_upper = add_formula(written.name + ".upper", heat.upper, heat.span);
    expect_order(cells.series_lower, cells.series_upper,
                 "The upper limit of the degree-days is below their base", heat.span);
  }
  if (written.gate && written.gate->at_most != no_formula) add_gate_limit(s);
  add_wait(s);
}

void TemplateBuilder::add_lengths(std::int32_t s) {
  const language::Stage& written = stage(s);
  StageCells& cells = cells_of(s);
  if (written.heat && written.heat->day == no_formula) {
    add_series_heat(s);
    return;
  }
  const CellId heat = add_heat(s);
  const CellId cold = add_kept_chilling(s);
  const auto days = [&](const char* what, FormulaId formula, FormulaId at_most = no_formula) {
    ProgramText program;
    append(program, formula);
    // Degree-days over the degrees above the base are the time they take.
    if (heat != no_cell) program.cell(heat).operation(Operation::divide);
    if (at_most != no_formula) {
      append(program, at_most);
      program.operation(Operation::maximum);
    }
    program.code(Instruction::Code::whole_days);
    if (cold != no_cell) program.cell(cold).operation(Operation::maximum);
    const CellId id = add_days(written.name + what, program, written.length_span);
    written_as(id, formula);
    label(id, "the length of `" + written.name + "`");
    return id;
  };
  cells.shortest = days(".shortest", written.shortest);
  cells.usual = days(".usual", written.usual);
  const FormulaId gate_limit = written.gate ? written.gate->at_most : no_formula;
  // A gate can hold the plants longer than nature needs; of what is kept it is known how long.
  cells.longest = days(".longest", written.longest, cold == no_cell ? gate_limit : no_formula);
  const std::string name = "`" + written.name + "`";
  const std::string where = " in " + name;
  if (heat != no_cell) {
    expect_low(written.name + ".shortest_sum", written.shortest, limits::heat_sum, where,
               written.length_span);
  } else {
    if (written.shortest != written.longest) {
      expect_low(written.name + ".shortest_time", written.shortest, limits::shortest, where,
                 written.length_span);
    }
    expect_low(written.name + ".longest_time", written.longest, limits::longest, where,
               written.length_span);
  }
  expect(cells.shortest, limits::shortest, ", in " + name, written.length_span);
  language::Limit longest = limits::longest.in(limits::day);
  longest.low_open = false;  // some hours are no whole day
  expect(cells.longest, longest, ", in " + name, written.length_span);
  if (written.usual != written.shortest || written.usual != written.longest) {
    expect_order(cells.shortest, cells.usual,
                 "The usual length of " + name + " is shorter than its shortest",
                 written.length_span);
    expect_order(cells.usual, cells.longest,
                 "The usual length of " + name + " is longer than its longest",
                 written.length_span);
  }
  if (gate_limit != no_formula) {
    add_gate_limit(s);
    expect_order(cells.usual, cells.gate_limit,
                 "The gate of " + name + " gives up before the stage is usually over",
                 written.gate->span);
  }
  add_chilling(s);
  add_wait(s);
}

/// The day on which a gate gives up.
void TemplateBuilder::add_gate_limit(std::int32_t s) {
  const language::Gate& gate = *stage(s).gate;
  ProgramText limit;
  append(limit, gate.at_most);
  limit.code(Instruction::Code::floor_days);
  cells_of(s).gate_limit = add_days(stage(s).name + ".at_most", limit, gate.span);
  written_as(cells_of(s).gate_limit, gate.at_most);
}

/// Chilling that a gate counts on the site's temperatures.
void TemplateBuilder::add_chilling(std::int32_t s) {
  const language::Stage& written = stage(s);
  if (!written.gate || written.gate->kind != language::Gate::Kind::chilling) return;
  const language::Gate& gate = *written.gate;
  if (gate.kept) return;
  StageCells& cells = cells_of(s);
  const auto cell = [&](const char* what, FormulaId formula) {
    return formula == no_formula ? no_cell : add_formula(written.name + what, formula, gate.span);
  };
  cells.series_lower = cell(".chill_lower", gate.lower);
  cells.series_best = cell(".chill_best", gate.best);
  cells.series_upper = cell(".chill_upper", gate.upper);
  cells.series_target = cell(".chill_target", gate.target);
  expect_cold({cells.series_lower, cells.series_best, cells.series_upper, cells.series_target},
              gate.span);
}

/// What holds of the temperatures of a gate, and of what it wants.
void TemplateBuilder::expect_cold(const ColdCells& cells, const text::Span& span) {
  expect_at_least(cells.target, 0, true, "The chilling wanted is not above zero", span);
  if (cells.best != no_cell) {
    ProgramText least;
    least.cell(cells.best).cell(cells.lower).operation(Operation::subtract);
    least.cell(cells.upper).cell(cells.best).operation(Operation::subtract);
    least.operation(Operation::minimum);
    const CellId apart = add_program(t_.cells[cells.best].name + "_apart",
                                     Type::quantity(units::temperature), span, least);
    expect_at_least(apart, 0, true,
                    "The best temperature does not lie between the lowest and the highest", span);
  } else if (cells.lower != no_cell) {
    expect_order(cells.lower, cells.upper, "These temperatures are upside down", span);
  }
}

/// The days that chilling takes at the temperatures which the stage keeps; no cell when it counts
/// none, or counts on the site's.
CellId TemplateBuilder::add_kept_chilling(std::int32_t s) {
  const language::Stage& written = stage(s);
  if (!written.gate || !written.gate->kept) return no_cell;
  const language::Gate& gate = *written.gate;
  const auto cell = [&](const char* what, FormulaId formula) {
    return formula == no_formula ? no_cell : add_formula(written.name + what, formula, gate.span);
  };
  const ColdCells cells{cell(".chill_lower", gate.lower), cell(".chill_best", gate.best),
                        cell(".chill_upper", gate.upper), cell(".chill_target", gate.target)};
  expect_cold(cells, gate.span);
  ProgramText program;
  for (const CellId id : {cells.lower, cells.best, cells.upper, cells.target}) {
    if (id == no_cell) {
      program.constant(0);
    } else {
      program.cell(id);
    }
  }
  program.code(Instruction::Code::chilling, static_cast<std::uint32_t>(s));
  const CellId id = add_days(written.name + ".chilling", program, gate.span);
  cells_of(s).chilling = id;
  label(id, "the chilling of `" + written.name + "`");
  expect_between(id, 0, too_many_cold_days, true,
                 "At what `" + written.name + "` keeps, its chilling is never reached", gate.span);
  return id;
}

void TemplateBuilder::add_wait(std::int32_t s) {
  const language::Stage& written = stage(s);
  if (written.wait != language::Stage::Wait::stated) return;
  ProgramText program;
  append(program, written.longest_wait);
  program.code(Instruction::Code::floor_days);
  const CellId id = add_days(written.name + ".wait", program, written.wait_span);
  written_as(id, written.longest_wait);
  label(id, "the wait of `" + written.name + "`");
  cells_of(s).wait = id;
  expect(id, limits::wait.in(limits::day), ", in `" + written.name + "`", written.wait_span);
}

}  // namespace budwood::sheet
