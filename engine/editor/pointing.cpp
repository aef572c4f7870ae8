#include "editor/pointing.hpp"

#include <algorithm>

#include "calendar/calendar.hpp"
#include "editor/books/anchor.hpp"
#include "editor/family.hpp"
#include "editor/values.hpp"
#include "language/check/hazard.hpp"
#include "language/editing/expected.hpp"
#include "sheet/columns/shown.hpp"

namespace budwood::editor {

using language::NameKind;
using language::WrittenWord;

namespace {

constexpr std::size_t most_batches = 8;

const WrittenWord* word_at(const Document& document, std::uint32_t offset) {
  for (const WrittenWord& word : document.written().words) {
    if (word.span.begin <= offset && offset < word.span.end) return &word;
  }
  return nullptr;
}

std::string code(std::string_view line) {
  return "```budwood\n" + std::string(line) + "\n```\n";
}

std::string of_keyword(std::string_view word) {
  std::string out;
  for (const language::ExpectedStatement& one : language::statements_beginning(word)) {
    out += code(one.form);
  }
  return out.empty() ? out : "Written like:\n" + out;
}

std::string of_unit(std::string_view word) {
  const auto unit = units::find_unit(word);
  if (!unit) return {};
  return "`" + unit->symbol + "`: " + units::describe(unit->dimension);
}

std::string of_setting(const std::string& name) {
  const language::MeasureFacts* facts = language::find_measure(name);
  if (facts == nullptr) return {};
  const auto unit = units::find_unit(facts->unit);
  std::string out = "`" + name + "`: " + language::describe(facts->type);
  if (unit) {
    out += ", from " + units::format(facts->lowest, *unit) + " to " +
           units::format(facts->highest, *unit);
  }
  return out;
}

/// The dates of a stage in the batches of the book.
std::string dates_of(const WorkedBook& worked, const std::set<std::string>& protocols,
                     const std::string& stage) {
  std::string out;
  std::size_t told = 0;
  for (const plan::BatchPlan& batch : worked.plan.batches) {
    const language::Protocol& protocol = worked.plan.protocol_of(batch);
    if (!batch.dated || !protocols.contains(language::method_of(protocol.name))) continue;
    for (std::size_t s = 0; s < protocol.stages.size(); ++s) {
      const language::StageId id(static_cast<std::int32_t>(s));
      if (protocol.stages[id].name != stage) continue;
      if (++told > most_batches) continue;
      const sheet::Row row = worked.plan.row_of(batch);
      out += "- " + worked.plan.facts_of(batch).id.value + ": " +
             calendar::short_date(row.start(id)) + " to " + calendar::short_date(row.end(id)) +
             "\n";
    }
  }
  if (told > most_batches) out += "- and " + std::to_string(told - most_batches) + " more\n";
  return out;
}

/// In how many places and files a name is used.
std::string used_in(const std::vector<NameUse>& uses) {
  std::size_t count = 0;
  std::set<std::filesystem::path> files;
  for (const NameUse& one : uses) {
    if (one.declares) continue;
    ++count;
    files.insert(one.where.path);
  }
  if (count == 0) return "Used nowhere.\n";
  std::string out = "Used " + std::to_string(count) + (count == 1 ? " time" : " times");
  if (files.size() > 1) out += " in " + std::to_string(files.size()) + " files";
  return out + ".\n";
}

std::string trimmed_line(const std::string& line) {
  const std::size_t first = line.find_first_not_of(" \t");
  return first == std::string::npos ? "" : line.substr(first);
}

class Pointer {
 public:
  Pointer(const Workspace& workspace, const Document& document, Position position)
      : workspace_(workspace), document_(document), position_(position) {}

  std::string name(NameKind kind, const std::string& name) {
    if (kind == NameKind::setting) return of_setting(name);
    if (kind == NameKind::hazard) return std::string(language::usual_caution(name));
    std::string out;
    const DeclaredName* declared = find(kind, name);
    if (declared != nullptr) {
      out += code(trimmed_line(declared->line));
      out += value(declared->kind, name);
    }
    const bool counted = space_of(kind) != NameSpace::none;
    const bool stage = declared != nullptr && declared->kind == NameKind::stage;
    const auto uses = counted ? uses_of(workspace_, document_, position_) : std::vector<NameUse>{};
    // That nobody speaks of a stage is no fault: it is there by itself.
    const bool spoken_of =
        std::any_of(uses.begin(), uses.end(), [](const NameUse& one) { return !one.declares; });
    if (counted && (spoken_of || !stage)) out += used_in(uses);
    if (stage) out += dates(name);
    return out;
  }

 private:
  const DeclaredName* find(NameKind kind, const std::string& name) {
    declared_ = declared_for(workspace_, document_, position_);
    const auto found = std::find_if(declared_.begin(), declared_.end(), [&](const auto& one) {
      const bool fits = kind == NameKind::value || space_of(one.kind) == space_of(kind);
      return one.name == name && fits;
    });
    return found == declared_.end() ? nullptr : &*found;
  }

  /// With the usual inputs.
  std::string value(NameKind kind, const std::string& name) {
    const bool has_value = kind == NameKind::input || kind == NameKind::let;
    if (!has_value && kind != NameKind::stage) return {};
    const auto library = workspace_.library(document_.path());
    const std::size_t owner = owner_at(document_, document_.offset(position_));
    const language::Protocol* model = model_of(*library, document_, owner);
    if (model == nullptr) return {};
    const UsualValues usual(*model, 100);
    if (has_value) {
      const std::string shown = usual.shown(name);
      return shown.empty() ? "" : "Usually " + shown + ".\n\n";
    }
    const std::string days = usual.days(name);
    return days.empty() ? "" : "Usually " + days + ".\n\n";
  }

  std::string dates(const std::string& stage) {
    const Family family(workspace_, document_);
    const std::size_t owner = owner_at(document_, document_.offset(position_));
    const std::set<std::string> protocols = family.names(document_, owner);
    std::string out;
    for (const std::filesystem::path& folder : workspace_.books_around(document_.path())) {
      const auto worked = workspace_.worked_book(folder / "batches.yaml");
      if (worked == nullptr || !worked->book) continue;
      out += dates_of(*worked, protocols, stage);
    }
    return out.empty() ? out : "\n" + out;
  }

  const Workspace& workspace_;
  const Document& document_;
  Position position_;
  std::vector<DeclaredName> declared_;
};

/// A key of the book, or what a name is in its protocol.
std::optional<Pointed> point_in_book(const Workspace& workspace, const Document& document,
                                     Position position) {
  Range word;
  if (std::string key = about_key_at(document, position, word); !key.empty()) {
    return Pointed{std::move(key), word};
  }
  const auto anchor = anchor_of(workspace, document, position);
  auto pointed = anchor ? point_at(workspace, *anchor->document, anchor->position) : std::nullopt;
  if (pointed) pointed->range = anchor->here;
  return pointed;
}

}  // namespace

std::optional<Pointed> point_at(const Workspace& workspace, const Document& document,
                                Position position) {
  if (document.kind() != FileKind::protocol) return point_in_book(workspace, document, position);
  const WrittenWord* word = word_at(document, document.offset(position));
  if (word == nullptr) return std::nullopt;
  const std::string text(text::text_of(word->span));
  std::string out;
  if (word->kind == WrittenWord::Kind::keyword) out = of_keyword(text);
  if (word->kind == WrittenWord::Kind::unit) out = of_unit(text);
  if (word->kind == WrittenWord::Kind::name) {
    out = Pointer(workspace, document, position).name(word->name, text);
  }
  if (out.empty()) return std::nullopt;
  return Pointed{std::move(out), document.range(word->span)};
}

}  // namespace budwood::editor
