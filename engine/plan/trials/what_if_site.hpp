/// What-ifs of the site. Private to this module.
#pragma once

#include "plan/plan.hpp"
#include "plan/trials/what_if.hpp"
#include "plan/trials/what_if_value.hpp"

namespace budwood::plan {

/// Changes one value of the site in the book of a what-if and adds it to the list of changes. What
/// the site does not have, and values that do not fit, are reported.
void change_site(const Plan& plan, const Wish& wish, WhatIf& out, text::Diagnostics& diagnostics);

}  // namespace budwood::plan
