#include "editor/books/place.hpp"

#include <algorithm>

namespace budwood::editor {

namespace {

/// Where the key or value of a line begins, behind spaces and the dashes of lists.
std::size_t begin_of(std::string_view line) {
  const std::size_t at = line.find_first_not_of(" -");
  return at == std::string_view::npos ? line.size() : at;
}

std::string trimmed(std::string_view text) {
  const std::size_t first = text.find_first_not_of(" \t\"'");
  if (first == std::string_view::npos) return {};
  return std::string(text.substr(first, text.find_last_not_of(" \t\"'") - first + 1));
}

/// The key in front of a colon; "" where there is none.
std::string key_of(std::string_view line) {
  const std::size_t colon = line.find(": ");
  const bool last = colon == std::string_view::npos && line.ends_with(':');
  if (colon == std::string_view::npos && !last) return {};
  return trimmed(line.substr(0, last ? line.size() - 1 : colon));
}

bool says_nothing(std::string_view line) {
  const std::size_t first = line.find_first_not_of(' ');
  return first == std::string_view::npos || line[first] == '#';
}

/// Follows one line up to the place: keys, and braces and brackets that are open.
class LineReader {
 public:
  LineReader(std::string_view line, std::size_t begin) : line_(line), word_(begin) {
    for (std::size_t i = begin; i < line.size(); ++i) take(i);
  }

  const std::vector<std::string>& inside() const { return inside_; }
  const std::string& key() const { return key_; }
  std::size_t word() const {
    const std::size_t first = line_.find_first_not_of(" \"'", word_);
    return first == std::string_view::npos ? line_.size() : first;
  }

 private:
  void take(std::size_t i) {
    const char c = line_[i];
    const bool ends_key = i + 1 == line_.size() || line_[i + 1] == ' ';
    if (c == ':' && ends_key && key_.empty()) {
      key_ = trimmed(line_.substr(word_, i - word_));
    } else if (c == '{' || c == '[') {
      open_.push_back(key_);
      inside_.push_back(key_);
      if (c == '{') key_.clear();
    } else if ((c == '}' || c == ']') && !open_.empty()) {
      key_ = open_.back();
      open_.pop_back();
      inside_.pop_back();
    } else if (c == ',' && !open_.empty()) {
      if (!is_list()) key_.clear();
    } else {
      return;
    }
    word_ = i + 1;
  }
  /// In a list every item is a value of the key before the list.
  bool is_list() const { return !key_.empty() && key_ == open_.back(); }

  std::string_view line_;
  std::size_t word_;
  std::string key_;
  std::vector<std::string> open_, inside_;
};

}  // namespace

BookPlace book_place(const Document& document, Position position) {
  const Lines& lines = document.lines();
  const std::size_t start = lines.offset({position.line, 0});
  const std::string_view before =
      lines.line(position.line).substr(0, document.offset(position) - start);
  const std::size_t begin = begin_of(before);
  const LineReader reader(before, begin);
  BookPlace out;
  out.key = reader.key();
  out.word = lines.range(start + reader.word(), start + before.size());
  std::size_t limit = begin;
  for (std::size_t i = position.line; i-- > 0 && limit > 0;) {
    const std::string_view line = lines.line(i);
    const std::size_t at = begin_of(line);
    const std::string key = key_of(line.substr(std::min(at, line.size())));
    if (says_nothing(line) || key.empty() || at >= limit) continue;
    out.path.insert(out.path.begin(), key);
    limit = at;
  }
  for (const std::string& one : reader.inside()) {
    if (one != out.key) out.path.push_back(one);
  }
  return out;
}

std::string beside(const Document& document, Position position, const std::string& key) {
  const Lines& lines = document.lines();
  // The item begins with the nearest dash above that is further left than the line itself.
  std::size_t first = position.line, column = begin_of(lines.line(position.line));
  for (std::size_t i = position.line + 1; i-- > 0;) {
    const std::string_view line = lines.line(i);
    const std::size_t dash = line.find_first_not_of(' ');
    if (says_nothing(line) || line[dash] != '-' || begin_of(line) > column) continue;
    first = i;
    column = begin_of(line);
    break;
  }
  for (std::size_t i = first; i < lines.count(); ++i) {
    const std::string_view line = lines.line(i);
    const std::size_t at = begin_of(line);
    if (says_nothing(line)) continue;
    if (i > first && (at < column || line[line.find_first_not_of(' ')] == '-')) break;
    const std::string_view said = line.substr(at);
    if (at != column || key_of(said) != key) continue;
    const std::string_view value = said.substr(said.find(':') + 1);
    return trimmed(value.substr(0, value.find(" #")));
  }
  return {};
}

}  // namespace budwood::editor
