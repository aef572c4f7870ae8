#include <algorithm>

#include "sheet/counts/prospects.hpp"
#include "sheet/template/template_builder.hpp"

/// Counts, worked back from the plants ordered, a chain at a time.
namespace budwood::sheet {

using language::Stage;
using language::Type;
namespace limits = language::limits;

namespace {

const Type share_type = Type::quantity(units::number);

/// As many as a batch can order, a hundred times over: beyond it there is a slip of the pen.
constexpr double most_worked_out = 1e9;

}  // namespace

void TemplateBuilder::add_counts() {
  for (std::int32_t s = 0; s < stage_count(); ++s) {
    add_survival(s);
    add_kept(s);
    add_yield(s);
  }
  find_chains();
  add_assurances();
  for (Chain& chain : t_.chains) {
    add_needed(chain);
    add_start(chain);
    add_dwindling(chain);
  }
}

std::vector<StageId> TemplateBuilder::takers_of(std::int32_t s) const {
  std::vector<StageId> out;
  for (std::int32_t i = 0; i < stage_count(); ++i) {
    const std::vector<StageId>& takes = stage(i).takes;
    if (std::find(takes.begin(), takes.end(), s) != takes.end()) out.push_back(StageId(i));
  }
  return out;
}

/// Whether the number at the start of a stage is decided there, not by what comes from before.
bool TemplateBuilder::starts_chain(std::int32_t s) const {
  const Stage& one = stage(s);
  if (one.takes.empty() || !one.joined.empty()) return true;
  if (one.whole != language::no_formula || one.minimum != language::no_formula) return true;
  const Stage& before = stage(one.takes.front());
  return before.yields != language::no_formula || before.discards_surplus ||
         takers_of(one.takes.front()).size() > 1;
}

void TemplateBuilder::find_chains() {
  for (std::int32_t s = 0; s < stage_count(); ++s) {
    if (!starts_chain(s)) continue;
    Chain chain;
    chain.stages.push_back(StageId(s));
    chain.next = takers_of(s);
    while (chain.next.size() == 1 && !starts_chain(chain.next.front())) {
      chain.stages.push_back(chain.next.front());
      chain.next = takers_of(chain.stages.back());
    }
    t_.chains.push_back(std::move(chain));
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
    expect(loss, limits::loses, ", in `" + written.name + "`", span);
  }
  const CellId id = add_program(written.name + ".survival", share_type, span, survival);
  label(id, "the loss of `" + written.name + "`");
  cells_of(s).survival = id;
  cells_of(s).evidence = add_evidence(s);
}

/// What comes through may rest on a count: of the plants that do (`loses 1 - take`) or of those
/// that do not (`loses rot`).
Evidence TemplateBuilder::add_evidence(std::int32_t s) {
  const auto loss = language::loss_input(p_, stage(s));
  if (!loss) return {};
  const language::Input& input = p_.inputs[loss->input];
  const auto given = [&](const char* what, const ProgramText& program) {
    const CellId id = add_cell(stage(s).name + what, Cell::Kind::input, share_type, input.span);
    set_program(id, program);
    return id;
  };
  Evidence out;
  out.input = loss->input;
  out.lost = loss->lost;
  out.good =
      given(".good", ProgramText().constant(loss->lost ? input.seen - input.good : input.good));
  // A site or batch that sets another share does not rest on the count of the protocol. How far
  // batches differ holds for other shares too.
  const auto as_counted = [&](double count) {
    ProgramText program;
    program.cell(t_.inputs[loss->input]);
    append(program, input.usual);
    program.operation(Operation::equal).constant(count).constant(0).operation(Operation::choose);
    return program;
  };
  out.seen = given(".seen", as_counted(input.seen));
  out.batches = given(".batches", as_counted(input.batches));
  out.likeness = given(".likeness", ProgramText().constant(input.likeness));
  return out;
}

void TemplateBuilder::add_yield(std::int32_t s) {
  const Stage& written = stage(s);
  if (written.yields == language::no_formula) return;
  ProgramText program;
  append(program, written.yields);
  const CellId id = add_program(written.name + ".yield", share_type, written.yields_span, program);
  written_as(id, written.yields);
  label(id, "the yield of `" + written.name + "`");
  expect(id, limits::yields, ", in `" + written.name + "`", written.yields_span);
  cells_of(s).yield = id;
}

/// How many a chain must bring, before they multiply: what the stages need that take them.
void TemplateBuilder::add_needed(Chain& chain) {
  const std::int32_t last = chain.stages.back();
  ProgramText program;
  if (chain.next.empty()) {
    program.cell(t_.ordered).constant(1).cell(t_.spare).operation(Operation::add);
    program.operation(Operation::multiply).operation(Operation::ceil);
  } else {
    program.cell(cells_of(chain.next.front()).plants);
    for (std::size_t i = 1; i < chain.next.size(); ++i) {
      program.cell(cells_of(chain.next[i]).plants).operation(Operation::add);
    }
  }
  if (cells_of(last).yield != no_cell) {
    program.cell(cells_of(last).yield).operation(Operation::divide).operation(Operation::ceil);
  }
  chain.needed =
      add_program(stage(last).name + ".needed", language::plants_type, stage(last).span, program);
  label(chain.needed, "the number needed from `" + stage(last).name + "`");
}

/// How sure each chain is made. Programs come when all other cells have theirs.
void TemplateBuilder::add_assurances() {
  const auto losing = std::count_if(t_.chains.begin(), t_.chains.end(),
                                    [&](const Chain& chain) { return loses(t_, chain); });
  for (Chain& chain : t_.chains) {
    chain.sure = t_.sure;
    if (losing < 2 || !loses(t_, chain)) continue;
    const language::Stage& first = stage(chain.stages.front());
    chain.sure = add_cell(first.name + ".sure", Cell::Kind::formula, share_type, first.span);
    show_in(chain.sure, *units::find_unit("%"));
    label(chain.sure, "how sure `" + first.name + "` is made of its number");
    t_.assurances.levels.push_back(chain.sure);
  }
}

/// How many plants a chain starts with: enough for what is needed at its end, at least the minimum,
/// and so many that trays are full.
void TemplateBuilder::add_start(const Chain& chain) {
  const std::int32_t first = chain.stages.front();
  ProgramText start;
  start.cell(chain.needed);
  std::uint32_t losses = 0;
  for (const std::int32_t s : chain.stages) {
    const StageCells& cells = cells_of(s);
    if (cells.kept != no_cell) {
      ++losses;
      start.cell(cells.kept).constant(0).constant(0).constant(0).constant(0);
    }
    if (cells.loss == no_cell) continue;
    ++losses;
    start.cell(cells.survival);
    if (cells.evidence.seen == no_cell) {
      start.constant(0).constant(0).constant(0).constant(0);
    } else {
      const Evidence& one = cells.evidence;
      start.cell(one.good).cell(one.seen).cell(one.batches).cell(one.likeness);
    }
  }
  start.cell(chain.sure).start(losses);
  if (const language::FormulaId minimum = stage(first).minimum; minimum != language::no_formula) {
    if (p_.node(minimum).kind == language::Node::Kind::constant) {
      append(start, minimum);  // was judged with the protocol
    } else {
      const CellId least =
          add_formula(stage(first).name + ".minimum", minimum, stage(first).minimum_span);
      label(least, "the minimum of `" + stage(first).name + "`");
      expect(least, limits::minimum, ", in `" + stage(first).name + "`", stage(first).minimum_span);
      start.cell(least);
    }
    start.operation(Operation::maximum).operation(Operation::ceil);
  }
  if (stage(first).whole != language::no_formula) {
    append(start, stage(first).whole);
    start.operation(Operation::divide).operation(Operation::ceil);
    append(start, stage(first).whole);
    start.operation(Operation::multiply);
  }
  if (const language::Use* tray = language::tray_of(p_, stage(first))) {
    // Without full trays it is made up to whole plants, as it is.
    const auto plants_in_one = [&] {
      start.cell(t_.full_trays);
      append(start, tray->share.per);
      start.constant(1).operation(Operation::choose);
    };
    plants_in_one();
    start.operation(Operation::divide).operation(Operation::ceil);
    plants_in_one();
    start.operation(Operation::multiply);
  }
  const CellId plants = cells_of(first).plants;
  set_program(plants, start);
  expect_between(plants, 0, most_worked_out, false,
                 "More plants than " + units::format_number(most_worked_out) +
                     " would have to be started in `" + stage(first).name + "`",
                 stage(first).span);
}

/// Expected numbers run on unrounded; whole plants are what is handled.
void TemplateBuilder::add_dwindling(const Chain& chain) {
  for (std::size_t i = 0; i < chain.stages.size(); ++i) {
    const StageCells& cells = cells_of(chain.stages[i]);
    const CellId from = i == 0 ? cells.plants : cells_of(chain.stages[i - 1]).left;
    if (i > 0) set_program(cells.plants, ProgramText().cell(from).operation(Operation::ceil));
    ProgramText left;
    if (cells.kept == no_cell) {
      left.cell(from).cell(cells.survival).operation(Operation::multiply);
    } else {
      add_picked(chain.stages[i], from);
      left = brought(chain.stages[i]);
    }
    if (stage(chain.stages[i]).discards_surplus) {
      left.cell(chain.needed).operation(Operation::minimum);
    }
    if (cells.yield != no_cell) left.cell(cells.yield).operation(Operation::multiply);
    set_program(cells.left, left);
  }
}

}  // namespace budwood::sheet
