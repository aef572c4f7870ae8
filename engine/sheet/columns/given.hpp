#pragma once

#include "sheet/template/template.hpp"

namespace budwood::sheet {

/// Values by cell that stand in the place of what a cell would have otherwise.
using GivenValues = std::vector<std::pair<CellId, double>>;

/// Gives an input a value, and tells the stages whose losses it says the count that it rests on:
/// `good` of `seen`; none was seen when there is no count. Returns whether there is such a stage.
bool give(const Template& t, CellId input, double value, double good, double seen,
          GivenValues& values);
/// Takes the value and its count back.
void take_back(const Template& t, CellId input, GivenValues& values);

/// What is given for a cell; the last value counts.
std::optional<double> given(const GivenValues& values, CellId cell);
/// Replaces what is given for a cell.
void set_given(GivenValues& values, CellId cell, double value);
void erase_given(GivenValues& values, CellId cell);

}  // namespace budwood::sheet
