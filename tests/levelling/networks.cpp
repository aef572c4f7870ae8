#include "networks.hpp"

#include <algorithm>
#include <istream>

namespace budwood::levelling {

namespace {

/// A lag in square brackets.
bool read_lag(std::istream& in, int& lag) {
  char open = 0, close = 0;
  return static_cast<bool>(in >> open >> lag >> close) && open == '[' && close == ']';
}

}  // namespace

std::optional<RawNetwork> read_network(std::istream& in) {
  RawNetwork network;
  std::size_t real = 0, resources = 0;
  int zero = 0;
  if (!(in >> real >> resources >> zero >> zero)) return {};
  network.activities.resize(real + 2);
  for (RawNetwork::Activity& activity : network.activities) {
    std::size_t number = 0, modes = 0, count = 0;
    if (!(in >> number >> modes >> count)) return {};
    activity.follows.resize(count);
    for (RawNetwork::Follow& follow : activity.follows) {
      if (!(in >> follow.activity) || follow.activity >= real + 2) return {};
    }
    for (RawNetwork::Follow& follow : activity.follows) {
      if (!read_lag(in, follow.lag)) return {};
    }
  }
  for (RawNetwork::Activity& activity : network.activities) {
    std::size_t number = 0, mode = 0;
    activity.demands.resize(resources);
    if (!(in >> number >> mode >> activity.duration)) return {};
    for (int& demand : activity.demands) in >> demand;
  }
  network.capacities.resize(resources);
  for (int& capacity : network.capacities) in >> capacity;
  if (!in) return {};
  return network;
}

Problem problem_of(const RawNetwork& network) {
  Problem problem;
  Day horizon = 0;
  for (const RawNetwork::Activity& activity : network.activities) {
    int most = activity.duration;
    for (const RawNetwork::Follow& follow : activity.follows) most = std::max(most, follow.lag);
    horizon += most;
  }
  problem.points.assign(network.activities.size(), {0, horizon, nullptr, 0});
  problem.points.front().latest = 0;
  for (const int capacity : network.capacities) problem.resources.push_back({capacity, 0, {}});
  for (PointId p = 0; p < network.activities.size(); ++p) {
    const RawNetwork::Activity& activity = network.activities[p];
    for (const RawNetwork::Follow& follow : activity.follows) {
      problem.lags.push_back({p, static_cast<PointId>(follow.activity), follow.lag});
    }
    for (ResourceId r = 0; r < activity.demands.size(); ++r) {
      if (activity.demands[r] == 0 || activity.duration == 0) continue;
      problem.uses.push_back({r, activity.demands[r], {p, 0}, {p, activity.duration}, 0, nullptr});
    }
  }
  const auto sink = static_cast<PointId>(network.activities.size() - 1);
  problem.objectives = {{{sink, 0, 1, 0}}};
  return problem;
}

std::string check_starts(const RawNetwork& network, const std::vector<Day>& starts) {
  if (starts.size() != network.activities.size() || starts[0] != 0) return "starts";
  Day end = 0;
  for (std::size_t i = 0; i < starts.size(); ++i) {
    const RawNetwork::Activity& activity = network.activities[i];
    if (starts[i] < 0) return "negative start of " + std::to_string(i);
    end = std::max(end, starts[i] + activity.duration);
    for (const RawNetwork::Follow& follow : activity.follows) {
      if (starts[follow.activity] < starts[i] + follow.lag) {
        return "lag " + std::to_string(i) + " to " + std::to_string(follow.activity);
      }
    }
  }
  for (Day day = 0; day < end; ++day) {
    std::vector<int> taken(network.capacities.size());
    for (std::size_t i = 0; i < starts.size(); ++i) {
      const RawNetwork::Activity& activity = network.activities[i];
      if (day < starts[i] || day >= starts[i] + activity.duration) continue;
      for (std::size_t r = 0; r < taken.size(); ++r) taken[r] += activity.demands[r];
    }
    for (std::size_t r = 0; r < taken.size(); ++r) {
      if (taken[r] > network.capacities[r]) return "resource on day " + std::to_string(day);
    }
  }
  return {};
}

}  // namespace budwood::levelling
