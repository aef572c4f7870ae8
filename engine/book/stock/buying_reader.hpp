/// On which terms supplies are bought. Private to this module.
#pragma once

#include <vector>

#include "book/site/money_reader.hpp"
#include "book/site/site.hpp"
#include "book/yaml/values.hpp"

namespace budwood::book {

inline constexpr Wanted on_hand_wanted{"on_hand", "a number and perhaps a unit", "120"};

/// Reads who sells a supply, on which terms, and how long it keeps.
void read_buying(const Fields& fields, MoneyReader& money, SupplyFacts& facts,
                 text::Diagnostics& diagnostics);

/// An amount of a supply, more than 0 unless `zero_too`; a plain number is in its own unit.
std::optional<Written> read_amount(const Node& node, const Wanted& wanted, bool zero_too,
                                   text::Diagnostics& diagnostics);

/// All that tells money in the terms of a map of supplies, in the order written.
void collect_prices(const Node* supplies, std::vector<const Node*>& found);

}  // namespace budwood::book
