#include "report/needs/needs_words.hpp"

#include "plan/needs/energy.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "report/formats/wording.hpp"

namespace budwood::report {

const std::string& shown_name(const plan::SupplyNeed& need) {
  return need.title.empty() ? need.supply : need.title;
}

std::string shown_crew(const std::string& crew) {
  return crew.empty() ? "anyone" : crew;
}

std::string money_text(double money) {
  // From here on cents are noise.
  constexpr double beyond_cents = 1e15;
  if (!std::isfinite(money) || std::abs(money) >= beyond_cents) {
    return units::format_number(money);
  }
  // Half a cent goes up, also where binary fractions put it a hair below.
  constexpr double hair = 1e-12;
  const std::string text = fmt::format("{:.2f}", std::round(money * 100 * (1 + hair)) / 100);
  return text == "-0.00" ? "0.00" : text;
}

std::string currency_of(const plan::Plan& plan) {
  const auto& currency = plan.book->site.currency;
  return currency ? currency->value : std::string();
}

std::string with_currency(std::string_view head, const plan::Plan& plan) {
  const std::string currency = currency_of(plan);
  return currency.empty() ? std::string(head) : fmt::format("{} {}", head, currency);
}

const std::string& batch_id(const plan::Plan& plan, std::uint32_t batch) {
  return plan.facts_of(plan.batches[batch]).id.value;
}

std::string some_of(const std::vector<std::string>& names, std::size_t most) {
  if (names.size() <= most) return joined(names, ", ");
  const std::vector<std::string> first(names.begin(),
                                       names.begin() + static_cast<std::ptrdiff_t>(most));
  return fmt::format("{} and {} more", joined(first, ", "), names.size() - most);
}

text::Span line_of(const plan::Plan& plan, const plan::Taking& taking) {
  if (taking.making >= 0) {
    const plan::Making& making = plan.makings[static_cast<std::size_t>(taking.making)];
    return plan.recipes[making.recipe].recipe->of[taking.use].span;
  }
  const plan::WorkOrder& order = plan.orders[taking.order];
  const language::Protocol& protocol = plan.protocol_of(plan.batches[order.batch]);
  return protocol.stages[order.stage].works[order.work].uses[taking.use].span;
}

std::string rule_text(const plan::Plan& plan, const plan::Taking& taking) {
  // A rule may run over several lines; here it stands on one.
  std::string text;
  for (const char c : text::text_of(line_of(plan, taking))) {
    const bool blank = c == ' ' || c == '\n' || c == '\r' || c == '\t';
    if (!blank) {
      text += c;
    } else if (!text.empty() && text.back() != ' ') {
      text += ' ';
    }
  }
  if (taking.making < 0) return text;
  const plan::Making& making = plan.makings[static_cast<std::size_t>(taking.making)];
  return text + " (for " + plan.recipes[making.recipe].supply().name + ")";
}

bool makes_up(const plan::SupplyNeed& need, const plan::Taking& taking) {
  if (!need.reused) return true;
  if (taking.day > need.peak_day) return false;
  return taking.back > need.peak_day || taking.spoilt > 0;
}

std::string spoilt_text(const plan::SupplyNeed& need, double amount) {
  constexpr int digits = 4;  // nobody measures what is spoilt more finely
  return units::format(amount, need.unit, digits) + " spoilt";
}

const std::string& title_of(const plan::Needs& needs, const std::string& supply) {
  const auto found =
      std::find_if(needs.supplies.begin(), needs.supplies.end(),
                   [&](const plan::SupplyNeed& need) { return need.supply == supply; });
  return found == needs.supplies.end() ? supply : shown_name(*found);
}

std::string_view grouping_word(plan::Grouping grouping) {
  switch (grouping) {
    case plan::Grouping::batch:
      return "batch";
    case plan::Grouping::day:
      return "day";
    case plan::Grouping::week:
      return "week";
    case plan::Grouping::all:
      break;
  }
  return "all";
}

std::string group_name(const plan::Plan& plan, const plan::NeedsGroup& group,
                       plan::Grouping grouping) {
  if (grouping == plan::Grouping::batch) return batch_id(plan, group.batch);
  if (grouping == plan::Grouping::week) return calendar::iso_week_text(group.first);
  return calendar::iso_date(group.first);
}

std::vector<EnergyLine> energy_lines(const plan::Plan& plan) {
  std::vector<EnergyLine> out;
  const book::Site::Energy& prices = plan.book->site.energy;
  const units::Unit kwh = *units::find_unit("kWh");
  for (const plan::RoomEnergy& one : plan::energy_of(plan).rooms) {
    const std::string room = one.zone.empty() ? one.room : one.room + ", " + one.zone;
    const auto add = [&](const char* what, double seconds, double use,
                         const std::optional<double>& price) {
      if (!(use > 0) && !(seconds > 0)) return;
      out.push_back({room, what, seconds / units::seconds_an_hour, kwh.from_base(use),
                     price && use > 0 ? std::optional(use * *price) : std::nullopt});
    };
    add("heat", 0, one.use.heat, prices.heat);
    add("lamps", one.lamp_seconds, one.use.lamps, prices.electricity);
  }
  return out;
}

}  // namespace budwood::report
