#include "paper/method/method_stage.hpp"

#include <algorithm>

#include "language/check/hazard.hpp"
#include "paper/facts_list.hpp"
#include "paper/method/method_words.hpp"
#include "plan/settings/stage_settings.hpp"
#include "report/formats/wording.hpp"
#include "report/needs/needs_words.hpp"

namespace budwood::paper {

namespace {

using language::Protocol;
using language::Stage;

/// The stages whose plants it takes.
std::string comes_from(const Protocol& protocol, const Stage& stage) {
  std::vector<std::string> out;
  for (const language::StageId from : stage.takes) {
    out.push_back(report::shown_name(protocol.stages[from]));
  }
  return out.empty() ? "" : (stage.joined.empty() ? "" : "joins ") + text::list_words(out);
}

/// The same climate on days `first` to `last` of a stage.
struct ClimateDays {
  int first = 1, last = 1;
  std::vector<plan::DaySetting> settings;
};

std::vector<ClimateDays> climate_of(const Method& method, language::StageId stage) {
  const sheet::Row course(method.course, 0);
  const int days = std::max(1, course.days(course.cells(stage).days));
  // As it is set where nothing is said of dials.
  const book::Site usual;
  const plan::StageSettings climate(usual, course, stage);
  std::vector<ClimateDays> out;
  for (int day = 1; day <= days; ++day) {
    std::vector<plan::DaySetting> settings = climate.set(day - 1);
    if (!out.empty() && plan::same(out.back().settings, settings)) {
      out.back().last = day;
    } else {
      out.push_back({day, day, std::move(settings)});
    }
  }
  return out;
}

/// "air by day": what stands at the head of a column.
std::string column_of(const plan::DaySetting& setting) {
  return plan::name_text(setting);
}

std::vector<std::string> columns_of(const std::vector<ClimateDays>& climate) {
  std::vector<std::string> out;
  for (const ClimateDays& days : climate) {
    for (const plan::DaySetting& setting : days.settings) {
      const std::string column = column_of(setting);
      if (std::find(out.begin(), out.end(), column) == out.end()) out.push_back(column);
    }
  }
  return out;
}

void write_climate(Html& html, const Method& method, language::StageId stage) {
  const std::vector<ClimateDays> climate = climate_of(method, stage);
  const std::vector<std::string> columns = columns_of(climate);
  if (columns.empty()) return;
  const auto table = html.block("table", "plain");
  {
    const auto head = html.open("thead");
    const auto row = html.open("tr");
    html.text("th", {}, method.graph.open ? "Day, for instance" : "Day");
    for (const std::string& column : columns) html.said("th", {}, column);
  }
  const auto body = html.open("tbody");
  for (const ClimateDays& days : climate) {
    const auto row = html.open("tr");
    std::string numbers = std::to_string(days.first);
    if (days.last > days.first) numbers += " to " + std::to_string(days.last);
    html.text("td", "day-of", numbers);
    for (const std::string& column : columns) {
      std::vector<std::string> values;  // mist may run by several programmes
      for (const plan::DaySetting& setting : days.settings) {
        if (column_of(setting) == column) values.push_back(setting.value());
      }
      html.said("td", {}, report::joined(values, "; "));
    }
  }
}

std::vector<FactsList::Amount> amounts_of(const Protocol& protocol, const language::Work& work) {
  std::vector<FactsList::Amount> out;
  for (const language::Use& use : work.uses) {
    const language::Supply& supply = protocol.supplies[use.supply];
    out.push_back(
        {use_text(protocol, use), report::shown_name(supply), supply.reused ? "comes back" : ""});
  }
  return out;
}

std::vector<std::string> records_of(const language::Work& work) {
  std::vector<std::string> out;
  for (const language::Record& record : work.records) {
    out.push_back(record.name + (record.unit.empty() ? "" : " (" + record.unit + ")"));
  }
  return out;
}

void write_work(Html& html, const Protocol& protocol, const language::Work& work,
                const std::string& when) {
  const auto block = html.block("div", "work");
  {
    const auto title = html.open("div");
    html.said("b", {}, work.title);
    if (!when.empty()) html.said(", " + when);
  }
  FactsList facts(html);
  std::vector<std::string> cautions = work.cautions;
  std::erase(cautions, language::caution_deference());
  facts.rows("Caution", cautions, "caution");
  std::vector<std::string> labour;
  if (!work.crew.empty()) labour.push_back("crew " + work.crew);
  if (const std::string time = labour_text(protocol, work); !time.empty()) labour.push_back(time);
  facts.row("Labour", report::joined(labour, ", "));
  facts.amounts("Use", amounts_of(protocol, work));
  facts.row("Tools", report::joined(work.tools, "; "));
  facts.row("Record", report::joined(records_of(work), "; "));
  if (work.no_entry != language::no_formula) {
    facts.row("No entry", "for " + written_text(protocol, work.no_entry) + " after");
  }
  facts.rows("Note", work.notes);
}

void write_contingency(Html& html, const Protocol& protocol, const language::Contingency& one) {
  const auto block = html.block("div", "case work");
  html.said("b", {},
            "If " + one.written +
                (one.day.last ? " on the last day" : " on day " + std::to_string(one.day.day)));
  for (const std::string& warning : one.warnings) html.said("div", {}, warning);
  for (const language::Contingency::Action& action : one.actions) {
    write_work(html, protocol, action.work, "");
  }
}

}  // namespace

namespace {

std::string space_text(const Protocol& protocol, const language::Space& space) {
  std::string text = space.written;
  if (space.kind == language::Space::Kind::total) {
    const std::string amount = written_text(protocol, space.amount);
    text = space.noun.empty() || amount == space.noun ? amount : amount + " " + space.noun;
  }
  return space.from > 1 ? text + " from day " + std::to_string(space.from) : text;
}

}  // namespace

void write_method_stage(Html& html, const Method& method, language::StageId number) {
  const Protocol& protocol = method.protocol;
  const Stage& stage = protocol.stages[number];
  {
    const auto heading = html.open("h2");
    html.text(std::to_string(number.number()) + ". ");
    html.said(report::shown_name(stage));
  }
  html.said("p", {}, report::joined(method.graph.stages[number.place()].details, "; "));
  {
    FactsList facts(html);
    facts.row("Plants", report::shown_name(protocol.parts[stage.part]));
    facts.row("From", comes_from(protocol, stage));
    facts.row("Room", stage.room);
    std::vector<std::string> space;
    for (const language::Space& one : stage.space) space.push_back(space_text(protocol, one));
    facts.row("Space", report::joined(space, ", "));
    facts.rows("Note", stage.notes);
    facts.rows("Source", stage.sources);
  }
  write_climate(html, method, number);
  for (const language::Work& work : stage.works) {
    write_work(html, protocol, work, timing_text(work.timing));
  }
  for (const language::Contingency& one : stage.contingencies) {
    write_contingency(html, protocol, one);
  }
}

}  // namespace budwood::paper
