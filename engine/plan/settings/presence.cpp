#include "plan/settings/presence.hpp"

namespace budwood::plan {

const std::pair<const std::string, book::Crew>* crew_on_duty(const book::Site& site,
                                                             calendar::Day day) {
  if (site.working.works(day)) return nullptr;
  for (const auto& crew : site.crews) {
    const auto& duty = crew.second.duty;
    if (duty && duty->hours.on(calendar::weekday(day)) > 0) return &crew;
  }
  return nullptr;
}

bool somebody_there(const book::Site& site, calendar::Day day) {
  return site.working.works(day) || crew_on_duty(site, day) != nullptr;
}

}  // namespace budwood::plan
