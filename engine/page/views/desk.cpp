#include "page/views/desk.hpp"

#include <algorithm>

#include "editor/completion.hpp"
#include "editor/mends.hpp"
#include "editor/pointing.hpp"
#include "language/layout/tidy.hpp"
#include "page/views/views.hpp"

namespace budwood::page {

namespace {

namespace fs = std::filesystem;

Json place_of(const std::string& file, const editor::Range& range) {
  return {{"file", file},
          {"line", range.begin.line + 1},
          {"column", range.begin.character + 1},
          {"end_line", range.end.line + 1},
          {"end_column", range.end.character + 1}};
}

/// The mends of one finding that change its own file alone.
Json mends_json(const std::vector<editor::Mend>& mends, const editor::Document& document,
                const std::string& file) {
  Json out = Json::array();
  for (const editor::Mend& mend : mends) {
    const bool here = std::all_of(mend.edits.begin(), mend.edits.end(),
                                  [&](const auto& edit) { return edit.path == document.path(); });
    if (!here || !mend.mends) continue;
    Json edits = Json::array();
    for (const editor::FileEdit& edit : mend.edits) {
      edits.push_back({{"place", place_of(file, edit.range)}, {"text", edit.text}});
    }
    out.push_back({{"title", mend.title}, {"edits", std::move(edits)}});
  }
  return out;
}

Json related_json(const editor::Finding& finding) {
  Json out = Json::array();
  for (const editor::Finding::Related& one : finding.related) {
    out.push_back({{"message", one.message},
                   {"place", place_of(one.where.path.filename().string(), one.where.range)}});
  }
  return out;
}

}  // namespace

editor::SharedDocument Desk::typed(const Snapshot& now, const std::string& file,
                                   const std::string& text) {
  const text::Source* source = method_source(now, file);
  if (source == nullptr) return nullptr;
  const fs::path path(source->name());
  if (workspace_ == nullptr || turn_ != now.turn) {
    workspace_ = std::make_unique<editor::Workspace>();
    turn_ = now.turn;
  }
  // What is typed in another window is nobody else's business before it is saved.
  for (const fs::path& other : workspace_->open_files()) workspace_->close(other);
  workspace_->open(path, text, 0);
  return workspace_->document(path);
}

Json Desk::check(const Snapshot& now, const std::string& file, const std::string& text) {
  const std::lock_guard lock(mutex_);
  const editor::SharedDocument document = typed(now, file, text);
  if (document == nullptr) return nullptr;
  // So that the rules are those that the site follows.
  const fs::path site = book_ / "site.yaml";
  if (workspace_->kept_book(site) == nullptr) workspace_->worked_book(site);
  const auto findings = workspace_->findings(document->path());
  Json said = Json::array();
  bool fine = true;
  for (const editor::Finding& one : findings) {
    fine = fine && one.severity != text::Severity::error;
    const auto mends = editor::mends_for(*workspace_, *document, {one}, one.range);
    said.push_back({{"severity", severity_word(one.severity)},
                    {"code", one.code},
                    {"message", one.message},
                    {"advice", one.advice},
                    {"place", place_of(file, one.range)},
                    {"related", related_json(one)},
                    {"mends", mends_json(mends, *document, file)}});
  }
  return {{"said", std::move(said)}, {"fine", fine}};
}

Json Desk::complete(const Snapshot& now, const std::string& file, const std::string& text,
                    editor::Position position) {
  const std::lock_guard lock(mutex_);
  const editor::SharedDocument document = typed(now, file, text);
  if (document == nullptr) return nullptr;
  auto choices = editor::complete(*workspace_, *document, position);
  std::stable_sort(choices.begin(), choices.end(),
                   [](const auto& a, const auto& b) { return a.rank < b.rank; });
  Json out = Json::array();
  for (const editor::Completion& one : choices) {
    out.push_back({{"label", one.label},
                   {"detail", one.detail},
                   {"insert", one.insert},
                   {"place", place_of(file, one.range)}});
  }
  return {{"choices", std::move(out)}};
}

Json Desk::point(const Snapshot& now, const std::string& file, const std::string& text,
                 editor::Position position) {
  const std::lock_guard lock(mutex_);
  const editor::SharedDocument document = typed(now, file, text);
  if (document == nullptr) return nullptr;
  const auto pointed = editor::point_at(*workspace_, *document, position);
  return {{"text", pointed ? pointed->text : ""}};
}

Json Desk::tidy(const std::string& file, const std::string& text) const {
  const text::Source source(file, text);
  text::Diagnostics said;
  const auto laid_out = language::tidy(source, said);
  if (!laid_out) return {{"said", diagnostics_json(said)}};
  return {{"text", *laid_out}};
}

}  // namespace budwood::page
