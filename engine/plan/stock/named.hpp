/// Where batches say that their supplies come from. Private to this module.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "book/batches/batch.hpp"
#include "book/book.hpp"
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

/// The supplies that the protocols of a book declare, by name; of several of one name the first.
std::map<std::string, const language::Supply*> supplies_of(const book::Book& book);
/// Reports what is said to be of a supply that no protocol of the book has, unless a protocol of it
/// could not be read.
void report_unknown_supply(const book::Book& book,
                           const std::map<std::string, const language::Supply*>& known,
                           const book::Placed<std::string>& supply, text::Diagnostics& diagnostics);

/// "T-114, T-120" as its names.
std::vector<std::string> names_in(const std::string& text);

}  // namespace budwood::plan
