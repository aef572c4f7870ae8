#include "record/standing.hpp"

#include <algorithm>
#include <unordered_set>

namespace budwood::record {

std::vector<Entry> standing(std::vector<Entry> entries) {
  std::sort(entries.begin(), entries.end(), noted_before);
  std::unordered_set<std::string> replaced;
  std::vector<Entry> out;
  // From the last to the first: whether an entry holds is known before what it corrects is met.
  for (auto one = entries.rbegin(); one != entries.rend(); ++one) {
    if (replaced.contains(one->id)) continue;
    if (!one->corrects.empty() && !replaced.insert(one->corrects).second) {
      // A later correction of the same entry stands already.
      continue;
    }
    if (one->what != What::withdrawal) out.push_back(std::move(*one));
  }
  std::reverse(out.begin(), out.end());
  return out;
}

}  // namespace budwood::record
