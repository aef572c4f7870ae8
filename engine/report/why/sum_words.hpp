#pragma once

#include "report/why/why_words.hpp"

namespace budwood::report {

/// How a cell that the engine has made comes to its value, with the values put in: "600 / (0.9 x
/// 0.97), rounded up from 687.3". "" for cells that stand for what is written.
std::string sum_text(const Asked& asked, sheet::CellId cell);

}  // namespace budwood::report
