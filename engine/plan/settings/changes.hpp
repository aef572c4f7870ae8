/// Private to this module.
#pragma once

#include <string>
#include <vector>

#include "plan/orders/settings.hpp"

namespace budwood::plan {

/// What has to be set so that one climate becomes another: what is new or has another value, in the
/// halves of the day in which it has, then what ends. Mist is told whole when any of it changes.
std::vector<DaySetting> changes_between(const std::vector<DaySetting>& before,
                                        const std::vector<DaySetting>& now);

/// One climate for plants that stand together, the most delicate first: of each value what the
/// first asks for that asks for any, narrowed to what suits the next ones too as long as there is
/// something that suits all.
std::vector<DaySetting> brought_together(
    const std::vector<const std::vector<DaySetting>*>& by_delicacy);

/// How delicate plants are that ask for a climate: the more so, the more mist they get, else the
/// moister their air, else the less light. Common practice: what has no roots yet cannot make up
/// for dry air, while plants that have some bear damp for a while.
struct Delicacy {
  double mist = 0;      ///< seconds a day
  double humidity = 0;  ///< the lowest; below 0 where none is asked for
  double light = 0;     ///< the lowest

  bool more_than(const Delicacy& other) const {
    if (mist != other.mist) return mist > other.mist;
    if (humidity != other.humidity) return humidity > other.humidity;
    return light < other.light;
  }
};
Delicacy delicacy_of(const std::vector<DaySetting>& settings);

}  // namespace budwood::plan
