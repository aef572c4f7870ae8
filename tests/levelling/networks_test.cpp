#include "networks.hpp"

#include <doctest/doctest.h>

#include <sstream>

using namespace budwood::levelling;

namespace {

// Two activities of 3 and 2 days that cannot run together; the second starts at most 4 days after
// the first.
const char* const small = R"(2 1 0 0
0 1 2 1 2 [0] [0]
1 1 2 3 2 [3] [1]
2 1 2 3 1 [2] [-4]
3 1 0
0 1 0 0
1 1 3 2
2 1 2 2
3 1 0 0
3
)";

}  // namespace

TEST_CASE("networks: a file is read as it is written") {
  std::istringstream in(small);
  const auto network = read_network(in);
  REQUIRE(network.has_value());
  CHECK(network->activities.size() == 4);
  CHECK(network->activities[2].follows[1].activity == 1);
  CHECK(network->activities[2].follows[1].lag == -4);
  CHECK(network->activities[1].duration == 3);
  CHECK(network->capacities == std::vector<int>{3});
}

TEST_CASE("networks: the checker sees lags and capacity") {
  std::istringstream in(small);
  const auto network = read_network(in);
  REQUIRE(network.has_value());
  CHECK(check_starts(*network, {0, 0, 3, 5}).empty());
  CHECK(check_starts(*network, {0, 0, 3, 4}) == "lag 2 to 3");
  CHECK(check_starts(*network, {0, 0, 5, 7}) == "lag 2 to 1");
  CHECK(check_starts(*network, {0, 0, 2, 5}) == "resource on day 2");
  CHECK(check_starts(*network, {1, 1, 4, 6}) == "starts");
}

TEST_CASE("networks: the search finds the best schedule") {
  std::istringstream in(small);
  const auto network = read_network(in);
  REQUIRE(network.has_value());
  const Solution solution = solve(problem_of(*network), {});
  CHECK(solution.status == Status::optimal);
  CHECK(solution.costs == std::vector<Cost>{5});
  CHECK(solution.bounds == std::vector<Cost>{5});
}

TEST_CASE("networks: a cut-off file is refused") {
  std::istringstream in(std::string(small).substr(0, 60));
  CHECK_FALSE(read_network(in).has_value());
}
