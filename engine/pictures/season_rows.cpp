#include "pictures/season_rows.hpp"
#include "report/formats/wording.hpp"
#include "report/needs/needs_words.hpp"

#include <algorithm>
#include <set>
#include <utility>

namespace budwood::pictures {

namespace {

using calendar::Day;

/// Which stages have work that passes a filter, by batch and stage.
using Stages = std::set<std::pair<std::size_t, language::StageId>>;

Stages stages_of_crew(const plan::Plan& plan, const report::Filter& filter) {
  Stages out;
  if (!filter.crew) return out;
  for (const plan::WorkOrder& order : plan.orders) {
    if (report::passes(plan, order, filter)) out.emplace(order.batch, order.stage);
  }
  return out;
}

bool passes(const StageBar& bar, const report::Filter& filter) {
  return !(filter.from && bar.last() < *filter.from) && !(filter.to && bar.start > *filter.to);
}

/// Puts each bar into the first lane that is free.
void arrange(SeasonRow& row) {
  std::stable_sort(row.bars.begin(), row.bars.end(), [](const SeasonBar& a, const SeasonBar& b) {
    return a.dates.start < b.dates.start;
  });
  std::vector<Day> free;
  for (SeasonBar& bar : row.bars) {
    const auto lane =
        std::find_if(free.begin(), free.end(), [&](Day day) { return day <= bar.dates.start; });
    bar.lane = static_cast<std::size_t>(lane - free.begin());
    if (lane == free.end()) free.push_back(0);
    free[bar.lane] = std::max(bar.dates.end + bar.dates.waits, bar.dates.start);
  }
  row.lanes = std::max<std::size_t>(1, free.size());
}

SeasonBar bar_of(const language::Stage& stage, const StageBar& dates) {
  SeasonBar bar;
  bar.dates = dates;
  bar.room = stage.room;
  const std::string& shown = report::shown_name(stage);
  bar.title =
      shown + ", " + calendar::short_date(dates.start) + " to " + calendar::short_date(dates.end);
  if (!stage.room.empty()) bar.title += ", room " + stage.room;
  bar.names.push_back(shown);
  if (shown != stage.name) bar.names.push_back(stage.name);
  return bar;
}

std::string facts_of(const plan::Plan& plan, const plan::BatchPlan& batch) {
  std::string text = report::plants_text(static_cast<double>(plan.facts_of(batch).plants.value),
                                         plan.protocol_of(batch).of_site);
  if (const auto ready = plan.row_of(batch).ready()) {
    text += ", ready " + calendar::iso_date(*ready);
  }
  return text + "; " + report::shown_name(plan.protocol_of(batch));
}

}  // namespace

Day SeasonRow::start() const {
  return bars.front().dates.start;
}

std::vector<SeasonRow> season_rows(const plan::Plan& plan, const report::Filter& filter) {
  const Stages wanted = stages_of_crew(plan, filter);
  std::vector<SeasonRow> out;
  for (std::size_t b = 0; b < plan.batches.size(); ++b) {
    const plan::BatchPlan& batch = plan.batches[b];
    if (!batch.dated || !report::passes(plan, batch, filter)) continue;
    const auto& stages = plan.protocol_of(batch).stages;
    SeasonRow row;
    row.batch = b;
    row.name = plan.facts_of(batch).id.value;
    row.facts = facts_of(plan, batch);
    for (const StageBar& dates : bars_of(plan, batch)) {
      const language::Stage& stage = stages[dates.stage];
      if (filter.room && stage.room != *filter.room) continue;
      if (filter.crew && wanted.count({b, dates.stage}) == 0) continue;
      if (passes(dates, filter)) row.bars.push_back(bar_of(stage, dates));
    }
    if (row.bars.empty()) continue;
    arrange(row);
    out.push_back(std::move(row));
  }
  std::stable_sort(out.begin(), out.end(),
                   [](const SeasonRow& a, const SeasonRow& b) { return a.start() < b.start(); });
  return out;
}

std::vector<std::string> without_dates(const plan::Plan& plan, const report::Filter& filter) {
  std::vector<std::string> out;
  for (const plan::BatchPlan& batch : plan.batches) {
    if (!batch.dated && batch.raised && report::passes(plan, batch, filter)) {
      out.push_back(plan.facts_of(batch).id.value);
    }
  }
  return out;
}

}  // namespace budwood::pictures
