/// Private to this module.
#pragma once

#include "editor/workspace.hpp"
#include "sheet/row.hpp"
#include "sheet/sheet.hpp"

namespace budwood::editor {

/// A protocol worked through once with its usual inputs, every day a working day.
class UsualValues {
 public:
  UsualValues(const language::Protocol& protocol, double plants);

  /// nullptr when it has mistakes.
  const sheet::Row* row() const { return row_ ? &*row_ : nullptr; }
  /// How long a stage lasts: "14 days"; "" when it has no length.
  std::string days(const std::string& stage) const;
  /// Its length, plants and hours: "14 days, 1177 plants, 6.5 h of work".
  std::string of_stage(const std::string& stage) const;
  /// The value of a cell such as `trays` or `rooting.plants`, with its unit; "" when it has none.
  std::string shown(const std::string& cell) const;

 private:
  /// The value of a cell in a unit; "" when it has none.
  std::string in_unit(const std::string& cell, const char* unit) const;

  std::optional<sheet::Sheet> sheet_;
  std::optional<sheet::Row> row_;
};

/// The model of a protocol of a document: of a variant its own; nullptr when it has mistakes.
const language::Protocol* model_of(const Library& library, const Document& document,
                                   std::size_t owner);

}  // namespace budwood::editor
