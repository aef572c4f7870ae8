#include <algorithm>

#include "language/language.hpp"

namespace budwood::language {

namespace {

/// Letters beyond ASCII count as such wherever they stand: a name is then rather longer than it is.
bool in_word(char c) {
  const bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
  return letter || (c >= '0' && c <= '9') || c == '_' || static_cast<unsigned char>(c) >= 0x80;
}

/// The words of a source, one after the other, without comments and what stands in quotes.
class WordRun {
 public:
  explicit WordRun(std::string_view text) : text_(text) {}

  /// "" at the end.
  std::string_view next() {
    while (at_ < text_.size() && !in_word(text_[at_])) {
      if (text_[at_] == '{') ++depth_;
      if (text_[at_] == '}') --depth_;
      if (text_[at_] == '#') {
        at_ = end_of_line();
      } else if (text_[at_] == '"') {
        at_ = end_of_quote();
      } else {
        ++at_;
      }
    }
    const std::size_t from = at_;
    while (at_ < text_.size() && in_word(text_[at_])) ++at_;
    return text_.substr(from, at_ - from);
  }

  /// In how many blocks the last word stands.
  int depth() const { return depth_; }

 private:
  std::size_t end_of_line() const {
    return std::min(text_.find_first_of("\r\n", at_), text_.size());
  }
  /// A quote ends with its line at the latest.
  std::size_t end_of_quote() const {
    const auto ends_line = [&](std::size_t i) { return text_[i] == '\n' || text_[i] == '\r'; };
    for (std::size_t i = at_ + 1; i < text_.size(); ++i) {
      if (text_[i] == '"') return i + 1;
      if (ends_line(i)) return i;
      const bool escapes = text_[i] == '\\' && i + 1 < text_.size() && !ends_line(i + 1);
      if (escapes) ++i;
    }
    return text_.size();
  }

  std::string_view text_;
  std::size_t at_ = 0;
  int depth_ = 0;
};

}  // namespace

Headings headings(const text::Source& source) {
  Headings out;
  WordRun words(source.text());
  std::string_view before;
  for (auto word = words.next(); !word.empty(); word = words.next()) {
    if (before == "protocol" || before == "rules") out.names.emplace_back(word);
    if (before == "table" && words.depth() == 0) out.tables.emplace_back(word);
    if (before == "based" && word == "on") {
      word = words.next();
      out.bases.emplace_back(word);
    }
    before = word;
  }
  return out;
}

bool LeftOut::may_hold(const std::string& name) const {
  const bool in_broken = std::any_of(broken.begin(), broken.end(), [&](const std::string& one) {
    return one.empty() || one == name;
  });
  return in_broken ||
         std::any_of(passed_over.begin(), passed_over.end(), [&](const text::Source* source) {
           const std::vector<std::string> names = headings(*source).names;
           return std::find(names.begin(), names.end(), name) != names.end();
         });
}

bool LeftOut::may_mention(const std::string& name) const {
  if (!broken.empty()) return true;
  const auto own = own_names.find(name);
  return std::any_of(passed_over.begin(), passed_over.end(), [&](const text::Source* source) {
    WordRun words(source->text());
    for (auto word = words.next(); !word.empty(); word = words.next()) {
      if (word == name || (own != own_names.end() && word == own->second)) return true;
    }
    return false;
  });
}

}  // namespace budwood::language
