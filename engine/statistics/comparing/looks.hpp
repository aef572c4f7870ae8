#pragma once

#include <optional>

namespace budwood::statistics {

/// Looking again and again while a trial is running, each time as if it were the only time.

/// Chance of at least one false alarm in so many equally spaced looks, each at a limit of z on
/// either side, when there is no difference (Armitage, McPherson & Rowe 1969, J. R. Stat. Soc. A
/// 132:235-244). Right to about 1e-5. Nothing for fewer than 1 or more than 100 looks, a z not
/// above 0.
std::optional<double> false_alarm_of_looks(int looks, double z);

/// The limit that keeps the risk of all looks together (Pocock 1977, Biometrika 64:191-199).
std::optional<double> limit_for_looks(int looks, double risk = 0.05);

}  // namespace budwood::statistics
