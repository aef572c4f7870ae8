#include "office/workbooks/stage_rows.hpp"

#include <cmath>

namespace budwood::office {

namespace {

/// Where the columns stand that formulas read.
enum StageColumn : std::size_t {
  start_column = 6,
  end_column = 7,
  stage_plants = 12,
  loss_column = 13,
  yield_column = 14,
  left_column = 15
};

std::vector<Column> stage_columns() {
  return {{"Batch", Show::text, 12},
          {"Cultivar", Show::text, 12},
          {"Protocol", Show::text, 20},
          {"Stage", Show::text, 16},
          {"Title", Show::prose, 30},
          {"Room", Show::text, 14},
          {"Start", Show::date, 11},
          {"End", Show::date, 11},
          {"Days", Show::number, 8},
          {"May end first", Show::date, 11},
          {"May end last", Show::date, 11},
          {"Float (days)", Show::number, 8},
          {"Plants", Show::number, 9},
          {"Loss", Show::share, 8},
          {"Becomes (times)", Show::number, 9},
          {"Left (plants)", Show::number, 10},
          {"Person hours", Show::hours, 9, true}};
}

/// Writes the stages of one batch.
class StageRows {
 public:
  StageRows(Grid& grid, const plan::Plan& plan, const plan::BatchPlan& batch)
      : grid_(grid),
        plan_(plan),
        batch_(batch),
        row_(plan.row_of(batch)),
        rows_(row_.layout().stages.size()),
        before_(rows_.size()) {
    for (const sheet::Chain& chain : row_.layout().chains) {
      for (std::size_t i = 1; i < chain.stages.size(); ++i) {
        before_[chain.stages[i]] = chain.stages[i - 1];
      }
    }
  }

  void write(language::StageId stage) {
    const book::Batch& facts = plan_.facts_of(batch_);
    const language::Protocol& protocol = plan_.protocol_of(batch_);
    const language::Stage& written = protocol.stages[stage];
    const sheet::StageCells& cells = row_.cells(stage);
    rows_[stage] = grid_.row();
    grid_.text(facts.id.value).text(facts.cultivar).text(protocol.name).text(written.name);
    grid_.text(written.title).text(written.room);
    grid_.date_value(row_.value(cells.start)).date_value(row_.value(cells.end));
    const double days = row_.value(cells.end) - row_.value(cells.start);
    grid_.formula(grid_.cell(end_column) + "-" + grid_.cell(start_column), days, days);
    grid_.date_value(row_.value(cells.earliest)).date_value(row_.value(cells.latest));
    grid_.number(row_.value(cells.float_days));
    write_counts(stage, cells);
    grid_.number(row_.value(cells.hours) / units::seconds_an_hour).end_row();
  }

 private:
  /// Plants go through the stages of a chain unrounded; whole ones are what people see.
  void write_counts(language::StageId stage, const sheet::StageCells& cells) {
    const double plants = row_.value(cells.plants);
    const double loss = 1 - row_.value(cells.survival) * row_.value(cells.kept, 1);
    const double yield = row_.value(cells.yield, 1);
    const language::StageId before = before_[stage];
    const bool goes_on = before.known() && rows_[before] > 0;
    std::string from = grid_.cell(stage_plants);
    double from_value = plants;
    if (goes_on) {
      from = grid_.cell(left_column, rows_[before]);
      from_value = row_.value(row_.cells(before).left);
      grid_.formula("ROUNDUP(ROUND(" + from + ",6),0)",
                    std::ceil(std::round(from_value * 1e6) / 1e6), plants);
    } else {
      grid_.number(plants);
    }
    grid_.number(loss);
    if (yield == 1) {
      grid_.blank();
    } else {
      grid_.number(yield);
    }
    grid_.formula(from + "*(1-" + grid_.cell(loss_column) + ")" +
                      (yield == 1 ? "" : "*" + grid_.cell(yield_column)),
                  from_value * (1 - loss) * yield, row_.value(cells.left));
  }

  Grid& grid_;
  const plan::Plan& plan_;
  const plan::BatchPlan& batch_;
  const sheet::Row row_;
  language::List<std::uint32_t, language::Stage> rows_;  ///< by stage; 0: not written
  language::List<language::StageId, language::Stage>
      before_;  ///< by stage: the one whose plants it takes as they are
};

}  // namespace

void add_stages(WorkbookFile& file, const plan::Plan& plan, const report::Filter& filter) {
  constexpr int up_to_stage = 4;
  Grid& grid = file.add("Stages", stage_columns(), up_to_stage);
  for (const plan::BatchPlan& batch : plan.batches) {
    if (!report::passes(plan, batch, filter)) continue;
    StageRows rows(grid, plan, batch);
    const language::Protocol& protocol = plan.protocol_of(batch);
    for (const language::StageId s : protocol.stages.ids()) {
      if (!file.ok()) return;
      if (!filter.room || protocol.stages[s].room == *filter.room) rows.write(s);
    }
  }
}

std::string supply_title(const plan::Plan& plan, const std::string& supply) {
  for (const sheet::Sheet& sheet : plan.sheets) {
    for (const language::Supply& one : sheet.layout().protocol.supplies) {
      if (one.name == supply && !one.title.empty()) return one.title;
    }
  }
  return supply;
}

}  // namespace budwood::office
