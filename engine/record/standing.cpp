#include "record/standing.hpp"

#include <algorithm>
#include <string_view>
#include <unordered_map>

namespace budwood::record {

namespace {

/// Entries as trees: what corrects an entry hangs below it.
class Corrections {
 public:
  explicit Corrections(const std::vector<Entry>& entries)
      : entries_(entries), root_(entries.size()), last_(entries.size()) {
    std::unordered_map<std::string_view, std::size_t> places;
    std::vector<std::optional<std::size_t>> above(entries.size());
    for (std::size_t i = 0; i < entries.size(); ++i) {
      root_[i] = i;
      if (!entries[i].corrects.empty()) {
        if (const auto found = places.find(entries[i].corrects); found != places.end()) {
          above[i] = found->second;
          root_[i] = root_[found->second];
        }
      }
      places.emplace(entries[i].id, i);
    }
    // From the last to the first: all below an entry is known before it is met itself.
    for (std::size_t i = entries.size(); i-- > 0;) {
      const std::size_t stands = last_[i].value_or(i);
      const bool taken_back = last_[i] && withdraws(stands);
      if (!above[i] || taken_back) continue;
      std::optional<std::size_t>& last = last_[*above[i]];
      last = std::max(last.value_or(stands), stands);
    }
  }

  Fate fate_of(std::size_t i) const {
    if (last_[i] && withdraws(*last_[i])) return {false, last_[i]};
    const std::size_t stands = last_[root_[i]].value_or(root_[i]);
    if (stands != i) return {false, stands};
    return {!withdraws(i), std::nullopt};
  }

 private:
  bool withdraws(std::size_t i) const { return entries_[i].what == What::withdrawal; }

  const std::vector<Entry>& entries_;
  std::vector<std::size_t> root_;                 ///< of the tree of each entry
  std::vector<std::optional<std::size_t>> last_;  ///< of what is below it: what stands instead
};

}  // namespace

std::vector<Fate> fates_of(const std::vector<Entry>& entries) {
  const bool corrected = std::any_of(entries.begin(), entries.end(),
                                     [](const Entry& one) { return !one.corrects.empty(); });
  if (!corrected) return std::vector<Fate>(entries.size(), Fate{true, std::nullopt});
  const Corrections corrections(entries);
  std::vector<Fate> out;
  out.reserve(entries.size());
  for (std::size_t i = 0; i < entries.size(); ++i) out.push_back(corrections.fate_of(i));
  return out;
}

std::vector<Entry> standing(std::vector<Entry> entries) {
  sort_as_noted(entries);
  const std::vector<Fate> fates = fates_of(entries);
  std::size_t kept = 0;
  for (std::size_t i = 0; i < entries.size(); ++i) {
    if (!fates[i].holds) continue;
    if (kept != i) entries[kept] = std::move(entries[i]);
    ++kept;
  }
  entries.resize(kept);
  return entries;
}

}  // namespace budwood::record
