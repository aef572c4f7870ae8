/// What a batch starts with and brings, added up. Private to this module.
#pragma once

#include "sheet/row.hpp"

namespace budwood::plan {

/// Plants in the stages that take from no other.
double started(const sheet::Row& row);
/// Plants left of the stages that no other takes from.
double delivered(const sheet::Row& row);
/// Whether plants of a batch were started or counted: then their number is what it is.
bool is_begun(const sheet::Row& row);

}  // namespace budwood::plan
