#include <algorithm>
#include <filesystem>
#include <map>

#include "digest/digest.hpp"
#include "graph/graph.hpp"
#include "language/language.hpp"
#include "page/views/views.hpp"
#include "report/formats/wording.hpp"
#include "sheet/template/compile.hpp"
#include "sheet/template/trial.hpp"

namespace budwood::page {

namespace {

namespace fs = std::filesystem;

std::string file_of(const text::Span& span) {
  return span.source == nullptr ? "" : fs::path(span.source->name()).filename().string();
}

/// The sources of the methods and rules of a book, by file name; the book's own go first.
std::map<std::string, const text::Source*> sources_of(const Snapshot& now) {
  std::map<std::string, const text::Source*> out;
  const auto add = [&](const text::Span& span) {
    if (span.source != nullptr) out.emplace(file_of(span), span.source);
  };
  for (const language::Protocol& one : now.book->protocols) add(one.span);
  for (const language::RuleSet& one : now.book->rule_sets) add(one.span);
  return out;
}

}  // namespace

Json methods_view(const Snapshot& now) {
  std::map<std::string, std::size_t> used;
  for (const plan::BatchPlan& batch : now.plan.batches) {
    ++used[now.plan.protocol_of(batch).name];
  }
  Json out = Json::array();
  for (const language::Protocol& one : now.book->protocols) {
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
  const auto all = sources_of(now);
  const auto found = all.find(question["file"]);
  if (found == all.end()) return nullptr;
  Json names = Json::array();
  for (const language::Protocol& one : now.book->protocols) {
    if (one.span.source == found->second) names.push_back(one.name);
  }
  return {{"file", found->first},
          {"text", found->second->text()},
          {"digest", digest::sha256(found->second->text())},
          {"protocols", std::move(names)}};
}

Json checked_json(const Snapshot& now, const std::string& name, const std::string& text) {
  text::Sources sources;
  text::Diagnostics found;
  const text::Source& typed = sources.add(name, text);
  if (!text::is_text(typed, found)) return {{"said", diagnostics_json(found)}};
  std::vector<const text::Source*> beside;
  for (const auto& [file, source] : sources_of(now)) {
    if (file != name) beside.push_back(source);
  }
  language::Document document = language::read({&typed}, found, beside);
  const std::vector<const language::RuleSet*> rules = book::followed_rules(*now.book);
  for (language::Protocol& protocol : document.protocols) {
    language::follow(protocol, rules, found);
    const auto t = sheet::compile(std::move(protocol), found);
    if (t != nullptr) sheet::try_out(t, found);
  }
  return {{"said", diagnostics_json(found)}, {"fine", !found.has_errors()}};
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
