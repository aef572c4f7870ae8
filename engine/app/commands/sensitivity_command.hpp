#pragma once

#include <optional>
#include <string>

#include "app/arguments.hpp"

namespace budwood::app {

/// Writes what moves a cell of a batch, or of every batch that has the cell; see
/// `plan::sensitivity_of`. Gives the exit status.
int run_sensitivity(const BookArguments& book, const std::optional<std::string>& batch,
                    const std::string& cell, const ResultArguments& result);

}  // namespace budwood::app
