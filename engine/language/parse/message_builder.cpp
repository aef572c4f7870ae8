#include <algorithm>
#include <cctype>

#include "language/parse/tree_builder.hpp"

/// Messages with values in braces: "Humidity falls to {weaning.humidity.first}."
namespace budwood::language {

namespace {

/// Text as it is meant, and where in the source each of its bytes stands.
struct Placed {
  std::string text;
  std::vector<std::uint32_t> at;
  const text::Source* source = nullptr;

  text::Span span(std::size_t begin, std::size_t end) const {
    return {source, at[begin], at[end - 1] + 1};
  }
};

/// What stands between the quotes; a backslash is not part of it.
Placed placed(const text::Span& quoted) {
  Placed out;
  out.source = quoted.source;
  const std::string_view raw = text::text_of(quoted);
  for (std::size_t i = 1; i + 1 < raw.size(); ++i) {
    if (raw[i] == '\\') ++i;
    out.text += raw[i];
    out.at.push_back(quoted.begin + static_cast<std::uint32_t>(i));
  }
  return out;
}

/// `a.b.c` between two places of a text; nothing when it is not names with points between them.
std::optional<syntax::Formula> path_between(const Placed& written, std::size_t begin,
                                            std::size_t end) {
  if (begin == end) return std::nullopt;
  syntax::Formula out;
  out.span = out.whole = written.span(begin, end);
  while (true) {
    const std::size_t point = std::min(written.text.find('.', begin), end);
    const std::string word = written.text.substr(begin, point - begin);
    const bool is_name =
        !word.empty() && std::none_of(word.begin(), word.end(), [](unsigned char c) {
          return c < 0x80 && std::isalnum(c) == 0 && c != '_';
        });
    if (!is_name) return std::nullopt;
    const syntax::Name name{word, written.span(begin, point)};
    if (out.name.text.empty()) {
      out.name = name;
    } else {
      out.members.push_back(name);
    }
    if (point == end) break;
    begin = point + 1;
  }
  out.kind = out.members.empty() ? syntax::Formula::Kind::name : syntax::Formula::Kind::member;
  return out;
}

}  // namespace

syntax::Message TreeBuilder::message(antlr4::tree::TerminalNode* string) {
  const syntax::Text plain = text_of(string);
  syntax::Message out;
  out.span = plain.span;
  const Placed written = placed(plain.span);
  // One that is too long has been cut off and reported.
  if (written.text != plain.value) {
    out.rest = plain.value;
    return out;
  }
  std::size_t from = 0;
  while (true) {
    const std::size_t open = written.text.find('{', from);
    if (open == std::string::npos) break;
    const std::size_t close = written.text.find('}', open);
    auto value = close == std::string::npos ? std::nullopt : path_between(written, open + 1, close);
    if (!value) {
      const std::size_t end = close == std::string::npos ? written.text.size() : close + 1;
      diagnostics_.error("message-value", written.span(open, end),
                         "Between braces in a message stands the name of a value.",
                         "Such as: \"It ends on {healing.end}.\"");
      break;
    }
    out.values.push_back({written.text.substr(from, open - from), std::move(*value)});
    from = close + 1;
  }
  out.rest = written.text.substr(from);
  return out;
}

}  // namespace budwood::language
