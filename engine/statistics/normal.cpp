#include "statistics/normal.hpp"

#include <boost/math/special_functions/erf.hpp>
#include <cmath>
#include <numbers>

#include "statistics/boost_policy.hpp"

namespace budwood::statistics {

double normal_below(double z) {
  return std::erfc(-z / std::numbers::sqrt2) / 2;
}

double normal_quantile(double share) {
  return -std::numbers::sqrt2 * boost::math::erfc_inv(2 * share, Fast());
}

double two_sided_z(double confidence) {
  return -normal_quantile((1 - confidence) / 2);
}

}  // namespace budwood::statistics
