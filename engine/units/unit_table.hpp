/// The units that have a name of their own. Private to this module.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "units/units.hpp"

namespace budwood::units {

/// The unit of exactly this name, singular, plural or alias; nullptr when there is none.
const Unit* named_unit(std::string_view name);

/// Every name in the table, in the order of the table.
const std::vector<std::string>& table_names();

/// "day" for "days", "leaf" for "leaves"; a symbol that has no plural ("h", "m2") stays as it is.
std::string singular(std::string_view symbol);

/// The singular of a noun that is not in the table, by the usual English endings.
std::string singular_noun(std::string_view noun);

}  // namespace budwood::units
