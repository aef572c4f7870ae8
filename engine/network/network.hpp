/// The time network: dates as points, what binds them as links, and the plans that follow.
///
/// All constraints are monotone between two dates (difference bounds, sets of allowed days on one
/// date, lengths that grow with their start), so solutions are closed under taking the later, or
/// the earlier, of two: there is one latest and one earliest plan, and repeated tightening finds it
/// (Dechter, Meiri & Pearl 1991; Jeavons & Cooper 1995).
///
///     Network network;
///     const PointId graft = network.add_point(&working.days());
///     const PointId healed = network.add_point();
///     network.add_link(graft, healed, 7, 10);
///     network.set_not_after(healed, ready);
///     Solver solver;
///     std::vector<Day> days;
///     if (!solver.latest(network, days)) show(shortest_conflict(network));
#pragma once

#include "network/binding.hpp"          // why a date of the latest plan is not later
#include "network/controllability.hpp"  // can it be followed whatever nature picks?
#include "network/explain.hpp"          // the shortest reason, and what would repair it
#include "network/solver.hpp"           // Solver, Conflict, Fact
#include "network/time_network.hpp"     // Network, MonotoneLength
