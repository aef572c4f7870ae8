#include <algorithm>
#include <ostream>
#include <sstream>

#include "graph/graph.hpp"
#include "graph/usual_course.hpp"
#include "language/check/hazard.hpp"
#include "paper/facts_list.hpp"
#include "paper/listing.hpp"
#include "paper/method/method_stage.hpp"
#include "paper/method/method_words.hpp"
#include "paper/paper.hpp"
#include "paper/picture.hpp"
#include "report/formats/wording.hpp"
#include "report/needs/needs_words.hpp"
#include "sheet/template/compile.hpp"
#include "sheet/template/trial.hpp"

namespace budwood::paper {

namespace {

using language::Protocol;

std::string title_of(const Protocol& protocol) {
  return report::shown_name(protocol);
}

/// The protocol in its usual course; nothing when there is none.
std::optional<Method> method_of(const Protocol& protocol) {
  text::Diagnostics found;  // whoever reads a protocol has been told of its mistakes
  const auto t = sheet::compile(protocol, found);
  if (t == nullptr) return std::nullopt;
  sheet::try_out(t, found);
  if (found.has_errors()) return std::nullopt;
  auto graph = graph::make_graph(t, found);
  auto course = graph::usual_course(t);
  if (!graph || !course) return std::nullopt;
  return Method{protocol, std::move(*graph), std::move(*course)};
}

/// Repeated on every page.
void write_running_head(Html& html, const Protocol& protocol, const std::string& fingerprint) {
  const auto head = html.open("thead");
  const auto row = html.open("tr");
  const auto cell = html.open("td");
  {
    const auto line = html.block("div", "head");
    {
      const auto what = html.block("div", "what");
      const auto heading = html.open("h1");
      html.said(title_of(protocol));
    }
    html.text("div", "site", "Edition " + std::to_string(protocol.edition));
  }
  if (!fingerprint.empty()) html.said("div", "under", "Fingerprint " + fingerprint);
  html.text("div", "defer", language::caution_deference());
}

void write_origin(Html& html, const Protocol& protocol) {
  FactsList facts(html);
  facts.row("Name", protocol.name);
  facts.row("Crop", protocol.crop);
  std::vector<std::string> parts;
  for (const language::Part& part : protocol.parts) {
    parts.push_back(report::shown_name(part));
  }
  facts.row("Parts", report::joined(parts, "; "));
  facts.rows("Source", protocol.sources);
  facts.rows("Note", protocol.notes);
}

void write_inputs(Html& html, const Protocol& protocol) {
  std::vector<std::vector<std::string>> rows;
  for (const language::Input& input : protocol.inputs) {
    const std::string source = input.source.empty() ? "" : "; source: " + input.source;
    rows.push_back({input.name, input.title, input_text(protocol, input) + source});
  }
  write_listing(html, "Inputs", {"Name", "What it is", "Usual, and what is allowed"}, rows);
}

void write_supplies(Html& html, const Protocol& protocol) {
  std::vector<std::vector<std::string>> rows;
  for (const language::Supply& supply : protocol.supplies) {
    std::vector<std::string> facts;
    if (supply.pack > 0) facts.push_back("pack of " + units::format(supply.pack, supply.unit));
    if (supply.reused) facts.emplace_back("comes back");
    rows.push_back({report::shown_name(supply), supply.unit.symbol, report::joined(facts, ", "),
                    report::joined(supply.hazards, ", ")});
  }
  write_listing(html, "Supplies", {"Supply", "Counted in", "Comes as", "Hazards"}, rows);
}

/// "60 L of Peat-free mix, 300 g of Lime".
std::string made_of(const Protocol& protocol, const language::Recipe& recipe) {
  std::vector<std::string> parts;
  for (const language::Recipe::Ingredient& one : recipe.of) {
    const language::Supply& supply = protocol.supplies[one.supply];
    parts.push_back(units::format(one.amount, supply.unit) + " of " + report::shown_name(supply));
  }
  return report::joined(parts, ", ");
}

void write_recipes(Html& html, const Protocol& protocol) {
  std::vector<std::vector<std::string>> rows;
  for (const language::Recipe& recipe : protocol.recipes) {
    const units::Unit& unit = protocol.supplies[recipe.supply].unit;
    std::vector<std::string> how;
    if (recipe.vessel != recipe.makes) {
      how.push_back("in vessels of " + units::format(recipe.vessel, unit));
    }
    if (recipe.keeps) {
      how.push_back("keeps " +
                    units::format(*recipe.keeps, units::usual_unit(units::time, *recipe.keeps)));
    }
    if (recipe.before > 0) {
      how.push_back("made " + calendar::days_text(recipe.before) + " before use");
    }
    if (recipe.time > 0) {
      how.push_back(report::time_text(recipe.time) + " of work" +
                    (recipe.crew.empty() ? "" : ", crew " + recipe.crew));
    }
    std::vector<std::string> mind = recipe.cautions;
    mind.insert(mind.end(), recipe.notes.begin(), recipe.notes.end());
    rows.push_back({recipe.title, units::format(recipe.makes, unit), made_of(protocol, recipe),
                    report::joined(how, "; "), report::joined(mind, " ")});
  }
  write_listing(html, "Made here", {"What", "Makes", "Of", "How", "To mind"}, rows);
}

void write_observations(Html& html, const Protocol& protocol) {
  std::vector<std::vector<std::string>> rows;
  for (const language::Observation& one : protocol.observations) {
    rows.push_back({one.name, one.title, one.has_unit ? one.unit.symbol : "seen or not"});
  }
  write_listing(html, "What is looked at", {"Name", "What it is", "In"}, rows);
}

void write_waivers(Html& html, const Protocol& protocol) {
  std::vector<std::vector<std::string>> rows;
  for (const language::Waiver& waiver : protocol.waivers) {
    const std::string stage =
        waiver.stage.known() ? report::shown_name(protocol.stages[waiver.stage]) : "everywhere";
    rows.push_back(
        {(waiver.set.empty() ? "" : waiver.set + ".") + waiver.rule, stage, waiver.reason});
  }
  write_listing(html, "Rules that are not kept", {"Rule", "Where", "Why"}, rows);
}

void write_graph_picture(Html& html, const Method& method) {
  std::ostringstream svg;
  graph::write_graph(svg, method.graph, graph::GraphFormat::svg);
  write_picture(html, svg.str(), "The stages along their days");
}

/// A row of the page's table; browsers repeat the head of the table, not of the page.
template <typename Writer>
void write_section(Html& html, const Writer& writer) {
  const auto row = html.open("tr");
  const auto cell = html.open("td");
  writer();
}

}  // namespace

bool write_method(std::ostream& out, const Protocol& protocol, const MethodSheets& sheets) {
  const std::optional<Method> method = method_of(protocol);
  if (!method) return false;
  Page page(out, report::protocol_text(protocol), sheets.size);
  Html& html = page.html();
  const auto table = html.block("table", "group");
  write_running_head(html, protocol, sheets.fingerprint);
  const auto body = html.open("tbody");
  write_section(html, [&] {
    write_origin(html, protocol);
    write_graph_picture(html, *method);
  });
  write_section(html, [&] { write_inputs(html, protocol); });
  write_section(html, [&] { write_supplies(html, protocol); });
  if (!protocol.recipes.empty()) write_section(html, [&] { write_recipes(html, protocol); });
  for (const language::StageId s : protocol.stages.ids()) {
    if (!html) break;
    write_section(html, [&] { write_method_stage(html, *method, s); });
  }
  write_section(html, [&] {
    write_observations(html, protocol);
    write_waivers(html, protocol);
  });
  return true;
}

}  // namespace budwood::paper
