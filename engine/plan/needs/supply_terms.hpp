/// Private to this module.
#pragma once

#include "book/stock/supplies.hpp"
#include "language/model.hpp"
#include "plan/needs/needs.hpp"

namespace budwood::plan {

/// The supplies of the protocols that batches follow, by name.
book::KnownSupplies supplies_in_use(const Plan& plan);
/// Every supply of the book by name. The protocols that batches follow come first: what they say is
/// what counts.
book::KnownSupplies supplies_of(const Plan& plan);

/// What holds for a supply at a site: the site's own word, else the protocol's. What does not fit
/// the supply is reported and left out.
SupplyTerms supply_terms(const book::Site& site, const language::Supply& supply,
                         text::Diagnostics& diagnostics);

/// An amount in base units: a plain number is in the unit of the supply, packs are packs. What does
/// not fit the supply is reported.
std::optional<double> written_amount(const book::Written& written, const language::Supply& supply,
                                     double pack, text::Diagnostics& diagnostics);

}  // namespace budwood::plan
