/// Gates that were seen. Private to this module.
#pragma once

#include <string>
#include <unordered_map>
#include <vector>

#include "book/book.hpp"
#include "language/model.hpp"
#include "sheet/site/site.hpp"

namespace budwood::plan {

/// What the record of a book says was seen, looked through once.
class Sights {
 public:
  explicit Sights(const book::Book& book);

  /// Adds the ends of stages whose gate was seen and whose end nobody noted: the first day on which
  /// all that the gate asks for was so, by what was last seen of each. Values that hang on inputs
  /// are not judged.
  void add_gates_seen(const book::Batch& batch, const language::Protocol& protocol,
                      sheet::BatchFacts& facts) const;

 private:
  std::vector<const record::Entry*> of(const book::Batch& batch, const std::string& stage) const;

  std::unordered_map<std::string, std::vector<const record::Entry*>> by_batch_;  ///< as noted
};

}  // namespace budwood::plan
