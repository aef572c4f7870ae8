/// Private to this module.
#pragma once

#include <string>

#include "plan/trials/what_if.hpp"
#include "plan/trials/what_if_value.hpp"

namespace budwood::plan {

/// Changes what the site of `out` says of a supply: `what` is `price`, `on_hand`, `minimum`,
/// `lead_time` or `keeps`, the first and what is bought of it also of an offer: `Fen Peat.price`.
/// What does not fit is reported.
void change_supply(const Plan& plan, const Wish& wish, const std::string& supply,
                   const std::string& what, WhatIf& out, text::Diagnostics& diagnostics);

/// "Of a supply there are `price`, ..."
extern const char* const supply_values;

}  // namespace budwood::plan
