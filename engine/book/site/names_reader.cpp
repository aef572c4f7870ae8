#include "book/site/names_reader.hpp"

#include <array>
#include <utility>

#include "book/limits.hpp"
#include "book/yaml/values.hpp"

namespace budwood::book {

namespace {

using Kind = Site::OwnName::Kind;

/// "crew grafting" is the crew of that name alone.
std::pair<Kind, std::string> meant_by(const std::string& key) {
  constexpr std::array<std::pair<std::string_view, Kind>, 3> words{
      {{"room ", Kind::room}, {"crew ", Kind::crew}, {"supply ", Kind::supply}}};
  for (const auto& [word, kind] : words) {
    if (key.starts_with(word)) return {kind, key.substr(word.size())};
  }
  return {Kind::any, key};
}

}  // namespace

std::vector<Site::OwnName> read_own_names(const Node& node, text::Diagnostics& diagnostics) {
  const Wanted wanted{"names", "the site's own name for each", "mist_frame: fog tent 2"};
  std::vector<Site::OwnName> names;
  for (const Entry& entry : entries_of(&node, wanted, diagnostics)) {
    auto [kind, name] = meant_by(entry.key);
    if (!check_name(name, entry.key_span, diagnostics)) continue;
    const auto own = read_line(entry.value, wanted, longest_line, diagnostics);
    if (!own || !check_own_name(own->value, own->span, diagnostics)) continue;
    names.push_back({kind, {std::move(name), entry.key_span}, own->value});
  }
  return names;
}

std::optional<units::System> read_unit_system(const Node& node, text::Diagnostics& diagnostics) {
  const Wanted wanted{"units", "`metric` or `us`", "us"};
  const auto word = read_line(node, wanted, longest_line, diagnostics);
  if (!word) return std::nullopt;
  if (word->value == "metric") return units::System::metric;
  if (word->value == "us") return units::System::us_customary;
  report_wanted(node, wanted, diagnostics);
  return std::nullopt;
}

}  // namespace budwood::book
