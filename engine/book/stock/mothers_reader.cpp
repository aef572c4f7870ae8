#include <algorithm>
#include <cmath>
#include <set>

#include "book/limits.hpp"
#include "book/stock/stock_reader.hpp"
#include "book/yaml/value_readers.hpp"
#include "book/yaml/values.hpp"

namespace budwood::book {

std::optional<int> read_whole_days(const Node& node, const Wanted& wanted, double longest,
                                   text::Diagnostics& diagnostics) {
  const auto time = read_time(node, wanted, longest, diagnostics);
  if (!time) return std::nullopt;
  const double days = time->value / units::seconds_a_day;
  if (days >= 1 && days == std::floor(days)) return static_cast<int>(days);
  report_wanted(node, wanted, diagnostics);
  return std::nullopt;
}

namespace {

constexpr double oldest_mothers = 60 * 365 * units::seconds_a_day;

/// "12 shoots every 3 weeks".
void read_gives(const Node& node, Mothers& mothers, text::Diagnostics& diagnostics) {
  const Wanted wanted{"gives", "an amount of each plant, and how often", "12 shoots every 3 weeks"};
  constexpr std::string_view every = " every ";
  const std::size_t at = node.value.find(every);
  if (node.kind != Node::Kind::scalar || at == std::string::npos) {
    report_wanted(node, wanted, diagnostics);
    return;
  }
  Node amount = node;
  amount.value = node.value.substr(0, at);
  auto gives = read_quantity(amount, wanted, UnitWords::counted_too, diagnostics);
  Node time = node;
  time.value = node.value.substr(at + every.size());
  const auto days = read_whole_days(time, wanted, longest_step * units::seconds_a_day, diagnostics);
  if (!gives || !days) return;
  if (gives->quantity.value <= 0) {
    diagnostics.error("out-of-range", node.span, "`gives` has to be more than 0.");
    return;
  }
  mothers.gives = std::move(*gives);
  mothers.every = *days;
}

std::optional<Placed<int>> read_generation(std::string_view key, const Node& node,
                                           text::Diagnostics& diagnostics) {
  const auto whole =
      read_whole(node, {key, "a whole number", "2"}, 0, most_generations, "", diagnostics);
  if (!whole) return std::nullopt;
  return Placed<int>{static_cast<int>(whole->value), node.span};
}

void read_descent(const Fields& fields, Mothers& mothers, text::Diagnostics& diagnostics) {
  if (const Node* node = fields.get("generation")) {
    mothers.generation = read_generation("generation", *node, diagnostics);
  }
  if (const Node* node = fields.get("raised_from")) {
    mothers.raised_from = read_line(*node, {"raised_from", "the name of mothers", "fuchsia_2025"},
                                    longest_line, diagnostics);
  }
  if (const Node* node = fields.get("at_most")) {
    mothers.at_most = read_generation("at_most", *node, diagnostics);
  }
  if (mothers.generation && mothers.raised_from) {
    diagnostics.add({text::Severity::error,
                     "two-generations",
                     mothers.generation->span,
                     "The generation of these mothers follows from those that they were raised "
                     "from.",
                     "Take out `generation`, or `raised_from`.",
                     {{mothers.raised_from->span, "raised from these"}}});
  }
}

void read_life(const Fields& fields, Mothers& mothers, text::Diagnostics& diagnostics) {
  if (const Node* node = fields.need("from", "from: 2027-03-01")) {
    if (const auto from = read_date("from", *node, diagnostics)) mothers.from = *from;
  }
  if (const Node* node = fields.get("until")) {
    mothers.until = read_date("until", *node, diagnostics);
  }
  if (const Node* node = fields.get("planted")) {
    mothers.planted = read_date("planted", *node, diagnostics);
  }
  if (const Node* node = fields.get("renew_after")) {
    mothers.renew_after = read_whole_days(
        *node, {"renew_after", "whole days or weeks", "104 weeks"}, oldest_mothers, diagnostics);
    if (mothers.renew_after && fields.group("planted") == nullptr) {
      diagnostics.error("missing-key", node->span,
                        "How old these mothers are is not known, so nobody can say when they are "
                        "to be renewed.",
                        "Add `planted: 2025-09-01`.");
    }
  }
  if (const Node* node = fields.get("first_after")) {
    mothers.first_after = read_whole_days(*node, {"first_after", "whole days or weeks", "16 weeks"},
                                          oldest_mothers, diagnostics);
  }
  if (mothers.until && mothers.until->value < mothers.from.value) {
    diagnostics.error("out-of-range", mothers.until->span,
                      "`until` comes before `from`, so these mothers never give anything.");
  }
}

std::optional<Mothers> read_some(const Entry& entry, text::Diagnostics& diagnostics) {
  const std::size_t before = diagnostics.count(text::Severity::error);
  const Fields fields(entry.value, KeyMap::mothers, diagnostics);
  if (!fields.usable()) return std::nullopt;
  Mothers mothers;
  mothers.span = entry.key_span;
  read_kind(fields, "the name of a supply", "shoot", mothers.of, mothers.cultivar, diagnostics);
  if (const Node* node = fields.need("plants", "plants: 40")) {
    if (const auto plants = read_plants(*node, diagnostics)) mothers.plants = plants->value;
  }
  if (const Node* node = fields.need("gives", "gives: 12 shoots every 3 weeks")) {
    read_gives(*node, mothers, diagnostics);
  }
  read_life(fields, mothers, diagnostics);
  read_descent(fields, mothers, diagnostics);
  if (diagnostics.count(text::Severity::error) > before) return std::nullopt;
  return mothers;
}

/// Mothers that descend from others have a generation more than these.
class Generations {
 public:
  Generations(std::map<std::string, Mothers>& all, text::Diagnostics& diagnostics)
      : all_(all), diagnostics_(diagnostics) {}

  void count() {
    for (auto& [name, mothers] : all_) count(mothers);
    for (const auto& [name, mothers] : all_) check(name, mothers);
  }

 private:
  /// Goes back to the first whose generation is known, then forth again. As many steps as people
  /// write, so no recursion.
  void count(Mothers& mothers) {
    std::vector<Mothers*> way;
    std::set<const Mothers*> on_the_way;
    const Mothers* first = nullptr;
    for (Mothers* at = &mothers; first == nullptr;) {
      const bool known = at->generation || !at->raised_from;
      const auto older = known ? all_.end() : all_.find(at->raised_from->value);
      if (known || older == all_.end() || on_the_way.contains(at)) {
        if (!known) report(*at, older == all_.end());
        if (!known) at->raised_from.reset();
        first = at;
      } else {
        on_the_way.insert(at);
        way.push_back(at);
        at = &older->second;
      }
    }
    for (auto one = way.rbegin(); one != way.rend(); ++one) {
      if (!(*one)->raised_from) continue;  // they were their own ancestors
      const int before = first->generation ? first->generation->value : 0;
      (*one)->generation = Placed<int>{before + 1, (*one)->raised_from->span};
      first = *one;
    }
  }

  void report(const Mothers& mothers, bool unknown) {
    const std::string& name = mothers.raised_from->value;
    if (!unknown) {
      diagnostics_.error("own-ancestors", mothers.raised_from->span,
                         "These mothers would descend from themselves.",
                         "Name the mothers that they were raised from, or write `generation`.");
      return;
    }
    std::vector<std::string> names;
    for (const auto& [other, facts] : all_) names.push_back(other);
    std::string advice = text::did_you_mean(name, names);
    if (advice.empty()) advice = "Add them under `mothers:`, or write `generation: 2` instead.";
    diagnostics_.error("unknown-name", mothers.raised_from->span,
                       "There are no mothers named `" + name + "`.", advice);
  }

  void check(const std::string& name, const Mothers& mothers) {
    if (!mothers.at_most || !mothers.generation) return;
    if (mothers.generation->value <= mothers.at_most->value) return;
    diagnostics_.error("many-generations", mothers.generation->span,
                       "`" + name + "` are generation " +
                           std::to_string(mothers.generation->value) + ", and " +
                           std::to_string(mothers.at_most->value) + " are allowed.",
                       "Raise new mothers from an earlier generation, or from tested plants.");
  }

  std::map<std::string, Mothers>& all_;
  text::Diagnostics& diagnostics_;
};

}  // namespace

void read_mothers(const Node* node, Site& site, text::Diagnostics& diagnostics) {
  const Wanted wanted{"mothers", "a line for each kind",
                      "fuchsia: {of: shoot, plants: 40, gives: 12 shoots every 3 weeks, from: "
                      "2027-03-01}"};
  for (const Entry* entry : own_named_entries(node, wanted, diagnostics)) {
    const auto lot = site.lots.find(entry->key);
    if (lot != site.lots.end()) {
      diagnostics.add({text::Severity::error,
                       "same-name",
                       entry->key_span,
                       "`" + entry->key + "` is a lot already; batches could not tell them apart.",
                       "Give one of them another name.",
                       {{lot->second.span, "the lot"}}});
    } else if (entry->key.find(',') != std::string::npos) {
      diagnostics.error("bad-name", entry->key_span,
                        "A comma cannot be in the name of mothers: it stands between two of them.");
    } else if (auto mothers = read_some(*entry, diagnostics)) {
      site.mothers.emplace(entry->key, std::move(*mothers));
    }
  }
  Generations(site.mothers, diagnostics).count();
}

}  // namespace budwood::book
