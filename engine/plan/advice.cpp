#include "plan/advice.hpp"

#include <algorithm>
#include <cmath>

#include "plan/plan.hpp"
#include "sheet/columns/shown.hpp"
#include "sheet/counts/prospects.hpp"

namespace budwood::plan {

namespace {

/// Whether a batch takes what comes out on average, although plants are lost.
bool leaves_it_to_luck(const Plan& plan, const BatchPlan& batch) {
  if (plan.facts_of(batch).sure || !plan.facts_of(batch).counted.empty()) return false;
  const sheet::Template& t = plan.sheet_of(batch).layout();
  return batch.dated && std::any_of(t.chains.begin(), t.chains.end(),
                                    [&](const auto& chain) { return sheet::loses(t, chain); });
}

std::string ticked(const std::string& name) {
  return "`" + name + "`";
}

/// Less than this of each plant is no work on plants; a look at some of them is.
constexpr double least_seconds_a_plant = 0.2;
constexpr double many_plants = 5000;

/// "takes 15 min"; "" where a work grows with the plants, or is enough for so many.
std::string fixed_text(const sheet::Row& row, language::StageId s, language::WorkId w) {
  const language::Work& work = row.stage(s).works[w];
  const double plants = row.value(row.cells(s).plants);
  if (!(plants >= many_plants) || !work.records.empty()) return {};
  const double seconds = row.value(row.cells(s, w).time, 0);
  const bool fixed = work.time != language::no_formula && !work.time_share.grows() &&
                     work.rate == language::no_formula;
  if (fixed && seconds / plants < least_seconds_a_plant) {
    return "takes " + sheet::shown(row, row.cells(s, w).time);
  }
  for (std::size_t u = 0; u < work.uses.size(); ++u) {
    const language::Supply& supply = row.protocol().supplies[work.uses[u].supply];
    if (work.uses[u].share.grows() || supply.unit.dimension == units::count) continue;
    return "uses " + units::format(row.value(row.cells(s, w).uses[u].amount), supply.unit) +
           " of " + ticked(supply.name);
  }
  return {};
}

/// The most people that a crew ever has.
int most_people(const book::Crew& crew) {
  int extra = 0;
  for (const book::PeopleChange& one : crew.extra) extra = std::max(extra, one.people);
  return crew.people + extra;
}

}  // namespace

void advise_fixed_work(const Plan& plan, text::Diagnostics& diagnostics) {
  for (std::size_t i = 0; i < plan.sheets.size(); ++i) {
    const BatchPlan* largest = nullptr;
    for (const BatchPlan& batch : plan.batches) {
      const auto plants = [&](const BatchPlan& one) { return plan.facts_of(one).plants.value; };
      if (batch.sheet != i || !batch.dated) continue;
      if (largest == nullptr || plants(batch) > plants(*largest)) largest = &batch;
    }
    if (largest == nullptr) continue;
    const sheet::Row row = plan.row_of(*largest);
    text::Diagnostic d;
    d.severity = text::Severity::warning;
    d.code = "fixed-work";
    for (const language::StageId s : row.protocol().stages.ids()) {
      for (const language::WorkId w : row.stage(s).works.ids()) {
        const std::string fixed = fixed_text(row, s, w);
        if (fixed.empty()) continue;
        const language::Work& work = row.stage(s).works[w];
        const std::string text = "\"" + work.title + "\" " + fixed;
        if (d.message.empty()) {
          d.span = work.span;
          d.message = text + " however many plants there are, and " +
                      ticked(plan.facts_of(*largest).id.value) + " has " +
                      units::format_number(row.value(row.cells(s).plants)) + " in " +
                      ticked(row.stage(s).name) + ".";
        } else {
          d.related.push_back({work.span, text + " as well."});
        }
      }
    }
    if (d.message.empty()) continue;
    d.advice =
        "Say it by what there is to do: `time 30 s per tray_72`, `time 2 min per m2`, "
        "`use 100 mL disinfectant per load of 20 tray_72`.";
    diagnostics.add(std::move(d));
  }
}

void check_people(const Plan& plan, text::Diagnostics& diagnostics) {
  for (std::size_t i = 0; i < plan.sheets.size(); ++i) {
    if (plan.sheets[i].size() == 0) continue;
    const sheet::Row row(plan.sheets[i], 0);
    for (const language::StageId s : row.protocol().stages.ids()) {
      for (const language::WorkId w : row.stage(s).works.ids()) {
        const language::Work& work = row.stage(s).works[w];
        const double people = row.value(row.cells(s, w).people, 0);
        const auto crew = plan.book->site.crews.find(work.crew);
        if (crew == plan.book->site.crews.end()) continue;
        const int there = most_people(crew->second);
        if (!(people > there)) continue;
        diagnostics.warning("few-people", work.span,
                            "\"" + work.title + "\" is for " + units::format_number(people) +
                                " people, and crew " + ticked(work.crew) + " has " +
                                std::to_string(there) + ".",
                            "Say fewer `people`, or give the crew more of them in site.yaml.");
      }
    }
  }
}

void check_counted(const Plan& plan, text::Diagnostics& diagnostics) {
  for (const BatchPlan& batch : plan.batches) {
    const sheet::Row row = plan.row_of(batch);
    for (const book::Count& count : plan.facts_of(batch).counted) {
      const language::StageId s = row.protocol().stages.find(count.stage);
      if (!s.known()) continue;
      const double each = row.value(row.cells(s).yield, 1);
      const double most = row.value(row.cells(s).plants) * each;
      // People fill their trays; half as many again is a slip of the pen.
      constexpr double some_more = 1.5;
      if (!(static_cast<double>(count.plants) > some_more * most)) continue;
      diagnostics.warning(
          "many-recorded", count.span,
          std::to_string(count.plants) + " are recorded at the end of " + ticked(count.stage) +
              ", which starts with " + units::format_number(row.value(row.cells(s).plants)) +
              " in the plan.",
          "Check the number. If so many were started, order more plants or say `minimum`.");
    }
  }
}

void advise_assurance(const Plan& plan, text::Diagnostics& diagnostics) {
  constexpr double likely = 0.8;
  const BatchPlan* first = nullptr;
  std::size_t others = 0;
  double chance = 0;
  for (const BatchPlan& batch : plan.batches) {
    if (!leaves_it_to_luck(plan, batch)) continue;
    if (first != nullptr) {
      ++others;
      continue;
    }
    const auto prospects = sheet::prospects(plan.row_of(batch));
    if (!prospects || prospects->chance >= likely) continue;
    first = &batch;
    chance = prospects->chance;
  }
  if (first == nullptr) return;
  const book::Batch& facts = plan.facts_of(*first);
  std::string message = ticked(facts.id.value) + " starts with what brings " +
                        std::to_string(facts.plants.value) +
                        " plants on average, and reaches them with " +
                        units::format_number(std::floor(100 * chance)) + " % chance";
  if (others > 0) {
    message += "; " + std::to_string(others) +
               (others == 1 ? " other batch leaves" : " other batches leave") +
               " it to luck as well";
  }
  diagnostics.note("not-sure", facts.id.span, message + ".",
                   "Write `sure: 90 %` in the batch, above `batches:` for all of them, or in "
                   "site.yaml; more is started for it.");
}

}  // namespace budwood::plan
