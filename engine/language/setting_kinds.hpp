#pragma once

#include <string>
#include <vector>

#include "language/type.hpp"

namespace budwood::language {

/// A climate value that `keep` and `taper` know.
struct SettingKind {
  std::string name;
  Type type;
  std::string unit;  ///< the unit in which it is usually given
  double lowest;     ///< base units; outside lowest to highest it is a slip of the pen
  double highest;
};

const std::vector<SettingKind>& setting_kinds();
const SettingKind* find_setting_kind(const std::string& name);

}  // namespace budwood::language
