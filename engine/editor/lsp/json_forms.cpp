#include "editor/lsp/json_forms.hpp"

#include <array>

#include "files/shipped.hpp"
#include "manual/manual.hpp"

namespace budwood::editor::lsp {

namespace {

int severity_of(text::Severity severity) {
  switch (severity) {
    case text::Severity::error:
      return 1;
    case text::Severity::warning:
      return 2;
    case text::Severity::note:
      return 3;
  }
  return 3;
}

/// CompletionItemKind of the protocol.
int kind_of(Completion::Kind kind) {
  switch (kind) {
    case Completion::Kind::statement:
      return 15;  // Snippet
    case Completion::Kind::word:
      return 14;  // Keyword
    case Completion::Kind::name:
      return 6;  // Variable
    case Completion::Kind::unit:
      return 11;  // Unit
  }
  return 1;  // Text
}

/// SymbolKind of the protocol.
int kind_of(language::WrittenItem::Kind kind) {
  using Kind = language::WrittenItem::Kind;
  switch (kind) {
    case Kind::protocol:
    case Kind::rules:
      return 2;  // Module
    case Kind::variant:
      return 3;  // Namespace
    case Kind::stage:
      return 5;  // Class
    case Kind::work:
      return 6;  // Method
    case Kind::rule:
      return 12;  // Function
    case Kind::declaration:
      return 13;  // Variable
  }
  return 13;
}

/// In the order of `Coloured::Colour`: names that the protocol knows, so that every editor has
/// colours for them.
constexpr std::array token_types{"keyword",  "string",   "number",   "enumMember", "comment",
                                 "operator", "class",    "struct",   "type",       "variable",
                                 "function", "property", "property", "namespace"};

bool plain_in_uri(unsigned char c) {
  return std::isalnum(c) != 0 || c == '/' || c == '-' || c == '_' || c == '.' || c == '~';
}

int hex_digit(char c) {
  if (c >= '0' && c <= '9') return c - '0';
  if (c >= 'a' && c <= 'f') return c - 'a' + 10;
  if (c >= 'A' && c <= 'F') return c - 'A' + 10;
  return -1;
}

Json edit_json(const FileEdit& edit) {
  return {{"range", json_of(edit.range)}, {"newText", edit.text}};
}

}  // namespace

std::string uri_of(const std::filesystem::path& path) {
  constexpr std::string_view digits = "0123456789ABCDEF";
  std::string out = "file://";
  for (const char c : path.generic_string()) {
    const auto byte = static_cast<unsigned char>(c);
    if (plain_in_uri(byte)) {
      out += c;
    } else {
      out += {'%', digits[byte >> 4U], digits[byte & 15U]};
    }
  }
  return out;
}

std::optional<std::filesystem::path> path_of(const std::string& uri) {
  constexpr std::string_view scheme = "file://";
  if (!uri.starts_with(scheme)) return std::nullopt;
  const std::size_t path = uri.find('/', scheme.size());
  if (path == std::string::npos) return std::nullopt;
  std::string out;
  for (std::size_t i = path; i < uri.size(); ++i) {
    const bool coded = uri[i] == '%' && i + 2 < uri.size() && hex_digit(uri[i + 1]) >= 0 &&
                       hex_digit(uri[i + 2]) >= 0;
    if (coded) {
      out += static_cast<char>(hex_digit(uri[i + 1]) * 16 + hex_digit(uri[i + 2]));
      i += 2;
    } else {
      out += uri[i];
    }
  }
  if (out.find('\0') != std::string::npos) return std::nullopt;
  return std::filesystem::path(out).lexically_normal();
}

Json json_of(Position position) {
  return {{"line", position.line}, {"character", position.character}};
}

Json json_of(const Range& range) {
  return {{"start", json_of(range.begin)}, {"end", json_of(range.end)}};
}

Json json_of(const Location& location) {
  return {{"uri", uri_of(location.path)}, {"range", json_of(location.range)}};
}

Json json_of(const Finding& finding) {
  Json out{{"range", json_of(finding.range)},
           {"severity", severity_of(finding.severity)},
           {"code", finding.code},
           {"source", "budwood"},
           {"message",
            finding.advice.empty() ? finding.message : finding.message + "\n" + finding.advice}};
  static const auto references = files::shipped("grammar");
  const std::string place = references ? manual::place_of(finding.code) : "";
  if (!place.empty()) out["codeDescription"] = {{"href", uri_of(*references) + "/" + place}};
  for (const Finding::Related& one : finding.related) {
    out["relatedInformation"].push_back(
        {{"location", json_of(one.where)}, {"message", one.message}});
  }
  return out;
}

Json json_of(const Completion& completion) {
  return {{"label", completion.label},
          {"kind", kind_of(completion.kind)},
          {"detail", completion.detail},
          {"sortText", std::to_string(completion.rank) + completion.label},
          {"textEdit", {{"range", json_of(completion.range)}, {"newText", completion.insert}}}};
}

Json json_of(const OutlineLine& line) {
  Json out{{"name", line.name},
           {"detail", line.detail},
           {"kind", kind_of(line.kind)},
           {"range", json_of(line.range)},
           {"selectionRange", json_of(line.head)},
           {"children", Json::array()}};
  for (const OutlineLine& one : line.below) out["children"].push_back(json_of(one));
  return out;
}

Json json_of(const Fold& fold) {
  Json out{{"startLine", fold.first}, {"endLine", fold.last}};
  if (fold.comment) out["kind"] = "comment";
  return out;
}

Json json_of(const Lens& lens) {
  return {{"range", json_of(lens.range)}, {"command", {{"title", lens.title}, {"command", ""}}}};
}

Json json_of(const Mend& mend) {
  Json out{{"title", mend.title},
           {"kind", mend.mends ? "quickfix" : "refactor.extract"},
           {"edit", workspace_edit(mend.edits)}};
  if (mend.mends) out["diagnostics"] = Json::array({json_of(*mend.mends)});
  if (mend.likely) out["isPreferred"] = true;
  return out;
}

Json workspace_edit(const std::vector<FileEdit>& edits) {
  Json changes = Json::object();
  for (const FileEdit& edit : edits) changes[uri_of(edit.path)].push_back(edit_json(edit));
  return {{"changes", std::move(changes)}};
}

Json tokens_json(const std::vector<Coloured>& words) {
  Json data = Json::array();
  Position last;
  for (const Coloured& word : words) {
    const bool same_line = word.begin.line == last.line;
    data.push_back(word.begin.line - last.line);
    data.push_back(same_line ? word.begin.character - last.character : word.begin.character);
    data.push_back(word.length);
    data.push_back(static_cast<int>(word.colour));
    data.push_back(word.declares ? 1 : 0);
    last = word.begin;
  }
  return {{"data", std::move(data)}};
}

Json tokens_legend() {
  return {{"tokenTypes", token_types}, {"tokenModifiers", Json::array({"declaration"})}};
}

Position position_in(const Json& json) {
  return {json.at("line").get<std::uint32_t>(), json.at("character").get<std::uint32_t>()};
}

Range range_in(const Json& json) {
  return {position_in(json.at("start")), position_in(json.at("end"))};
}

std::vector<Change> changes_in(const Json& json) {
  std::vector<Change> out;
  for (const Json& one : json) {
    Change change;
    if (one.contains("range")) change.range = range_in(one.at("range"));
    change.text = one.at("text").get<std::string>();
    out.push_back(std::move(change));
  }
  return out;
}

}  // namespace budwood::editor::lsp
