#pragma once

#include "sheet/template/template.hpp"

namespace budwood::sheet {

/// Values by cell that stand in the place of what a cell would have otherwise.
using GivenValues = std::vector<std::pair<CellId, double>>;

/// What a value that is given rests on: `good` of `seen` in so many batches (0: nobody said), and
/// the likeness of two plants of a batch.
struct GivenCount {
  double good = 0, seen = 0, batches = 0;
  std::optional<double> likeness{};
};

/// Gives an input a value, and tells the stages whose losses it says the count that it rests on;
/// none was seen when there is no count. Without a likeness of its own, that of whoever else says
/// one goes on. Returns whether there is such a stage.
bool give(const Template& t, CellId input, double value, const GivenCount& count,
          GivenValues& values);
/// Takes the value and its count back.
void take_back(const Template& t, CellId input, GivenValues& values);

/// What is given for a cell; the last value counts.
std::optional<double> given(const GivenValues& values, CellId cell);
/// Replaces what is given for a cell.
void set_given(GivenValues& values, CellId cell, double value);
void erase_given(GivenValues& values, CellId cell);

}  // namespace budwood::sheet
