/// An edit is other facts for a row. `Sheet::change` holds the new facts against the old ones,
/// marks the cells that they give, and works off the order of evaluation with a set of bits, so
/// that only users of what has changed are worked out. What takes an edit back is the old facts
/// through the same door: undoing needs no code of its own.
#pragma once

#include <variant>

#include "sheet/columns/given.hpp"
#include "sheet/site/site.hpp"

/// What can be changed in the sheets of a site.
namespace budwood::sheet {

/// One batch: a row of one of the sheets.
struct BatchKey {
  std::uint32_t sheet = 0;
  std::uint32_t row = 0;
  friend auto operator<=>(const BatchKey&, const BatchKey&) = default;
};

/// Gives an input of a batch a value of its own, base units, and perhaps the count that it rests
/// on. Without a value the site's or the protocol's counts again.
struct SetInput {
  BatchKey batch;
  CellId input = no_cell;
  std::optional<double> value{};
  GivenCount count{};
};
/// The plants ordered, 1 to 10,000,000.
struct SetPlants {
  BatchKey batch;
  double plants = 0;
};
/// How sure the number must be: above 0 and below 1; 0: as it comes out on average.
struct SetSure {
  BatchKey batch;
  double sure = 0;
};
/// Ready by a day, instead of whatever date the batch had.
struct SetReady {
  BatchKey batch;
  Day day = 0;
};
/// Started on a day, instead of whatever date the batch had.
struct SetStart {
  BatchKey batch;
  Day day = 0;
};
/// Fixes the start or the end of a stage; without a day it is free again.
struct SetPin {
  BatchKey batch;
  language::StageId stage;
  bool end = false;
  std::optional<Day> day{};
};
/// How many plants came through a stage; without a number what is expected counts again.
struct SetCount {
  BatchKey batch;
  language::StageId stage;
  std::optional<double> left{};
};
struct AddBatch {
  std::uint32_t sheet = 0;
  BatchFacts facts;
};
struct DropBatch {
  BatchKey batch;
};
/// Closes a day at the site, or opens it again where the week has it.
struct SetClosed {
  Day day = 0;
  bool closed = true;
};
/// As SetInput, for the site.
struct SetSiteInput {
  std::uint32_t sheet = 0;
  CellId input = no_cell;
  std::optional<double> value{};
  GivenCount count{};
};

using Edit = std::variant<SetInput, SetPlants, SetSure, SetReady, SetStart, SetPin, SetCount,
                          AddBatch, DropBatch, SetClosed, SetSiteInput>;

}  // namespace budwood::sheet
