#include "revision/revise.hpp"

#include <algorithm>
#include <set>

#include "book/read_as_own.hpp"
#include "language/layout/tidy.hpp"
#include "revision/pieces.hpp"
#include "share/compare.hpp"

namespace budwood::revision {

namespace {

const text::Source* source_of(const language::Protocol& protocol) {
  return protocol.layers.empty() ? nullptr : protocol.layers.front().span.source;
}

const language::Protocol* find(const std::vector<language::Protocol>& all,
                               const std::string& name) {
  const auto found = std::find_if(all.begin(), all.end(),
                                  [&](const language::Protocol& one) { return one.name == name; });
  return found == all.end() ? nullptr : &*found;
}

int newest_edition(const book::Book& book, const std::string& name) {
  int out = 0;
  for (const language::Protocol& one : book.protocols) {
    if (one.name == name) out = std::max(out, one.edition);
  }
  return out;
}

/// What a variant made the method says otherwise than the variant; "" when it is the same.
std::string first_difference(const language::Protocol& variant, const language::Protocol& made) {
  for (const share::Change& change : share::compare(variant, made).changes) {
    const bool of_whole = change.stage.empty();
    const bool of_course =
        of_whole && (change.about == "name" || change.about == "title" ||
                     change.about == "edition" || change.about.starts_with("base "));
    if (!of_course) return change.stage + (of_whole ? "" : ": ") + change.sentence;
  }
  return "";
}

/// Makes a variant the method in a text of its own; nothing, and why, when that cannot be.
std::unique_ptr<text::Source> with_method(const book::Book& book, const Wish& wish,
                                          const text::Source& source, std::string& problem) {
  const std::string by_hand = " Make this variant the method by hand, then revise.";
  const language::Protocol* variant = nullptr;
  const std::string name = language::variant_name(wish.protocol->name, wish.method);
  for (const language::Protocol& one : book.protocols) {
    if (one.name == name && one.edition == wish.protocol->edition) variant = &one;
  }
  auto text = language::ProtocolText::find(source, wish.protocol->name);
  if (variant == nullptr || !text) {
    problem = "`" + wish.protocol->name + "` has no variant `" + wish.method + "`.";
    return nullptr;
  }
  if (const std::string why = text->make_method(wish.method); !why.empty()) {
    problem = "The variant `" + wish.method + "` cannot be made the method in the text: " + why +
              "." + by_hand;
    return nullptr;
  }
  auto out = std::make_unique<text::Source>(source.name(), text->result());
  text::Diagnostics diagnostics;
  const language::Document document = book::read_as_own(book, *out, &source, diagnostics);
  const language::Protocol* made = find(document.protocols, wish.protocol->name);
  const std::string other =
      made == nullptr ? "the text would have mistakes" : first_difference(*variant, *made);
  if (!other.empty()) {
    problem = "The variant `" + wish.method +
              "` cannot be made the method in the text, it would mean something else: " + other +
              "." + by_hand;
    return nullptr;
  }
  return out;
}

/// A text that was in the standard layout stays in it; another one is left as it is.
std::string as_tidy_as(const text::Source& before, std::string text) {
  text::Diagnostics unheard;
  if (language::tidy(before, unheard) != before.text()) return text;
  const text::Source after(before.name(), text);
  return language::tidy(after, unheard).value_or(std::move(text));
}

}  // namespace

Revision revise(const results::Asked& asked, const Wish& wish, text::Diagnostics& diagnostics) {
  const book::Book& book = *asked.plan->book;
  const text::Source* source = source_of(*wish.protocol);
  const std::string& name = wish.protocol->name;
  std::unique_ptr<text::Source> with_variant;
  const text::Source* base = source;
  Revision out;
  out.edition = newest_edition(book, name) + 1;
  if (source != nullptr && !wish.method.empty()) {
    with_variant = with_method(book, wish, *source, out.problem);
    if (with_variant == nullptr) return out;
    base = with_variant.get();
    out.steps.push_back({"variant " + wish.method, "", "the method",
                         "its block goes, what it sets and changes takes the place of what was"});
  }
  auto text = base == nullptr ? std::nullopt : language::ProtocolText::find(*base, name);
  if (!text) {
    out.problem = "The text of `" + name + "` cannot be found.";
    return out;
  }
  text->set_edition(out.edition);
  put_numbers(results::learn({asked}), wish, wish.method, *text, out);
  put_lessons(book, wish, base->text(), *text, out);
  out.content = as_tidy_as(*source, text->result());
  out.source = std::make_unique<text::Source>(source->name(), out.content);
  out.document = book::read_as_own(book, *out.source, source, diagnostics);
  out.protocol = find(out.document.protocols, name);
  if (out.protocol == nullptr) {
    out.problem = "The next edition would have mistakes; nothing was written.";
  }
  return out;
}

}  // namespace budwood::revision
