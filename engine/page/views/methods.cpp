#include <filesystem>
#include <map>

#include "digest/digest.hpp"
#include "graph/graph.hpp"
#include "language/language.hpp"
#include "manual/manual.hpp"
#include "page/views/views.hpp"
#include "report/formats/wording.hpp"
#include "sheet/template/compile.hpp"

namespace budwood::page {

namespace {

namespace fs = std::filesystem;

std::string file_of(const text::Span& span) {
  return span.source == nullptr ? "" : fs::path(span.source->name()).filename().string();
}

}  // namespace

const text::Source* method_source(const Snapshot& now, const std::string& file) {
  const auto is_it = [&](const text::Span& span) {
    return span.source != nullptr && file_of(span) == file;
  };
  for (const language::Protocol& one : now.book->protocols) {
    if (is_it(one.span)) return one.span.source;
  }
  for (const language::RuleSet& one : now.book->rule_sets) {
    if (is_it(one.span)) return one.span.source;
  }
  return nullptr;
}

Json methods_view(const Snapshot& now) {
  std::map<std::string, std::size_t> used;
  for (const plan::BatchPlan& batch : now.plan.batches) {
    ++used[now.plan.protocol_of(batch).name];
  }
  Json out = Json::array();
  for (const language::Protocol& one : now.book->protocols) {
    if (one.of_site) continue;
    const auto found = used.find(one.name);
    out.push_back({{"file", file_of(one.span)},
                   {"name", one.name},
                   {"title", report::shown_name(one)},
                   {"crop", one.crop},
                   {"edition", one.edition},
                   {"batches", found == used.end() ? 0 : found->second}});
  }
  for (const language::RuleSet& one : now.book->rule_sets) {
    out.push_back({{"file", file_of(one.span)},
                   {"name", one.name},
                   {"title", report::shown_name(one)},
                   {"crop", ""},
                   {"edition", one.edition},
                   {"batches", 0},
                   {"rules", true}});
  }
  return {{"methods", std::move(out)}};
}

Json method_view(const Snapshot& now, const Question& question) {
  const text::Source* source = method_source(now, question["file"]);
  if (source == nullptr) return nullptr;
  Json names = Json::array();
  for (const language::Protocol& one : now.book->protocols) {
    if (one.span.source == source) names.push_back(one.name);
  }
  return {{"file", question["file"]},
          {"text", source->text()},
          {"digest", digest::sha256(source->text())},
          {"protocols", std::move(names)}};
}

Json topic_view(const Question& question) {
  const std::string text = manual::look_up(question["topic"]);
  return {{"text", text}, {"near", text.empty() ? manual::nearest_topic(question["topic"]) : ""}};
}

bool method_picture(std::ostream& out, const Snapshot& now, const std::string& name) {
  for (const language::Protocol& one : now.book->protocols) {
    if (one.name != name) continue;
    text::Diagnostics ignored;
    const auto t = sheet::compile(one, ignored);
    if (t == nullptr) return false;
    const auto graph = graph::make_graph(t, ignored);
    if (graph) graph::write_graph(out, *graph, graph::GraphFormat::svg);
    return graph.has_value();
  }
  return false;
}

}  // namespace budwood::page
