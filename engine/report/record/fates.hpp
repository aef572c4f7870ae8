#pragma once

#include <string>
#include <unordered_map>
#include <vector>

#include "record/standing.hpp"

namespace budwood::report {

/// As many letters of an id as lists show.
inline constexpr std::size_t short_id = 8;

/// What has become of entries, in words. Looks at the entries, which stay where they are.
class Fates {
 public:
  /// All entries of the batches in question, in the order noted.
  explicit Fates(const std::vector<record::Entry>& all);

  bool holds(const record::Entry& entry) const;
  /// "corrected by k7m2q9x4", "withdrawn by ...", "" of what holds and of what only took back.
  std::string words(const record::Entry& entry) const;

 private:
  const record::Fate* of(const record::Entry& entry) const;

  const std::vector<record::Entry>& all_;
  std::vector<record::Fate> fates_;
  std::unordered_map<std::string, std::size_t> places_;
};

}  // namespace budwood::report
