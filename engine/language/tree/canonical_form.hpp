/// The pieces of which the canonical text is made. Private to this module.
#pragma once

#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "language/tree/syntax.hpp"

namespace budwood::language {

/// One thing in brackets: its kind, then what it is made of, each behind a space. What people wrote
/// stands in quotes, lists in square brackets, and what is absent is a dash, so that two things
/// have one form only when they are the same.
class Form {
 public:
  explicit Form(std::string_view kind) : text_("(" + std::string(kind)) {}

  /// A word of the form itself, never of a grower.
  Form& word(std::string_view word);
  Form& put(bool yes) { return word(yes ? "yes" : "no"); }
  Form& put(int number) { return word(std::to_string(number)); }
  Form& put(double number);
  /// In quotes.
  Form& put(const std::string& written);
  Form& put(const char*) = delete;
  Form& put(const syntax::Name& name) { return put(name.text); }
  Form& put(const syntax::Text& text) { return put(text.value); }
  Form& put(const syntax::Message& message) { return put(message.text()); }
  /// By its symbol, so that `day` and `days` are one; as written when it is a noun of the protocol.
  Form& put(const syntax::UnitText& unit);
  Form& put(const syntax::DayRef& day);
  Form& put(syntax::Half half);
  Form& put(syntax::Bound bound);
  Form& put(const syntax::Formula& formula);
  Form& put(const syntax::Range& range) { return put(range.low).put(range.high); }
  Form& put(const syntax::Days& days) { return put(days.from).put(days.to).put(days.over); }
  Form& put(const syntax::Path& path) { return put(path.name).put(path.members); }
  Form& put(const syntax::Selection& selection);
  Form& put(const Form& inner) { return word(inner.text()); }

  template <typename Value>
  Form& put(const std::optional<Value>& value) {
    return value ? put(*value) : word("-");
  }
  template <typename Value>
  Form& put(const std::vector<Value>& values) {
    Form list("");
    for (const Value& value : values) list.put(value);
    return word("[" + list.text_.substr(1) + " ]");
  }
  /// Forms that were put in order.
  Form& lines(const std::vector<std::string>& forms);

  std::string text() const { return text_ + ")"; }

 private:
  std::string text_;
};

/// A statement among others of its block. Two that have a thread in common keep their order; the
/// order of others means nothing.
struct Threaded {
  std::string form;
  std::set<std::string> threads;
};

/// The forms in the one order that stands for all orders of the same meaning: always the first by
/// its text among those before which nothing of their threads is left.
std::vector<std::string> in_order(const std::vector<Threaded>& statements);

}  // namespace budwood::language
