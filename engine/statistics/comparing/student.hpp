#pragma once

namespace budwood::statistics {

/// Student's t distribution and the chi-square distribution, by Boost.Math. A NaN for degrees of
/// freedom that are not above 0.

/// The t that leaves half of 1 - confidence on either side.
double two_sided_t(double confidence, double degrees);
/// By luck alone so large a t, on either side.
double two_sided_t_tail(double t, double degrees);
/// By luck alone so large a chi-square or a larger one.
double chi_square_above(double chi_square, double degrees);

}  // namespace budwood::statistics
