/// The standard normal distribution. Only for this module's .cpp files.
#pragma once

namespace budwood::statistics {

double normal_below(double z);
/// The z below which a share of the distribution lies, 0 < share < 1.
double normal_quantile(double share);
/// The z that leaves half of 1 - confidence on either side.
double two_sided_z(double confidence);

}  // namespace budwood::statistics
