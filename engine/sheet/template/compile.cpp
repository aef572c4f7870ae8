#include "sheet/template/compile.hpp"

#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/topological_sort.hpp>

#include "language/check/cycle.hpp"
#include "sheet/counts/assurances.hpp"
#include "sheet/template/template_builder.hpp"

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

/// Who rests on whom, seen from what is rested on.
void add_uses(Template& t) {
  for (CellId id = 0; id < t.cells.size(); ++id) {
    for (const CellId used : t.cells[id].uses) t.cells[used].used_by.push_back(id);
  }
  for (const CellId used : t.dates.uses) t.cells[used].bounds_dates = true;
}

void number_turns(Template& t) {
  t.turn.resize(t.cells.size());
  std::uint32_t dates = 0;
  for (std::uint32_t place = 0; place < t.order.size(); ++place) {
    if (t.order[place] == Template::dates_turn) {
      dates = place;
    } else {
      t.turn[t.order[place]] = place;
    }
  }
  for (CellId id = 0; id < t.cells.size(); ++id) {
    if (t.cells[id].kind == Cell::Kind::date) t.turn[id] = dates;
  }
}

std::vector<CellId> evaluation_order(std::size_t count, const Arcs& arcs) {
  using Graph = boost::adjacency_list<boost::vecS, boost::vecS, boost::directedS>;
  const Graph graph(arcs.begin(), arcs.end(), count);
  std::vector<std::size_t> reversed;
  boost::topological_sort(graph, std::back_inserter(reversed));
  std::vector<CellId> order(reversed.rbegin(), reversed.rend());
  return order;
}

/// A circle as people read it, each value before what it rests on. The dates, which stand for
/// themselves in the names of cells, are left out, and what a line of the protocol says goes first.
std::vector<CellId> readable_circle(const Template& t, const std::vector<std::size_t>& circle) {
  std::vector<CellId> out;
  for (auto i = circle.rbegin(); i != circle.rend(); ++i) {
    if (*i < t.cells.size()) out.push_back(static_cast<CellId>(*i));
  }
  // Cells that people take for one: the loss and the share that is left.
  const auto alike = [&](CellId a, CellId b) { return describe(t.cell(a)) == describe(t.cell(b)); };
  out.erase(std::unique(out.begin(), out.end(), alike), out.end());
  if (out.size() > 1 && alike(out.front(), out.back())) out.pop_back();
  const auto stated =
      std::find_if(out.begin(), out.end(), [&](CellId id) { return !t.cell(id).label.empty(); });
  if (stated != out.end()) std::rotate(out.begin(), stated, out.end());
  return out;
}

void report_circle(const Template& t, const std::vector<std::size_t>& found,
                   text::Diagnostics& diagnostics) {
  const std::vector<CellId> circle = readable_circle(t, found);
  text::Diagnostic d;
  d.code = "formula-circle";
  d.span = t.cell(circle.front()).span;
  d.message = "These values rest on each other in a circle: " + describe(t.cell(circle.front()));
  for (std::size_t i = 1; i <= circle.size(); ++i) {
    const Cell& next = t.cell(circle[i % circle.size()]);
    d.message += (i == 1 ? " rests on " : ", that on ") + describe(next);
    const bool let =
        std::find(t.lets.begin(), t.lets.end(), circle[i % circle.size()]) != t.lets.end();
    if (i < circle.size() && (let || !next.label.empty())) {
      d.related.push_back({next.span, "Here is " + describe(next) + "."});
    }
  }
  d.message += ".";
  d.advice = "Give one of them a value that rests on none of the others.";
  diagnostics.add(std::move(d));
}

}  // namespace

std::string describe(const Cell& cell) {
  return cell.label.empty() ? "`" + cell.name + "`" : cell.label;
}

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
  complete_assurances(*t, evaluation_order(t->cells.size() + 1, arcs));
  add_uses(*t);
  t->order = evaluation_order(t->cells.size() + 1, dependency_arcs(*t));
  const auto dates = static_cast<CellId>(t->cells.size());
  std::replace(t->order.begin(), t->order.end(), dates, Template::dates_turn);
  number_turns(*t);
  t->countable.assign(t->cells.size(), false);
  for (const StageCells& cells : t->stages) {
    t->countable[cells.left] = true;
    for (const CellId picked : cells.picked) t->countable[picked] = true;
    for (const CellId grade : cells.grades) t->countable[grade] = true;
  }
  return t;
}

}  // namespace budwood::sheet
