#include "plan/orders/order.hpp"

#include <algorithm>
#include <cmath>

#include "plan/orders/contingencies.hpp"
#include "plan/orders/setting_orders.hpp"
#include "plan/orders/settings.hpp"
#include "plan/plan.hpp"
#include "plan/rooms/room_closures.hpp"

namespace budwood::plan {

namespace {

std::string record_text(const language::Record& record) {
  return record.unit.empty() ? record.name : record.name + " (" + record.unit + ")";
}

/// What the gate of a stage waits for, on work that looks for it.
std::string gate_text(const sheet::Sheet& sheet, std::size_t row, const WorkOrder& order) {
  const language::Protocol& protocol = sheet.layout().protocol;
  const language::Stage& stage = protocol.stages[order.stage];
  if (!stage.gate) return "";
  const auto& seen = stage.gate->observations;
  const std::vector<language::Record>& records = stage.works[order.work].records;
  const bool watches = std::any_of(records.begin(), records.end(), [&](const auto& record) {
    return std::any_of(seen.begin(), seen.end(), [&](std::int32_t one) {
      return protocol.observations[static_cast<std::size_t>(one)].name == record.name;
    });
  });
  if (!watches) return "";
  std::string text = "The stage ends when " + stage.gate->written + " is seen";
  const sheet::StageCells& cells = sheet.layout().stages[order.stage];
  if (cells.gate_limit == sheet::no_cell) return text + ".";
  const double last = sheet.value(cells.start, row) + sheet.value(cells.gate_limit, row);
  return text + ", and not later than " + calendar::iso_date(static_cast<calendar::Day>(last)) +
         ".";
}

std::string room_of(const Plan& plan, const WorkOrder& order) {
  return "`" + plan.protocol_of(plan.batches[order.batch]).stages[order.stage].room + "`";
}

/// Why the order is not on the day on which it falls due.
void add_day_notes(const Plan& plan, const WorkOrder& order, std::vector<std::string>& notes) {
  if (order.parts > 1) {
    notes.push_back("Day " + std::to_string(order.part + 1) + " of " + std::to_string(order.parts) +
                    ": it is more than the crew does in a day.");
  } else if (order.date != order.due) {
    const std::string closed = plan.book->site.working.reason_closed(order.due);
    notes.push_back("Due on " + calendar::iso_date(order.due) +
                    (closed.empty() ? "" : ", " + closed) + ".");
  }
  if (order.held_by < 0) return;
  const RoomClosure& closure = plan.closures[static_cast<std::size_t>(order.held_by)];
  notes.push_back("Moved to this day: nobody may enter " + room_of(plan, order) + " until " +
                  opening_text(closure) + ", after " + treatment_text(plan, closure) + " on " +
                  calendar::short_date(closure.day) + ".");
}

/// What closed rooms mean for the order as it stands.
void add_closure_notes(const Plan& plan, const WorkOrder& order, std::vector<std::string>& notes) {
  const BatchPlan& batch = plan.batches[order.batch];
  const language::Stage& stage = plan.protocol_of(batch).stages[order.stage];
  const std::string room = room_of(plan, order);
  const Shift shift = shift_of(plan);
  const auto before = plan.closures.latest(stage.room, order.date - 1);
  if (before && closed_on(plan.closures[*before], order.date, shift)) {
    notes.push_back("Nobody may enter " + room + " on this day: it is closed until " +
                    opening_text(plan.closures[*before]) + ", after " +
                    treatment_text(plan, plan.closures[*before]) + ".");
  }
  const auto latest = plan.closures.latest(stage.room, order.date);
  if (!latest) return;
  const RoomClosure& closure = plan.closures[*latest];
  const sheet::WorkCells& cells =
      plan.sheet_of(batch).layout().stages[order.stage].works[order.work];
  const bool closed_after = closure.opens > order.date * minutes_a_day + shift.to;
  if (cells.no_entry != sheet::no_cell && closed_after) {
    notes.push_back("No entry to " + room + " until " + opening_text(closure) +
                    ". Post the notice at the door; the product label may ask for longer.");
  } else if (closure.day == order.date) {
    notes.push_back("Before " + treatment_text(plan, closure) + ": nobody enters " + room +
                    " after it until " + opening_text(closure) + ".");
  }
}

}  // namespace

double share_of(const WorkOrder& order, double total) {
  if (order.parts <= 1) return total;
  if (total != std::floor(total)) return total / order.parts;
  const auto up_to = [&](int part) { return std::floor(total * part / order.parts + 1e-9); };
  return up_to(order.part + 1) - up_to(order.part);
}

std::string order_id(const Plan& plan, const WorkOrder& order) {
  return plan.facts_of(plan.batches[order.batch]).id.value + "/" + order_name(plan, order);
}

std::string order_name(const Plan& plan, const WorkOrder& order) {
  std::string id = plan.protocol_of(plan.batches[order.batch]).stages[order.stage].name + "/" +
                   std::to_string(order.work + 1) + "/" + std::to_string(order.occurrence);
  if (order.part > 0) id += "." + std::to_string(order.part + 1);
  return id;
}

double person_seconds(const Plan& plan, const WorkOrder& order) {
  const BatchPlan& batch = plan.batches[order.batch];
  const sheet::Sheet& sheet = plan.sheet_of(batch);
  const sheet::CellId time = sheet.layout().stages[order.stage].works[order.work].time;
  return time == sheet::no_cell ? 0 : sheet.value(time, batch.row) / order.parts;
}

OrderDetail describe(const Plan& plan, const WorkOrder& order) {
  const BatchPlan& batch = plan.batches[order.batch];
  const book::Batch& facts = plan.facts_of(batch);
  const sheet::Sheet& sheet = plan.sheet_of(batch);
  const language::Protocol& protocol = plan.protocol_of(batch);
  const language::Stage& stage = protocol.stages[order.stage];
  const language::Work& work = stage.works[order.work];
  const sheet::StageCells& stage_cells = sheet.layout().stages[order.stage];
  const sheet::WorkCells& cells = stage_cells.works[order.work];
  const auto value = [&](sheet::CellId cell) {
    return cell == sheet::no_cell ? 0.0 : sheet.value(cell, batch.row);
  };

  OrderDetail out;
  out.id = order_id(plan, order);
  out.batch = facts.id.value;
  out.cultivar = facts.cultivar;
  out.stage = stage.name;
  out.stage_title = stage.title;
  out.date = order.date;
  out.due = order.due;
  out.title = work.title;
  out.plants = share_of(order, value(stage_cells.plants));
  out.person_seconds = person_seconds(plan, order);
  out.people = value(cells.people);
  out.crew = work.crew;
  out.room = stage.room;
  for (std::size_t i = 0; i < work.uses.size(); ++i) {
    const language::Supply& supply =
        protocol.supplies[static_cast<std::size_t>(work.uses[i].supply)];
    const auto lot = facts.lots.find(supply.name);
    out.supplies.push_back({supply.name, supply.title, share_of(order, value(cells.uses[i].amount)),
                            supply.unit, supply.reused,
                            lot == facts.lots.end() ? "" : lot->second.value});
  }
  out.tools = work.tools;
  const auto offset = order.date - static_cast<calendar::Day>(value(stage_cells.start));
  out.settings = settings_on(sheet, batch.row, order.stage, offset);
  out.cautions = work.cautions;
  for (const language::Record& record : work.records) out.records.push_back(record_text(record));
  out.notes = work.notes;
  if (const std::string gate = gate_text(sheet, batch.row, order); !gate.empty()) {
    out.notes.push_back(gate);
  }
  for (std::string& text : contingency_notes(plan, order)) out.notes.push_back(std::move(text));
  add_day_notes(plan, order, out.notes);
  if (!plan.closures.empty()) add_closure_notes(plan, order, out.notes);
  out.line = work.span;
  return out;
}

}  // namespace budwood::plan
