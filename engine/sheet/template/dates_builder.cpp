#include <algorithm>

#include "sheet/template/template_builder.hpp"
#include "units/units.hpp"

/// The time network: which dates bind which.
namespace budwood::sheet {

using language::Stage;

void TemplateBuilder::add_dates() {
  DateLayout& dates = t_.dates;
  for (std::int32_t s = 0; s < stage_count(); ++s) add_date_links(s);
  std::vector<bool> taken(p_.stages.size(), false);
  for (const Stage& one : p_.stages) {
    for (const std::int32_t from : one.takes) taken[static_cast<std::size_t>(from)] = true;
  }
  for (std::int32_t s = 0; s < stage_count(); ++s) {
    if (!taken[static_cast<std::size_t>(s)]) add_take_link(s, stage_count());
  }
  dates.order = waiting_order();
  for (const DateLink& link : dates.links) {
    for (const CellId cell : {link.low, link.high}) {
      if (cell != no_cell) dates.uses.push_back(cell);
    }
  }
  for (const StageCells& cells : t_.stages) {
    dates.cells.insert(dates.cells.end(),
                       {cells.start, cells.end, cells.earliest, cells.latest, cells.float_days});
  }
  dates.cells.push_back(t_.ready);
  for (const StageCells& cells : t_.stages) {
    dates.uses.push_back(cells.shortest);
    dates.uses.push_back(cells.longest);
    for (const CellId cell : {cells.series_lower, cells.series_best, cells.series_upper,
                              cells.series_target, cells.gate_limit}) {
      if (cell != no_cell) dates.uses.push_back(cell);
    }
  }
}

void TemplateBuilder::add_date_links(std::int32_t s) {
  const StageCells& cells = cells_of(s);
  DateLink length;
  length.from = DateLayout::start_of(s);
  length.to = DateLayout::end_of(s);
  length.low = length.high = cells.usual;
  length.by_series = language::follows_site(stage(s));
  length.stage = s;
  length.span = stage(s).length_span;
  t_.dates.links.push_back(length);

  for (const std::int32_t from : stage(s).takes) {
    // `after X by ...` on the stage that gives the plants says how long they wait, where X does
    // not.
    const bool said =
        stage(from).wait == Stage::Wait::to_working_day &&
        std::any_of(
            stage(s).after.begin(), stage(s).after.end(), [&](const language::After& after) {
              return !after.within && after.stage == from && after.low != language::no_formula;
            });
    if (!said) add_take_link(from, s);
  }
  for (std::size_t i = 0; i < stage(s).after.size(); ++i) {
    const language::After& after = stage(s).after[i];
    const std::vector<StageId>& givers = stage(s).takes;
    const bool takes =
        !after.within && std::find(givers.begin(), givers.end(), after.stage) != givers.end();
    if (after.low == language::no_formula && takes) continue;  // the plants themselves say so
    DateLink link;
    link.kind = DateLink::Kind::after;
    link.from = after.edge == language::After::Edge::end ? DateLayout::end_of(after.stage)
                                                         : DateLayout::start_of(after.stage);
    link.to = DateLayout::start_of(s);
    link.stage = s;
    link.span = after.span;
    link.within = after.within;
    link.bounded = after.low != language::no_formula;
    if (link.bounded) {
      const std::string name = stage(s).name + ".after" + std::to_string(i + 1);
      const auto days = [&](const char* what, language::FormulaId formula,
                            Instruction::Code rounding) {
        ProgramText program;
        append(program, formula);
        if (after.within) {
          // May count back from the other date; the whole days are those inside the range.
          const bool up = rounding == Instruction::Code::whole_days;
          program.constant(units::seconds_a_day).operation(Operation::divide);
          program.operation(up ? Operation::ceil : Operation::floor);
        } else {
          program.code(rounding);
        }
        const CellId id = add_days(name + what, program, after.span);
        written_as(id, formula);
        label(id, "`after` in `" + stage(s).name + "`");
        return id;
      };
      link.low = days(".low", after.low, Instruction::Code::whole_days);
      // One written length is met exactly, even where it is no whole number of days.
      link.high = after.high == after.low
                      ? link.low
                      : days(".high", after.high, Instruction::Code::floor_days);
      expect_order(link.low, link.high, "No whole number of days lies in this range", after.span);
      if (!after.within) {
        expect_low(name + ".time", after.low, language::limits::after,
                   " of `after` in `" + stage(s).name + "`", after.span);
        expect(link.low, language::limits::after.in(language::limits::day),
               ", in `" + stage(s).name + "`", after.span);
      }
    }
    t_.dates.links.push_back(link);
  }
}

/// From the end of `from` to the start of `to`, or to the day the batch is ready.
void TemplateBuilder::add_take_link(std::int32_t from, std::int32_t to) {
  DateLink link;
  const bool finish = to == stage_count();
  link.kind = finish ? DateLink::Kind::finish : DateLink::Kind::wait;
  link.from = DateLayout::end_of(from);
  link.to = DateLayout::start_of(to);
  link.stage = from;
  link.span = stage(from).wait_span.source != nullptr ? stage(from).wait_span : stage(from).span;
  link.high = cells_of(from).wait;
  link.to_working_day = stage(from).wait == Stage::Wait::to_working_day;
  link.bounded = !link.to_working_day;
  t_.dates.links.push_back(link);
}

/// Stages in an order in which each comes after all that it waits for (Kahn 1962). The flow checker
/// has made sure that there is one.
std::vector<std::int32_t> TemplateBuilder::waiting_order() const {
  std::vector<std::int32_t> order;
  std::vector<bool> placed(p_.stages.size(), false);
  const auto is_placed = [&](std::int32_t s) { return placed[static_cast<std::size_t>(s)]; };
  while (order.size() < p_.stages.size()) {
    for (std::int32_t s = 0; s < stage_count(); ++s) {
      const Stage& one = stage(s);
      const bool free =
          std::all_of(one.takes.begin(), one.takes.end(), is_placed) &&
          std::all_of(one.after.begin(), one.after.end(), [&](const language::After& after) {
            return after.within || is_placed(after.stage);
          });
      if (is_placed(s) || !free) continue;
      placed[static_cast<std::size_t>(s)] = true;
      order.push_back(s);
    }
  }
  return order;
}

}  // namespace budwood::sheet
