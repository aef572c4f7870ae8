/// Reads one case a line from the standard input, writes its results to the standard output, for
/// reference_check.py to compare with SciPy:
///
///   at_least N M P · fewer N M P · exactly N K P · quantile N P SHARE · start M P ASSURANCE
///   predicted N M GOOD SEEN · predicted_start M GOOD SEEN ASSURANCE
///   wilson X N CONFIDENCE
///   fisher A N1 B N2
#include <functional>
#include <iomanip>
#include <iostream>
#include <limits>
#include <map>
#include <sstream>
#include <string>

#include "statistics/statistics.hpp"

namespace {

using namespace budwood::statistics;

std::int64_t count(std::istream& in) {
  std::int64_t value = 0;
  in >> value;
  return value;
}

double number(std::istream& in) {
  double value = 0;
  in >> value;
  return value;
}

void print(const std::optional<Interval>& interval) {
  if (interval) std::cout << interval->low << ' ' << interval->high;
}

void print(const std::optional<std::int64_t>& value) {
  if (value) std::cout << *value;
}

const std::map<std::string, std::function<void(std::istream&)>>& kinds() {
  static const std::map<std::string, std::function<void(std::istream&)>> all = {
      {"at_least",
       [](std::istream& in) {
         const auto n = count(in), m = count(in);
         std::cout << binomial_at_least(n, m, number(in));
       }},
      {"fewer",
       [](std::istream& in) {
         const auto n = count(in), m = count(in);
         std::cout << binomial_fewer_than(n, m, number(in));
       }},
      {"exactly",
       [](std::istream& in) {
         const auto n = count(in), k = count(in);
         std::cout << binomial_exactly(n, k, number(in));
       }},
      {"quantile",
       [](std::istream& in) {
         const auto n = count(in);
         const double p = number(in);
         print(binomial_quantile(n, p, number(in)));
       }},
      {"start",
       [](std::istream& in) {
         const auto m = count(in);
         const double p = number(in);
         print(smallest_start(m, p, number(in)));
       }},
      {"predicted",
       [](std::istream& in) {
         const auto n = count(in), m = count(in), good = count(in), seen = count(in);
         std::cout << predicted_at_least(n, m, *Rate::counted(good, seen));
       }},
      {"predicted_start",
       [](std::istream& in) {
         const auto m = count(in), good = count(in), seen = count(in);
         print(smallest_start(m, *Rate::counted(good, seen), number(in)));
       }},
      {"wilson",
       [](std::istream& in) {
         const auto x = count(in), n = count(in);
         print(wilson(x, n, number(in)));
       }},
      {"fisher",
       [](std::istream& in) {
         const auto a = count(in), n1 = count(in), b = count(in), n2 = count(in);
         const auto test = fisher_test({a, n1}, {b, n2});
         if (test) std::cout << test->two_sided << ' ' << test->less << ' ' << test->greater;
       }},
  };
  return all;
}

}  // namespace

int main() {
  std::cout << std::setprecision(std::numeric_limits<double>::max_digits10);
  for (std::string line; std::getline(std::cin, line);) {
    std::istringstream in(line);
    std::string kind;
    in >> kind;
    const auto found = kinds().find(kind);
    if (found == kinds().end()) {
      std::cerr << "unknown case: " << line << '\n';
      return 1;
    }
    found->second(in);
    std::cout << '\n';
  }
}
