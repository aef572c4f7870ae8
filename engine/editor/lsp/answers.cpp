#include "editor/lsp/answers.hpp"

#include <functional>
#include <map>

#include "language/layout/tidy.hpp"

namespace budwood::editor::lsp {

namespace {

/// A list of whatever has a form.
template <typename Thing>
Json list_of(const std::vector<Thing>& things) {
  Json out = Json::array();
  for (const Thing& one : things) out.push_back(json_of(one));
  return out;
}

Json completion(const Workspace& workspace, const Document& document, const Json& params) {
  return {{"isIncomplete", false},
          {"items", list_of(complete(workspace, document, position_in(params.at("position"))))}};
}

Json hover(const Workspace& workspace, const Document& document, const Json& params) {
  const auto pointed = point_at(workspace, document, position_in(params.at("position")));
  if (!pointed) return nullptr;
  return {{"contents", {{"kind", "markdown"}, {"value", pointed->text}}},
          {"range", json_of(pointed->range)}};
}

Json definition(const Workspace& workspace, const Document& document, const Json& params) {
  const auto found = declaration_of(workspace, document, position_in(params.at("position")));
  return found ? json_of(*found) : Json(nullptr);
}

Json references(const Workspace& workspace, const Document& document, const Json& params) {
  const bool declarations = params.at("context").at("includeDeclaration").get<bool>();
  Json out = Json::array();
  for (const NameUse& use : uses_of(workspace, document, position_in(params.at("position")))) {
    if (declarations || !use.declares) out.push_back(json_of(use.where));
  }
  return out;
}

Json prepare_rename(const Workspace& workspace, const Document& document, const Json& params) {
  const auto thing = name_at(workspace, document, position_in(params.at("position")));
  if (!thing) return nullptr;
  return {{"range", json_of(thing->range)}, {"placeholder", thing->name}};
}

Json renaming(const Workspace& workspace, const Document& document, const Json& params) {
  const Renaming done = rename(workspace, document, position_in(params.at("position")),
                               params.at("newName").get<std::string>());
  if (!done.problem.empty()) throw Refusal{request_failed, done.problem};
  return workspace_edit(done.edits);
}

/// One edit over all of the text: what stays the same, editors see for themselves.
Json formatting(const Workspace&, const Document& document, const Json&) {
  if (document.kind() != FileKind::protocol) return nullptr;
  text::Diagnostics unheard;
  const auto laid_out = language::tidy(document.source(), unheard);
  if (!laid_out)
    throw Refusal{request_failed, "A text with mistakes that cannot be read is not laid out."};
  if (*laid_out == document.text()) return Json::array();
  const Range all = document.lines().range(0, document.text().size());
  return Json::array({{{"range", json_of(all)}, {"newText", *laid_out}}});
}

Json code_actions(const Workspace& workspace, const Document& document, const Json& params) {
  const std::vector<Finding> findings = workspace.findings(document.path());
  return list_of(mends_for(workspace, document, findings, range_in(params.at("range"))));
}

using Answer = Json (*)(const Workspace&, const Document&, const Json&);

const std::map<std::string, Answer>& answers() {
  static const std::map<std::string, Answer> all{
      {"textDocument/completion", completion},
      {"textDocument/hover", hover},
      {"textDocument/definition", definition},
      {"textDocument/declaration", definition},
      {"textDocument/references", references},
      {"textDocument/prepareRename", prepare_rename},
      {"textDocument/rename", renaming},
      {"textDocument/formatting", formatting},
      {"textDocument/codeAction", code_actions},
      {"textDocument/documentSymbol", [](const Workspace&, const Document& document,
                                         const Json&) { return list_of(outline(document)); }},
      {"textDocument/foldingRange", [](const Workspace&, const Document& document,
                                       const Json&) { return list_of(folds(document)); }},
      {"textDocument/semanticTokens/full",
       [](const Workspace&, const Document& document, const Json&) {
         return tokens_json(colours(document));
       }},
      {"textDocument/codeLens", [](const Workspace& workspace, const Document& document,
                                   const Json&) { return list_of(lenses(workspace, document)); }},
  };
  return all;
}

}  // namespace

Json capabilities() {
  return {
      {"positionEncoding", "utf-16"},
      {"textDocumentSync", {{"openClose", true}, {"change", 2}, {"save", true}}},
      {"completionProvider", {{"triggerCharacters", {" ", "."}}}},
      {"hoverProvider", true},
      {"definitionProvider", true},
      {"declarationProvider", true},
      {"referencesProvider", true},
      {"renameProvider", {{"prepareProvider", true}}},
      {"documentFormattingProvider", true},
      {"codeActionProvider", {{"codeActionKinds", {"quickfix", "refactor.extract"}}}},
      {"documentSymbolProvider", true},
      {"foldingRangeProvider", true},
      {"semanticTokensProvider", {{"legend", tokens_legend()}, {"full", true}}},
      {"codeLensProvider", Json::object()},
  };
}

std::optional<Json> answer(const Workspace& workspace, const std::string& method,
                           const Json& params) {
  const auto found = answers().find(method);
  if (found == answers().end()) return std::nullopt;
  const auto path = path_of(params.at("textDocument").at("uri").get<std::string>());
  const SharedDocument document = path ? workspace.document(*path) : nullptr;
  if (document == nullptr) throw Refusal{request_failed, "This file cannot be read."};
  return found->second(workspace, *document, params);
}

}  // namespace budwood::editor::lsp
