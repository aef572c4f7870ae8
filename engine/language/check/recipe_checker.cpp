#include <algorithm>
#include <cmath>

#include "language/check/cycle.hpp"
#include "language/check/protocol_checker.hpp"
#include "language/check/recipe_circle.hpp"
#include "units/units.hpp"

/// Checks recipes. A recipe belongs to no batch: what it says are written numbers, or what can be
/// worked out of such alone.
namespace budwood::language {

namespace {

/// The value of a formula that asks nothing of a batch; nothing where it does.
std::optional<double> value_of(const Protocol& protocol, FormulaId id) {
  const Node& node = protocol.node(id);
  if (node.kind == Node::Kind::constant) return node.value;
  if (node.kind != Node::Kind::apply) return std::nullopt;
  double values[2] = {0, 0};
  for (int i = 0; i < 2; ++i) {
    if (node.children[i] == no_formula) continue;
    const auto value = value_of(protocol, node.children[i]);
    if (!value) return std::nullopt;
    values[i] = *value;
  }
  switch (node.operation) {
    case Operation::add:
      return values[0] + values[1];
    case Operation::subtract:
      return values[0] - values[1];
    case Operation::multiply:
      return values[0] * values[1];
    case Operation::divide:
      return values[0] / values[1];
    case Operation::negate:
      return -values[0];
    case Operation::ceil:
      return std::ceil(values[0]);
    default:
      return std::nullopt;
  }
}

}  // namespace

/// A value of a recipe within its limits.
std::optional<double> StageChecker::plain_value(FormulaId id, const Limit& limit) {
  if (id == no_formula) return std::nullopt;
  const Node& node = protocol_.node(id);
  const auto value = value_of(protocol_, id);
  if (!value) {
    diagnostics_.error("recipe-value", node.span,
                       "A recipe belongs to no batch, so that it knows none of its values.",
                       "Write a number with its unit, or what can be worked out of such alone: "
                       "`(10 L * 2 mL / 1 L)`.");
    return std::nullopt;
  }
  const bool finite = std::isfinite(*value);
  if (finite && limit.hold(*value)) return value;
  diagnostics_.error("out-of-range", node.span,
                     finite ? std::string(limit.rule) + "." : "This is divided by 0.");
  return std::nullopt;
}

std::optional<double> StageChecker::made_amount(const syntax::Formula& written,
                                                const Supply& supply, const std::string& what) {
  const bool counted = supply.unit.dimension == units::count;
  const FormulaId id =
      formulas_.check(written, Type::quantity(supply.unit.dimension), what,
                      counted ? std::optional<units::Unit>(supply.unit) : std::nullopt);
  return plain_value(id, limits::made);
}

std::optional<Recipe> StageChecker::recipe(const syntax::Recipe& written, SupplyId makes) {
  Recipe recipe;
  recipe.supply = makes;
  recipe.span = written.name.span;
  const Supply& supply = protocol_.supplies[makes];
  recipe.title = written.title ? written.title->value : supply.title;
  if (supply.reused) {
    diagnostics_.error("misplaced", written.name.span,
                       "`" + supply.name + "` comes back, so that nobody makes it anew.",
                       "Take `reused` out of its `supply`, or take out the recipe.");
    return std::nullopt;
  }
  const auto amount = made_amount(written.makes, supply, "`makes`");
  if (amount) recipe.makes = recipe.vessel = *amount;
  bool sound = amount.has_value();
  sound = vessels(written, recipe) && sound;
  sound = keeping(written, recipe) && sound;
  sound = measured(written, recipe) && sound;
  sound = making(written, recipe) && sound;
  return sound ? std::optional(std::move(recipe)) : std::nullopt;
}

bool StageChecker::vessels(const syntax::Recipe& written, Recipe& recipe) {
  if (!written.vessel) return true;
  const auto size =
      made_amount(*written.vessel, protocol_.supplies[recipe.supply], "`in vessels of`");
  if (size) recipe.vessel = *size;
  return size.has_value();
}

/// How long it keeps, and how long before its use it is made.
bool StageChecker::keeping(const syntax::Recipe& written, Recipe& recipe) {
  if (written.keeps) {
    recipe.keeps = plain_value(
        formulas_.check(*written.keeps, Type::quantity(units::time), "`keeps`"), limits::keeps);
    if (!recipe.keeps) return false;
  }
  if (!written.before) return true;
  const auto days = whole_days(*written.before, "`made ... before`", 0);
  if (!days) return false;
  if (*days > limits::most_days_before) {
    diagnostics_.error("out-of-range", written.before->span,
                       "What is used is made at most 366 days before.");
    return false;
  }
  recipe.before = *days;
  if (!recipe.keeps || *recipe.keeps >= *days * units::seconds_a_day) return true;
  report_spoilt_before(written.before->span, diagnostics_);
  return false;
}

/// What it is to measure when it is ready.
bool StageChecker::measured(const syntax::Recipe& written, Recipe& recipe) {
  bool sound = true;
  const auto read = [&](const std::optional<syntax::Formula>& formula, const Type& type,
                        const char* what, const Limit& limit, double& out) {
    if (!formula) return;
    const auto value = plain_value(formulas_.check(*formula, type, what), limit);
    if (value) out = *value;
    sound = sound && value;
  };
  read(written.ec, Type::quantity(units::conductivity), "`at`", limits::feed_ec, recipe.ec);
  read(written.ph, Type::quantity(units::number), "`pH`", limits::feed_ph, recipe.ph);
  if (written.ec && protocol_.supplies[recipe.supply].unit.dimension != units::volume) {
    diagnostics_.error("unit-mismatch", written.ec->span,
                       "Only what is measured by volume has a conductivity.",
                       "Such as: recipe feed makes 100 L at 1.2 mS/cm { ... }");
    return false;
  }
  return sound;
}

/// The work, and what goes in.
bool StageChecker::making(const syntax::Recipe& written, Recipe& recipe) {
  const std::size_t errors = diagnostics_.count(text::Severity::error);
  std::vector<syntax::WorkItem> items;
  for (const syntax::WorkItem& item : written.items) {
    const bool of_plants = std::holds_alternative<syntax::Rate>(item) ||
                           std::holds_alternative<syntax::NoEntry>(item) ||
                           std::holds_alternative<syntax::Tag>(item) ||
                           std::holds_alternative<syntax::Record>(item);
    if (!of_plants) {
      items.push_back(item);
      continue;
    }
    diagnostics_.error(
        "misplaced", std::visit([](const auto& one) { return span_of(one); }, item),
        "`" +
            std::visit([](const auto& one) { return std::string(statement_of(one).words); }, item) +
            "` is said of work with plants; no plants are there when something is made.",
        "A recipe has `use`, `time`, `setup`, `people`, `crew`, `tool`, `caution` and `note`.");
  }
  Work work;
  fill(work, items);
  const bool all_read = !written.has_unread && diagnostics_.count(text::Severity::error) == errors;
  if (work.uses.empty() && all_read) {
    diagnostics_.error("no-ingredients", written.name.span,
                       "It is not said what `" + written.name.text + "` is made of.",
                       "Add lines such as: use 60 L peat_free");
  }
  if (work.time != no_formula && work.time_share.grows()) {
    diagnostics_.error("misplaced", protocol_.node(work.time).span,
                       "The time of a recipe is for as much as it `makes`; it grows with that.",
                       "Such as: time 30 min");
  }
  bool sound = ingredients(work, recipe);
  const auto put = [&](FormulaId id, const Limit& limit, auto& out) {
    if (id == no_formula) return;
    const auto value = plain_value(id, limit);
    if (value) out = *value;
    sound = sound && value;
  };
  put(work.time, limits::time, recipe.time);
  put(work.setup, limits::setup, recipe.setup);
  put(work.people, limits::people, recipe.people);
  recipe.crew = work.crew;
  recipe.crew_span = work.crew_span;
  recipe.tools = std::move(work.tools);
  recipe.cautions = std::move(work.cautions);
  recipe.notes = std::move(work.notes);
  return sound && diagnostics_.count(text::Severity::error) == errors;
}

bool StageChecker::ingredients(const Work& work, Recipe& recipe) {
  bool sound = true;
  for (const Use& use : work.uses) {
    const Supply& supply = protocol_.supplies[use.supply];
    if (use.share.grows() || use.until.known() || use.light != no_formula) {
      diagnostics_.error("misplaced", use.span,
                         "What goes into a recipe is said for as much as it `makes`.",
                         "Such as: use 60 L " + supply.name);
      sound = false;
      continue;
    }
    if (supply.reused) {
      diagnostics_.error("misplaced", use.span,
                         "`" + supply.name + "` comes back, so that it goes into nothing.",
                         "Name what is only taken to hand as a `tool`.");
      sound = false;
      continue;
    }
    const auto amount = plain_value(use.amount, limits::amount);
    sound = sound && amount;
    if (amount) recipe.of.push_back({use.supply, *amount, use.span});
  }
  return sound;
}

/// What a recipe makes is a supply, also where no `supply` says so.
void ProtocolChecker::declare_made() {
  for (const syntax::ProtocolItem& item : written_.items) {
    const auto* recipe = std::get_if<syntax::Recipe>(&item);
    if (recipe == nullptr) continue;
    const bool declared = std::any_of(
        written_.items.begin(), written_.items.end(), [&](const syntax::ProtocolItem& other) {
          const auto* supply = std::get_if<syntax::Supply>(&other);
          return supply != nullptr && supply->name.text == recipe->name.text;
        });
    if (declared || protocol_.supplies.find(recipe->name.text).known()) continue;
    if (recipe->makes.unit.text.empty()) {
      diagnostics_.error("unit-mismatch", recipe->makes.span,
                         "It is not said in what `" + recipe->name.text + "` is measured.",
                         "Such as: recipe " + recipe->name.text + " makes 10 L { ... }");
      scope_.forgive({recipe->name.text});
      continue;
    }
    syntax::Supply supply;
    supply.name = recipe->name;
    supply.title = recipe->title;
    supply.unit = recipe->makes.unit;
    declare(supply);
  }
}

/// Once all supplies are known.
void ProtocolChecker::resolve_recipes() {
  for (const syntax::ProtocolItem& item : written_.items) {
    const auto* written = std::get_if<syntax::Recipe>(&item);
    if (written == nullptr) continue;
    const SupplyId makes = protocol_.supplies.find(written->name.text);
    if (!makes.known()) continue;  // told where it is declared
    const auto first = std::find_if(protocol_.recipes.begin(), protocol_.recipes.end(),
                                    [&](const Recipe& recipe) { return recipe.supply == makes; });
    if (first != protocol_.recipes.end()) {
      text::Diagnostic d;
      d.code = "duplicate-name";
      d.span = written->name.span;
      d.message = "There is a recipe for `" + written->name.text + "` already.";
      d.advice = "Keep one of them.";
      d.related.push_back({first->span, "It is here."});
      diagnostics_.add(std::move(d));
      continue;
    }
    if (auto recipe = stages_.recipe(*written, makes)) {
      protocol_.recipes.push_back(std::move(*recipe));
    }
  }
  refuse_recipe_circle(protocol_, diagnostics_);
}

void report_recipe_circle(const std::vector<std::string>& names, const text::Span& span,
                          text::Diagnostics& diagnostics) {
  diagnostics.error("recipe-circle", span,
                    "Each of these is made of the next, in a circle: " +
                        describe_cycle(names, "is made of") + ".",
                    "Make one of them of what is bought.");
}

void report_spoilt_before(const text::Span& span, text::Diagnostics& diagnostics) {
  diagnostics.error("spoilt-before", span, "It does not keep as long as it is made before its use.",
                    "Make it later, or let it keep for longer.");
}

void refuse_recipe_circle(Protocol& protocol, text::Diagnostics& diagnostics) {
  std::vector<std::pair<std::size_t, std::size_t>> arcs;
  const std::vector<Recipe>& recipes = protocol.recipes;
  for (std::size_t i = 0; i < recipes.size(); ++i) {
    for (const Recipe::Ingredient& one : recipes[i].of) {
      for (std::size_t other = 0; other < recipes.size(); ++other) {
        if (recipes[other].supply == one.supply) arcs.emplace_back(i, other);
      }
    }
  }
  const std::vector<std::size_t> circle = find_cycle(recipes.size(), arcs);
  if (circle.empty()) return;
  std::vector<std::string> names;
  for (const std::size_t i : circle) names.push_back(protocol.supplies[recipes[i].supply].name);
  report_recipe_circle(names, recipes[circle.front()].span, diagnostics);
  protocol.recipes.clear();
}

}  // namespace budwood::language
