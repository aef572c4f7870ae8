#include "graph/graph.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <set>
#include <sstream>

#include "../words.hpp"
#include "graph/graph_layout.hpp"
#include "sheet/sheet.hpp"
#include "sheet/template/compile.hpp"
#include "sheet/template/trial.hpp"

namespace budwood::graph {

namespace {

using budwood::tests::count;
class SampleGraph {
 public:
  explicit SampleGraph(const std::string& protocol) {
    const text::Source& source = sources_.add("sample.bud", protocol);
    auto protocols = language::read(source, diagnostics_).protocols;
    REQUIRE(protocols.size() == 1);
    const auto t = sheet::compile(std::move(protocols[0]), diagnostics_);
    REQUIRE(t != nullptr);
    sheet::try_out(t, diagnostics_);
    REQUIRE(!diagnostics_.has_errors());
    auto made = make_graph(t, diagnostics_);
    REQUIRE(made);
    graph = std::move(*made);
  }

  const GraphStage& stage(const std::string& name) const {
    INFO(name);
    const auto found = std::find_if(graph.stages.begin(), graph.stages.end(),
                                    [&](const GraphStage& s) { return s.name == name; });
    REQUIRE(found != graph.stages.end());
    return *found;
  }
  std::string written(GraphFormat format) const {
    std::ostringstream out;
    write_graph(out, graph, format);
    return out.str();
  }
  std::string svg() const { return written(GraphFormat::svg); }
  std::string dot() const { return written(GraphFormat::dot); }

  Graph graph;

 private:
  text::Sources sources_;
  text::Diagnostics diagnostics_;
};

/// The rootstock is ready a week sooner than the buds that are set on it.
const char* budding = R"(protocol budding "Budding" {
  edition 4
  part done "Budded plant"
  part bud "Bud stick"
  part root "Rootstock"
  stage pushing of bud "Pushing" { lasts 4 days  loses 12.5 % }
  stage hardening of bud { lasts 5 to 8 days usually 6 days }
  stage lifting of root { lasts 3 days  may wait 9 days }
  stage setting joins bud with root into done "Setting buds" { lasts 1 day }
  stage taking of done "Taking" { lasts 4 to 9 days usually 6 days  no wait }
}
)";

/// Whether tags close in the order in which they were opened and text holds no bare `<` or `&`.
bool well_formed(const std::string& xml) {
  std::vector<std::string> open;
  for (std::size_t i = xml.find("?>") + 2; i < xml.size();) {
    if (xml[i] == '&') {
      const std::string name = xml.substr(i, xml.find(';', i) - i);
      if (name != "&lt" && name != "&gt" && name != "&amp" && name != "&quot") return false;
    }
    if (xml[i] != '<') {
      ++i;
      continue;
    }
    const std::size_t end = xml.find('>', i);
    if (end == std::string::npos) return false;
    const std::string tag = xml.substr(i + 1, end - i - 1);
    if (count(tag, "\"") % 2 != 0 || tag.find('<') != std::string::npos) return false;
    const std::string name = tag.substr(0, tag.find(' '));
    if (tag.starts_with('/')) {
      if (open.empty() || open.back() != tag.substr(1)) return false;
      open.pop_back();
    } else if (!tag.ends_with('/')) {
      open.push_back(name);
    }
    i = end + 1;
  }
  return open.empty();
}

bool overlap(const Rect& a, const Rect& b) {
  return a.x < b.right() && b.x < a.right() && a.y < b.bottom() && b.y < a.bottom();
}

/// Texts that stand on another text, on a box that is not theirs, or beyond the picture.
std::size_t collisions(const Graph& graph) {
  const GraphLayout layout = lay_out(graph);
  std::vector<Rect> texts{layout.title.place, layout.subtitle.place};
  for (const PlacedLane& lane : layout.lanes) texts.push_back(lane.title.place);
  for (const PlacedArrow& arrow : layout.arrows) {
    if (!arrow.text.lines.empty()) texts.push_back(arrow.text.place);
  }
  const std::size_t others = texts.size();
  for (const PlacedStage& stage : layout.stages) texts.push_back(stage.text.place);
  std::size_t found = 0;
  for (std::size_t i = 0; i < texts.size(); ++i) {
    if (texts[i].x < 0 || texts[i].right() > layout.width) ++found;
    if (texts[i].y < 0 || texts[i].bottom() > layout.height) ++found;
    for (std::size_t j = 0; j < i; ++j) found += overlap(texts[i], texts[j]) ? 1 : 0;
    for (std::size_t s = 0; s < layout.stages.size(); ++s) {
      const Rect& box = layout.stages[s].box;
      const bool own = i == others + s;
      const bool inside = texts[i].x >= box.x && texts[i].right() <= box.right() &&
                          texts[i].y >= box.y && texts[i].bottom() <= box.bottom();
      found += overlap(texts[i], box) && !(own && inside) ? 1 : 0;
    }
  }
  return found;
}

/// Boxes and strips that stand on another.
std::size_t covered(const Graph& graph) {
  const GraphLayout layout = lay_out(graph);
  std::vector<Rect> areas;
  for (const PlacedStage& stage : layout.stages) {
    areas.push_back(stage.box);
    if (stage.longer.width > 0) areas.push_back(stage.longer);
  }
  std::size_t found = 0;
  for (std::size_t i = 0; i < areas.size(); ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      Rect smaller = areas[j];  // the noise of binary fractions where two touch
      smaller.x += 0.001;
      smaller.width -= 0.002;
      found += overlap(areas[i], smaller) ? 1 : 0;
    }
  }
  return found;
}

std::string one_day_stages(int number) {
  std::string out = "protocol p {\n  part a\n";
  for (int i = 0; i < number; ++i) {
    out += "  stage s" + std::to_string(i) + " of a \"Step " + std::to_string(i) +
           " with a title of some length\" { lasts 1 day to 3 days usually " +
           std::to_string(1 + i % 2) + " days }\n";
  }
  return out + "}\n";
}

}  // namespace

TEST_CASE("days, ranges and spare days of a join, worked out by hand") {
  const SampleGraph sample(budding);
  // 4 + 6 days of the buds, 1 day of setting, 6 of taking. The rootstock takes 3 days, and is over
  // when the buds are: it starts on day 7 and has those 7 days to spare.
  CHECK(sample.graph.days == 17);
  CHECK(sample.stage("pushing").start == 0);
  CHECK(sample.stage("pushing").end == 4);
  CHECK(sample.stage("hardening").start == 4);
  CHECK(sample.stage("hardening").end == 10);
  CHECK(sample.stage("lifting").start == 7);
  CHECK(sample.stage("lifting").end == 10);
  CHECK(sample.stage("setting").start == 10);
  CHECK(sample.stage("taking").end == 17);
  for (const GraphStage& stage : sample.graph.stages) {
    CHECK(stage.spare == (stage.name == "lifting" ? 7 : 0));
    CHECK(stage.critical() == (stage.name != "lifting"));
  }
  // Everything at its longest: 4 + 8, 1, 9 days.
  CHECK(sample.stage("hardening").latest == 12);
  CHECK(sample.stage("lifting").latest == 10);
  CHECK(sample.stage("taking").latest == 22);
}

TEST_CASE("a day more in a stage makes the whole longer only where no day is to spare") {
  const std::string written = budding;
  const auto days_with = [&](const std::string& old, const std::string& now) {
    std::string text = written;
    const std::size_t at = text.find(old);
    REQUIRE(at != std::string::npos);
    return SampleGraph(text.replace(at, old.size(), now)).graph.days;
  };
  CHECK(days_with("lasts 4 days", "lasts 5 days") == 18);
  CHECK(days_with("usually 6 days }", "usually 7 days }") == 18);
  CHECK(days_with("lasts 3 days", "lasts 10 days") == 17);
  CHECK(days_with("lasts 3 days", "lasts 11 days") == 18);
}

TEST_CASE("limits keep stages from starting sooner") {
  std::string text = budding;
  text.replace(text.find("may wait 9 days"), 15,
               "may wait 9 days starts within 2 to 5 days of pushing.start");
  const SampleGraph sample(text);
  // It starts as late as it may, on day 5, and could start on day 2: the 10 days until the buds
  // are over less 2 less the 3 that it lasts.
  CHECK(sample.stage("lifting").start == 5);
  CHECK(sample.stage("lifting").spare == 5);
  const auto limit =
      std::find_if(sample.graph.arrows.begin(), sample.graph.arrows.end(),
                   [](const GraphArrow& a) { return a.kind == GraphArrow::Kind::limit; });
  REQUIRE(limit != sample.graph.arrows.end());
  CHECK(sample.graph.stages[limit->from].name == "pushing");
  CHECK(sample.graph.stages[limit->to].name == "lifting");
  CHECK(limit->from_start);
  CHECK(limit->text == "2 to 5 days later");
}

TEST_CASE("seasons hold stages back") {
  const SampleGraph sample(R"(protocol p {
    part wood
    stage cutting of wood { season 10 January to 20 January  lasts 1 day  may wait 60 days }
    stage sticking of wood { season 1 March to 10 March  lasts 2 days }
  })");
  // 40 days from 20 January to 1 March in a common year; all but one of them are waiting.
  CHECK(sample.stage("cutting").start == 0);
  CHECK(sample.stage("cutting").spare == 39);
  CHECK(sample.stage("sticking").start == 40);
  CHECK(sample.stage("sticking").critical());
  CHECK(sample.graph.days == 42);
}

TEST_CASE("what is said of a stage") {
  const SampleGraph sample(R"(protocol p {
    observe leaves in leaves
    input share = 80 % from 10 % to 90 %
    part a
    stage first of a { lasts 6 hours  no wait }
    stage second of a {
      lasts 2 weeks to 3 weeks usually 15 days
      until leaves >= 4, at most 30 days
      season 1 May to 30 June
      may wait 1 day
      loses 1 - share
      do "Look" daily { time 5 min  record leaves }
    }
    stage third of a {
      lasts 60 to 90 degree_days usually 80 degree_days  # as last year
        above 5 degC
      keep air 15 degC
    }
    stage fourth of a { lasts 3 days }
  })");
  using Details = std::vector<std::string>;
  CHECK(sample.stage("first").details == Details{"6 h", "no wait"});
  CHECK(sample.stage("second").details ==
        Details{"14 to 30 days, usually 15", "until leaves >= 4, at most 30 days",
                "starts 1 May to 30 June", "may wait 1 day", "loses 20 %"});
  CHECK(sample.stage("third").details ==
        Details{"60 to 90 degree_days usually 80 degree_days above 5 degC: 8 days"});
  CHECK(sample.stage("fourth").details == Details{"3 days"});
}

TEST_CASE("limits in words") {
  const auto words = [](const std::string& statement) {
    const SampleGraph sample(
        "protocol p {\n part a\n part b\n part c\n"
        " stage x of a { lasts 9 days may wait 90 days }\n"
        " stage y of b { lasts 2 days may wait 90 days " +
        statement + " }\n stage z joins a with b into c { lasts 1 day }\n}\n");
    for (const GraphArrow& arrow : sample.graph.arrows) {
      if (arrow.kind == GraphArrow::Kind::limit) return arrow.text;
    }
    return std::string();
  };
  CHECK(words("after x by 2 days") == "2 days later");
  CHECK(words("after x by 0 to 1 day") == "0 to 1 day later");
  CHECK(words("after x") == "at once or later");
  CHECK(words("starts within 0 days of x.end") == "on the same day");
  CHECK(words("starts within -3 days to 4 days of x.end") == "3 days before to 4 days later");
  CHECK(words("starts within -7 days to -1 day of x.end") == "1 to 7 days before");
  CHECK(words("starts within -1 day of x.end") == "1 day before");
}

TEST_CASE("lengths that follow the temperatures of a site are told in words") {
  const SampleGraph sample(R"(protocol p {
    part a
    stage warm of a { lasts 250 degree_days above 6 degC by single_sine  may wait 90 days }
    stage cold of a {
      lasts 20 days
      until chill_hours(7 degC) >= 400 h, at most 60 days
    }
  })");
  CHECK(sample.graph.open);
  CHECK(sample.stage("warm").open);
  CHECK(sample.stage("warm").end == sheet::nominal_series_days);
  CHECK(sample.stage("warm").details[0] == "250 degree_days above 6 degC by single_sine");
  CHECK(sample.stage("cold").open);
  CHECK(sample.stage("cold").details[1] == "until chill_hours(7 degC) >= 400 h, at most 60 days");
  CHECK(sample.svg().find("Torn edge") != std::string::npos);
  CHECK(sample.dot().find("day 0") == std::string::npos);
  CHECK(SampleGraph(budding).svg().find("Torn edge") == std::string::npos);
}

TEST_CASE("the picture shows each stage once, the critical ones with a thick outline") {
  const SampleGraph sample(budding);
  const std::string svg = sample.svg();
  CHECK(well_formed(svg));
  for (const GraphStage& stage : sample.graph.stages) {
    CHECK(count(svg, "<title>" + stage.title + ": day ") == 1);
  }
  const auto critical = std::count_if(sample.graph.stages.begin(), sample.graph.stages.end(),
                                      [](const GraphStage& stage) { return stage.critical(); });
  CHECK(critical == 4);
  // And one in the legend.
  CHECK(count(svg, "stroke-width=\"3\"") == static_cast<std::size_t>(critical) + 1);
  CHECK(count(svg, ">Bud stick<") == 2);  // the lane and its tooltip
  CHECK(svg.find(">7 days to spare<") != std::string::npos);
  CHECK(svg.find("Edition 4. ") != std::string::npos);
  CHECK(svg == sample.svg());
  CHECK(svg == SampleGraph(budding).svg());
}

TEST_CASE("parts stand above what they become") {
  const SampleGraph sample(budding);
  CHECK(sample.graph.parts == std::vector<std::string>{"Bud stick", "Rootstock", "Budded plant"});
}

TEST_CASE("the graph in DOT") {
  const std::string dot = SampleGraph(budding).dot();
  CHECK(dot.starts_with("digraph \"budding\" {\n  rankdir=LR;\n"));
  CHECK(dot.find("    \"lifting\" [label=\"lifting\\nday 7 to day 10\\n3 days\\nmay wait 9 days\\n"
                 "7 days to spare\"];\n") != std::string::npos);
  CHECK(dot.find("loses 12.5 %\", penwidth=3];\n") != std::string::npos);
  CHECK(count(dot, "penwidth=3") == 4);
  CHECK(count(dot, "subgraph cluster_") == 3);
  CHECK(dot.find("  \"lifting\" -> \"setting\";\n") != std::string::npos);
  CHECK(dot.find("  \"hardening\" -> \"setting\";\n") != std::string::npos);
  CHECK(count(dot, " -> ") == 4);
  CHECK(dot.ends_with("}\n"));
  const SampleGraph limited(R"(protocol p {
    part a
    stage x of a { lasts 2 days  may wait 9 days }
    stage y of a { after x by 3 to 4 days  lasts 1 day }
  })");
  CHECK(limited.dot().find("  \"x\" -> \"y\" [style=dashed, label=\"3 to 4 days later\"];\n") !=
        std::string::npos);
}

TEST_CASE("text of users stays text") {
  const std::string nasty = R"(<b> & \"x\" \\N &lt; grün)";
  const SampleGraph sample("protocol p \"" + nasty + "\" {\n part a \"" + nasty +
                           "\"\n stage s of a \"" + nasty + "\" { lasts 60 days }\n}\n");
  const std::string svg = sample.svg();
  CHECK(well_formed(svg));
  CHECK(svg.find("&lt;b&gt; &amp; &quot;x&quot; \\N &amp;lt; grün") != std::string::npos);
  CHECK(svg.find("<b>") == std::string::npos);
  CHECK(sample.dot().find(R"([label="<b> &amp; \"x\" \\N &amp;lt; grün\n)") != std::string::npos);
}

TEST_CASE("no text stands on another or on a box that is not its own") {
  const std::string many_words(12, 'W');
  std::vector<std::string> protocols{budding, one_day_stages(30), one_day_stages(1)};
  protocols.push_back("protocol p \"" + std::string(400, 'm') + "\" {\n part a \"" +
                      std::string(90, 'M') + "\"\n stage s of a \"" + std::string(200, '@') +
                      "\" { lasts 6 hours }\n stage u of a { lasts 30 days to 900 days usually 40 "
                      "days }\n stage t of a \"" +
                      many_words + " " + many_words + "\" { lasts 300 days }\n}\n");
  std::string limits =
      "protocol p {\n part a\n part b\n part c\n"
      " stage x of a { lasts 9 days may wait 90 days }\n";
  for (int i = 0; i < 8; ++i) {
    const std::string number = std::to_string(i);
    const std::string before = i == 0 ? "x.start" : "y" + std::to_string(i - 1) + ".end";
    limits += " stage y" + number + " of b { lasts 2 days may wait 9 days starts within 0 to 40 " +
              "days of " + before + "  starts within " + number + " to 50 days of x.start }\n";
  }
  protocols.push_back(limits + " stage z joins a with b into c { lasts 1 day }\n}\n");
  for (const std::string& protocol : protocols) {
    const SampleGraph sample(protocol);
    CAPTURE(protocol);
    CHECK(collisions(sample.graph) == 0);
    CHECK(covered(sample.graph) == 0);
    CHECK(well_formed(sample.svg()));
  }
}

TEST_CASE("a stage of no days can be seen, and the longest fits") {
  const SampleGraph sample(R"(protocol p {
    part a
    stage s of a { lasts 5 min }
    stage u of a { lasts 9000 days }
    stage t of a { lasts 5 min }
  })");
  const GraphLayout layout = lay_out(sample.graph);
  for (const PlacedStage& stage : layout.stages) CHECK(stage.box.width >= 16);
  CHECK(layout.width < 10'000);
  CHECK(collisions(sample.graph) == 0);
  CHECK(layout.weeks);
  REQUIRE(layout.ticks.size() > 2);
  CHECK(layout.ticks[1].x - layout.ticks[0].x >= 30);
}

}  // namespace budwood::graph
