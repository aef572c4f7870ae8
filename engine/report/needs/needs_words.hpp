#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "plan/needs/needs.hpp"
#include "plan/plan.hpp"

/// How reports of needs word what all formats and tables show.
namespace budwood::report {

/// The title of a supply, or its name when it has none.
const std::string& shown_name(const plan::SupplyNeed& need);

/// The name of a crew; "anyone" for work without one.
std::string shown_crew(const std::string& crew);

/// Money with two decimals: "12.40"; "-" when it is not known.
std::string money_text(double money);

/// The site's currency; "" when it names none.
std::string currency_of(const plan::Plan& plan);

/// "Cost EUR", or "Cost" in a book without a currency.
std::string with_currency(std::string_view head, const plan::Plan& plan);

const std::string& batch_id(const plan::Plan& plan, std::uint32_t batch);

/// "A, B, C and 12 more".
std::string some_of(const std::vector<std::string>& names, std::size_t most);

/// The line of the protocol, or of a recipe, that asks for a taking.
text::Span line_of(const plan::Plan& plan, const plan::Taking& taking);

/// That line as it is written: "use 1 clip each", "use 60 L peat_free (for potting_mix)".
std::string rule_text(const plan::Plan& plan, const plan::Taking& taking);

/// Whether a taking is among what makes up the amount of a supply.
bool makes_up(const plan::SupplyNeed& need, const plan::Taking& taking);

/// "12 labels spoilt".
std::string spoilt_text(const plan::SupplyNeed& need, double amount);

/// The title of a supply by its name.
const std::string& title_of(const plan::Needs& needs, const std::string& supply);

/// The word that groups go by: "batch", "day", "week", and a group's own name: "BM27-1",
/// "2027-03-04", "2027-W09".
std::string_view grouping_word(plan::Grouping grouping);
std::string group_name(const plan::Plan& plan, const plan::NeedsGroup& group,
                       plan::Grouping grouping);

/// What a room or a zone of it takes in one kind of energy over the whole plan.
struct EnergyLine {
  std::string room;  ///< "house", "house, 2"
  std::string what;  ///< "heat", "lamps"
  double hours = 0;  ///< for which lamps burn; 0 for heat
  double kwh = 0;
  std::optional<double> cost;  ///< none without a price
};
std::vector<EnergyLine> energy_lines(const plan::Plan& plan);

}  // namespace budwood::report
