/// Private to this module.
#pragma once

#include "language/model.hpp"
#include "plan/needs/needs.hpp"

namespace budwood::plan {

/// What holds for a supply at a site: the site's own word, else the protocol's. What does not fit
/// the supply is reported and left out.
SupplyTerms supply_terms(const book::Site& site, const language::Supply& supply,
                         text::Diagnostics& diagnostics);

/// An amount in base units: a plain number is in the unit of the supply, packs are packs. What does
/// not fit the supply is reported.
std::optional<double> written_amount(const book::Written& written, const language::Supply& supply,
                                     double pack, text::Diagnostics& diagnostics);

}  // namespace budwood::plan
