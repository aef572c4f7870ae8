/// Supplies that a site says something of, held against those that protocols have.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "book/yaml/written.hpp"
#include "language/language.hpp"

namespace budwood::book {

using KnownSupplies = std::map<std::string, const language::Supply*>;

/// The supplies that protocols declare, by name; of several of one name the first.
KnownSupplies supplies_of(const std::vector<language::Protocol>& protocols);

/// Reports what is said to be of a supply that no protocol of the book has, unless it may stand
/// in what was left out of its library.
void report_unknown_supply(const KnownSupplies& known, const language::LeftOut& left_out,
                           const Placed<std::string>& supply, text::Diagnostics& diagnostics);

}  // namespace budwood::book
