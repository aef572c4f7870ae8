/// What stands in a text, for those who write it: its words with their colours, its names with what
/// they are names of, its blocks. Taken from the parser's tree, so it is there for text with
/// mistakes as well, as far as reading came.
///
///   look_at(source).names   of   `stage rooting of cutting { takes sowing }`
///   is   rooting (stage, declared), cutting (part), sowing (stage)
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "language/editing/name_kind.hpp"
#include "text/text.hpp"

namespace budwood::language {

/// A word or sign of a text.
struct WrittenWord {
  enum class Kind : std::uint8_t { keyword, name, unit, number, text, date, time, sign, comment };
  Kind kind = Kind::sign;
  NameKind name = NameKind::other;  ///< of a name
  bool declares = false;            ///< of a name: it is declared here
  text::Span span;
};

/// A name where it is declared or used, also in the braces of a message.
struct WrittenName {
  static constexpr std::size_t nobody = static_cast<std::size_t>(-1);

  NameKind kind = NameKind::other;
  bool declares = false;
  text::Span span;
  std::size_t owner = nobody;  ///< the protocol or rule set that it stands in, in `owners`

  std::string_view text() const { return text::text_of(span); }
};

/// A protocol, a variant or a rule set.
struct WrittenOwner {
  NameKind kind = NameKind::protocol;
  std::string name;
  int edition = 1;
  std::string base;  ///< "" when it is based on none; of a variant the protocol around it
  int base_edition = 1;
  std::size_t around = WrittenName::nobody;  ///< of a variant: its protocol
  text::Span name_span;
  text::Span span;
};

/// Something with a line of its own in an outline: a protocol, a stage, a work, a rule, a
/// declaration.
struct WrittenItem {
  enum class Kind : std::uint8_t { protocol, variant, rules, rule, stage, work, declaration };
  Kind kind = Kind::declaration;
  std::string name;
  std::string title;      ///< without its quotes
  text::Span span;        ///< all of it
  text::Span head;        ///< its name, of work its title
  std::size_t depth = 0;  ///< how many items it stands in
  std::size_t owner = WrittenName::nobody;
};

struct Written {
  std::vector<WrittenWord> words;    ///< in order; comments among them
  std::vector<WrittenName> names;    ///< in order
  std::vector<WrittenOwner> owners;  ///< in order, a variant behind its protocol
  std::vector<WrittenItem> items;    ///< in order
  std::vector<text::Span> blocks;    ///< from brace to brace, those on one line too
};

/// Looks at a text; nothing is reported. Empty when it is too large or no text at all.
Written look_at(const text::Source& source);

}  // namespace budwood::language
