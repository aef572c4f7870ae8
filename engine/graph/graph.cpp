#include "graph/graph.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "graph/graph_writers.hpp"
#include "graph/usual_course.hpp"
#include "report/formats/wording.hpp"
#include "report/needs/needs_words.hpp"
#include "sheet/row.hpp"

namespace budwood::graph {

namespace {

using calendar::Day;
using language::PartId;
using language::Stage;
using language::StageId;
using sheet::CellId;
using sheet::DateLayout;
using sheet::DateLink;
using sheet::Sheet;
using sheet::Template;

/// Builds the graph from the sheet of the usual course; `protocol` is what was written.
class GraphBuilder {
 public:
  GraphBuilder(const language::Protocol& protocol, const Sheet& sheet)
      : protocol_(protocol), course_(sheet, 0), t_(sheet.layout()) {
    for (const sheet::StageCells& cells : t_.stages) {
      days_.push_back(course_.day(cells.start));
      days_.push_back(course_.day(cells.end));
    }
    first_ = *std::min_element(days_.begin(), days_.end());
    days_.push_back(course_.day(t_.ready));
    open_ = std::any_of(protocol.stages.begin(), protocol.stages.end(), language::follows_site);
  }

  Graph build() {
    Graph graph;
    graph.name = protocol_.name;
    graph.title = report::shown_name(protocol_);
    graph.edition = protocol_.edition;
    graph.days = days_.back() - first_;
    graph.open = open_;
    add_stages(graph);
    add_arrows(graph);
    return graph;
  }

 private:
  int low(const DateLink& link) const {
    return link.low == sheet::no_cell ? link.fixed_low : course_.days(link.low);
  }

  void add_stages(Graph& graph) const {
    language::List<std::size_t, language::Part> places(protocol_.parts.size(), 0);
    for (const PartId p : parts_in_order()) {
      places[p] = graph.parts.size();
      graph.parts.push_back(report::shown_name(protocol_.parts[p]));
    }
    const std::vector<Day> earliest = earliest_days();
    for (std::size_t s = 0; s < protocol_.stages.size(); ++s) {
      const Stage& stage = protocol_.stages[s];
      GraphStage out;
      out.name = stage.name;
      out.title = report::shown_name(stage);
      out.part = places[stage.part];
      out.start = days_[2 * s] - first_;
      out.end = days_[2 * s + 1] - first_;
      out.latest = course_.day(t_.stages[s].latest) - first_;
      out.spare = spare_days(s, earliest);
      out.open = language::follows_site(stage);
      out.details = details(s, out.spare);
      graph.stages.push_back(std::move(out));
    }
  }

  /// From the finished part back: plants stand right above what they become. Parts that stand in no
  /// stage do not come up.
  std::vector<PartId> parts_in_order() const {
    std::vector<PartId> order;
    std::vector<PartId> open{protocol_.finished_part};
    while (!open.empty()) {
      const PartId part = open.back();
      open.pop_back();
      if (std::find(order.begin(), order.end(), part) != order.end()) continue;
      order.push_back(part);
      for (const Stage& stage : protocol_.stages) {
        if (stage.part != part) continue;
        for (const StageId from : stage.takes) open.push_back(protocol_.stages[from].part);
      }
    }
    std::reverse(order.begin(), order.end());
    return order;
  }

  /// The earliest dates that what comes before and the seasons allow; limits from above are left
  /// out, as a stage that lasts longer takes those before it along. They only grow, and never past
  /// the planned ones.
  std::vector<Day> earliest_days() const {
    std::vector<std::optional<calendar::DaySet>> seasons;
    for (const Stage& stage : protocol_.stages) {
      seasons.emplace_back();
      if (stage.season) seasons.back() = calendar::season(stage.season->first, stage.season->last);
    }
    std::vector<Day> days(days_.size(), first_);
    for (bool changed = true; changed;) {
      changed = false;
      const auto raise = [&](std::size_t point, Day to) {
        changed = changed || to > days[point];
        days[point] = std::max(days[point], to);
      };
      for (std::size_t s = 0; s < seasons.size(); ++s) {
        if (seasons[s]) raise(2 * s, seasons[s]->next(days[2 * s]).value_or(days_[2 * s]));
      }
      for (const DateLink& link : t_.dates.links) raise(link.to, days[link.from] + low(link));
    }
    return days;
  }

  int spare_days(std::size_t s, const std::vector<Day>& earliest) const {
    const std::uint32_t end = DateLayout::end_of(static_cast<std::int32_t>(s));
    Day latest = days_.back();
    for (const DateLink& link : t_.dates.links) {
      if (link.from == end) latest = std::min(latest, days_[link.to] - low(link));
    }
    const int length = days_[2 * s + 1] - days_[2 * s];
    return std::max(0, latest - length - earliest[2 * s]);
  }

  std::vector<std::string> details(std::size_t s, int spare) const {
    const Stage& stage = protocol_.stages[s];
    const sheet::StageCells& cells = t_.stages[s];
    std::vector<std::string> out{length_text(s)};
    if (stage.gate) {
      std::string gate = "until " + stage.gate->written;
      if (cells.gate_limit != sheet::no_cell) gate += ", at most " + days_text(cells.gate_limit);
      out.push_back(gate);
    }
    if (stage.season) {
      out.push_back("starts " + calendar::describe(stage.season->first) + " to " +
                    calendar::describe(stage.season->last));
    }
    if (stage.under_cover) out.emplace_back("under cover");
    if (stage.wait == Stage::Wait::none) out.emplace_back("no wait");
    if (cells.wait != sheet::no_cell) {
      std::string wait = "may wait " + days_text(cells.wait);
      if (cells.held_air != sheet::no_cell) {
        wait += " at " + units::format(course_.value(cells.held_air), *units::find_unit("degC"));
      }
      out.push_back(std::move(wait));
    }
    if (cells.loss != sheet::no_cell && course_.value(cells.loss) > 0) {
      out.push_back("loses " + percent_text(cells.loss));
    }
    for (std::size_t i = 0; i < cells.pick_shares.size(); ++i) {
      const language::StageDay& day = stage.picks[i].day;
      out.push_back("picks " + percent_text(cells.pick_shares[i]) + " on " +
                    (day.last ? "the last day" : "day " + std::to_string(day.day)));
    }
    for (std::size_t i = 0; i < cells.grade_shares.size(); ++i) {
      const language::Grade& grade = stage.grades[i];
      out.push_back("grade " + grade.name + " " + percent_text(cells.grade_shares[i]) +
                    (grade.way == language::Grade::Way::goes_on
                         ? ""
                         : std::string(", ") + language::word(grade.way)));
    }
    if (cells.yield != sheet::no_cell) {
      out.push_back("yields " + units::format_number(course_.value(cells.yield)) + " of each");
    }
    if (spare > 0 && !open_)
      out.push_back(report::counted(static_cast<std::size_t>(spare), "day") + " to spare");
    return out;
  }

  std::string percent_text(CellId share) const {
    constexpr int digits = 3;
    return units::format(course_.value(share), *units::find_unit("%"), digits);
  }

  std::string days_text(CellId cell) const {
    return report::counted(static_cast<std::size_t>(course_.days(cell)), "day");
  }

  /// "14 to 26 days, usually 18"; "6 h"; degree-days as they are written.
  std::string length_text(std::size_t s) const {
    const Stage& stage = protocol_.stages[s];
    const sheet::StageCells& cells = t_.stages[s];
    if (stage.heat) {
      std::string words = written_length(stage);
      if (!language::follows_site(stage)) words += ": " + days_text(cells.usual);
      return words;
    }
    if (course_.value(cells.longest) == 0) {
      const language::Node& node = protocol_.node(stage.usual);
      if (node.kind != language::Node::Kind::constant) return "on one day";
      return units::format(node.value, units::usual_unit(units::time, node.value));
    }
    if (course_.value(cells.shortest) == course_.value(cells.longest))
      return days_text(cells.longest);
    return fmt::format("{:.0f} to {}, usually {:.0f}", course_.value(cells.shortest),
                       days_text(cells.longest), course_.value(cells.usual));
  }

  /// What stands behind `lasts`, on one line and without comments.
  static std::string written_length(const Stage& stage) {
    std::string out;
    bool comment = false;
    for (const char c : text::text_of(stage.length_span)) {
      comment = c != '\n' && (comment || c == '#');
      const bool space = c == ' ' || c == '\t' || c == '\n' || c == '\r';
      if (comment || (space && out.ends_with(' '))) continue;
      out += space ? ' ' : c;
    }
    constexpr std::string_view keyword = "lasts ";
    return out.starts_with(keyword) ? out.substr(keyword.size()) : out;
  }

  void add_arrows(Graph& graph) const {
    for (const StageId s : protocol_.stages.ids()) {
      const bool join = !protocol_.stages[s].joined.empty();
      for (const StageId from : protocol_.stages[s].takes) {
        graph.arrows.push_back({join ? GraphArrow::Kind::join : GraphArrow::Kind::plants,
                                from.place(), s.place(), false, ""});
      }
    }
    for (const DateLink& link : t_.dates.links) {
      if (link.kind != DateLink::Kind::after) continue;
      graph.arrows.push_back({GraphArrow::Kind::limit, link.from / 2, link.to / 2,
                              link.from % 2 == 0, limit_text(link)});
    }
  }

  /// How long after the other date.
  std::string limit_text(const DateLink& link) const {
    const int least = low(link);
    if (!link.bounded) return "at once or later";
    const int most = link.high == sheet::no_cell ? link.fixed_high : course_.days(link.high);
    const auto days = [](int number) {
      return report::counted(static_cast<std::size_t>(std::abs(number)), "day");
    };
    if (least == 0 && most == 0) return "on the same day";
    if (least == most) return days(least) + (least < 0 ? " before" : " later");
    if (most <= 0) return fmt::format("{} to {} before", -most, days(least));
    if (least < 0) return days(least) + " before to " + days(most) + " later";
    return fmt::format("{} to {} later", least, days(most));
  }

  const language::Protocol& protocol_;
  const sheet::Row course_;  ///< the usual course
  const Template& t_;
  std::vector<Day> days_;  ///< by point: see DateLayout
  Day first_ = 0;
  bool open_ = false;
};

}  // namespace

std::optional<Graph> make_graph(const std::shared_ptr<const sheet::Template>& t,
                                text::Diagnostics& diagnostics) {
  const std::optional<Sheet> course = usual_course(t);
  if (!course) {
    diagnostics.error("dates-contradict", t->protocol.span,
                      "The seasons and waits of `" + t->protocol.name +
                          "` leave no course from start to end to draw.",
                      "Allow more waiting before the stages that have a season.");
    return std::nullopt;
  }
  return GraphBuilder(t->protocol, *course).build();
}

void write_graph(std::ostream& out, const Graph& graph, GraphFormat format) {
  if (format == GraphFormat::dot) {
    write_graph_dot(out, graph);
  } else {
    write_graph_svg(out, graph);
  }
}

}  // namespace budwood::graph
