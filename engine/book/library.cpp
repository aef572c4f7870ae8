#include "book/library.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <system_error>
#include <utility>

#include "book/moving.hpp"
#include "book/site/site_words.hpp"
#include "book/stock/own_recipes.hpp"
#include "book/weather/water_reader.hpp"
#include "files/place_all.hpp"
#include "files/read.hpp"
#include "language/localise.hpp"

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

}  // namespace

const language::RuleSet* newest_rules(const std::vector<language::RuleSet>& sets,
                                      const std::string& name) {
  const language::RuleSet* found = nullptr;
  for (const language::RuleSet& set : sets) {
    if (set.name == name && (found == nullptr || set.edition > found->edition)) found = &set;
  }
  return found;
}

namespace {

std::vector<fs::path> files_of(const LibraryFolder& folder, text::Diagnostics& diagnostics) {
  std::error_code failure;
  std::vector<fs::path> files = protocol_files(folder.path, failure);
  if (failure) {
    diagnostics.error("no-folder", folder.span,
                      "The folder `" + folder.path.generic_string() + "` cannot be read.",
                      "Check the path; it counts from the book's folder.");
    return {};
  }
  std::error_code none;
  if (fs::is_directory(folder.path / "rules", none)) {
    for (fs::path& file : protocol_files(folder.path / "rules", none)) {
      files.push_back(std::move(file));
    }
  }
  return files;
}

}  // namespace

void take_back_interrupted(const fs::path& folder, text::Diagnostics& diagnostics) {
  const files::TakenBack found = files::take_back_interrupted(folder);
  for (const std::string& problem : found.problems) {
    diagnostics.error("interrupted-unpacking", {}, problem,
                      "See that you may write there, and run it again.");
  }
  if (found.files.empty()) return;
  std::vector<std::string> names;
  for (const fs::path& file : found.files) names.push_back("`" + file.generic_string() + "`");
  diagnostics.note("interrupted-unpacking", {},
                   "Unpacking was interrupted here. Everything is as it was before: " +
                       text::list_words(names) + ".",
                   "Unpack it again.");
}

namespace {

/// The files of shared tables that others speak of, among these that are needed already.
class TableFiles {
 public:
  void add(const language::Headings& found, std::size_t file) {
    for (const std::string& table : found.tables) files_.emplace(table, file);
  }
  /// Adds the files of tables that a text may look something up in.
  void need_for(const text::Source& source, std::vector<bool>& needed) const {
    for (const auto& [table, file] : files_) {
      if (source.text().find(table) != std::string_view::npos) needed[file] = true;
    }
  }

 private:
  std::multimap<std::string, std::size_t> files_;
};

/// Which of some files hold names, or what these are based on and look up; all where a name is
/// nowhere.
std::vector<bool> holding(const std::set<std::string>& names,
                          const std::vector<const text::Source*>& sources) {
  std::multimap<std::string, std::size_t> files;
  std::vector<language::Headings> found;
  TableFiles tables;
  for (std::size_t i = 0; i < sources.size(); ++i) {
    found.push_back(language::headings(*sources[i]));
    tables.add(found.back(), i);
    for (const std::string& name : found.back().names) files.emplace(name, i);
  }
  std::vector<bool> out(sources.size(), false);
  std::vector<std::string> open(names.begin(), names.end());
  while (!open.empty()) {
    const std::string name = std::move(open.back());
    open.pop_back();
    const auto [first, last] = files.equal_range(name);
    if (first == last) return std::vector<bool>(sources.size(), true);
    for (auto file = first; file != last; ++file) {
      if (out[file->second]) continue;
      out[file->second] = true;
      const auto& bases = found[file->second].bases;
      open.insert(open.end(), bases.begin(), bases.end());
    }
  }
  // A table looks nothing up in another one.
  for (std::size_t i = 0; i < sources.size(); ++i) {
    if (out[i]) tables.need_for(*sources[i], out);
  }
  return out;
}

}  // namespace

language::Document read_library(const std::vector<LibraryFolder>& folders,
                                const WantedNames& wanted, text::Sources& sources,
                                text::Diagnostics& diagnostics) {
  std::vector<const text::Source*> read;
  for (const LibraryFolder& folder : folders) {
    take_back_interrupted(folder.path, diagnostics);
    for (const fs::path& file : files_of(folder, diagnostics)) {
      const text::Source* source = files::read_text(file, sources, diagnostics);
      if (source != nullptr) read.push_back(source);
    }
  }
  std::vector<const text::Source*> passed_over;
  if (wanted) {
    const std::vector<bool> needed = holding(*wanted, read);
    std::vector<const text::Source*> all = std::exchange(read, {});
    for (std::size_t i = 0; i < all.size(); ++i) (needed[i] ? read : passed_over).push_back(all[i]);
  }
  language::Document document = language::read(read, diagnostics);
  language::Document library;
  library.left_out = std::move(document.left_out);
  library.left_out.passed_over = std::move(passed_over);
  library.tables = std::move(document.tables);
  for (language::Protocol& one : document.protocols) {
    add(std::move(one), "protocol", diagnostics, library.protocols);
  }
  for (language::RuleSet& one : document.rule_sets) {
    add(std::move(one), "rule set", diagnostics, library.rule_sets);
  }
  return library;
}

namespace {

/// The other protocol files in the folders of some files, where one of these may be based on them,
/// and those that hold tables in which one of these may look something up.
std::vector<const text::Source*> files_beside(const std::vector<const text::Source*>& read,
                                              text::Sources& sources) {
  std::set<fs::path> known;
  for (const text::Source* source : read) known.insert(fs::path(source->name()).lexically_normal());
  std::map<fs::path, bool> folders;  // whether something in them may be a base
  for (const text::Source* source : read) {
    const fs::path folder = fs::path(source->name()).parent_path();
    bool& bases = folders[folder.empty() ? fs::path(".") : folder];
    // A word of the language: where it does not stand, nothing is based on anything.
    bases = bases || source->text().find("based") != std::string_view::npos;
  }
  std::vector<const text::Source*> beside;
  text::Diagnostics unheard;
  const auto is_looked_up = [&](const text::Source& source) {
    const std::vector<std::string> tables = language::headings(source).tables;
    return std::any_of(tables.begin(), tables.end(), [&](const std::string& table) {
      return std::any_of(read.begin(), read.end(), [&](const text::Source* one) {
        return one->text().find(table) != std::string_view::npos;
      });
    });
  };
  for (const auto& [folder, bases] : folders) {
    for (const fs::path& file : files_of({folder, {}}, unheard)) {
      if (!known.insert(file.lexically_normal()).second) continue;
      const text::Source* source = files::read_text(file, sources, unheard);
      if (source != nullptr && (bases || is_looked_up(*source))) beside.push_back(source);
    }
  }
  return beside;
}

}  // namespace

language::Document read_files(const std::vector<fs::path>& files, text::Sources& sources,
                              text::Diagnostics& diagnostics) {
  std::vector<const text::Source*> read;
  for (const fs::path& file : files) {
    const text::Source* source = files::read_text(file, sources, diagnostics);
    if (source != nullptr) read.push_back(source);
  }
  return language::read(read, diagnostics, files_beside(read, sources));
}

namespace {

/// Gives every protocol the rules that a site names and what it waives of them.
void follow_rules(const Site& site, text::Diagnostics& diagnostics, language::Document& library) {
  std::vector<const language::RuleSet*> followed;
  for (const Placed<std::string>& name : site.rules) {
    const language::RuleSet* set = newest_rules(library.rule_sets, name.value);
    if (set != nullptr) {
      followed.push_back(set);
      continue;
    }
    if (library.left_out.may_hold(name.value)) continue;
    std::vector<std::string> known;
    for (const language::RuleSet& one : library.rule_sets) known.push_back(one.name);
    diagnostics.error("unknown-name", name.span, "There is no rule set named `" + name.value + "`.",
                      text::did_you_mean(name.value, known));
  }
  for (language::Protocol& protocol : library.protocols) {
    language::follow(protocol, followed, diagnostics);
    for (const Site::Waived& one : site.waived) {
      protocol.waivers.push_back(
          {"", one.rule.value, one.reason, language::StageId(), one.rule.span});
    }
  }
  for (const Site::Waived& one : site.waived) {
    language::check_waiver(one.rule.value, one.rule.span, followed, diagnostics);
  }
}

/// What trays and pots take up here.
void use_footprints(const Site& site, language::Protocol& protocol,
                    text::Diagnostics& diagnostics) {
  for (language::Supply& supply : protocol.supplies) {
    const auto facts = site.supplies.find(supply.name);
    if (facts == site.supplies.end() || !facts->second.footprint) continue;
    if (supply.unit.dimension == units::count) {
      supply.footprint = facts->second.footprint->value;
    } else {
      diagnostics.error("unit-mismatch", facts->second.footprint->span,
                        "`" + supply.name + "` of `" + protocol.name +
                            "` is measured, not counted, so it has no footprint.");
    }
  }
}

}  // namespace

void make_own(const Site& site, text::Diagnostics& diagnostics, language::Document& library) {
  use_own_names(site, diagnostics, library);
  follow_rules(site, diagnostics, library);
  for (language::Protocol& protocol : library.protocols) {
    language::show_in(site.units, protocol);
    if (site.spacing) set_spacing(*site.spacing, protocol);
    if (site.picking) set_picking(*site.picking, protocol);
    if (site.moving) add_moves(*site.moving, protocol);
    use_footprints(site, protocol, diagnostics);
  }
  use_own_recipes(site, diagnostics, library);
  use_site_water(site, library);
}

}  // namespace budwood::book
