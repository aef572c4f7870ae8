#include "sheet/sheet.hpp"

#include <algorithm>

namespace budwood::sheet {

Sheet::Sheet(std::shared_ptr<const Template> t, Site site)
    : template_(std::move(t)), site_(std::move(site)), columns_(template_->cells.size()) {}

std::size_t Sheet::add(BatchFacts batch) {
  batches_.push_back(std::move(batch));
  return batches_.size() - 1;
}

ProgramContext Sheet::context() const {
  const Template& t = *template_;
  return {t.protocol, t.works, t.stages, site_.working, site_.shift_seconds};
}

double Sheet::answer(std::span<const Instruction> program, std::size_t row) const {
  std::vector<double> out(size());
  run(program, context(), columns_, row, row + 1, out);
  return out[row];
}

StageClimate Sheet::climate(std::size_t stage, std::size_t row) const {
  return {template_->protocol, template_->stages, columns_, row, static_cast<std::int32_t>(stage)};
}

void Sheet::evaluate() {
  const Template& t = *template_;
  for (std::vector<double>& column : columns_) column.assign(size(), no_value);
  conflicts_.assign(size(), std::nullopt);
  const ProgramContext context = this->context();
  for (const CellId id : t.order) {
    if (id == Template::dates_turn) {
      plan_dates();
    } else if (t.cell(id).kind == Cell::Kind::ordered) {
      for (std::size_t row = 0; row < size(); ++row) columns_[id][row] = batches_[row].plants;
    } else if (t.cell(id).kind == Cell::Kind::sure) {
      for (std::size_t row = 0; row < size(); ++row) columns_[id][row] = batches_[row].sure;
    } else if (t.cell(id).kind == Cell::Kind::lead) {
      for (std::size_t row = 0; row < size(); ++row) columns_[id][row] = batches_[row].lead ? 1 : 0;
    } else if (t.cell(id).kind != Cell::Kind::date) {
      run(t.program(id), context, columns_, 0, size(), columns_[id]);
      if (t.cell(id).kind == Cell::Kind::input) fill_input(id);
      fill_counts(id);
    }
  }
}

/// The batch's own value goes before the site's, which goes before the protocol's.
void Sheet::fill_input(CellId id) {
  for (const auto& [cell, value] : site_.inputs) {
    if (cell == id) std::fill(columns_[id].begin(), columns_[id].end(), value);
  }
  for (std::size_t row = 0; row < size(); ++row) {
    for (const auto& [cell, value] : batches_[row].inputs) {
      if (cell == id) columns_[id][row] = value;
    }
  }
}

/// What was counted stands in the place of what was expected.
void Sheet::fill_counts(CellId id) {
  for (std::size_t row = 0; row < size(); ++row) {
    for (const auto& [cell, value] : batches_[row].counted) {
      if (cell == id) columns_[id][row] = value;
    }
  }
}

void Sheet::plan_dates() {
  const Template& t = *template_;
  DatePlanner planner(t, site_);
  for (std::size_t row = 0; row < size(); ++row) {
    if (!planner.plan(batches_[row], columns_, row)) {
      conflicts_[row] = planner.conflict();
      continue;
    }
    for (std::size_t s = 0; s < t.stages.size(); ++s) {
      const StageCells& cells = t.stages[s];
      const StageDates& dates = planner.stages()[s];
      columns_[cells.start][row] = dates.start;
      columns_[cells.end][row] = dates.end;
      columns_[cells.earliest][row] = dates.earliest;
      columns_[cells.latest][row] = dates.latest;
      columns_[cells.float_days][row] = dates.float_days;
    }
    columns_[t.ready][row] = planner.ready();
  }
}

Site stand_in_site() {
  Site site;
  site.stand_in = true;
  return site;
}

BatchFacts stand_in_batch(double plants) {
  BatchFacts batch;
  batch.plants = plants;
  batch.ready = calendar::last_day / 2;
  return batch;
}

std::vector<std::size_t> unmet_expectations(const Sheet& sheet, std::size_t row) {
  const auto meets = [&](const Expectation& e) {
    const double value = sheet.value(e.cell, row);
    if (std::isnan(value)) return true;  // told apart by origin_of_no_value
    const double tolerance = slack(value, std::isfinite(e.high) ? e.high : value);
    if (value < e.low - tolerance || value > e.high + tolerance) return false;
    if (e.above_low && value <= e.low) return false;
    if (e.below_high && value >= e.high) return false;
    return e.not_below == no_cell || !(value < sheet.value(e.not_below, row) - tolerance);
  };
  std::vector<std::size_t> out;
  const std::vector<Expectation>& all = sheet.layout().expectations;
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (!meets(all[i])) out.push_back(i);
  }
  return out;
}

namespace {

std::string shown(double value, const language::Type& type, const std::optional<units::Unit>& unit,
                  int digits) {
  using Kind = language::Type::Kind;
  if (std::isnan(value)) return "-";
  if (unit) return units::format(value, *unit, digits);
  if (type.kind == Kind::date) return calendar::iso_date(static_cast<Day>(value));
  if (type.kind == Kind::truth) return value != 0 ? "yes" : "no";
  if (type.kind == Kind::temperature) return units::format(value, *units::find_unit("degC"));
  if (type.kind == Kind::quantity && type.dimension == units::temperature) {
    units::Unit difference = *units::find_unit("degC_difference");
    difference.symbol = "degC";
    return units::format(value, difference, 3);
  }
  return units::format(value, units::usual_unit(type.dimension, value));
}

}  // namespace

std::string shown(const Sheet& sheet, CellId id, std::size_t row) {
  const Cell& cell = sheet.layout().cell(id);
  constexpr int digits = 6;
  return shown(sheet.value(id, row), cell.type, cell.unit, digits);
}

std::string message_of(const Sheet& sheet, std::size_t requirement, std::size_t row) {
  const Template& t = sheet.layout();
  const auto& pieces = t.protocol.requirements[requirement].message;
  std::string out;
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    out += pieces[i].text;
    if (pieces[i].value == language::no_formula) continue;
    const language::Type& type = t.protocol.node(pieces[i].value).type;
    // Without a site and a batch there are no real dates.
    if (sheet.site().stand_in && type.kind == language::Type::Kind::date) {
      out += "(a day of the batch)";
      continue;
    }
    out += shown(sheet.answer(t.messages[requirement][i], row), type, pieces[i].unit,
                 pieces[i].digits);
  }
  return out;
}

std::string shown(const Sheet& sheet, const Expectation& expectation, std::size_t row) {
  const std::string value = shown(sheet, expectation.cell, row);
  if (expectation.not_below == no_cell) return value;
  return shown(sheet, expectation.not_below, row) + " against " + value;
}

std::optional<CellId> origin_of_no_value(const Sheet& sheet, std::size_t row) {
  const Template& t = sheet.layout();
  for (const CellId id : t.order) {
    if (id == Template::dates_turn || t.cell(id).kind == Cell::Kind::date) continue;
    if (!std::isnan(sheet.value(id, row)) || t.cell(id).may_lack_value) continue;
    const std::vector<CellId>& uses = t.cell(id).uses;
    const bool own = std::none_of(uses.begin(), uses.end(),
                                  [&](CellId used) { return std::isnan(sheet.value(used, row)); });
    if (own) return id;
  }
  return std::nullopt;
}

}  // namespace budwood::sheet
