#include "statistics/comparing/student.hpp"

#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>

#include "statistics/boost_policy.hpp"
#include "statistics/refusal.hpp"

namespace budwood::statistics {

double two_sided_t(double confidence, double degrees) {
  if (!(degrees > 0) || !(confidence > 0 && confidence < 1)) return refused;
  const boost::math::students_t_distribution<double, Quiet> t(degrees);
  return boost::math::quantile(boost::math::complement(t, (1 - confidence) / 2));
}

double two_sided_t_tail(double t, double degrees) {
  if (!(degrees > 0) || std::isnan(t)) return refused;
  if (std::isinf(t)) return 0;
  const boost::math::students_t_distribution<double, Quiet> distribution(degrees);
  return 2 * boost::math::cdf(boost::math::complement(distribution, std::abs(t)));
}

double chi_square_above(double chi_square, double degrees) {
  if (!(degrees > 0) || !(chi_square >= 0)) return refused;
  if (std::isinf(chi_square)) return 0;
  const boost::math::chi_squared_distribution<double, Quiet> distribution(degrees);
  return boost::math::cdf(boost::math::complement(distribution, chi_square));
}

}  // namespace budwood::statistics
