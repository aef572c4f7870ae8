#include "language/localise.hpp"
#include "language/model.hpp"
#include "sheet/template/template_builder.hpp"

/// Labour, supplies and settings.
namespace budwood::sheet {

using language::FormulaId;
using language::no_formula;
using language::Type;
namespace limits = language::limits;

namespace {

const Type time_type = Type::quantity(units::time);
const Type number_type = Type::quantity(units::number);

}  // namespace

void TemplateBuilder::add_works(std::int32_t s) {
  const language::Stage& written = stage(s);
  for (std::size_t w = 0; w < written.works.size(); ++w) {
    const language::Work& work = written.works[w];
    const std::string name = written.name + ".work" + std::to_string(w + 1);
    WorkCells cells;
    add_labour(work, name, {StageId(s), language::WorkId(w), work.uses.size()}, cells);
    if (work.no_entry != no_formula) {
      cells.no_entry = add_formula(name + ".no_entry", work.no_entry, work.span);
      label(cells.no_entry, "the time without entry after \"" + work.title + "\"");
      expect(cells.no_entry, limits::no_entry, " after \"" + work.title + "\"", work.span);
    }
    const auto number = static_cast<std::uint32_t>(t_.works.size());
    t_.works.push_back({StageId(s), language::WorkId(w)});
    ProgramText days;
    days.cell(cells_of(s).start).cell(cells_of(s).days);
    if (language::goes_on_in_wait(work)) add_wait_of_plants(StageId(s), days);
    cells.times = add_program(name + ".times", number_type, work.span,
                              days.code(Instruction::Code::turns, number));
    cells_of(s).works.push_back(std::move(cells));
    for (std::size_t u = 0; u < work.uses.size(); ++u) {
      add_use(work.uses[u], name, {StageId(s), language::WorkId(w), u});
    }
  }
  for (std::size_t i = 0; i < written.space.size(); ++i) add_space(StageId(s), i);
}

/// Makes the days of a stage reach until all of its plants have gone on; see Row::days_with_wait.
void TemplateBuilder::add_wait_of_plants(StageId s, ProgramText& days) const {
  for (const StageId next : p_.stages.ids()) {
    if (!language::takes_from(p_.stages[next], s)) continue;
    days.cell(t_.stages[next].start).cell(t_.stages[s].start).operation(Operation::subtract);
    days.operation(Operation::maximum);
  }
}

/// What is taken up from one of the days on.
void TemplateBuilder::add_space(StageId s, std::size_t i) {
  using Kind = language::Space::Kind;
  const language::Space& space = p_.stages[s].space[i];
  const std::string& stage = p_.stages[s].name;
  StageCells& cells = t_.stages[s];
  const std::string number = i == 0 ? "" : std::to_string(i + 1);
  const std::string from = i == 0 ? "" : " from day " + std::to_string(space.from);
  if (space.kind == Kind::total && space.picked == 0) {
    cells.space.push_back(add_formula(stage + ".space" + number, space.amount, space.span));
    expect(cells.space.back(), limits::space, ", in `" + stage + "`", space.span);
    t_.expectations.back().plants = cells.plants;
  } else {
    const Type type = space.kind == Kind::total
                          ? p_.node(space.amount).type
                          : Type::quantity(space.kind == Kind::used ? units::count : units::area);
    CellId one = no_cell;
    if (space.kind == Kind::total) {
      one = add_formula(stage + ".space_before" + number, space.amount, space.span);
      label(one, "the space of `" + stage + "` before what is picked");
      expect(one, limits::space, ", in `" + stage + "`", space.span);
      t_.expectations.back().plants = cells.plants;
    } else if (space.kind != Kind::used) {
      one = add_formula(stage + (space.kind == Kind::density ? ".density" : ".spacing") + number,
                        space.amount, space.span);
      label(one, "the spacing of `" + stage + "`" + from);
      expect(one, limits::space, ", in `" + stage + "`", space.span);
    }
    cells.space.push_back(
        add_cell(stage + ".space" + number, Cell::Kind::formula, type, space.span));
    later_.push_back([this, s, one, cell = cells.space.back(), &space] {
      ProgramText program;
      if (space.kind == Kind::used) {
        add_amounts(program, language::uses_in(p_, s, space.supply));
      } else if (space.kind == Kind::total) {
        program.cell(one);
      } else {
        program.cell(t_.stages[s].plants).cell(one);
        program.operation(space.kind == Kind::density ? Operation::divide : Operation::multiply);
      }
      scale_by_standing(program, s, space);
      set_program(cell, program);
    });
  }
  label(cells.space.back(), "the space of `" + stage + "`" + from);
}

void TemplateBuilder::add_labour(const language::Work& work, const std::string& name,
                                 const language::UsePlace& place, WorkCells& cells) {
  const std::string where = ", for \"" + work.title + "\"";
  if (work.people != no_formula) {
    cells.people = add_formula(name + ".people", work.people, work.span);
    label(cells.people, "the number of people for \"" + work.title + "\"");
    expect(cells.people, limits::people, where, work.span);
  }
  if (work.rate == no_formula && work.time == no_formula && work.setup == no_formula) return;
  CellId spell = no_cell;
  CellId group = no_cell;
  CellId rate = no_cell;
  CellId setup = no_cell;
  if (work.time != no_formula) {
    spell = add_formula(name + ".spell", work.time, work.span);
    label(spell, "the time of \"" + work.title + "\"");
    expect(spell, limits::time, where, work.span);
    group = add_group(work.time_share, name + ".group",
                      "the number that \"" + work.title + "\" takes at a time", where, work.span);
  }
  if (work.rate != no_formula) {
    rate = add_formula(name + ".rate", work.rate, work.span);
    label(rate, "the rate of \"" + work.title + "\"");
    expect(rate, limits::rate, where, work.span);
  }
  if (work.setup != no_formula) {
    setup = add_formula(name + ".setup", work.setup, work.span);
    label(setup, "the set-up time of \"" + work.title + "\"");
    expect(setup, limits::setup, where, work.span);
  }
  cells.time = add_cell(name + ".hours", Cell::Kind::formula, time_type, work.span);
  later_.push_back([=, this, &work, people = cells.people, cell = cells.time] {
    ProgramText program;
    program.constant(0);
    if (spell != no_cell) {
      program.cell(spell);
      multiply_by(program, work.time_share, place, group, true);
      // A stated time is the time of everybody who is stated.
      if (people != no_cell) program.cell(people).operation(Operation::multiply);
      program.operation(Operation::add);
    }
    if (rate != no_cell) {
      program.cell(plants_of(place)).cell(rate).operation(Operation::divide);
      program.operation(Operation::add);
    }
    if (setup != no_cell) {
      program.cell(setup).cell(t_.lead).operation(Operation::multiply);
      program.operation(Operation::add);
    }
    set_program(cell, program);
  });
  label(cells.time, "the person-hours of \"" + work.title + "\"");
}

/// Puts down what some uses come to together.
void TemplateBuilder::add_amounts(ProgramText& program,
                                  const std::vector<language::UsePlace>& uses) const {
  for (const language::UsePlace& one : uses) {
    program.cell(t_.stages[one.stage].works[one.work].uses[one.use].amount);
    if (&one != &uses.front()) program.operation(Operation::add);
  }
}

/// Multiplies by how much there is of what a share counts by. `per` holds the number of a group;
/// `whole`: groups that are begun count in full.
void TemplateBuilder::multiply_by(ProgramText& program, const language::Share& share,
                                  const language::UsePlace& place, CellId per, bool whole) const {
  const StageCells& cells = t_.stages[place.stage];
  if (share.each) program.cell(plants_of(place)).operation(Operation::multiply);
  if (share.area) {
    const language::Stage& stage = p_.stages[place.stage];
    const std::size_t at = language::space_on(stage, days_of(stage.works[place.work]).first);
    program.cell(cells.space[at]).operation(Operation::multiply);
    const double factor = *language::area_factor(p_, stage.space[at]);
    if (factor != 1) program.constant(factor).operation(Operation::multiply);
  }
  if (!share.grows()) program.cell(t_.lead).operation(Operation::multiply);
  if (share.supply.known()) {
    add_amounts(program,
                language::uses_before(p_, place.stage, place.work, place.use, share.supply));
    if (per == no_cell) program.operation(Operation::multiply);
  }
  if (per == no_cell) return;
  if (!share.supply.known()) program.cell(plants_of(place));
  program.cell(per).operation(Operation::divide);
  if (whole) program.operation(Operation::ceil);
  program.operation(Operation::multiply);
}

/// How many of something make a group; no cell where nothing is said by the group.
CellId TemplateBuilder::add_group(const language::Share& share, const std::string& name,
                                  const std::string& what, const std::string& where,
                                  const text::Span& span) {
  if (share.per == no_formula) return no_cell;
  const CellId per = add_formula(name, share.per, span);
  label(per, what);
  expect(per, limits::per, where, span);
  return per;
}

/// A use of the last work that the stage has so far.
void TemplateBuilder::add_use(const language::Use& use, const std::string& work,
                              const language::UsePlace& place) {
  const language::Supply& supply = p_.supplies[use.supply];
  WorkCells& cells = t_.stages[place.stage].works[place.work];
  const std::string name = work + ".use" + std::to_string(place.use + 1);
  ProgramText program;
  const std::string where = ", of `" + supply.name + "`";
  if (p_.node(use.amount).kind == language::Node::Kind::constant) {
    append(program, use.amount);  // was judged with the protocol
  } else {
    const CellId one = add_formula(name + ".one", use.amount, use.span);
    label(one, "the amount of `" + supply.name + "` at a time");
    expect(one, limits::amount, where, use.span);
    t_.expectations.back().plants = cells_of(place.stage).plants;
    program.cell(one);
  }
  const CellId per =
      add_group(use.share, name + ".per", "the number of plants that share `" + supply.name + "`",
                where, use.span);
  UseCells out;
  out.amount = add_cell(name, Cell::Kind::formula, Type::quantity(supply.unit.dimension), use.span);
  written_as(out.amount, use.amount);
  label(out.amount, "the amount of `" + supply.name + "`");
  if (use.light != language::no_formula) {
    out.light = add_formula(name + ".light", use.light, use.span);
    label(out.light, "the light after which `" + supply.name + "` is given");
    expect(out.light, limits::light_start, where, use.span);
  }
  cells.uses.push_back(out);
  later_.push_back([this, &use, place, per, program, cell = out.amount]() mutable {
    // What is counted is taken whole for every group that is begun; what is measured is not.
    const bool counted = p_.supplies[use.supply].unit.dimension == units::count;
    multiply_by(program, use.share, place, per, counted || use.share.load);
    if (counted) program.operation(Operation::ceil);
    set_program(cell, program);
  });
}

/// Their formulas may ask for the climate of any stage, so cells come first and programs after
/// them.
void TemplateBuilder::add_settings() {
  for (std::int32_t s = 0; s < stage_count(); ++s) declare_settings(s);
  for (const auto& [cell, formula] : to_compile_) {
    ProgramText program;
    append(program, formula);
    set_program(cell, program);
    written_as(cell, formula);
  }
}

void TemplateBuilder::declare_settings(std::int32_t s) {
  const language::Stage& written = stage(s);
  if (written.held_air != no_formula) {
    const language::MeasureFacts& air = language::facts_of(language::Measure::air);
    const CellId cell =
        add_cell(written.name + ".held_air", Cell::Kind::formula, air.type, written.wait_span);
    to_compile_.emplace_back(cell, written.held_air);
    label(cell, "the air in which `" + written.name + "` holds its plants");
    expect_between(cell, air.lowest, air.highest, false, "Air is beyond what can be set",
                   written.wait_span);
    show_in(cell, *units::find_unit(air.unit));
    cells_of(s).held_air = cell;
  }
  const auto formula = [&](const std::string& name, FormulaId id, const text::Span& span,
                           const std::string& setting) {
    if (id == no_formula) return no_cell;
    const CellId cell = add_cell(name, Cell::Kind::formula, p_.node(id).type, span);
    to_compile_.emplace_back(cell, id);
    label(cell, "`" + setting + "` in `" + written.name + "`");
    return cell;
  };
  for (std::size_t i = 0; i < written.settings.size(); ++i) {
    const language::Setting& setting = written.settings[i];
    const std::string name = written.name + "." + setting.name + std::to_string(i + 1);
    SettingCells cells;
    cells.first = formula(name + ".first", setting.first, setting.span, setting.name);
    cells.last = formula(name + ".last", setting.last, setting.span, setting.name);
    cells.high = formula(name + ".high", setting.high, setting.span, setting.name);
    cells.hours = formula(name + ".hours", setting.hours, setting.span, setting.name);
    cells.over = formula(name + ".over", setting.over, setting.span, setting.name);
    cells.light = formula(name + ".light", setting.light, setting.span, setting.name);
    for (const CellId value : {cells.first, cells.last, cells.high}) {
      if (value == no_cell) continue;
      expect_between(value, setting.lowest, setting.highest, false,
                     "`" + setting.name + "` is beyond what can be set", setting.span);
      show_in(value, setting.unit);
    }
    if (cells.high != no_cell) {
      expect_order(cells.first, cells.high, "This range is upside down", setting.span);
    }
    if (cells.hours != no_cell) {
      expect(cells.hours, limits::hours, "", setting.span);
    }
    if (cells.light != no_cell) expect(cells.light, limits::light_start, "", setting.span);
    if (cells.over != no_cell) {
      expect(cells.over, limits::over, "", setting.span);
    }
    cells_of(s).settings.push_back(cells);
  }
  for (std::size_t i = 0; i < written.mists.size(); ++i) {
    const language::Mist& mist = written.mists[i];
    const std::string name = written.name + ".mist" + std::to_string(i + 1);
    MistCells cells;
    cells.pulse = formula(name + ".pulse", mist.pulse, mist.span, "mist");
    cells.pulse_last = formula(name + ".pulse_last", mist.pulse_last, mist.span, "mist");
    cells.every = formula(name + ".every", mist.every, mist.span, "mist");
    cells.every_last = formula(name + ".every_last", mist.every_last, mist.span, "mist");
    cells.over = formula(name + ".over", mist.over, mist.span, "mist");
    for (const CellId value : {cells.pulse, cells.pulse_last, cells.every, cells.every_last}) {
      if (value != no_cell) {
        expect(value, limits::mist, "", mist.span);
      }
    }
    if (cells.over != no_cell) expect(cells.over, limits::over, "", mist.span);
    const auto last = [](CellId end, CellId first) { return end == no_cell ? first : end; };
    const std::string too_long = "A mist pulse is longer than its interval";
    expect_order(cells.pulse, cells.every, too_long, mist.span);
    if (cells.pulse_last != no_cell || cells.every_last != no_cell) {
      expect_order(last(cells.pulse_last, cells.pulse), last(cells.every_last, cells.every),
                   too_long, mist.span);
    }
    cells_of(s).mists.push_back(cells);
  }
}

void TemplateBuilder::add_hours() {
  ProgramText total;
  total.constant(0);
  for (std::int32_t s = 0; s < stage_count(); ++s) {
    ProgramText sum;
    sum.constant(0);
    for (const WorkCells& work : cells_of(s).works) {
      if (work.time == no_cell) continue;
      sum.cell(work.time).cell(work.times).operation(Operation::multiply).operation(Operation::add);
    }
    set_program(cells_of(s).hours, sum);
    total.cell(cells_of(s).hours).operation(Operation::add);
  }
  set_program(t_.hours, total);
}

}  // namespace budwood::sheet
