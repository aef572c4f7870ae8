#include <ostream>

#include "report/formats/csv.hpp"
#include "report/formats/pieces.hpp"
#include "report/formats/wording.hpp"
#include "report/formats/writers.hpp"
#include "report/orders/order_words.hpp"

namespace budwood::report {

namespace {

void write_head(Csv& csv, const std::vector<SupplyColumn>& supplies) {
  for (const char* head : {"id",
                           "batch",
                           "protocol",
                           "edition",
                           "stage",
                           "date",
                           "weekday",
                           "week",
                           "due",
                           "title",
                           "plants",
                           "person_hours",
                           "people",
                           "crew",
                           "room",
                           "tools",
                           "settings",
                           "cautions",
                           "record",
                           "notes",
                           "lots",
                           "line",
                           "stage_start",
                           "stage_end",
                           "stage_end_earliest",
                           "stage_end_latest",
                           "float_days",
                           "cultivar",
                           "state",
                           "time_of_day"}) {
    csv.text(head);
  }
  for (const auto& [supply, unit] : supplies) csv.text(supply + " (" + unit + ")");
  csv.end_row();
}

void write_supply(Csv& csv, const std::vector<plan::SupplyAmount>& supplies,
                  const SupplyColumn& column) {
  const auto amount = supply_amount(supplies, column);
  if (amount) {
    csv.number(*amount);
  } else {
    csv.text("");
  }
}

/// How many are at it together, where it is said.
void write_people(Csv& csv, double people) {
  if (people > 0) {
    csv.number(people);
  } else {
    csv.text("");
  }
}

void write_order(Csv& csv, const plan::OrderDetail& order, const language::Protocol& protocol) {
  csv.text(order.id).text(order.batch).text(protocol.name).number(protocol.edition);
  csv.text(order.stage).text(calendar::iso_date(order.date));
  csv.text(calendar::long_name(calendar::weekday(order.date)));
  csv.text(calendar::iso_week_text(order.date)).text(calendar::iso_date(order.due));
  csv.text(order.title).number(order.plants).number(order.person_seconds / units::seconds_an_hour);
  write_people(csv, order.people);
  csv.text(order.crew).text(order.room).text(joined(order.tools, "; "));
  csv.text(settings_text(order.settings)).text(joined(order.cautions, " "));
  csv.text(joined(order.records, "; ")).text(joined(order.notes, " "));
  csv.text(lots_text(order)).text(file_and_line(order.line));
}

/// A change of settings has the same columns; those that are about people and things stay empty.
void write_setting(Csv& csv, const plan::SettingDetail& order, const language::Protocol& protocol) {
  csv.text(order.id).text(order.batch).text(protocol.name).number(protocol.edition);
  csv.text(order.stage).text(calendar::iso_date(order.date));
  csv.text(calendar::long_name(calendar::weekday(order.date)));
  csv.text(calendar::iso_week_text(order.date)).text(calendar::iso_date(order.since));
  csv.text(setting_order_title).text("").text("").text("").text("").text(order.room).text("");
  csv.text(settings_text(order.changes)).text("").text("");
  csv.text(notes_text(order)).text("").text(file_and_line(order.line));
}

/// What is made has the same columns; it is of no batch or stage alone.
void write_making(Csv& csv, const plan::MakingDetail& making,
                  const std::vector<SupplyColumn>& supplies) {
  csv.text(making.id).text(joined(making.batches, "; ")).text("").text("").text("");
  csv.text(calendar::iso_date(making.date));
  csv.text(calendar::long_name(calendar::weekday(making.date)));
  csv.text(calendar::iso_week_text(making.date)).text(calendar::iso_date(making.date));
  csv.text(making.title).text("").number(making.person_seconds / units::seconds_an_hour);
  write_people(csv, making.people);
  csv.text(making.crew).text("").text(joined(making.tools, "; ")).text("");
  csv.text(joined(making.cautions, " ")).text("");
  csv.text("For " + joined(making.uses, "; ") + "." +
           (making.notes.empty() ? "" : " " + joined(making.notes, " ")));
  csv.text("").text(file_and_line(making.line));
  constexpr int of_stages = 8;  // from "stage_start" to "time_of_day"
  for (int i = 0; i < of_stages; ++i) csv.text("");
  for (const SupplyColumn& column : supplies) write_supply(csv, making.supplies, column);
  csv.end_row();
}

/// The dates of a stage.
void write_stage_dates(Csv& csv, const plan::Plan& plan, const plan::BatchPlan& batch,
                       language::StageId stage) {
  const sheet::Row row = plan.row_of(batch);
  const sheet::StageCells& cells = row.cells(stage);
  for (const sheet::CellId cell : {cells.start, cells.end, cells.earliest, cells.latest}) {
    csv.text(calendar::iso_date(row.day(cell)));
  }
  csv.number(row.value(cells.float_days));
}

void write_row(Csv& csv, const plan::Plan& plan, const SelectedOrder& one,
               const std::vector<SupplyColumn>& supplies) {
  if (one.making != nullptr) {
    write_making(csv, plan::describe(plan, *one.making), supplies);
    return;
  }
  const bool is_work = one.work != nullptr;
  const plan::BatchPlan& batch = plan.batches[is_work ? one.work->batch : one.setting->lead.batch];
  const language::Protocol& protocol = plan.protocol_of(batch);
  plan::OrderDetail work;  // uses nothing when it is none
  if (is_work) {
    work = plan::describe(plan, *one.work);
    write_order(csv, work, protocol);
  } else {
    write_setting(csv, plan::describe(plan, *one.setting), protocol);
  }
  write_stage_dates(csv, plan, batch, is_work ? one.work->stage : one.setting->lead.stage);
  csv.text(plan.facts_of(batch).cultivar).text(is_work ? plan::word(work.state) : "");
  csv.text(work.hours);
  for (const SupplyColumn& column : supplies) write_supply(csv, work.supplies, column);
  csv.end_row();
}

}  // namespace

void write_orders_csv(std::ostream& out, const plan::Plan& plan, const Selection& selected) {
  const std::vector<SupplyColumn> supplies = supply_columns(plan);
  Csv head(out);
  write_head(head, supplies);
  const std::vector<SelectedOrder> orders = in_order(plan, selected);
  write_in_pieces(out, orders.size(), [&](std::ostream& piece, std::size_t from, std::size_t to) {
    Csv csv(piece);
    for (std::size_t i = from; i < to; ++i) write_row(csv, plan, orders[i], supplies);
  });
}

}  // namespace budwood::report
