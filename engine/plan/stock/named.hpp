/// Where batches say that their supplies come from. Private to this module.
#pragma once

#include <string>
#include <vector>

#include "book/batches/batch.hpp"
#include "book/site/site.hpp"
#include "text/text.hpp"

namespace budwood::plan {

/// What a batch says of where a supply comes from, held against lots and mother plants of the site.
struct Named {
  bool said = false;  ///< it says something
  /// Lots and mothers that are meant; none when it is a text of its own.
  std::vector<std::string> names;

  /// Whether it may take from a lot or mothers of this name and cultivar.
  bool takes(const std::string& name, const std::string& of_cultivar,
             const std::string& cultivar) const;
};
Named named_in(const book::Batch& batch, const std::string& supply, const book::Site& site);

struct Plan;
/// Reports lots and mothers that batches name and that are of another supply, and texts that look
/// like a slip of such a name.
void check_named(const Plan& plan, text::Diagnostics& diagnostics);

/// "T-114, T-120" as its names.
std::vector<std::string> names_in(const std::string& text);

}  // namespace budwood::plan
