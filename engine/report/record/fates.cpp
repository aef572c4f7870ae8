#include "report/record/fates.hpp"

namespace budwood::report {

Fates::Fates(const std::vector<record::Entry>& all) : all_(all), fates_(record::fates_of(all)) {
  for (std::size_t i = 0; i < all.size(); ++i) places_.emplace(all[i].id, i);
}

bool Fates::holds(const record::Entry& entry) const {
  const record::Fate* fate = of(entry);
  return fate != nullptr && fate->holds;
}

std::string Fates::words(const record::Entry& entry) const {
  const record::Fate* fate = of(entry);
  if (fate == nullptr || !fate->by) return "";
  const record::Entry& by = all_[*fate->by];
  return (by.what == record::What::withdrawal ? "withdrawn by " : "corrected by ") +
         by.id.substr(0, short_id);
}

const record::Fate* Fates::of(const record::Entry& entry) const {
  const auto found = places_.find(entry.id);
  return found == places_.end() ? nullptr : &fates_[found->second];
}

}  // namespace budwood::report
