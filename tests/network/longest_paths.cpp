// Earliest starts of project networks with minimum and maximum lags, capacities left out: for each
// file named, a line with the start of every activity, or "infeasible". Beside
// longest_paths_test.py.
#include <fstream>
#include <iostream>
#include <sstream>
#include <string>
#include <vector>

#include "network/network.hpp"

using namespace budwood::network;

namespace {

/// ProGen/max: "n K 0 0", then a line for each activity 0 to n+1: its number, 1, how many follow,
/// which, and the lags to them in square brackets.
Network read_project(std::istream& in) {
  std::string line;
  std::getline(in, line);
  std::size_t real = 0;
  std::istringstream(line) >> real;
  Network network;
  for (std::size_t i = 0; i < real + 2; ++i) network.set_not_before(network.add_point(), 0);
  network.set_not_after(0, 0);
  for (std::size_t i = 0; i < real + 2; ++i) {
    std::getline(in, line);
    for (char& c : line) {
      if (c == '[' || c == ']') c = ' ';
    }
    std::istringstream fields(line);
    PointId from = 0;
    int modes = 0;
    std::size_t count = 0;
    fields >> from >> modes >> count;
    std::vector<PointId> after(count);
    for (PointId& to : after) fields >> to;
    for (const PointId to : after) {
      Day lag = 0;
      fields >> lag;
      network.add_link(from, to, lag, {});
    }
  }
  return network;
}

}  // namespace

int main(int argc, char** argv) {
  Solver solver;
  std::vector<Day> days;
  for (int i = 1; i < argc; ++i) {
    std::ifstream in(argv[i]);
    const Network network = read_project(in);
    if (solver.earliest(network, days)) {
      for (const Day day : days) std::cout << day << ' ';
    } else {
      std::cout << "infeasible";
    }
    std::cout << '\n';
  }
}
