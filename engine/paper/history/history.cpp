#include <ostream>
#include <set>

#include "paper/facts_list.hpp"
#include "paper/history/history_tables.hpp"
#include "paper/listing.hpp"
#include "paper/paper.hpp"
#include "record/standing.hpp"
#include "report/formats/wording.hpp"

namespace budwood::paper {

namespace {

/// Repeated on every page.
void write_running_head(Html& html, const plan::Plan& plan, const plan::BatchPlan& batch) {
  const language::Protocol& protocol = plan.protocol_of(batch);
  const auto head = html.open("thead");
  const auto row = html.open("tr");
  const auto cell = html.open("td");
  {
    const auto line = html.block("div", "head");
    {
      const auto what = html.block("div", "what");
      const auto heading = html.open("h1");
      html.text("History of batch ");
      html.said(plan.facts_of(batch).id.value);
    }
    html.said("div", "site", plan.book->site.name.value);
  }
  html.said("div", "under",
            report::shown_name(protocol) + ", edition " + std::to_string(protocol.edition) +
                ", fingerprint " + protocol.fingerprint);
}

std::string state_text(const book::Batch& facts, const std::vector<record::Entry>& holding) {
  if (facts.stopped) {
    return "Given up on " + calendar::short_date(facts.stopped->value) + ": " +
           facts.stopped_because;
  }
  return holding.empty() ? "Nothing has been noted of it." : "";
}

/// Where its material came from.
std::vector<std::string> lot_texts(const plan::Plan& plan, const plan::BatchPlan& batch) {
  std::vector<std::string> out;
  std::set<std::string> by_lot;
  const auto shown = [&](const std::string& name) {
    for (const language::Supply& supply : plan.protocol_of(batch).supplies) {
      if (supply.name == name) return report::shown_name(supply);
    }
    return name;
  };
  const auto number = plan::number_of(plan, batch);
  for (const plan::LotTaking& one : plan.lots) {
    if (one.batch != number) continue;
    const std::string& supply = plan.protocol_of(batch).supplies[one.supply].name;
    by_lot.insert(supply);
    for (const plan::LotShare& share : one.shares) {
      out.push_back(shown(supply) + ": " + plan::share_text(share, one));
    }
  }
  for (const plan::Origin& one : plan::origins_of(plan, batch)) {
    if (!by_lot.contains(one.supply)) out.push_back(shown(one.supply) + ": " + one.text);
  }
  return out;
}

void write_facts(Html& html, const plan::Plan& plan, const plan::BatchPlan& batch,
                 const std::vector<record::Entry>& holding) {
  const book::Batch& facts = plan.facts_of(batch);
  FactsList list(html);
  list.row("Crop", plan.protocol_of(batch).crop);
  list.row("Cultivar", facts.cultivar);
  list.row("Wanted", report::plants_text(static_cast<double>(facts.plants.value)) +
                         (facts.ready ? ", ready on " + calendar::short_date(facts.ready->value)
                                      : std::string()));
  list.rows("Lots", lot_texts(plan, batch));
  list.row("Note", facts.note);
  list.row("State", state_text(facts, holding));
}

void write_deviations(Html& html, const std::vector<std::string>& texts) {
  if (texts.empty()) return;
  html.text("h2", {}, "Otherwise than the protocol says");
  const auto list = html.open("ul");
  for (const std::string& text : texts) html.said("li", {}, text);
}

}  // namespace

void write_history(std::ostream& out, const plan::Plan& plan, const plan::BatchPlan& batch,
                   const std::vector<record::Entry>& entries, PageSize size) {
  const std::vector<record::Entry> holding = record::standing(entries);
  Page page(out, "History of batch " + plan.facts_of(batch).id.value, size);
  Html& html = page.html();
  const auto whole = html.block("table", "group");
  write_running_head(html, plan, batch);
  const auto body = html.open("tbody");
  const auto row = html.open("tr");
  const auto cell = html.open("td");
  write_facts(html, plan, batch, holding);
  write_listing(html, "Stages, as far as they are noted",
                {"Stage", "Room", "Began", "Was over", "Plants left"}, stage_rows(plan, batch));
  write_listing(html, "Work that was done",
                {"Day", "Who", "Work", "Plants", "Time", "Used", "Remark"},
                work_rows(plan, batch, holding));
  write_listing(html, "Seen, counted, lost and told", {"Day", "Who", "What"}, other_rows(holding));
  write_deviations(html, deviation_texts(plan, batch));
  write_listing(html, "Every entry as it was noted",
                {"Entry", "Noted", "Day", "Who", "What", "Since then"}, entry_rows(entries));
}

}  // namespace budwood::paper
