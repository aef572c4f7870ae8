#include "network/solver.hpp"

#include "network/propagation.hpp"
#include "network/reduce.hpp"

namespace budwood::network {
namespace {

bool plan(Propagation& propagation, const Network& network, Side side, std::vector<Day>& days,
          Conflict& conflict) {
  conflict.facts.clear();
  conflict.misses = 0;
  conflict.unbounded.reset();
  switch (propagation.run(network, side)) {
    case Propagation::Outcome::plan:
      days.resize(network.point_count());
      for (PointId point = 0; point < days.size(); ++point) days[point] = propagation.day(point);
      return true;
    case Propagation::Outcome::unbounded:
      conflict.unbounded = propagation.unbounded_point();
      return false;
    case Propagation::Outcome::contradiction:
      break;
  }
  conflict.facts = propagation.failing_facts();
  reduce(network, conflict, side);
  return false;
}

}  // namespace

Solver::Solver() : propagation_(std::make_unique<Propagation>()) {}
Solver::~Solver() = default;
Solver::Solver(Solver&&) noexcept = default;
Solver& Solver::operator=(Solver&&) noexcept = default;

bool Solver::latest(const Network& network, std::vector<Day>& days) {
  return plan(*propagation_, network, Side::latest, days, conflict_);
}

bool Solver::earliest(const Network& network, std::vector<Day>& days) {
  return plan(*propagation_, network, Side::earliest, days, conflict_);
}

}  // namespace budwood::network
