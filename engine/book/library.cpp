#include "book/library.hpp"

#include <algorithm>
#include <system_error>

namespace budwood::book {

namespace {

namespace fs = std::filesystem;

std::vector<fs::path> protocol_files(const fs::path& folder, std::error_code& failure) {
  std::vector<fs::path> files;
  for (fs::directory_iterator i(folder, failure), end; !failure && i != end; i.increment(failure)) {
    if (i->path().extension() == ".bud") files.push_back(i->path());
  }
  // The system lists files in any order; plans must not depend on it.
  std::sort(files.begin(), files.end());
  return files;
}

/// Adds what is not there yet in this name and edition.
template <typename Item>
void add(Item item, const std::string& kind, text::Diagnostics& diagnostics,
         std::vector<Item>& items) {
  const auto same = std::find_if(items.begin(), items.end(), [&](const Item& other) {
    return other.name == item.name && other.edition == item.edition;
  });
  if (same == items.end()) {
    items.push_back(std::move(item));
    return;
  }
  text::Diagnostic d;
  d.code = "duplicate-protocol";
  d.span = item.span;
  d.message = "There is already an edition " + std::to_string(item.edition) + " of the " + kind +
              " `" + item.name + "`.";
  d.advice = "Give the changed one the next edition number, or another name.";
  d.related.push_back({same->span, "The first is here."});
  diagnostics.add(std::move(d));
}

/// The newest edition of a set.
const language::RuleSet* find_set(const std::vector<language::RuleSet>& sets,
                                  const std::string& name) {
  const language::RuleSet* found = nullptr;
  for (const language::RuleSet& set : sets) {
    if (set.name == name && (found == nullptr || set.edition > found->edition)) found = &set;
  }
  return found;
}

}  // namespace

void read_library(const fs::path& folder, const text::Span& span, text::Sources& sources,
                  text::Diagnostics& diagnostics, language::Document& library) {
  std::error_code failure;
  std::vector<fs::path> files = protocol_files(folder, failure);
  if (failure) {
    diagnostics.error("no-folder", span,
                      "The folder `" + folder.generic_string() + "` cannot be read.",
                      "Check the path; it counts from the book's folder.");
    return;
  }
  std::error_code none;
  if (fs::is_directory(folder / "rules", none)) {
    for (fs::path& file : protocol_files(folder / "rules", none)) files.push_back(std::move(file));
  }
  for (const fs::path& file : files) {
    const text::Source* source = sources.read(file, diagnostics);
    if (source == nullptr) continue;
    language::Document document = language::read(*source, diagnostics);
    for (language::Protocol& one : document.protocols) {
      add(std::move(one), "protocol", diagnostics, library.protocols);
    }
    for (language::RuleSet& one : document.rule_sets) {
      add(std::move(one), "rule set", diagnostics, library.rule_sets);
    }
  }
}

void follow_rules(const Site& site, text::Diagnostics& diagnostics, language::Document& library) {
  std::vector<const language::RuleSet*> followed;
  for (const Placed<std::string>& name : site.rules) {
    const language::RuleSet* set = find_set(library.rule_sets, name.value);
    if (set != nullptr) {
      followed.push_back(set);
      continue;
    }
    std::vector<std::string> known;
    for (const language::RuleSet& one : library.rule_sets) known.push_back(one.name);
    diagnostics.error("unknown-name", name.span,
                      "There is no rule set named `" + name.value + "`.",
                      text::did_you_mean(name.value, known));
  }
  for (language::Protocol& protocol : library.protocols) {
    language::follow(protocol, followed, diagnostics);
    for (const Site::Waived& one : site.waived) {
      protocol.waivers.push_back(
          {"", one.rule.value, one.reason, language::Node::of_batch, one.rule.span});
    }
  }
  for (const Site::Waived& one : site.waived) {
    language::check_waiver(one.rule.value, one.rule.span, followed, diagnostics);
  }
}

}  // namespace budwood::book
