// Networks with known verdicts from an open collection, one JSON file a kind. Bounds have at most
// four decimals and are scaled to whole numbers.
#include <doctest/doctest.h>

#include <cmath>
#include <cstdlib>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <string>

#include "differences.hpp"
#include "network/network.hpp"
#include "uncertain_oracles.hpp"

using namespace budwood::network;

namespace {

constexpr double scale = 10'000;

/// The networks of a file; none, with a word about it, when the collection is not at hand.
nlohmann::json networks_in(const std::string& file) {
  const char* variable = std::getenv("BUDWOOD_SHARED_DATA");
  const std::string folder = variable ? variable : BUDWOOD_SHARED_DATA;
  std::ifstream in(folder + "/temporal/" + file);
  if (folder.empty() || !in) {
    MESSAGE("skipped: no temporal/" << file << " (set BUDWOOD_SHARED_DATA to the data folder)");
    return nlohmann::json::array();
  }
  return nlohmann::json::parse(in).at("networks");
}

std::optional<Length> scaled(const nlohmann::json& value) {
  if (value.is_null()) return {};
  return std::llround(value.get<double>() * scale);
}

Uncertain read(const nlohmann::json& json) {
  Uncertain network;
  std::map<std::string, std::size_t> index;
  for (const auto& name : json.at("points")) index.emplace(name, index.size());
  network.points = index.size();
  for (const auto& row : json.at("constraints")) {
    network.requirements.push_back(
        {index.at(row[0]), index.at(row[1]), scaled(row[2]), scaled(row[3])});
  }
  if (!json.contains("contingent")) return network;
  for (const auto& row : json.at("contingent")) {
    network.contingents.push_back(
        {index.at(row[0]), index.at(row[1]), scaled(row[2]).value(), scaled(row[3]).value()});
  }
  return network;
}

/// The network with nature's links as plain ones.
std::vector<Difference> differences_of(const Uncertain& network) {
  std::vector<Difference> differences;
  for (const Requirement& r : network.requirements) {
    if (r.high) differences.push_back({r.from, r.to, *r.high});
    if (r.low) differences.push_back({r.to, r.from, -*r.low});
  }
  for (const Contingent& link : network.contingents) {
    differences.push_back({link.from, link.to, link.high});
    differences.push_back({link.to, link.from, -link.low});
  }
  return differences;
}

void check_verdicts(const std::string& file) {
  for (const auto& json : networks_in(file)) {
    const std::string name = json.at("name");
    CAPTURE(name);
    const Uncertain network = read(json);
    const Verdict verdict = check_controllability(network);
    CHECK(verdict.controllable == json.at("controllable").get<bool>());
    if (!verdict.controllable) {
      CHECK_FALSE(controllable_by_saturation(named_part(network, verdict.conflict)));
      CHECK(verdict.misses > 0);
    }
    if (json.contains("consistent_if_nature_helps")) {
      CHECK(solve_differences(network.points, differences_of(network)).has_value() ==
            json.at("consistent_if_nature_helps").get<bool>());
    }
  }
}

}  // namespace

TEST_CASE("data: published networks with uncertainty have their stated verdict") {
  check_verdicts("stnu.json");
}

TEST_CASE("data: random networks on which four implementations agree") {
  check_verdicts("random.json");
}

TEST_CASE("data: simple temporal networks have their published minimal network") {
  for (const auto& json : networks_in("stn.json")) {
    const std::string name = json.at("name");
    CAPTURE(name);
    const Uncertain network = read(json);
    const auto minimal = minimal_network(network.points, differences_of(network));
    REQUIRE(minimal.has_value() == json.at("consistent").get<bool>());
    CHECK(check_controllability(network).controllable == minimal.has_value());
    if (!minimal) continue;
    for (std::size_t i = 0; i < network.points; ++i) {
      for (std::size_t j = 0; j < network.points; ++j) {
        CHECK(minimal->bound(i, j) == scaled(json.at("minimal")[i][j]));
      }
    }
    if (!json.contains("latest")) continue;
    const auto solution = solve_differences(network.points, differences_of(network));
    for (std::size_t i = 0; i < network.points; ++i) {
      CHECK(solution->at(i) == scaled(json.at("latest")[i]));
    }
  }
}
