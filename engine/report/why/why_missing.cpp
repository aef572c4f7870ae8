#include <cmath>
#include <set>

#include "language/tree/written_formula.hpp"
#include "report/formats/wording.hpp"
#include "report/why/formula_words.hpp"
#include "report/why/why_values.hpp"

namespace budwood::report {

namespace {

using sheet::Cell;
using sheet::CellId;
using sheet::Instruction;

/// What of its program leaves a cell without a value, although all that it uses has one.
std::string lack(const Asked& asked, CellId id) {
  const sheet::Template& t = asked.t;
  const auto program = t.program(id);
  for (std::size_t i = 0; i < program.size(); ++i) {
    if (!std::isnan(asked.partial(id, i + 1))) continue;
    if (program[i].code == Instruction::Code::look_up) {
      const language::Table& table = t.protocol.tables[program[i].index];
      const auto shown = [&](double value) {
        return value_text(value, table.argument, t.protocol.system);
      };
      return "`" + table.name + "` is asked for " + shown(asked.partial(id, i)) +
             ", and goes from " + shown(table.at.front()) + " to " + shown(table.at.back()) +
             asked.at(table.span);
    }
    if (program[i].code == Instruction::Code::reading) {
      return "the stage sets nothing that answers `" +
             std::string(text::text_of(t.protocol.readings[program[i].index].span)) + "`";
    }
    const bool divides = program[i].code == Instruction::Code::operation &&
                         program[i].operation == language::Operation::divide && i > 0 &&
                         asked.partial(id, i) == 0;
    return divides ? "it divides by zero" : "it has no value, or one beyond all bounds";
  }
  return "it has no value";
}

void tell_conflict(Paragraphs& out, const sheet::DateConflict& conflict) {
  out.write("Its dates contradict each other" +
                (conflict.misses > 0 ? ", and miss by " + calendar::days_text(conflict.misses) + ":"
                                     : std::string(":")),
            1);
  for (const sheet::DateConflict::Line& line : conflict.lines) {
    out.write(line.text + at(line.span), 2);
  }
  for (const sheet::DateConflict::Repair& repair : conflict.repairs) {
    out.write("This would help: " + repair.text, 1);
  }
}

/// A cell without a value that another without one rests on; no cell when there is none.
CellId missing_below(const Asked& asked, CellId id) {
  const bool date = asked.t.cell(id).kind == Cell::Kind::date;
  for (const CellId used : date ? asked.t.dates.uses : asked.t.cell(id).uses) {
    if (std::isnan(asked.number(used))) return used;
  }
  return sheet::no_cell;
}

}  // namespace

void tell_missing(Paragraphs& out, const Asked& asked, CellId cell) {
  const sheet::Template& t = asked.t;
  out.write(t.cell(cell).name + " of " + asked.name() + " has no value.");
  std::set<CellId> seen;
  for (CellId id = cell; seen.insert(id).second;) {
    const auto& conflict = asked.row.conflict();
    if (t.cell(id).kind == Cell::Kind::date && conflict) return tell_conflict(out, *conflict);
    const CellId below = missing_below(asked, id);
    if (below != sheet::no_cell) {
      out.write(t.cell(id).name + " rests on " + t.cell(below).name + ", which has none" +
                    asked.at(t.cell(id).span) + ".",
                1);
      id = below;
      continue;
    }
    std::string why =
        t.cell(id).kind == Cell::Kind::date ? "no date could be worked out" : lack(asked, id);
    if (t.cell(id).formula != language::no_formula) {
      why += " in `" + language::written_formula(t.protocol, t.cell(id).formula) + "`, here " +
             valued_formula(asked, t.cell(id).formula);
    }
    out.write(t.cell(id).name + ": " + why + asked.at(t.cell(id).span) + ".", 1);
    return;
  }
}

}  // namespace budwood::report
