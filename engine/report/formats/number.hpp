#pragma once

#include <string>

namespace budwood::report {

/// A number for programs, rounded to 12 significant digits so that the noise of binary fractions
/// does not show: "0.35", "640". "" when it is not finite.
std::string number_text(double value);

}  // namespace budwood::report
