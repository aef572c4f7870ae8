#include <ostream>

#include "report/formats/json.hpp"
#include "report/formats/writers.hpp"
#include "report/settings/settings_days.hpp"

namespace budwood::report {

std::size_t write_settings_json(std::ostream& out, const plan::Plan& plan, const Filter& filter) {
  // The keys name no units, so the values are in the same ones at every site.
  constexpr units::System system = units::System::as_written;
  JsonWriter json(out);
  json.begin_list(JsonWriter::Layout::lines);
  std::size_t days = 0;
  for_each_stage(plan, filter, system, [&](const SettingsStage& one) {
    const plan::BatchPlan& batch = plan.batches[one.batch];
    const language::Protocol& protocol = plan.protocol_of(batch);
    const language::Stage& stage = protocol.stages[one.stage];
    for (const SettingsDay& day : one.days) {
      json.begin_object();
      json.text("batch", plan.facts_of(batch).id.value);
      json.text("protocol", protocol.name);
      json.text("stage", stage.name);
      json.text("room", stage.room);
      json.date("date", day.date);
      json.number("day", day.day);
      json.number("waited", day.waited);
      for (std::size_t i = 0; i < day.values.size(); ++i) {
        json.number(settings_columns(system)[i].name, day.values[i]);
      }
      json.end();
    }
    days += one.days.size();
    return static_cast<bool>(out);
  });
  json.end();
  return days;
}

}  // namespace budwood::report
