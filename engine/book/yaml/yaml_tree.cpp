#include "book/yaml/yaml_tree.hpp"

#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/exceptions.h>
#include <yaml-cpp/mark.h>
#include <yaml-cpp/parser.h>

#include <algorithm>
#include <numeric>
#include <sstream>
#include <utility>

#include "book/yaml/yaml_message.hpp"

namespace budwood::book {

namespace {

/// After so many refusals the rest of the file is not looked at.
constexpr std::size_t most_refusals = 100;

/// Thrown through the YAML parser to end it; what is wrong has been reported.
struct Stop {};

std::uint32_t offset_of(const YAML::Mark& mark, const text::Source& source) {
  // The parser counts bytes, as spans do; behind a backslash its mark may lie within a character.
  const std::string_view text = source.text();
  const auto end = static_cast<std::uint32_t>(text.size());
  std::uint32_t at = mark.pos < 0 ? end : std::min(static_cast<std::uint32_t>(mark.pos), end);
  while (at > 0 && at < end && (static_cast<unsigned char>(text[at]) & 0xC0U) == 0x80U) --at;
  return at;
}

/// The character at `at`; nothing at the end of the text.
text::Span character_at(const text::Source& source, std::uint32_t at) {
  const std::string_view rest = source.text().substr(at);
  const std::size_t length = rest.empty() ? 0 : text::character_length(rest);
  return {&source, at, at + static_cast<std::uint32_t>(length)};
}

/// Where a quoted text that begins at `begin` ends, npos when it is not closed.
std::size_t quoted_end(std::string_view text, std::size_t begin) {
  const char quote = text[begin];
  for (std::size_t i = begin + 1; i < text.size(); ++i) {
    if (quote == '"' && text[i] == '\\') {
      ++i;
    } else if (text[i] == quote) {
      const bool doubled = quote == '\'' && i + 1 < text.size() && text[i + 1] == quote;
      if (!doubled) return i + 1;
      ++i;
    }
  }
  return std::string_view::npos;
}

std::size_t line_end(std::string_view text, std::size_t begin) {
  std::size_t end = std::min(text.find('\n', begin), text.size());
  while (end > begin && (text[end - 1] == ' ' || text[end - 1] == '\r')) --end;
  return end;
}

/// Builds the tree from the parser's events.
class Builder : public YAML::EventHandler {
 public:
  Builder(const text::Source& source, text::Diagnostics& diagnostics)
      : source_(source), diagnostics_(diagnostics) {}

  Node take() { return std::move(root_); }
  bool refused() const { return refusals_ > 0; }

  void OnDocumentStart(const YAML::Mark& mark) override {
    if (++documents_ == 1) return;
    const std::uint32_t at = offset_of(mark, source_);
    if (source_.text().substr(at).starts_with("---")) {
      refuse("several-documents", {&source_, at, at + 3}, "A second document begins here.",
             "Keep one document a file: remove this `---` line and what does not belong.");
    } else {
      const auto end = static_cast<std::uint32_t>(line_end(source_.text(), at));
      refuse("yaml-syntax", {&source_, at, end},
             "This line does not fit under the lines before it.",
             "Start it in the same column as the lines it belongs to.");
    }
    throw Stop{};
  }
  void OnDocumentEnd() override {}

  void OnNull(const YAML::Mark& mark, YAML::anchor_t anchor) override {
    check_plain(mark, "?", anchor);
    const std::uint32_t at = offset_of(mark, source_);
    const std::string_view rest = source_.text().substr(at);
    Node node;
    node.span = {&source_, at, at};
    if (rest.starts_with('~')) {
      node.span.end = at + 1;
    } else if (!stack_.empty() && stack_.back().has_key) {
      node.span = stack_.back().key_span;
    }
    add(std::move(node));
  }

  void OnAlias(const YAML::Mark& mark, YAML::anchor_t /*anchor*/) override {
    refuse("yaml-anchor", word_at(mark), "References with `*` are not read.",
           "Write the value itself.");
    Node node;
    node.span = word_at(mark);
    add(std::move(node));
  }

  void OnScalar(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                const std::string& value) override {
    check_plain(mark, tag, anchor);
    Node node;
    node.kind = Node::Kind::scalar;
    node.span = scalar_span(mark, value);
    node.value = value;
    add(std::move(node));
  }

  void OnSequenceStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                       YAML::EmitterStyle::value /*style*/) override {
    open(Node::Kind::list, mark, tag, anchor);
  }
  void OnSequenceEnd() override { close(); }
  void OnMapStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                  YAML::EmitterStyle::value /*style*/) override {
    open(Node::Kind::map, mark, tag, anchor);
  }
  void OnMapEnd() override { close(); }

 private:
  /// A list or map that is not closed yet, and the key that waits for its value.
  struct Frame {
    Node node;
    bool has_key = false;
    std::string key;
    text::Span key_span;
  };

  void refuse(std::string code, text::Span span, std::string message, std::string advice) {
    diagnostics_.error(std::move(code), span, std::move(message), std::move(advice));
    if (++refusals_ >= most_refusals) throw Stop{};
  }

  text::Span word_at(const YAML::Mark& mark) const {
    const std::uint32_t at = offset_of(mark, source_);
    const std::size_t end = source_.text().find_first_of(" \r\n,]}", at);
    return {&source_, at, static_cast<std::uint32_t>(std::min(end, source_.text().size()))};
  }

  void check_plain(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor) {
    if (anchor != 0) {
      refuse("yaml-anchor", word_at(mark), "Names with `&` are not read.",
             "Write the value wherever it is needed.");
    }
    // "?" and "!" are what the parser gives to plain and to quoted values.
    if (tag != "?" && tag != "!" && !tag.empty()) {
      refuse("yaml-tag", word_at(mark), "Types with `!` are not read.", "Write the value alone.");
    }
  }

  text::Span scalar_span(const YAML::Mark& mark, const std::string& value) {
    const std::string_view text = source_.text();
    const std::uint32_t at = offset_of(mark, source_);
    std::size_t end = at + value.size();
    if (at < text.size() && (text[at] == '"' || text[at] == '\'')) {
      end = quoted_end(text, at);
      if (end == std::string_view::npos) {
        // The parser lets an open double quote run to the end of the file.
        refuse("yaml-syntax", {&source_, at, at + 1}, "This quoted text is never closed.",
               "Put a quote at its end.");
        throw Stop{};
      }
    } else if (!text.substr(at).starts_with(value)) {
      end = line_end(text, at);
    }
    return {&source_, at, static_cast<std::uint32_t>(end)};
  }

  void open(Node::Kind kind, const YAML::Mark& mark, const std::string& tag,
            YAML::anchor_t anchor) {
    check_plain(mark, tag, anchor);
    const std::uint32_t at = offset_of(mark, source_);
    if (stack_.size() >= deepest_nesting) {
      refuse("too-deep", character_at(source_, at),
             "This is nested more than " + std::to_string(deepest_nesting) + " levels deep.",
             "A book needs no more than five.");
      throw Stop{};
    }
    Frame frame;
    frame.node.kind = kind;
    frame.node.span = character_at(source_, at);
    stack_.push_back(std::move(frame));
  }

  void close() {
    Node node = std::move(stack_.back().node);
    stack_.pop_back();
    if (node.kind == Node::Kind::map) drop_repeated_keys(node);
    if (!node.items.empty()) node.span.end = node.items.back().span.end;
    if (!node.entries.empty()) node.span.end = node.entries.back().value.span.end;
    add(std::move(node));
  }

  void add(Node node) {
    if (++values_ > most_values) {
      refuse("too-many-values", node.span,
             "The file holds more than " + std::to_string(most_values) + " values.",
             "Split the book.");
      throw Stop{};
    }
    if (stack_.empty()) {
      root_ = std::move(node);
      return;
    }
    Frame& parent = stack_.back();
    if (parent.node.kind == Node::Kind::list) {
      parent.node.items.push_back(std::move(node));
    } else if (parent.has_key) {
      parent.node.entries.push_back({std::move(parent.key), parent.key_span, std::move(node)});
      parent.has_key = false;
    } else {
      if (node.kind != Node::Kind::scalar) {
        refuse("yaml-key", node.span, "A key has to be a word.", "Write `key: value`.");
      }
      parent.key = std::move(node.value);
      parent.key_span = node.span;
      parent.has_key = true;
    }
  }

  /// Keeps the first of equal keys and reports the others.
  void drop_repeated_keys(Node& map) {
    std::vector<Entry>& entries = map.entries;
    std::vector<std::size_t> order(entries.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return entries[a].key < entries[b].key; });
    std::vector<std::size_t> repeated;
    std::size_t first = 0;
    for (std::size_t i = 1; i < order.size(); ++i) {
      if (entries[order[i]].key == entries[order[first]].key) {
        repeated.push_back(order[i]);
        report_repeated(entries[order[i]], entries[order[first]]);
      } else {
        first = i;
      }
    }
    if (repeated.empty()) return;
    std::sort(repeated.begin(), repeated.end());
    std::size_t kept = 0;
    for (std::size_t i = 0; i < entries.size(); ++i) {
      if (std::binary_search(repeated.begin(), repeated.end(), i)) continue;
      if (kept != i) entries[kept] = std::move(entries[i]);
      ++kept;
    }
    entries.resize(kept);
  }

  void report_repeated(const Entry& again, const Entry& first) {
    diagnostics_.add({text::Severity::error,
                      "duplicate-key",
                      again.key_span,
                      "`" + again.key + "` stands here a second time.",
                      "Keep one of the two.",
                      {{first.key_span, "the first one"}}});
  }

  const text::Source& source_;
  text::Diagnostics& diagnostics_;
  std::vector<Frame> stack_;
  Node root_;
  std::size_t documents_ = 0;
  std::size_t values_ = 0;
  std::size_t refusals_ = 0;
};

/// The parser ends silently at some control characters and loses count of others.
bool check_characters(const text::Source& source, text::Diagnostics& diagnostics) {
  const std::string_view text = source.text();
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto c = static_cast<unsigned char>(text[i]);
    const bool line_break = c == '\n' || (c == '\r' && i + 1 < text.size() && text[i + 1] == '\n');
    const bool mark = text.substr(i).starts_with("\xEF\xBB\xBF");
    if ((c >= 0x20 && c != 0x7F && !mark) || c == '\t' || line_break) continue;
    const auto at = static_cast<std::uint32_t>(i);
    diagnostics.error("odd-character", {&source, at, at + (mark ? 3U : 1U)},
                      "There is a character here that cannot be seen and is not allowed.",
                      c == '\r' ? "Save the file with ordinary line ends." : "Delete it.");
    return false;
  }
  return true;
}

void report(const YAML::Exception& problem, const text::Source& source,
            text::Diagnostics& diagnostics) {
  const std::uint32_t at = offset_of(problem.mark, source);
  const std::string_view text = source.text();
  const std::size_t newline = at == 0 ? std::string_view::npos : text.rfind('\n', at - 1);
  const std::size_t start = newline == std::string_view::npos ? 0 : newline + 1;
  YamlMessage told = explain_yaml_error(problem.msg, text.substr(start, at - start));
  diagnostics.error("yaml-syntax", character_at(source, at), std::move(told.message),
                    std::move(told.advice));
}

}  // namespace

const Node* Node::find(std::string_view key) const {
  for (const Entry& entry : entries) {
    if (entry.key == key) return &entry.value;
  }
  return nullptr;
}

std::optional<Node> read_tree(const text::Source& source, text::Diagnostics& diagnostics) {
  if (!check_characters(source, diagnostics)) return std::nullopt;
  Builder builder(source, diagnostics);
  try {
    std::istringstream stream{std::string(source.text())};
    YAML::Parser parser(stream);
    while (parser.HandleNextDocument(builder)) {
    }
  } catch (const Stop&) {
    return std::nullopt;
  } catch (const YAML::Exception& problem) {
    report(problem, source, diagnostics);
    return std::nullopt;
  }
  if (builder.refused()) return std::nullopt;
  return builder.take();
}

}  // namespace budwood::book
