#include "book/stock/own_recipes.hpp"

#include <algorithm>
#include <set>

#include "book/stock/supplies.hpp"
#include "language/check/hazard.hpp"
#include "language/check/recipe_circle.hpp"

namespace budwood::book {

namespace {

using language::Protocol;
using language::Recipe;
using language::Supply;
using language::SupplyId;

std::string unit_of(const Supply& supply) {
  return supply.plain_unit.symbol.empty() ? "pieces" : supply.plain_unit.symbol;
}

class OwnRecipes {
 public:
  OwnRecipes(const Site& site, text::Diagnostics& diagnostics)
      : site_(site), diagnostics_(diagnostics) {}

  void put_into(Protocol& protocol) {
    // What goes into one may be made here too, and stands behind it then.
    for (std::size_t i = 0; i < protocol.supplies.size(); ++i) {
      const SupplyId id = SupplyId(i);
      const auto own = site_.recipes.find(protocol.supplies[id].name);
      if (own == site_.recipes.end()) continue;
      used_.insert(own->first);
      auto recipe = recipe_of(own->second, id, protocol);
      if (!recipe) continue;
      std::erase_if(protocol.recipes, [&](const Recipe& one) { return one.supply == id; });
      protocol.recipes.push_back(std::move(*recipe));
    }
    // One circle stands in many protocols.
    text::Diagnostics found;
    language::refuse_recipe_circle(protocol, found);
    if (found.has_errors() && !circle_told_) diagnostics_.add(found.sorted().front());
    circle_told_ = circle_told_ || found.has_errors();
  }

  void report_unused(const language::Document& library) {
    const KnownSupplies known = supplies_of(library.protocols);
    for (const auto& [name, recipe] : site_.recipes) {
      if (used_.contains(name)) continue;
      report_unknown_supply(known, library.left_out, {name, recipe.span}, diagnostics_);
    }
  }

 private:
  /// The same line is read with every protocol, and told once.
  bool told(const text::Span& span) { return !told_.insert(span.begin).second; }

  std::optional<double> amount(const Written& written, const Supply& supply) {
    const units::Unit& unit = written.quantity.unit;
    if (!written.quantity.has_unit) return supply.plain_unit.to_base(written.quantity.value);
    if (unit.dimension == supply.plain_unit.dimension && unit.noun == supply.plain_unit.noun) {
      return written.quantity.base();
    }
    if (!told(written.span)) {
      diagnostics_.error("unit-mismatch", written.span,
                         "`" + supply.name + "` is measured in " + unit_of(supply) + ", which `" +
                             written.text + "` does not fit.",
                         "Such as a number of " + unit_of(supply) + ".");
    }
    return std::nullopt;
  }

  /// The supply of that name; one that no protocol has is measured as it is written here.
  std::optional<SupplyId> part(const SiteRecipe::Part& written, Protocol& protocol) {
    if (const SupplyId known = protocol.supplies.find(written.supply); known.known()) return known;
    const Written& amount = written.amount;
    if (!amount.quantity.has_unit || amount.quantity.unit.dimension.is_number()) {
      if (!told(amount.span)) {
        diagnostics_.error("unit-mismatch", amount.span,
                           "It is not said in what `" + written.supply + "` is measured.",
                           "Such as `60 L`, `300 g` or `2 bags`.");
      }
      return std::nullopt;
    }
    Supply supply;
    supply.name = supply.title = written.supply;
    std::replace(supply.title.begin(), supply.title.end(), '_', ' ');
    supply.plain_unit = amount.quantity.unit;
    supply.unit = units::in_system(supply.plain_unit, site_.units);
    supply.span = amount.span;
    protocol.supplies.push_back(std::move(supply));
    return SupplyId(protocol.supplies.size() - 1);
  }

  std::optional<Recipe> recipe_of(const SiteRecipe& own, SupplyId makes, Protocol& protocol) {
    Recipe out;
    out.supply = makes;
    out.span = own.span;
    out.title = own.title.empty() ? protocol.supplies[makes].title : own.title;
    if (protocol.supplies[makes].reused) {
      if (!told(own.span)) {
        diagnostics_.error(
            "misplaced", own.span,
            "`" + protocol.supplies[makes].name + "` comes back, so that nobody makes it anew.");
      }
      return std::nullopt;
    }
    const auto amount_made = amount(own.makes, protocol.supplies[makes]);
    if (!amount_made) return std::nullopt;
    out.makes = out.vessel = *amount_made;
    if (own.vessel) {
      const auto vessel = amount(*own.vessel, protocol.supplies[makes]);
      if (!vessel) return std::nullopt;
      out.vessel = *vessel;
    }
    for (const SiteRecipe::Part& one : own.of) {
      const auto id = part(one, protocol);
      const auto base = id ? amount(one.amount, protocol.supplies[*id]) : std::nullopt;
      if (!base) return std::nullopt;
      out.of.push_back({*id, *base, one.amount.span});
    }
    out.ec = own.ec;
    out.ph = own.ph;
    if (own.keeps) out.keeps = own.keeps->value;
    out.before = own.before;
    out.time = own.time;
    out.setup = own.setup;
    if (own.people) out.people = static_cast<double>(own.people->value);
    out.crew = own.crew.value;
    out.crew_span = own.crew.span;
    if (!own.tool.empty()) out.tools.push_back(own.tool);
    if (!own.caution.empty()) out.cautions.push_back(own.caution);
    if (!own.note.empty()) out.notes.push_back(own.note);
    add_hazards(own, protocol, out);
    return out;
  }

  /// The usual cautions of what goes in.
  static void add_hazards(const SiteRecipe& own, const Protocol& protocol, Recipe& out) {
    std::vector<std::string> hazards = own.hazards;
    for (const Recipe::Ingredient& one : out.of) {
      const auto& more = protocol.supplies[one.supply].hazards;
      hazards.insert(hazards.end(), more.begin(), more.end());
    }
    language::add_usual_cautions(hazards, out.cautions);
  }

  const Site& site_;
  text::Diagnostics& diagnostics_;
  std::set<std::string> used_;
  std::set<std::uint32_t> told_;
  bool circle_told_ = false;
};

}  // namespace

void use_own_recipes(const Site& site, text::Diagnostics& diagnostics,
                     language::Document& library) {
  if (site.recipes.empty()) return;
  OwnRecipes recipes(site, diagnostics);
  for (Protocol& protocol : library.protocols) recipes.put_into(protocol);
  recipes.report_unused(library);
}

}  // namespace budwood::book
