#include <algorithm>
#include <map>

#include "language/check/cycle.hpp"
#include "language/check/recipe_circle.hpp"
#include "plan/making/makings.hpp"
#include "plan/plan.hpp"

namespace budwood::plan {

namespace {

using language::Recipe;

/// Whether two recipes for one supply, perhaps of different protocols, are one way of making it.
bool same_way(const BookRecipe& one, const BookRecipe& other) {
  const auto head = [](const Recipe& recipe) {
    return std::tie(recipe.makes, recipe.vessel, recipe.keeps, recipe.before, recipe.time,
                    recipe.setup, recipe.people, recipe.crew);
  };
  if (head(*one.recipe) != head(*other.recipe)) return false;
  const auto parts = [](const BookRecipe& of) {
    std::map<std::string, double> out;
    for (std::size_t i = 0; i < of.recipe->of.size(); ++i) {
      out[of.part(i).name] += of.recipe->of[i].amount;
    }
    return out;
  };
  return parts(one) == parts(other);
}

void report_other(const BookRecipe& first, const BookRecipe& other,
                  text::Diagnostics& diagnostics) {
  text::Diagnostic d;
  d.severity = text::Severity::warning;
  d.code = "recipe-differs";
  d.span = other.recipe->span;
  d.message = "`" + other.supply().name + "` is made in another way elsewhere in this book.";
  d.advice =
      "Say in site.yaml how it is made here, under `recipes:`; until then the other one counts.";
  d.related.push_back({first.recipe->span, "Elsewhere it stands like this."});
  diagnostics.add(std::move(d));
}

/// Each before those of what it is made of; none when they go round in a circle.
std::vector<BookRecipe> outer_first(std::vector<BookRecipe> all, text::Diagnostics& diagnostics) {
  std::vector<std::pair<std::size_t, std::size_t>> arcs;
  for (std::size_t i = 0; i < all.size(); ++i) {
    for (std::size_t part = 0; part < all[i].recipe->of.size(); ++part) {
      for (std::size_t other = 0; other < all.size(); ++other) {
        if (all[other].supply().name == all[i].part(part).name) arcs.emplace_back(i, other);
      }
    }
  }
  if (const auto circle = language::find_cycle(all.size(), arcs); !circle.empty()) {
    std::vector<std::string> names;
    for (const std::size_t i : circle) names.push_back(all[i].supply().name);
    language::report_recipe_circle(names, all[circle.front()].recipe->span, diagnostics);
    return {};
  }
  std::vector<BookRecipe> out;
  for (const std::size_t i : language::targets_first(all.size(), arcs)) out.push_back(all[i]);
  std::reverse(out.begin(), out.end());
  return out;
}

}  // namespace

std::vector<BookRecipe> recipes_of(const Plan& plan, text::Diagnostics& diagnostics) {
  std::vector<BookRecipe> all;
  std::map<std::string, std::size_t> known;
  for (const sheet::Sheet& sheet : plan.sheets) {
    const language::Protocol& protocol = sheet.layout().protocol;
    for (const Recipe& recipe : protocol.recipes) {
      const BookRecipe one{&protocol, &recipe};
      const auto [first, fresh] = known.try_emplace(one.supply().name, all.size());
      if (fresh) {
        all.push_back(one);
      } else if (!same_way(all[first->second], one)) {
        report_other(all[first->second], one, diagnostics);
      }
    }
  }
  if (all.empty()) return all;
  std::sort(all.begin(), all.end(),
            [](const auto& a, const auto& b) { return a.supply().name < b.supply().name; });
  return outer_first(std::move(all), diagnostics);
}

}  // namespace budwood::plan
