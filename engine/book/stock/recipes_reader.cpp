#include <algorithm>
#include <cmath>

#include "book/limits.hpp"
#include "book/stock/stock_reader.hpp"
#include "book/yaml/value_readers.hpp"
#include "book/yaml/values.hpp"
#include "language/check/hazard.hpp"
#include "language/check/recipe_circle.hpp"
#include "language/limits.hpp"

namespace budwood::book {

namespace {

namespace limits = language::limits;

/// More than none of something; a plain number is in the unit of the supply.
std::optional<Written> read_recipe_amount(const Node& node, std::string_view key,
                                          text::Diagnostics& diagnostics) {
  const Wanted wanted{key, "a number and a unit", "60 L"};
  auto amount = read_quantity(node, wanted, UnitWords::counted_too, diagnostics);
  if (!amount || amount->quantity.value > 0) return amount;
  diagnostics.error("out-of-range", node.span, "`" + std::string(key) + "` has to be more than 0.");
  return std::nullopt;
}

void read_parts(const Node* node, SiteRecipe& recipe, text::Diagnostics& diagnostics) {
  const Wanted wanted{"of", "an amount of each supply", "of: {peat_free: 60 L, lime: 300 g}"};
  for (const Entry* entry : own_named_entries(node, wanted, diagnostics)) {
    auto amount = read_recipe_amount(entry->value, entry->key, diagnostics);
    if (amount) recipe.of.push_back({entry->key, std::move(*amount)});
  }
}

std::optional<Placed<double>> read_keeps(const Node& node, text::Diagnostics& diagnostics) {
  auto keeps =
      read_time(node, {"keeps", "a length of time", "8 h"}, limits::keeps.high, diagnostics);
  if (!keeps || limits::keeps.hold(keeps->value)) return keeps;
  diagnostics.error("out-of-range", node.span, "`keeps` has to be more than 0.");
  return std::nullopt;
}

/// How long it keeps, and how long before its use it is made.
void read_keeping(const Fields& fields, SiteRecipe& recipe, text::Diagnostics& diagnostics) {
  if (const Node* node = fields.get("keeps")) recipe.keeps = read_keeps(*node, diagnostics);
  const Node* node = fields.get("before");
  if (node == nullptr) return;
  const Wanted wanted{"before", "whole days", "1 day"};
  const auto before =
      read_time(*node, wanted, limits::most_days_before * units::seconds_a_day, diagnostics);
  if (!before) return;
  const double days = before->value / units::seconds_a_day;
  if (days != std::floor(days)) {
    report_wanted(*node, wanted, diagnostics);
    return;
  }
  recipe.before = static_cast<int>(days);
  if (!recipe.keeps || recipe.keeps->value >= before->value) return;
  language::report_spoilt_before(node->span, diagnostics);
}

void read_hazards(const Node& node, SiteRecipe& recipe, text::Diagnostics& diagnostics) {
  std::vector<const Node*> all;
  if (node.kind == Node::Kind::list) {
    for (const Node& one : node.items) all.push_back(&one);
  } else {
    all.push_back(&node);
  }
  for (const Node* one : all) {
    const auto name =
        read_line(*one, {"hazard", "the name of a hazard", "dust"}, longest_line, diagnostics);
    if (!name) continue;
    if (!language::usual_caution(name->value).empty()) {
      recipe.hazards.push_back(name->value);
      continue;
    }
    std::string advice = text::did_you_mean(name->value, language::hazard_names());
    if (advice.empty()) {
      advice = "Known hazards: " + text::list_words(language::hazard_names()) + ".";
    }
    diagnostics.error("unknown-hazard", one->span, "There is no hazard `" + name->value + "`.",
                      advice);
  }
}

/// Who makes it, for how long, and with what.
void read_making(const Fields& fields, SiteRecipe& recipe, text::Diagnostics& diagnostics) {
  constexpr double longest = 366 * units::seconds_a_day;
  const auto time = [&](const char* key, double& out) {
    const Node* node = fields.get(key);
    if (node == nullptr) return;
    const auto read = read_time(*node, {key, "a length of time", "30 min"}, longest, diagnostics);
    if (read) out = read->value;
  };
  time("time", recipe.time);
  time("setup", recipe.setup);
  if (const Node* node = fields.get("people")) recipe.people = read_people(*node, diagnostics);
  if (const Node* node = fields.get("crew")) {
    const auto crew =
        read_line(*node, {"crew", "the name of a crew", "potting"}, longest_line, diagnostics);
    if (crew) recipe.crew = *crew;
  }
  if (const Node* node = fields.get("hazard")) read_hazards(*node, recipe, diagnostics);
  const auto text = [&](const char* key, const char* example, std::string& out) {
    const Node* node = fields.get(key);
    if (node == nullptr) return;
    const auto read = read_line(*node, {key, "text", example}, longest_line, diagnostics);
    if (read) out = read->value;
  };
  text("title", "Mix the potting mix", recipe.title);
  text("tool", "Concrete mixer", recipe.tool);
  text("caution", "Keep hands out of the running mixer.", recipe.caution);
  text("note", "Water it the day before.", recipe.note);
}

/// What it is to measure when it is ready.
void read_measured(const Fields& fields, SiteRecipe& recipe, text::Diagnostics& diagnostics) {
  const auto read = [&](const Wanted& wanted, const units::Dimension& dimension,
                        const language::Limit& limit, double& out) {
    const Node* node = fields.get(wanted.key);
    if (node == nullptr) return;
    const auto written = read_quantity(*node, wanted, UnitWords::only_known, diagnostics);
    if (!written) return;
    const double value = written->quantity.base();
    if (written->quantity.unit.dimension != dimension) {
      report_wanted(*node, wanted, diagnostics);
    } else if (limit.hold(value)) {
      out = value;
    } else {
      diagnostics.error("out-of-range", node->span, std::string(limit.rule) + ".");
    }
  };
  read({"ec", "a conductivity", "1.2 mS/cm"}, units::conductivity, limits::feed_ec, recipe.ec);
  read({"ph", "a number", "5.8"}, units::number, limits::feed_ph, recipe.ph);
}

std::optional<SiteRecipe> read_recipe(const Entry& entry, text::Diagnostics& diagnostics) {
  const std::size_t before = diagnostics.count(text::Severity::error);
  const Fields fields(entry.value, KeyMap::recipe, diagnostics);
  if (!fields.usable()) return std::nullopt;
  SiteRecipe recipe;
  recipe.span = entry.key_span;
  if (const Node* node = fields.need("makes", "makes: 100 L")) {
    if (auto makes = read_recipe_amount(*node, "makes", diagnostics)) {
      recipe.makes = std::move(*makes);
    }
  }
  if (const Node* node = fields.get("vessel")) {
    recipe.vessel = read_recipe_amount(*node, "vessel", diagnostics);
  }
  fields.need("of", "of: {peat_free: 60 L, lime: 300 g}");
  read_parts(fields.group("of"), recipe, diagnostics);
  read_measured(fields, recipe, diagnostics);
  read_keeping(fields, recipe, diagnostics);
  read_making(fields, recipe, diagnostics);
  if (diagnostics.count(text::Severity::error) > before) return std::nullopt;
  return recipe;
}

}  // namespace

std::optional<Placed<double>> read_recipe_keeps(const SingleValue& value,
                                                text::Diagnostics& diagnostics) {
  return read_keeps(scalar_of(value), diagnostics);
}

std::optional<Written> read_recipe_vessel(const SingleValue& value,
                                          text::Diagnostics& diagnostics) {
  return read_recipe_amount(scalar_of(value), "vessel", diagnostics);
}

void read_site_recipes(const Node* node, Site& site, text::Diagnostics& diagnostics) {
  const Wanted wanted{"recipes", "a line for each recipe",
                      "mix: {makes: 100 L, of: {peat_free: 60 L, perlite: 40 L}}"};
  for (const Entry* entry : own_named_entries(node, wanted, diagnostics)) {
    if (auto recipe = read_recipe(*entry, diagnostics)) {
      site.recipes.emplace(entry->key, std::move(*recipe));
    } else {
      site.recipes_unread = true;
    }
  }
}

}  // namespace budwood::book
