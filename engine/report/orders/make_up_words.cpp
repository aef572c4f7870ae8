#include "report/orders/make_up_words.hpp"

#include <algorithm>
#include <map>

#include "plan/orders/order.hpp"
#include "report/formats/wording.hpp"

namespace budwood::report {

namespace {

using calendar::Day;
using language::StageId;

std::string starts_text(const sheet::Row& row) {
  std::vector<std::string> starts;
  for (const StageId s : row.protocol().stages.ids()) {
    const language::Stage& stage = row.stage(s);
    if (!stage.takes.empty()) continue;
    starts.push_back(plants_text(row.value(row.cells(s).plants)) + " in `" + stage.name + "` on " +
                     short_date(row.start(s)));
  }
  return "Start " + text::list_words(starts, "and") + ".";
}

/// "Rooms:", "  house from Mon 2027-05-03 to Thu 2027-05-13" and so on, stages in one room
/// together.
std::vector<std::string> room_lines(const sheet::Row& row) {
  struct Stay {
    std::string room;
    Day from, to;
  };
  std::vector<Stay> stays;
  for (const StageId s : row.protocol().stages.ids()) {
    const std::string& room = row.stage(s).room;
    if (room.empty()) continue;
    const auto before = std::find_if(stays.begin(), stays.end(), [&](const Stay& one) {
      return one.room == room && one.from <= row.end(s) && row.start(s) <= one.to;
    });
    if (before == stays.end()) {
      stays.push_back({room, row.start(s), row.end(s)});
    } else {
      before->from = std::min(before->from, row.start(s));
      before->to = std::max(before->to, row.end(s));
    }
  }
  std::vector<std::string> out;
  if (!stays.empty()) out.emplace_back("Rooms:");
  for (const Stay& one : stays) {
    out.push_back("  " + one.room +
                  (one.from == one.to
                       ? " on " + short_date(one.from)
                       : " from " + short_date(one.from) + " to " + short_date(one.to)));
  }
  return out;
}

/// When it is ready, and when at the latest by nature's ranges: whoever promises the plants has to
/// know that there is no day to spare.
std::string ready_text(const sheet::Row& row) {
  const calendar::Day ready = *row.ready();
  calendar::Day latest = ready;
  for (const StageId s : row.protocol().stages.ids()) {
    latest = std::max(latest, row.known_day(row.cells(s).latest).value_or(latest));
  }
  std::string out = "Ready on " + short_date(ready);
  if (latest > ready) out += "; where all takes as long as it may, on " + short_date(latest);
  return out + ".";
}

std::string hours_text(const plan::Plan& plan, const plan::BatchPlan& batch) {
  std::map<std::string, double> seconds;
  for (const plan::WorkOrder& order : plan.orders) {
    const plan::BatchPlan& of = plan.batches[order.batch];
    if (of.batch != batch.batch || order.settled()) continue;
    const std::string& crew = plan.protocol_of(of).stages[order.stage].works[order.work].crew;
    const double all = plan::person_seconds(plan, order);
    if (!crew.empty() && all > 0) seconds[crew] += all;
  }
  std::vector<std::string> out;
  for (const auto& [crew, all] : seconds) out.push_back(crew + " " + time_text(all));
  return out.empty() ? "" : "Work: " + joined(out, "; ") + ".";
}

}  // namespace

std::vector<std::string> outline_of(const plan::Plan& plan, const plan::BatchPlan& batch) {
  const sheet::Row row = plan.row_of(batch);
  std::vector<std::string> out{starts_text(row), ready_text(row)};
  for (std::string& line : room_lines(row)) out.push_back(std::move(line));
  if (std::string hours = hours_text(plan, batch); !hours.empty()) out.push_back(std::move(hours));
  return out;
}

}  // namespace budwood::report
