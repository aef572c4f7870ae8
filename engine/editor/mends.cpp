#include "editor/mends.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "editor/completion.hpp"
#include "language/check/hazard.hpp"
#include "language/editing/expected.hpp"

namespace budwood::editor {

using language::NameKind;
using language::WrittenItem;
using language::WrittenWord;

namespace {

/// The first thing in backticks behind some words; "" when there is none.
std::string quoted_behind(const std::string& text, std::string_view words) {
  const std::size_t at = text.find(words);
  if (at == std::string::npos) return {};
  const std::size_t open = text.find('`', at + words.size() - 1);
  const std::size_t close = open == std::string::npos ? open : text.find('`', open + 1);
  return close == std::string::npos ? "" : text.substr(open + 1, close - open - 1);
}

bool touch(const Range& a, const Range& b) {
  return a.begin <= b.end && b.begin <= a.end;
}

class Mender {
 public:
  Mender(const Workspace& workspace, const Document& document)
      : workspace_(workspace), document_(document) {}

  std::vector<Mend> take() { return std::move(out_); }

  void mend(const Finding& finding) {
    finding_ = &finding;
    nearest();
    declaration();
    const std::string& code = finding.code;
    if (code == "unclosed-text") insert("Close the text with \"", finding.range.end, "\"", true);
    if (code == "unclosed-block") brace();
    if (code == "unit-mismatch" || code == "unknown-unit") unit();
    if (code == "no-usual-length") usually();
    if (code == "open-gate") gate();
    if (code == "no-caution") caution();
    if (code == "unused-name" || code == "unused-part") take_out();
    if (code == "no-reason") insert_reason();
    if (const std::size_t dot = code.find('.'); dot != std::string::npos)
      waive(code.substr(dot + 1));
  }

  /// A number of a stage becomes an input of the protocol.
  void extract(Range range) {
    finding_ = nullptr;
    const std::uint32_t offset = document_.offset(range.begin);
    const auto& words = document_.written().words;
    for (std::size_t i = 0; i < words.size(); ++i) {
      const WrittenWord& word = words[i];
      if (word.kind != WrittenWord::Kind::number) continue;
      if (word.span.begin > offset || offset > word.span.end) continue;
      std::uint32_t end = word.span.end;
      if (i + 1 < words.size() && words[i + 1].kind == WrittenWord::Kind::unit) {
        end = words[i + 1].span.end;
      }
      if (const WrittenItem* item = innermost(word.span.begin, WrittenItem::Kind::stage)) {
        extract_from(*item, word.span.begin, end);
      }
      return;
    }
  }

 private:
  void add(std::string title, std::vector<FileEdit> edits, bool likely) {
    Mend mend{std::move(title), std::nullopt, std::move(edits), likely};
    if (finding_ != nullptr) mend.mends = *finding_;
    out_.push_back(std::move(mend));
  }
  void replace(const std::string& title, Range range, const std::string& text, bool likely) {
    add(title, {{document_.path(), range, text}}, likely);
  }
  void insert(const std::string& title, Position place, const std::string& text, bool likely) {
    replace(title, {place, place}, text, likely);
  }

  std::string marked() const {
    const std::uint32_t begin = document_.offset(finding_->range.begin);
    return std::string(
        document_.text().substr(begin, document_.offset(finding_->range.end) - begin));
  }
  std::string indent_of(std::uint32_t line) const {
    const std::string_view text = document_.lines().line(line);
    return std::string(text.substr(0, text.find_first_not_of(" \t")));
  }

  /// The innermost item of a kind around a place.
  const WrittenItem* innermost(std::uint32_t offset, WrittenItem::Kind kind) const {
    const WrittenItem* found = nullptr;
    for (const WrittenItem& item : document_.written().items) {
      const bool around = item.span.begin <= offset && offset < item.span.end;
      if (around && item.kind == kind) found = &item;
    }
    return found;
  }

  void nearest() {
    const std::string meant = quoted_behind(finding_->advice, "Did you mean `");
    if (meant.empty()) return;
    replace("Write `" + meant + "`", finding_->range, meant, true);
  }

  /// Advice that shows the line with which a name would be declared.
  void declaration() {
    constexpr std::string_view words = "Declare it with a line such as: ";
    if (!finding_->advice.starts_with(words)) return;
    const std::string line = finding_->advice.substr(words.size());
    if (const auto place = place_of_declarations()) {
      insert("Declare it: " + line, *place, "  " + line + "\n", true);
    }
  }

  /// The beginning of the line of the first declaration or stage of the protocol.
  std::optional<Position> place_of_declarations() const {
    const std::size_t owner = owner_at(document_, document_.offset(finding_->range.begin));
    const WrittenItem* last = nullptr;
    for (const WrittenItem& item : document_.written().items) {
      if (item.owner != owner) continue;
      if (item.kind == WrittenItem::Kind::declaration) last = &item;
      if (item.kind == WrittenItem::Kind::stage && last == nullptr) {
        return Position{document_.range(item.span).begin.line, 0};
      }
    }
    if (last == nullptr) return std::nullopt;
    return Position{document_.range(last->span).end.line + 1, 0};
  }

  void brace() {
    // What starts in the open block is told; the brace belongs on a line of its own before it.
    const Position place{finding_->range.begin.line, 0};
    const bool at_end = document_.offset(finding_->range.begin) >= document_.text().size();
    if (at_end) {
      const bool fresh = document_.text().ends_with('\n');
      insert("Close the block", finding_->range.begin, fresh ? "}\n" : "\n}\n", true);
    } else {
      insert("Close the block", place, indent_of(finding_->range.begin.line) + "}\n", true);
    }
  }

  /// A number without a unit, or with one that does not fit.
  void unit() {
    const std::string text = marked();
    const std::size_t end = text.find_first_not_of("0123456789.");
    const std::string number = text.substr(0, end);
    if (number.empty()) return;
    const language::Expected at =
        language::expected_at(document_.source(), document_.offset(finding_->range.begin));
    bool first = true;
    for (const std::string& one : units_for(at.statement, at.subject)) {
      replace("Write `" + number + " " + one + "`", finding_->range, number + " " + one, first);
      first = false;
    }
  }

  void usually() {
    const std::string text = marked();
    const std::size_t to = text.find(" to ");
    if (to == std::string::npos) return;
    const std::string low =
        text.substr(std::string_view("lasts ").size(), to - std::string_view("lasts ").size());
    const std::string high = text.substr(to + 4);
    const auto from = units::parse_quantity(
        low.find(' ') == std::string::npos ? low + high.substr(high.find_first_of(" ")) : low);
    const auto until = units::parse_quantity(high);
    if (!from || !until) return;
    const double days = (from->base() + until->base()) / 2 / units::seconds_a_day;
    const std::string usual =
        std::to_string(std::max(1L, std::lround(days))) + (days < 1.5 ? " day" : " days");
    insert("Add `usually " + usual + "`", finding_->range.end, " usually " + usual, true);
  }

  void gate() { insert("Add `at most`", finding_->range.end, ", at most 21 days", false); }

  /// Of the hazards of the supply that is used.
  void caution() {
    std::string text;
    for (const std::string& hazard : language::hazard_names()) {
      if (finding_->message.find(hazard) == std::string::npos) continue;
      const std::string_view usual = language::usual_caution(hazard);
      const std::string_view said = usual.substr(0, usual.find(" Follow the product label"));
      if (!text.empty()) text += " ";
      text += said;
    }
    if (text.empty()) return;
    std::replace(text.begin(), text.end(), '"', '\'');
    // Told as the grower's own: the usual words are shown in any case.
    text = "Here: " + text;
    const std::uint32_t line = finding_->range.begin.line;
    const std::string_view written = document_.lines().line(line);
    const bool flat = written.find('{') != std::string_view::npos;
    if (flat) {
      insert("Add a caution", finding_->range.end, "  caution \"" + text + "\"", true);
    } else {
      insert("Add a caution", {line + 1, 0}, indent_of(line) + "caution \"" + text + "\"\n", true);
    }
  }

  void take_out() {
    for (const WrittenItem& item : document_.written().items) {
      const Range range = document_.range(item.span);
      if (document_.range(item.head) != finding_->range &&
          !(range.begin.line == finding_->range.begin.line)) {
        continue;
      }
      replace("Take it out", {{range.begin.line, 0}, {range.end.line + 1, 0}}, "", false);
      return;
    }
  }

  void insert_reason() { replace("Say why", finding_->range, "\"not here, because ...\"", false); }

  /// A rule that is knowingly not kept: in the stage that it is about, else in the protocol.
  void waive(const std::string& rule) {
    const std::uint32_t offset = document_.offset(finding_->range.begin);
    const WrittenItem* around = innermost(offset, WrittenItem::Kind::stage);
    if (around == nullptr) around = innermost(offset, WrittenItem::Kind::protocol);
    if (around == nullptr) return;
    const Position end = document_.range(around->span).end;
    const std::string indent = indent_of(end.line);
    insert("Waive the rule `" + rule + "`, with the reason", {end.line, 0},
           indent + "  waive " + rule + " \"not here, because ...\"\n", false);
  }

  void extract_from(const WrittenItem& stage, std::uint32_t begin, std::uint32_t end) {
    const std::string value(document_.text().substr(begin, end - begin));
    const language::Expected at = language::expected_at(document_.source(), begin);
    static constexpr std::array formulas{"lasts", "loses", "rate",   "time",  "keep", "taper",
                                         "may",   "space", "yields", "setup", "use"};
    if (std::find(formulas.begin(), formulas.end(), at.statement) == formulas.end()) return;
    const std::string name = stage.name + "_" + at.statement;
    const std::size_t owner = stage.owner;
    for (const WrittenItem& item : document_.written().items) {
      if (item.owner != owner || item.kind != WrittenItem::Kind::stage) continue;
      const Position place{document_.range(item.span).begin.line, 0};
      // In brackets where a unit or a supply follows.
      const bool amount = at.statement == "use";
      add("Make `" + value + "` an input",
          {{document_.path(), {place, place}, "  input " + name + " = " + value + "\n\n"},
           {document_.path(), document_.lines().range(begin, end),
            amount ? "(" + name + ")" : name}},
          false);
      return;
    }
  }

  const Workspace& workspace_;
  const Document& document_;
  const Finding* finding_ = nullptr;
  std::vector<Mend> out_;
};

}  // namespace

std::vector<Mend> mends_for(const Workspace& workspace, const Document& document,
                            const std::vector<Finding>& findings, Range range) {
  Mender mender(workspace, document);
  for (const Finding& one : findings) {
    if (touch(one.range, range)) mender.mend(one);
  }
  if (document.kind() == FileKind::protocol) mender.extract(range);
  return mender.take();
}

}  // namespace budwood::editor
