#pragma once

#include <string>
#include <string_view>
#include <variant>

#include "language/tree/syntax.hpp"

/// What is known of any statement of the syntax tree. Each is a struct that says of itself:
///  - `statement`, its row in the table of statements; `described()` where that depends on it;
///  - `fields(self, visit)`: calls `visit` for all that it says, in the order of the canonical
///    form, and for names with what they refer to. References, renaming and the canonical form go
///    through that list;
/// and where it differs from most:
///  - `about()`: what it is about, so that it can be told from others of its kind: a stage, a name;
///  - `adds`: it stands beside others of its kind and never takes the place of one;
///  - `subject`, its word in `drop`;
///  - `form_word()`, its word in the canonical form; `thread()`, what it keeps its order with
///  there;
///    `independent`: it keeps its order with nothing.
namespace budwood::language {

template <typename Item>
const Statement& statement_of(const Item& item) {
  if constexpr (requires { item.described(); }) {
    return item.described();
  } else {
    return Item::statement;
  }
}

template <typename Item>
text::Span span_of(const Item& item) {
  if constexpr (requires { item.span; }) {
    return item.span;
  } else if constexpr (requires { item.name; }) {
    return item.name.span;
  } else {
    return item.text.span;
  }
}

/// What a statement is about, as `drop` writes it: "room", "keep humidity", "work Pot on". Two
/// about the same take each other's place.
template <typename Item>
std::string subject_of(const Item& item) {
  std::string out;
  if constexpr (requires { Item::subject; }) {
    out = Item::subject;
  } else {
    out = statement_of(item).words;
  }
  if constexpr (requires { item.about(); }) out += " " + item.about();
  return out;
}

template <typename... Items>
std::string subject_of(const std::variant<Items...>& item) {
  return std::visit([](const auto& one) { return subject_of(one); }, item);
}

/// Whether a statement stands beside others of its kind and never takes the place of one.
template <typename... Items>
bool adds(const std::variant<Items...>& item) {
  return std::visit(
      []<typename Item>(const Item&) {
        return requires {
          Item::adds;
        };
      },
      item);
}

}  // namespace budwood::language
