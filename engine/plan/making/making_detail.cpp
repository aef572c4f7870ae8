#include <algorithm>
#include <cmath>

#include "plan/making/makings.hpp"
#include "plan/plan.hpp"

namespace budwood::plan {

namespace {

SupplyAmount amount_of(const language::Supply& supply, double amount) {
  return {supply.name, supply.title, amount, supply.unit, false, ""};
}

/// An order takes of a making once, however many of its lines do.
std::vector<MadeFor> by_order(const Making& making) {
  std::vector<MadeFor> out;
  for (const MadeFor& use : making.uses) {
    const auto same = std::find_if(out.begin(), out.end(), [&](const MadeFor& one) {
      return one.into == use.into && (use.into >= 0 || one.order == use.order);
    });
    if (same == out.end()) {
      out.push_back(use);
    } else {
      same->amount += use.amount;
    }
  }
  return out;
}

std::string time_span_text(double seconds) {
  return units::format(seconds, units::usual_unit(units::time, seconds));
}

/// What is worked out for a feed is shown as finely as anybody weighs it: three digits.
double as_weighed(double amount) {
  if (!(amount > 0)) return amount;
  const double step = std::pow(10, std::floor(std::log10(amount)) - 2);
  return std::round(amount / step) * step;
}

/// What a feed is measured by.
void add_measured_notes(const Plan& plan, const language::Recipe& recipe, MakingDetail& out) {
  const auto& water = plan.book->site.water;
  const auto text = [](double ec) { return units::format(ec, *units::find_unit("mS/cm"), 3); };
  std::vector<std::string> pieces;
  if (recipe.is_feed()) {
    const double raw = water && water->ec ? water->ec->value : 0;
    std::string of_water;
    if (raw > 0) of_water = ", of which " + text(raw) + " come with the water";
    if (raw >= recipe.ec) of_water = ", and the water alone has " + text(raw);
    pieces.push_back("EC " + text(recipe.ec) + of_water);
  }
  if (recipe.ph > 0) pieces.push_back("pH " + units::format_number(recipe.ph, 2));
  if (pieces.empty()) return;
  std::string all = pieces.front();
  if (pieces.size() > 1) all += "; " + pieces.back();
  out.notes.push_back("Measure before use: " + all + ".");
  if (recipe.is_feed() && recipe.ph > 0 && water && water->acid) {
    out.notes.push_back("Begin with four fifths of the acid, measure, then add.");
  }
}

/// What people have to know of keeping.
void add_keeping_notes(const Making& making, const BookRecipe& of, MakingDetail& out) {
  const units::Unit& unit = of.supply().unit;
  const language::Recipe& recipe = *of.recipe;
  if (making.portions > 1) {
    out.notes.push_back("Make it fresh " + std::to_string(making.portions) + " times that day, " +
                        units::format(making.amount / making.portions, unit) + " each: it keeps " +
                        time_span_text(*recipe.keeps) + ".");
  } else if (recipe.keeps) {
    out.notes.push_back("It keeps " + time_span_text(*recipe.keeps) + ".");
  }
  const double left = making.amount - making.needed;
  if (making.left_keeps || left <= units::slack(making.amount, making.needed)) return;
  out.notes.push_back(units::format(left, unit) +
                      " will be over: throw out what has stood too long.");
}

}  // namespace

std::string making_id(const Plan& plan, const Making& making) {
  return plan.recipes[making.recipe].supply().name + "/make/" + calendar::iso_date(making.date);
}

MakingDetail describe(const Plan& plan, const Making& making) {
  const BookRecipe& of = plan.recipes[making.recipe];
  const language::Recipe& recipe = *of.recipe;
  MakingDetail out;
  out.id = making_id(plan, making);
  out.title = "Make " + units::format(making.amount, of.supply().unit) + ": " + recipe.title;
  out.date = making.date;
  out.made = amount_of(of.supply(), making.amount);
  out.needed = making.needed;
  out.person_seconds = making.seconds;
  out.people = recipe.people.value_or(0);
  out.crew = recipe.crew;
  for (std::size_t i = 0; i < making.of.size(); ++i) {
    const language::Supply& part = of.part(i);
    const auto known = std::find_if(out.supplies.begin(), out.supplies.end(),
                                    [&](const auto& one) { return one.supply == part.name; });
    if (known == out.supplies.end()) {
      out.supplies.push_back(amount_of(part, making.of[i]));
    } else {
      known->amount += making.of[i];
    }
  }
  if (recipe.is_feed()) {
    for (SupplyAmount& one : out.supplies) one.amount = as_weighed(one.amount);
  }
  std::vector<std::uint32_t> batches;
  for (const MadeFor& use : by_order(making)) {
    const std::string what =
        use.into < 0 ? order_id(plan, plan.orders[use.order])
                     : making_id(plan, plan.makings[static_cast<std::size_t>(use.into)]);
    out.uses.push_back(units::format(use.amount, of.supply().unit) + " for " + what + " on " +
                       calendar::short_date(use.day));
  }
  for (const MadeFor& use : making.uses) batches.push_back(plan.orders[use.order].batch);
  std::sort(batches.begin(), batches.end());
  batches.erase(std::unique(batches.begin(), batches.end()), batches.end());
  for (const std::uint32_t batch : batches) {
    out.batches.push_back(plan.facts_of(plan.batches[batch]).id.value);
  }
  out.tools = recipe.tools;
  out.cautions = recipe.cautions;
  out.notes = recipe.notes;
  add_measured_notes(plan, recipe, out);
  add_keeping_notes(making, of, out);
  out.line = recipe.span;
  return out;
}

std::vector<std::string> made_notes(const Plan& plan, const WorkOrder& order) {
  std::vector<std::string> out;
  const auto found = plan.makings_of_order.find(order.key());
  if (found == plan.makings_of_order.end()) return out;
  for (const std::uint32_t i : found->second) {
    const Making& making = plan.makings[i];
    const BookRecipe& of = plan.recipes[making.recipe];
    const std::string day =
        making.date == order.date ? "on the same day" : "on " + calendar::short_date(making.date);
    out.push_back(of.supply().title + " is made " + day + " (" + making_id(plan, making) + ").");
  }
  return out;
}

}  // namespace budwood::plan
