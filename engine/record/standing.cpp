#include "record/standing.hpp"

#include <algorithm>
#include <unordered_map>

namespace budwood::record {

std::vector<Entry> standing(std::vector<Entry> entries) {
  if (!std::is_sorted(entries.begin(), entries.end(), noted_before)) {
    std::sort(entries.begin(), entries.end(), noted_before);
  }
  std::unordered_map<std::string, What> replaced;  // by what
  std::vector<bool> holds(entries.size(), true);
  // From the last to the first: whether an entry holds is known before what it corrects is met.
  for (std::size_t i = entries.size(); i-- > 0;) {
    const Entry& one = entries[i];
    const auto by = replaced.empty() ? replaced.end() : replaced.find(one.id);
    if (by != replaced.end()) {
      // A correction of a correction stands for what the first one stood for too.
      if (by->second != What::withdrawal) replaced.emplace(one.corrects, one.what);
      holds[i] = false;
    } else if (!one.corrects.empty()) {
      // Another correction of the same entry, a later one, may stand already.
      holds[i] = replaced.emplace(one.corrects, one.what).second && one.what != What::withdrawal;
    }
  }
  std::size_t kept = 0;
  for (std::size_t i = 0; i < entries.size(); ++i) {
    if (!holds[i]) continue;
    if (kept != i) entries[kept] = std::move(entries[i]);
    ++kept;
  }
  entries.resize(kept);
  return entries;
}

}  // namespace budwood::record
