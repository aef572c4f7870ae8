#include "sheet/compile.hpp"

#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/topological_sort.hpp>

#include "sheet/template_builder.hpp"

namespace budwood::sheet {

namespace {

/// Every cell is a vertex, and the dates, which are worked out together, are one more.
using Arcs = std::vector<std::pair<std::size_t, std::size_t>>;

Arcs dependency_arcs(const Template& t) {
  const std::size_t dates = t.cells.size();
  Arcs arcs;
  for (std::size_t id = 0; id < t.cells.size(); ++id) {
    if (t.cells[id].kind == Cell::Kind::date) arcs.emplace_back(dates, id);
    for (const CellId used : t.cells[id].uses) arcs.emplace_back(used, id);
  }
  for (const CellId used : t.dates.uses) arcs.emplace_back(used, dates);
  return arcs;
}

std::vector<CellId> evaluation_order(std::size_t count, const Arcs& arcs) {
  using Graph = boost::adjacency_list<boost::vecS, boost::vecS, boost::directedS>;
  const Graph graph(arcs.begin(), arcs.end(), count);
  std::vector<std::size_t> reversed;
  boost::topological_sort(graph, std::back_inserter(reversed));
  std::vector<CellId> order(reversed.rbegin(), reversed.rend());
  return order;
}

void report_circle(const Template& t, const std::vector<std::size_t>& circle,
                   text::Diagnostics& diagnostics) {
  const auto name = [&](std::size_t id) {
    return id < t.cells.size() ? "`" + t.cells[id].name + "`" : std::string("the dates");
  };
  // The arcs run from what is used to its user; people read it the other way round.
  std::string chain = name(circle.front());
  for (auto i = circle.rbegin(); i != circle.rend(); ++i) chain += " rests on " + name(*i);
  text::Span span;
  for (const std::size_t id : circle) {
    if (id < t.cells.size() && (span.source == nullptr || t.cells[id].count > 0)) {
      span = t.cells[id].span;
    }
  }
  diagnostics.error("formula-circle", span,
                    "These values rest on each other in a circle: " + chain + ".",
                    "Give one of them a value that rests on none of the others.");
}

}  // namespace

CellId Template::find(std::string_view name) const {
  const auto found =
      std::find_if(cells.begin(), cells.end(), [&](const Cell& cell) { return cell.name == name; });
  return found == cells.end() ? no_cell : static_cast<CellId>(found - cells.begin());
}

std::shared_ptr<const Template> compile(language::Protocol protocol,
                                        text::Diagnostics& diagnostics) {
  auto t = std::make_shared<Template>();
  t->protocol = std::move(protocol);
  TemplateBuilder(*t).build();
  const Arcs arcs = dependency_arcs(*t);
  const std::vector<std::size_t> circle = language::find_cycle(t->cells.size() + 1, arcs);
  if (!circle.empty()) {
    report_circle(*t, circle, diagnostics);
    return nullptr;
  }
  t->order = evaluation_order(t->cells.size() + 1, arcs);
  const auto dates = static_cast<CellId>(t->cells.size());
  std::replace(t->order.begin(), t->order.end(), dates, Template::dates_turn);
  return t;
}

}  // namespace budwood::sheet
