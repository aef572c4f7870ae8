#include "editor/completion.hpp"

#include <algorithm>
#include <array>
#include <set>

#include "editor/books/completion.hpp"
#include "editor/family.hpp"
#include "language/check/hazard.hpp"
#include "language/editing/expected.hpp"

namespace budwood::editor {

using language::Expected;
using language::NameKind;

namespace {

/// What formulas know besides what is declared.
constexpr std::array functions{"min",  "max", "round", "ceil", "floor",    "abs",
                               "sqrt", "exp", "ln",    "vpd",  "light_sum"};

bool has_kind(const Expected& expected, NameKind kind) {
  return std::find(expected.names.begin(), expected.names.end(), kind) != expected.names.end();
}

std::string trimmed(const std::string& line) {
  const std::size_t first = line.find_first_not_of(" \t");
  return first == std::string::npos ? "" : line.substr(first);
}

class Completer {
 public:
  Completer(const Workspace& workspace, const Document& document, Position position)
      : workspace_(workspace),
        document_(document),
        position_(position),
        expected_(language::expected_at(document.source(), document.offset(position))) {}

  std::vector<Completion> complete() {
    if (expected_.inside_text) return {};
    range_ = document_.range(expected_.word);
    for (const language::ExpectedStatement& one : expected_.statements) {
      add(Completion::Kind::statement, std::string(one.words), std::string(one.form), 0);
    }
    if (!expected_.property_of.empty()) {
      properties();
    } else {
      names();
    }
    for (const std::string& word : expected_.words) {
      add(Completion::Kind::word, word, expected_.statement, 4);
    }
    return std::move(out_);
  }

 private:
  void add(Completion::Kind kind, std::string label, std::string detail, int rank) {
    if (!seen_.insert(label).second) return;
    out_.push_back({kind, label, std::move(detail), label, range_, rank});
  }

  void names() {
    if (expected_.names.empty()) return;
    if (has_kind(expected_, NameKind::unit)) units();
    if (has_kind(expected_, NameKind::setting)) settings();
    if (has_kind(expected_, NameKind::hazard)) {
      for (const std::string& one : language::hazard_names()) {
        add(Completion::Kind::name, one, std::string(language::usual_caution(one)), 1);
      }
    }
    declared();
    if (has_kind(expected_, NameKind::room) || has_kind(expected_, NameKind::crew)) of_site();
    for (const NameKind kind : {NameKind::room, NameKind::crew, NameKind::tag}) {
      if (has_kind(expected_, kind)) used_elsewhere(kind);
    }
    if (has_kind(expected_, NameKind::value)) {
      add(Completion::Kind::name, "plants", "plants at the start of the stage", 2);
      for (const char* one : functions) add(Completion::Kind::name, one, "function", 3);
    }
  }

  void units() {
    const std::vector<std::string> fitting = units_for(expected_.statement, expected_.subject);
    for (const std::string& one : fitting) add(Completion::Kind::unit, one, "unit", 1);
    if (!fitting.empty()) return;
    for (const std::string& one : language_units()) add(Completion::Kind::unit, one, "unit", 3);
  }

  static const std::vector<std::string>& language_units() { return units::unit_names(); }

  void settings() {
    for (const language::MeasureFacts& facts : language::measures()) {
      if (!facts.settable) continue;
      const std::string detail = "in " + facts.unit;
      add(Completion::Kind::name, facts.name, detail, 1);
    }
  }

  /// Names that are declared, where one of their kind may stand.
  void declared() {
    for (const DeclaredName& one : declared_for(workspace_, document_, position_)) {
      const NameSpace space = space_of(one.kind);
      const bool fits =
          std::any_of(expected_.names.begin(), expected_.names.end(), [&](NameKind wanted) {
            if (wanted == one.kind) return true;
            const bool condition = expected_.statement == "until" || expected_.statement == "if";
            if (wanted == NameKind::value && one.kind == NameKind::observation) return condition;
            return wanted == NameKind::value && space == NameSpace::value;
          });
      const bool itself =
          one.document->path() == document_.path() && one.span.begin == expected_.word.begin;
      if (fits && !itself) {
        add(Completion::Kind::name, one.name, trimmed(one.line),
            one.kind == NameKind::stage ? 2 : 1);
      }
    }
  }

  /// Rooms and crews that the site has.
  void of_site() {
    const auto worked = workspace_.worked_book(document_.path());
    if (worked == nullptr || !worked->book) return;
    const std::string site = worked->book->site.name.value;
    if (has_kind(expected_, NameKind::room)) {
      for (const auto& [name, room] : worked->book->site.rooms) {
        add(Completion::Kind::name, name, "room of " + site, 1);
      }
    }
    if (has_kind(expected_, NameKind::crew)) {
      for (const auto& [name, crew] : worked->book->site.crews) {
        add(Completion::Kind::name, name, "crew of " + site, 1);
      }
    }
  }

  /// What is nowhere declared is known by its uses.
  void used_elsewhere(NameKind kind) {
    for (const SharedDocument& one : workspace_.files_around(document_.path())) {
      for (const language::WrittenName& name : one->written().names) {
        const bool itself =
            one->path() == document_.path() && name.span.begin == expected_.word.begin;
        if (name.kind != kind || itself) continue;
        add(Completion::Kind::name, std::string(name.text()),
            "used in " + one->path().filename().string(), 2);
      }
    }
  }

  /// Behind a point: what can be asked of a stage.
  void properties() {
    for (const char* one : {"start", "end", "days", "plants", "left", "hours"}) {
      add(Completion::Kind::name, one, "of " + expected_.property_of, 1);
    }
    for (const language::MeasureFacts& facts : language::measures()) {
      add(Completion::Kind::name, facts.name, "set in " + expected_.property_of, 2);
    }
    for (const char* one : {"first", "last", "lowest", "highest"}) {
      add(Completion::Kind::name, one, "of a setting", 3);
    }
  }

  const Workspace& workspace_;
  const Document& document_;
  Position position_;
  Expected expected_;
  Range range_;
  std::set<std::string> seen_;
  std::vector<Completion> out_;
};

}  // namespace

std::vector<std::string> units_for(const std::string& statement, const std::string& subject) {
  static const std::set<std::string> lengths{"lasts", "may", "until", "starts", "after", "over"};
  static const std::set<std::string> times{"time", "setup", "no", "mist"};
  if (lengths.contains(statement)) return {"days", "weeks", "h"};
  if (times.contains(statement)) return {"min", "h", "s"};
  if (statement == "loses") return {"%"};
  if (statement == "rate") return {"per hour", "per day"};
  const bool sets = statement == "keep" || statement == "taper";
  const language::MeasureFacts* facts = sets ? language::find_measure(subject) : nullptr;
  if (facts == nullptr) return {};
  if (facts->type.kind == language::Type::Kind::temperature) return {"degC", "degF"};
  std::vector<std::string> out{facts->unit};
  if (facts->measure == language::Measure::light) out.emplace_back("h");
  return out;
}

std::vector<Completion> complete(const Workspace& workspace, const Document& document,
                                 Position position) {
  if (document.kind() == FileKind::protocol) {
    return Completer(workspace, document, position).complete();
  }
  const bool book = document.kind() == FileKind::site || document.kind() == FileKind::batches;
  return book ? complete_book(workspace, document, position) : std::vector<Completion>{};
}

}  // namespace budwood::editor
