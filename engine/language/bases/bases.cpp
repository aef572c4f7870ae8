#include "language/bases/bases.hpp"

#include <algorithm>
#include <set>

#include "language/bases/adapt.hpp"
#include "language/language.hpp"
#include "language/model.hpp"
#include "language/rules/rules.hpp"
#include "language/tree/canonical.hpp"
#include "language/tree/references.hpp"

namespace budwood::language {

namespace {

/// More is no house method; it keeps the time for hostile text short.
constexpr std::size_t most_layers = 20;

std::string edition_text(int edition) {
  return "edition " + std::to_string(edition);
}

/// Whether a mistake was reported within a protocol as it is written.
bool has_mistake_in(const syntax::Protocol& protocol, const text::Diagnostics& diagnostics) {
  const text::Span& all = protocol.layers.front().span;
  const std::vector<text::Diagnostic> found = diagnostics.sorted();
  return std::any_of(found.begin(), found.end(), [&](const text::Diagnostic& one) {
    return one.severity == text::Severity::error && one.span.source == all.source &&
           one.span.begin >= all.begin && one.span.end <= all.end;
  });
}

}  // namespace

void Bases::add(syntax::Protocol protocol, bool usable, text::Diagnostics& diagnostics) {
  const Layer& own = protocol.layers.front();
  places_.try_emplace({own.name, own.edition}, entries_.size());
  entries_.push_back(
      {std::move(protocol), usable, &diagnostics, Entry::State::fresh, std::nullopt, {}});
}

void Bases::add(const syntax::Table& table, text::Diagnostics& diagnostics) {
  const auto [first, fresh] = tables_.try_emplace(table.name.text, table);
  if (fresh || fingerprint(first->second) == fingerprint(table)) return;
  text::Diagnostic d;
  d.code = "duplicate-name";
  d.span = table.name.span;
  d.message = "There is already a shared table `" + table.name.text + "` that says something else.";
  d.advice = "Give it another name.";
  d.related.push_back({first->second.name.span, "The first is here."});
  diagnostics.add(std::move(d));
}

namespace {

/// Names that formulas may use and the protocol declares itself.
std::set<std::string> own_values(const syntax::Protocol& protocol) {
  std::set<std::string> out;
  for (const syntax::ProtocolItem& item : protocol.items) {
    if (const auto* input = std::get_if<syntax::Input>(&item)) out.insert(input->name.text);
    if (const auto* let = std::get_if<syntax::Let>(&item)) out.insert(let->name.text);
    if (const auto* table = std::get_if<syntax::Table>(&item)) out.insert(table->name.text);
    if (const auto* stage = std::get_if<syntax::Stage>(&item)) out.insert(stage->name.text);
  }
  return out;
}

}  // namespace

void Bases::take_tables(syntax::Protocol& protocol) const {
  if (tables_.empty()) return;
  std::set<std::string> called;
  References calls;
  calls.formula = [&](const syntax::Formula& formula) {
    if (formula.kind == syntax::Formula::Kind::call) called.insert(formula.name.text);
  };
  visit(protocol, calls);
  const std::set<std::string> own = own_values(protocol);
  for (const std::string& name : called) {
    const auto table = tables_.find(name);
    if (table != tables_.end() && !own.contains(name)) protocol.items.emplace_back(table->second);
  }
}

const Protocol* Bases::checked(std::size_t place) {
  Entry& entry = entries_[place];
  resolve(entry, 1);
  return entry.usable && entry.model ? &*entry.model : nullptr;
}

void Bases::resolve(Entry& entry, std::size_t depth) {
  if (entry.state != Entry::State::fresh) return;
  entry.state = Entry::State::open;
  text::Diagnostics& diagnostics = *entry.diagnostics;
  const std::size_t before = diagnostics.count(text::Severity::error);
  if (!entry.written.base) {
    report_baseless(entry.written, diagnostics);
    take_tables(entry.written);
    entry.model = check(entry.written, diagnostics);
  } else if (const syntax::Protocol* base = base_of(entry, depth)) {
    entry.written = adapt(*base, entry.written, diagnostics);
    // What does not fit the base would be found missing once more.
    if (diagnostics.count(text::Severity::error) == before) {
      take_tables(entry.written);
      entry.model = check(entry.written, diagnostics);
    }
  }
  if (entry.model && diagnostics.count(text::Severity::error) == before) resolve_variants(entry);
  entry.usable = entry.usable && entry.model && diagnostics.count(text::Severity::error) == before;
  entry.state = Entry::State::done;
}

/// A variant is put together like a protocol that is based on the one in which it stands.
void Bases::resolve_variants(Entry& entry) {
  text::Diagnostics& diagnostics = *entry.diagnostics;
  std::map<std::string, text::Span> seen;
  for (syntax::Protocol variant : entry.written.variants) {
    const auto [first, fresh] = seen.try_emplace(variant.name.text, variant.name.span);
    if (!fresh) {
      text::Diagnostic d;
      d.code = "duplicate-name";
      d.span = variant.name.span;
      d.message = "There is already a variant `" + variant.name.text + "`.";
      d.advice = "Give it another name.";
      d.related.push_back({first->second, "The first is here."});
      diagnostics.add(std::move(d));
      continue;
    }
    const Layer& own = variant.layers.front();
    const std::string& title = variant.title ? variant.title->value : variant.name.text;
    const syntax::Text& whole =
        entry.written.title ? *entry.written.title : syntax::Text{entry.written.name.text, {}};
    variant.title = syntax::Text{whole.value + " (" + title + ")", variant.name.span};
    variant.name.text = own.name;
    variant.items.emplace_back(syntax::Edition{own.edition, variant.name.span});
    const std::size_t before = diagnostics.count(text::Severity::error);
    syntax::Protocol adapted = adapt(entry.written, variant, diagnostics);
    take_tables(adapted);
    if (diagnostics.count(text::Severity::error) == before) {
      entry.variants.push_back(check(adapted, diagnostics));
    }
  }
}

const syntax::Protocol* Bases::base_of(Entry& entry, std::size_t depth) {
  const syntax::Base& base = *entry.written.base;
  const auto found = places_.find({base.name.text, base.edition});
  if (found == places_.end()) {
    report_missing(base, *entry.diagnostics);
    return nullptr;
  }
  Entry& other = entries_[found->second];
  if (other.state == Entry::State::open) {
    entry.diagnostics->error("base-circle", base.span,
                             "`" + entry.written.name.text + "` is based on itself in the end.",
                             "Base one of them on a protocol that stands by itself.");
    return nullptr;
  }
  if (depth < most_layers) resolve(other, depth + 1);
  if (depth >= most_layers || other.written.layers.size() >= most_layers) {
    entry.diagnostics->error(
        "too-nested", base.span,
        "More than " + std::to_string(most_layers) + " protocols are based on each other here.",
        "Base this one on an earlier one.");
    return nullptr;
  }
  if (other.usable) return &other.written;
  // Its mistakes are told with its own file, when that is heard.
  const bool same_file = other.written.name.span.source == entry.written.name.span.source;
  const bool told = other.diagnostics == entry.diagnostics && !same_file;
  // In one file a mistake anywhere keeps all of it from being used.
  const bool elsewhere = same_file && !entry.diagnostics->crowded() &&
                         !has_mistake_in(other.written, *entry.diagnostics);
  if (told || elsewhere) return nullptr;
  entry.diagnostics->error("broken-base", base.span,
                           "`" + base.name.text + "` " + edition_text(base.edition) +
                               " has mistakes, so nothing can be based on it.",
                           "Mend it first.");
  return nullptr;
}

void Bases::report_missing(const syntax::Base& base, text::Diagnostics& diagnostics) {
  std::vector<std::string> names;
  std::vector<std::string> editions;
  for (const auto& [key, place] : places_) {
    names.push_back(key.first);
    if (key.first == base.name.text) editions.push_back(edition_text(key.second));
  }
  text::Diagnostic d;
  d.code = "unknown-base";
  d.span = base.span;
  d.message = "There is no " + edition_text(base.edition) + " of `" + base.name.text +
              "` among the protocols that were read.";
  if (!editions.empty()) {
    d.message = "`" + base.name.text + "` is there in " + text::list_words(editions) + ", not in " +
                edition_text(base.edition) + ".";
    d.advice = "Base it on one that is there, or put that edition beside it.";
  } else {
    if (hidden_) {
      d.advice = "It may stand in a file of which nothing could be read: mend that first.";
    } else {
      d.advice = text::did_you_mean(base.name.text, names);
    }
    if (d.advice.empty()) d.advice = "Put its file into the same folder, or name that as well.";
  }
  diagnostics.add(std::move(d));
}

}  // namespace budwood::language
