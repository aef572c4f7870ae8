#include <ostream>

#include "report/formats/csv.hpp"
#include "report/formats/writers.hpp"
#include "report/settings/settings_days.hpp"

namespace budwood::report {

std::size_t write_settings_csv(std::ostream& out, const plan::Plan& plan, const Filter& filter) {
  Csv csv(out);
  for (const char* head : {"batch", "protocol", "stage", "room", "date", "day", "waited"})
    csv.text(head);
  const units::System system = plan.book->site.units;
  for (const SettingsColumn& column : settings_columns(system)) {
    const std::string& unit = column.unit.symbol;
    csv.text(unit.empty() ? column.name : column.name + " (" + unit + ")");
  }
  csv.end_row();
  std::size_t days = 0;
  for_each_stage(plan, filter, system, [&](const SettingsStage& one) {
    const plan::BatchPlan& batch = plan.batches[one.batch];
    const language::Protocol& protocol = plan.protocol_of(batch);
    const language::Stage& stage = protocol.stages[one.stage];
    for (const SettingsDay& day : one.days) {
      csv.text(plan.facts_of(batch).id.value).text(protocol.name).text(stage.name);
      csv.text(stage.room).text(calendar::iso_date(day.date)).number(day.day).number(day.waited);
      for (const double value : day.values) csv.number(value);
      csv.end_row();
    }
    days += one.days.size();
    return static_cast<bool>(out);
  });
  return days;
}

}  // namespace budwood::report
