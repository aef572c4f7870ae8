#include "plan/orders/order.hpp"

#include <algorithm>
#include <cmath>

#include "plan/orders/contingencies.hpp"
#include "plan/orders/portions.hpp"
#include "plan/orders/settings.hpp"
#include "plan/orders/turns.hpp"
#include "plan/plan.hpp"
#include "plan/rooms/room_closures.hpp"
#include "plan/settings/lamp_light.hpp"
#include "plan/settings/presence.hpp"
#include "units/measured.hpp"
#include "units/rounding.hpp"

namespace budwood::plan {

std::string_view word(OrderState state) {
  switch (state) {
    case OrderState::open:
      return "open";
    case OrderState::overdue:
      return "overdue";
    case OrderState::done:
      return "done";
    case OrderState::left_out:
      return "left out";
  }
  return "";
}

namespace {

std::string record_text(const language::Record& record) {
  return record.unit.empty() ? record.name : record.name + " (" + record.unit + ")";
}

/// What the gate of a stage waits for, on work that looks for it.
std::string gate_text(const sheet::Row& row, const WorkOrder& order) {
  const language::Stage& stage = row.stage(order.stage);
  if (!stage.gate) return "";
  const auto& seen = stage.gate->observations;
  const std::vector<language::Record>& records = stage.works[order.work].records;
  const bool watches = std::any_of(records.begin(), records.end(), [&](const auto& record) {
    return std::any_of(seen.begin(), seen.end(), [&](language::ObservationId one) {
      return row.protocol().observations[one].name == record.name;
    });
  });
  if (!watches) return "";
  std::string text = "The stage ends when " + stage.gate->written + " is seen";
  const sheet::StageCells& cells = row.cells(order.stage);
  if (cells.gate_limit == sheet::no_cell) return text + ".";
  const calendar::Day last = row.day(cells.start) + row.days(cells.gate_limit);
  return text + ", and not later than " + calendar::iso_date(last) + ".";
}

std::string room_of(const Plan& plan, const WorkOrder& order) {
  return "`" + plan.protocol_of(plan.batches[order.batch]).stages[order.stage].room + "`";
}

const language::Work& work_of(const Plan& plan, const WorkOrder& order) {
  return plan.protocol_of(plan.batches[order.batch]).stages[order.stage].works[order.work];
}

/// Why the order is not on the day on which it falls due.
void add_day_notes(const Plan& plan, const WorkOrder& order, std::vector<std::string>& notes) {
  if (order.parts > 1) {
    notes.push_back("Day " + std::to_string(order.part + 1) + " of " + std::to_string(order.parts) +
                    ": it is more than the crew does in a day.");
  } else if (work_of(plan, order).timing.any_day) {
    notes.push_back("Any day to " + calendar::iso_date(last_day_of(plan, order)) + " will do.");
  } else if (order.date != order.due) {
    const std::string closed = plan.book->site.working.reason_closed(order.due);
    notes.push_back("Due on " + calendar::iso_date(order.due) +
                    (closed.empty() ? "" : ", " + closed) + ".");
  }
  if (order.on_duty) {
    const auto* crew = crew_on_duty(plan.book->site, order.date);
    const std::string who = crew == nullptr ? "" : crew->second.duty->who;
    notes.push_back(who.empty() ? "On duty." : "On duty: " + who + ".");
  }
  if (!order.held_by.known()) return;
  const RoomClosure& closure = plan.closures[order.held_by];
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
  const ClosureId before = plan.closures.latest(stage.room, order.date - 1);
  if (before.known() && closed_on(plan.closures[before], order.date, shift)) {
    notes.push_back("Nobody may enter " + room + " on this day: it is closed until " +
                    opening_text(plan.closures[before]) + ", after " +
                    treatment_text(plan, plan.closures[before]) + ".");
  }
  const ClosureId latest = plan.closures.latest(stage.room, order.date);
  if (!latest.known()) return;
  const RoomClosure& closure = plan.closures[latest];
  const sheet::WorkCells& cells = plan.row_of(batch).cells(order.stage, order.work);
  const bool closed_after = closure.opens > order.date * minutes_a_day + shift.to;
  if (cells.no_entry != sheet::no_cell && closed_after) {
    notes.push_back("No entry to " + room + " until " + opening_text(closure) +
                    ". Post the notice at the door; the product label may ask for longer.");
  } else if (closure.day == order.date) {
    notes.push_back("Before " + treatment_text(plan, closure) + ": nobody enters " + room +
                    " after it until " + opening_text(closure) + ".");
  }
}

/// The plants of a stage that an order is for, numbered from 0.
struct PlantRange {
  double from = 0, to = 0;
};
PlantRange plants_in(const WorkOrder& order, double total) {
  PlantRange out;
  WorkOrder earlier = order;
  for (earlier.part = 0; earlier.part < order.part; ++earlier.part) {
    out.from += share_of(earlier, total);
  }
  out.to = out.from + share_of(order, total);
  return out;
}

/// A row for each lot of which the plants of an order are, with its share of the amount; what is
/// counted stays whole.
std::vector<SupplyAmount> by_lot(const LotTaking& taking, const PlantRange& plants,
                                 const SupplyAmount& all) {
  std::vector<SupplyAmount> out;
  const bool counted = all.unit.dimension == units::count;
  double before = 0;
  double so_far = 0;
  for (const LotPiece& piece : pieces_of(taking, plants.from, plants.to)) {
    so_far += piece.plants;
    const double share = all.amount * so_far / (plants.to - plants.from);
    const double total = counted ? units::round_up(share) : share;
    SupplyAmount one = all;
    one.amount = total - before;
    one.lot = piece.share->facts == nullptr ? "still to be bought" : piece.share->lot;
    before = total;
    out.push_back(std::move(one));
  }
  return out;
}

/// Says of each supply where it comes from.
void tell_origins(const Plan& plan, const WorkOrder& order, std::vector<SupplyAmount>& supplies) {
  const BatchPlan& batch = plan.batches[order.batch];
  const book::Batch& facts = plan.facts_of(batch);
  std::vector<SupplyAmount> out;
  for (SupplyAmount& one : supplies) {
    if (const LotTaking* taking = taking_of(plan, order.batch, order.stage, one.supply)) {
      const sheet::Row row = plan.row_of(batch);
      const double plants = row.value(row.cells(order.stage).plants);
      for (SupplyAmount& piece : by_lot(*taking, plants_in(order, plants), one)) {
        out.push_back(std::move(piece));
      }
      continue;
    }
    one.lot = mothers_text(plan, order.batch, one.supply);
    const auto lot = facts.lots.find(one.supply);
    if (one.lot.empty() && lot != facts.lots.end()) one.lot = lot->second.value;
    out.push_back(std::move(one));
  }
  supplies = std::move(out);
}

}  // namespace

double plants_at(const sheet::Row& row, language::StageId stage, language::WorkId work) {
  const sheet::StageCells& cells = row.cells(stage);
  const int picks = row.stage(stage).works[work].picks;
  return row.value(picks == 0 ? cells.plants : cells.handled[static_cast<std::size_t>(picks) - 1]);
}

double share_of(const WorkOrder& order, double total) {
  if (order.parts <= 1) return total;
  if (total != std::floor(total)) return total / order.parts;
  // The first days have the larger share: what is counted is there for every group that is begun.
  const auto up_to = [&](int part) { return units::round_up(total * part / order.parts); };
  return up_to(order.part + 1) - up_to(order.part);
}

double use_of(const Plan& plan, const WorkOrder& order, const sheet::Row& row,
              const sheet::UseCells& use) {
  const double once = share_of(order, row.value(use.amount));
  if (use.light == sheet::no_cell) return once;
  const double light =
      light_on(plan.book->site, row.stage(order.stage).room,
               plan.settings.given({order.batch, order.stage}, order.date), order.date);
  return std::isnan(light) ? once : once * light / row.value(use.light);
}

calendar::Day last_day_of(const Plan& plan, const WorkOrder& order) {
  const sheet::Row row = plan.row_of(plan.batches[order.batch]);
  return std::max(order.date, latest_day(row.stage(order.stage).works[order.work], order.due,
                                         work_span(row, order.stage, order.work)));
}

bool is_missed(const Plan& plan, const WorkOrder& order) {
  if (order.state != OrderState::overdue) return false;
  const language::Work& work =
      plan.protocol_of(plan.batches[order.batch]).stages[order.stage].works[order.work];
  return work.timing.kind == language::Timing::Kind::repeat &&
         last_day_of(plan, order) < *plan.book->today;
}

std::string order_id(const Plan& plan, const WorkOrder& order) {
  return plan.facts_of(plan.batches[order.batch]).id.value + "/" + order_name(plan, order);
}

std::string order_name(const Plan& plan, const WorkOrder& order) {
  std::string id = plan.protocol_of(plan.batches[order.batch]).stages[order.stage].name + "/" +
                   std::to_string(order.work.number()) + "/" + std::to_string(order.occurrence);
  if (order.part > 0) id += "." + std::to_string(order.part + 1);
  return id;
}

double person_seconds(const Plan& plan, const WorkOrder& order) {
  const sheet::Row row = plan.row_of(plan.batches[order.batch]);
  return row.value(row.cells(order.stage, order.work).time, 0) / order.parts;
}

const std::string& crew_of(const Plan& plan, const WorkOrder& order) {
  const auto* on_duty = order.on_duty ? crew_on_duty(plan.book->site, order.date) : nullptr;
  if (on_duty != nullptr) return on_duty->first;
  return plan.protocol_of(plan.batches[order.batch]).stages[order.stage].works[order.work].crew;
}

OrderDetail describe(const Plan& plan, const WorkOrder& order) {
  const BatchPlan& batch = plan.batches[order.batch];
  const book::Batch& facts = plan.facts_of(batch);
  const sheet::Row row = plan.row_of(batch);
  const language::Stage& stage = row.stage(order.stage);
  const language::Work& work = stage.works[order.work];
  const sheet::WorkCells& cells = row.cells(order.stage, order.work);

  OrderDetail out;
  out.id = order_id(plan, order);
  out.batch = facts.id.value;
  out.cultivar = facts.cultivar;
  out.stage = stage.name;
  out.stage_title = stage.title;
  out.date = order.date;
  out.due = order.due;
  out.state = order.state;
  out.title = work.title;
  out.hours = language::words(work.timing.hours);
  out.cards = row.protocol().of_site;
  out.plants = share_of(order, plants_at(row, order.stage, order.work));
  out.person_seconds = person_seconds(plan, order);
  out.people = row.value(cells.people, 0);
  out.crew = crew_of(plan, order);
  out.room = stage.room;
  for (std::size_t i = 0; i < work.uses.size(); ++i) {
    const language::Supply& supply = row.protocol().supplies[work.uses[i].supply];
    const double amount = units::measured(use_of(plan, order, row, cells.uses[i]), supply.unit);
    const auto known = std::find_if(out.supplies.begin(), out.supplies.end(),
                                    [&](const auto& one) { return one.supply == supply.name; });
    if (known != out.supplies.end()) {
      known->amount += amount;
      continue;
    }
    out.supplies.push_back({supply.name, supply.title, amount, supply.unit, supply.reused, ""});
  }
  tell_origins(plan, order, out.supplies);
  out.tools = work.tools;
  out.settings = plan.settings.given({order.batch, order.stage}, order.date);
  out.cautions = work.cautions;
  for (const language::Record& record : work.records) out.records.push_back(record_text(record));
  out.notes = work.notes;
  if (const std::string gate = gate_text(row, order); !gate.empty()) {
    out.notes.push_back(gate);
  }
  if (work.picks > 0) {
    if (std::string text = graded_note(plan, order); !text.empty()) out.notes.push_back(text);
  }
  for (std::string& text : contingency_notes(plan, order)) out.notes.push_back(std::move(text));
  add_day_notes(plan, order, out.notes);
  if (!plan.makings_of_order.empty()) {
    for (std::string& text : made_notes(plan, order)) out.notes.push_back(std::move(text));
  }
  if (!plan.closures.empty()) add_closure_notes(plan, order, out.notes);
  out.line = work.span;
  return out;
}

}  // namespace budwood::plan
