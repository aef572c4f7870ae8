#pragma once

#include <map>
#include <memory>
#include <string>
#include <vector>

#include "plan/plan.hpp"
#include "record/store.hpp"
#include "record/together.hpp"

namespace budwood::plan {

/// What a book and its record know of the batches that some entries speak of. Only these are
/// planned, and only of these the record is read: a book may have thousands, and a note must not
/// wait for them.
class BookKnown : public record::Known {
 public:
  /// `written` is the book without its record; `mentioned` are the lines that will be asked for;
  /// `store` may be nullptr.
  BookKnown(const book::Book& written, const std::vector<language::syntax::EntryLine>& mentioned,
            record::Store* store);

  std::vector<std::string> batches() const override;
  const language::Protocol* protocol_of(const std::string& batch) const override;
  std::vector<std::string> orders_of(const std::string& batch) const override;
  std::vector<std::string> orders_after(const std::string& batch, calendar::Day day) const override;
  std::vector<std::string> cultivars_of(const std::string& batch) const override;
  std::string whole_of(const std::string& batch) const override;
  std::vector<std::string> trays_of(const std::string& batch) const override;
  std::optional<record::PlannedDays> days_of(const std::string& batch) const override;
  std::vector<const language::Supply*> supplies() const override;
  std::vector<record::Entry> entries(const std::string& front) const override;

  /// Why the record could not be asked; "" when all is well.
  const std::string& problem() const { return problem_; }
  /// What is noted of these batches.
  const std::vector<record::Entry>& noted() const { return noted_; }
  /// The plan of these batches as it is, and as it would be with entries.
  const Plan& plan() const { return plan_; }
  struct With {
    book::Book part;
    Plan plan;
    text::Diagnostics found;  ///< in the plan
  };
  std::unique_ptr<With> with(const std::vector<record::Fresh>& fresh);
  /// What the plan would say of entries, and does not say without them.
  text::Diagnostics said_of(const With& with) const;

 private:
  /// The plan of the batches with some entries, in which the plan's own findings are collected.
  Plan plan_with(book::Book& part, std::vector<record::Entry> entries, text::Diagnostics& found);
  /// The names of all orders, by batch; of a batch without dates such as there may be.
  using Orders = std::map<std::string, std::vector<std::string>>;
  static Orders orders_in(const Plan& plan);
  std::vector<std::string> orders_of(const std::string& batch, const Orders& orders) const;

  const book::Book& written_;
  record::Store* store_;
  text::Sources sources_;
  book::Book mentioned_;  ///< with the batches that are mentioned, without their record
  book::Book part_;       ///< with it
  Plan plan_;
  std::vector<record::Entry> noted_;
  text::Diagnostics found_;  ///< in its plan
  Orders orders_;
  mutable std::map<calendar::Day, Orders> later_;  ///< by the day after which they are as planned
  mutable std::string problem_;
};

}  // namespace budwood::plan
