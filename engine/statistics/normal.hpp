/// The standard normal distribution. Only for this module's .cpp files.
#pragma once

namespace budwood::statistics {

double normal_below(double z);
/// The z below which a share of the distribution lies, 0 < share < 1.
double normal_quantile(double share);

}  // namespace budwood::statistics
