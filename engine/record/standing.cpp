#include "record/standing.hpp"

#include <algorithm>
#include <unordered_map>

namespace budwood::record {

std::vector<Entry> standing(std::vector<Entry> entries) {
  if (!std::is_sorted(entries.begin(), entries.end(), noted_before)) {
    std::sort(entries.begin(), entries.end(), noted_before);
  }
  std::unordered_map<std::string, What> replaced;  // by what
  std::vector<Entry> out;
  // From the last to the first: whether an entry holds is known before what it corrects is met.
  for (auto one = entries.rbegin(); one != entries.rend(); ++one) {
    const auto by = replaced.find(one->id);
    if (by != replaced.end()) {
      // A correction of a correction stands for what the first one stood for too.
      if (by->second != What::withdrawal) replaced.emplace(one->corrects, one->what);
      continue;
    }
    // Another correction of the same entry, a later one, may stand already.
    if (!one->corrects.empty() && !replaced.emplace(one->corrects, one->what).second) continue;
    if (one->what != What::withdrawal) out.push_back(std::move(*one));
  }
  std::reverse(out.begin(), out.end());
  return out;
}

}  // namespace budwood::record
