/// What differs between protocols, as facts; reports lay them out like all else.
#pragma once

#include <string>
#include <vector>

#include "language/model.hpp"

namespace budwood::share {

/// One thing that one protocol says otherwise than another.
struct Change {
  std::string stage;   ///< in which it stands, by its newer name; "" for the protocol as a whole
  std::string work;    ///< title of the work, by the newer one; "" where it is not about work
  std::string about;   ///< "length", "humidity", "input take", "caution"
  std::string before;  ///< what was said, as it is shown; "" when nothing was
  std::string after;
  std::string sentence;  ///< "lasts 9 to 11 days instead of 8 to 10 days"
};

/// What the second protocol says otherwise than the first.
struct ProtocolChanges {
  bool same_fingerprint = false;
  std::vector<Change> changes;  ///< the protocol as a whole, then its stages in their order
};

/// Holds two protocols against each other: what they mean, not how it is written. Stages and what
/// is declared are matched by name, a stage that is left over on both sides and
/// says mostly the same was renamed; work is matched by title, then by how many words of the titles
/// are the same. Lengths are compared as values, so that 14 days and 2 weeks are no change. What
/// the protocols follow of rule sets is left out.
ProtocolChanges compare(const language::Protocol& before, const language::Protocol& after);

}  // namespace budwood::share
