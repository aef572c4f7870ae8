#pragma once

#include <map>
#include <string>
#include <vector>

#include "plan/plan.hpp"
#include "record/store.hpp"
#include "record/understand.hpp"

namespace budwood::app {

/// What a book and its record know of the batches that some entries speak of. Only these are
/// planned: a book may have thousands, and a note must not wait for them.
class BookKnown : public record::Known {
 public:
  /// `mentioned` are the places that entries name; `store` may be nullptr.
  BookKnown(const book::Book& book, const std::vector<std::string>& mentioned,
            record::Store* store);

  std::vector<std::string> batches() const override;
  const language::Protocol* protocol_of(const std::string& batch) const override;
  std::vector<std::string> orders_of(const std::string& batch) const override;
  std::vector<const language::Supply*> supplies() const override;
  std::vector<record::Entry> entries(const std::string& front) const override;

 private:
  const book::Book& book_;
  record::Store* store_;
  book::Book part_;  ///< with the batches that are mentioned
  plan::Plan plan_;
  std::map<std::string, std::vector<std::string>> orders_;
};

}  // namespace budwood::app
