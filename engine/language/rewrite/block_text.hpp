/// Private to this module: where blocks and statements begin and end in a text.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "language/tree/change_syntax.hpp"
#include "language/tree/statement_parts.hpp"

namespace budwood::language {

/// The place behind a string or a comment that begins at `at`; `at` when none does.
std::uint32_t behind_quiet(std::string_view text, std::uint32_t at);
/// The closing brace of the first block that opens at or behind `at`.
std::uint32_t closing_brace(std::string_view text, std::uint32_t at);
/// Behind the last thing that is no space and no comment, from `begin` to `end`.
std::uint32_t end_of_said(std::string_view text, std::uint32_t begin, std::uint32_t end);
/// Where a statement begins whose first word is `word` and of which something stands at `inside`.
std::uint32_t start_of_statement(std::string_view text, std::string_view word,
                                 std::uint32_t inside);

/// A statement in the text: without the spaces and comments behind it.
struct Stretch {
  std::uint32_t begin = 0, end = 0;

  std::string in(std::string_view text) const {
    return std::string(text.substr(begin, end - begin));
  }
};

/// Where a statement begins, with its first word.
template <typename Item>
std::uint32_t begin_of(std::string_view text, const Item& item) {
  const std::string_view words = statement_of(item).words;
  return start_of_statement(text, words.substr(0, words.find(' ')), span_of(item).begin);
}
inline std::uint32_t begin_of(std::string_view text, const syntax::WorkChange& change) {
  return start_of_statement(text, "change", change.work.title.span.begin);
}
inline std::uint32_t begin_of(std::string_view text, const syntax::Drop& drop) {
  return start_of_statement(text, "drop", drop.span.begin);
}
template <typename... Items>
std::uint32_t begin_of(std::string_view text, const std::variant<Items...>& item) {
  return std::visit([&](const auto& one) { return begin_of(text, one); }, item);
}

/// Where the statements of a block stand, in their order. `brace` closes the block.
template <typename Item>
std::vector<Stretch> stretches(std::string_view text, const std::vector<Item>& items,
                               std::uint32_t brace) {
  std::vector<Stretch> out;
  for (const Item& item : items) out.push_back({begin_of(text, item), 0});
  for (std::size_t i = 0; i < out.size(); ++i) {
    const std::uint32_t next = i + 1 < out.size() ? out[i + 1].begin : brace;
    out[i].end = end_of_said(text, out[i].begin, next);
  }
  return out;
}

}  // namespace budwood::language
