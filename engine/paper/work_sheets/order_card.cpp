#include "paper/work_sheets/order_card.hpp"

#include <algorithm>

#include "language/check/hazard.hpp"
#include "paper/facts_list.hpp"
#include "paper/work_sheets/place_in_plan.hpp"
#include "report/formats/wording.hpp"
#include "report/needs/needs_words.hpp"

namespace budwood::paper {

namespace {

constexpr std::string_view ticked = "\u2713";

/// "FU27-1, Bonita; Softwood cuttings under mist, fuchsia".
void write_batch(Html& html, const plan::Plan& plan, const plan::BatchPlan& batch) {
  const book::Batch& facts = plan.facts_of(batch);
  {
    const auto strong = html.open("b");
    html.said(facts.id.value);
  }
  if (!facts.cultivar.empty()) {
    html.text(", ");
    html.said(facts.cultivar);
  }
  const language::Protocol& protocol = plan.protocol_of(batch);
  html.text("; ");
  html.said(report::shown_name(protocol));
}

/// What an order uses up or borrows, and which lot it is of.
std::vector<FactsList::Amount> amounts_of(const std::vector<plan::SupplyAmount>& supplies) {
  std::vector<FactsList::Amount> out;
  for (const plan::SupplyAmount& use : supplies) {
    std::vector<std::string> behind;
    if (use.reused) behind.emplace_back("comes back");
    if (!use.lot.empty()) behind.push_back("lot " + use.lot);
    out.push_back({units::format(use.amount, use.unit), use.title.empty() ? use.supply : use.title,
                   report::joined(behind, ", ")});
  }
  return out;
}

/// A blank for one thing that is to be written down.
void write_record(Html& html, const language::Protocol& protocol, const language::Record& record) {
  const auto seen = std::find_if(protocol.observations.begin(), protocol.observations.end(),
                                 [&](const auto& one) { return one.name == record.name; });
  const bool observed = seen != protocol.observations.end();
  const auto whole = html.block("div", "record");
  {
    const auto words = html.open("span");
    std::string name = record.name;
    std::replace(name.begin(), name.end(), '_', ' ');
    html.said("b", {}, name);
    if (observed && !seen->title.empty()) {
      html.text(" ");
      html.said("span", "means", seen->title);
    }
  }
  if (observed && !seen->has_unit) {
    for (const std::string_view answer : {"yes", "no"}) {
      html.text("span", {}, answer);
      html.text("span", "box small", {});
    }
    return;
  }
  html.text("span", "box", {});
  html.said("span", {}, record.unit);
}

/// Where it is signed when it is done: one line at the foot.
void write_signature(Html& html, bool done, calendar::Day day) {
  const auto sign = html.block("div", "sign");
  html.text(done ? "Done " + calendar::short_date(day) : "Done on");
  if (!done) html.text("span", "line", {});
  html.text("Initials");
  html.text("span", "line", {});
}

/// "crew grafting, room bench, 2 people".
std::string whereabouts(const plan::OrderDetail& order) {
  std::vector<std::string> pieces;
  if (!order.hours.empty()) pieces.push_back(order.hours);
  if (!order.crew.empty()) pieces.push_back("Crew " + order.crew);
  if (!order.room.empty()) pieces.push_back("Room " + order.room);
  if (order.people > 0) {
    pieces.push_back(units::format_number(order.people) +
                     (order.people == 1 ? " person" : " people"));
  }
  return report::joined(pieces, ", ");
}

/// Which batch it is, and where that stands.
void write_places(Html& html, const plan::Plan& plan, const plan::BatchPlan& batch,
                  const PlaceInPlan& place) {
  {
    const auto line = html.block("div", "place");
    write_batch(html, plan, batch);
  }
  {
    const auto line = html.block("div", "place");
    html.said(place.now);
    for (std::size_t i = 0; i < place.next.size(); ++i) {
      html.text(i == 0 ? "; then " : " and ");
      html.said(place.next[i].what);
      html.text(" ");
      html.text("span", "together", calendar::short_date(place.next[i].day));
    }
  }
}

std::string time_of(const plan::OrderDetail& order) {
  const std::string time = report::time_text(order.person_seconds);
  if (time.empty()) return time;
  // Of several people it is what they work together, not each.
  return time + (order.people > 1 ? " of work, all together" : " of work");
}

void write_figures(Html& html, const plan::OrderDetail& order) {
  html.text("div", "figure", report::plants_text(order.plants, order.cards));
  html.text("div", "figure", time_of(order));
}

/// What the order tells besides its cautions, what to do `if` apart.
struct Notes {
  std::vector<std::string> plain, cases;
};

Notes notes_of(const plan::Plan& plan, const plan::WorkOrder& order,
               const plan::OrderDetail& detail) {
  Notes out;
  out.cases = plan::contingency_notes(plan, order);
  for (const std::string& note : detail.notes) {
    if (std::find(out.cases.begin(), out.cases.end(), note) == out.cases.end()) {
      out.plain.push_back(note);
    }
  }
  return out;
}

/// The last line of an order: blanks for what is to be written down, where it is signed, and its
/// id.
void write_foot(Html& html, const language::Protocol& protocol,
                const std::vector<language::Record>& records, std::string_view where,
                std::string_view id, bool done, calendar::Day day) {
  const auto foot = html.block("div", "foot");
  if (!where.empty()) html.said("div", "where", where);
  {
    const auto blanks = html.block("div", "records");
    for (const language::Record& record : records) write_record(html, protocol, record);
  }
  const auto close = html.block("div", "close");
  write_signature(html, done, day);
  html.said("span", "id", id);
}

void write_work(Html& html, const plan::Plan& plan, const plan::WorkOrder& order) {
  const plan::BatchPlan& batch = plan.batches[order.batch];
  const language::Protocol& protocol = plan.protocol_of(batch);
  plan::OrderDetail detail = plan::describe(plan, order);
  std::erase(detail.cautions, language::caution_deference());
  const Notes notes = notes_of(plan, order, detail);
  const auto card = html.block("div", "card");
  html.text("div", "tick", order.done() ? ticked : std::string_view());
  const auto body = html.open("div");
  {
    const auto top = html.block("div", "top");
    {
      const auto words = html.block("div", "words");
      html.said("div", "title", detail.title);
      write_places(html, plan, batch, place_in_plan(plan, batch, order.stage, order.date));
    }
    const auto side = html.block("div", "side");
    write_figures(html, detail);
  }
  {
    FactsList facts(html);
    facts.rows("Caution", detail.cautions, "caution");
    facts.amounts("Use", amounts_of(detail.supplies));
    facts.row("Tools", report::joined(detail.tools, "; "));
    facts.row("Keep", report::settings_text(detail.settings));
    facts.rows("Note", notes.plain);
    facts.rows("In case", notes.cases, "case");
  }
  write_foot(html, protocol, protocol.stages[order.stage].works[order.work].records,
             whereabouts(detail), detail.id, order.done(), order.date);
}

void write_making(Html& html, const plan::Plan& plan, const plan::Making& making) {
  plan::MakingDetail detail = plan::describe(plan, making);
  std::erase(detail.cautions, language::caution_deference());
  const auto card = html.block("div", "card");
  html.text("div", "tick", {});
  const auto body = html.open("div");
  {
    const auto top = html.block("div", "top");
    {
      const auto words = html.block("div", "words");
      html.said("div", "title", detail.title);
      html.said("div", "place", "For " + text::list_words(detail.batches, "and"));
    }
    const auto side = html.block("div", "side");
    const std::string time = report::time_text(detail.person_seconds);
    html.text("div", "figure", time.empty() ? time : time + " of work");
  }
  {
    FactsList facts(html);
    facts.rows("Caution", detail.cautions, "caution");
    facts.amounts("Use", amounts_of(detail.supplies));
    facts.rows("For", detail.uses);
    facts.row("Tools", report::joined(detail.tools, "; "));
    facts.rows("Note", detail.notes);
  }
  write_foot(html, *plan.recipes[making.recipe].protocol, {},
             detail.crew.empty() ? std::string() : "Crew " + detail.crew, detail.id, false,
             making.date);
}

void write_setting(Html& html, const plan::Plan& plan, const plan::SettingOrder& order) {
  const plan::BatchPlan& batch = plan.batches[order.lead.batch];
  const plan::SettingDetail detail = plan::describe(plan, order);
  const auto card = html.block("div", "card");
  html.text("div", "tick", {});
  const auto body = html.open("div");
  {
    const auto top = html.block("div", "top");
    {
      const auto words = html.block("div", "words");
      html.said("div", "title",
                (detail.room.empty() && !detail.cover ? "Set the climate of " : "Set ") +
                    report::place_text(detail));
      write_places(html, plan, batch, place_in_plan(plan, batch, order.lead.stage, order.since));
    }
  }
  {
    FactsList facts(html);
    facts.row("Set", report::changes_text(detail));
    facts.row("For", report::whom_text(detail));
  }
  write_foot(html, plan.protocol_of(batch), {}, {}, detail.id, false, order.date);
}

}  // namespace

bool defers_to_label(const plan::Plan& plan, const report::SelectedOrder& order) {
  if (order.work == nullptr && order.making == nullptr) return false;
  const auto& cautions = order.making != nullptr
                             ? plan.recipes[order.making->recipe].recipe->cautions
                             : plan.protocol_of(plan.batches[order.work->batch])
                                   .stages[order.work->stage]
                                   .works[order.work->work]
                                   .cautions;
  return std::find(cautions.begin(), cautions.end(), language::caution_deference()) !=
         cautions.end();
}

void write_order_card(Html& html, const plan::Plan& plan, const report::SelectedOrder& order) {
  if (order.making != nullptr) {
    write_making(html, plan, *order.making);
  } else if (order.work != nullptr) {
    write_work(html, plan, *order.work);
  } else {
    write_setting(html, plan, *order.setting);
  }
}

}  // namespace budwood::paper
