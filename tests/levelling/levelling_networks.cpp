// Runs the solver on open benchmark networks, checks every schedule and prints a table.
//
//   levelling_networks FOLDER [--set j10] [--for 10] [--jobs 2] [--every 1] [--most 100] [--each]
//
// --every N takes each N-th network of a set, --most those of at most so many activities.
// FOLDER holds best_known.csv and a folder a set. Ends with 1 when a schedule is wrong, when a
// verdict contradicts what is known, or when a network known to be feasible got no schedule; with
// 77 when the folder is not there.
#include <algorithm>
#include <atomic>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <map>
#include <mutex>
#include <sstream>
#include <string>
#include <thread>
#include <vector>

#include "networks.hpp"

using namespace budwood::levelling;

namespace {

struct Options {
  std::string folder;
  std::string set;
  double seconds = 10;
  unsigned jobs = 1;
  std::size_t every = 1;
  long most = 1000;
  bool each = false;
};

/// A row of best_known.csv.
struct Known {
  std::string set, file, status;
  long bound = -1, best = -1;
};

struct Outcome {
  Known known;
  Solution solution;
  double seconds = 0;
  std::string wrong;
};

std::vector<Known> read_known(const Options& options) {
  std::vector<Known> all;
  std::ifstream in(options.folder + "/best_known.csv");
  std::string line;
  std::getline(in, line);
  std::map<std::string, std::size_t> seen;
  while (std::getline(in, line)) {
    std::istringstream row(line);
    std::vector<std::string> cells;
    for (std::string cell; std::getline(row, cell, ',');) cells.push_back(cell);
    if (cells.size() < 5 || (!options.set.empty() && cells[0] != options.set)) continue;
    if (std::stol(cells[2]) > options.most) continue;
    if (seen[cells[0]]++ % options.every != 0) continue;
    Known known{cells[0], cells[1], cells[3], -1, -1};
    if (!cells[4].empty()) known.bound = std::stol(cells[4]);
    if (cells.size() > 5 && !cells[5].empty()) known.best = std::stol(cells[5]);
    all.push_back(known);
  }
  return all;
}

/// What the verdict gets wrong, or nothing.
std::string fault(const RawNetwork& network, const Known& known, const Solution& solution) {
  const bool found = !solution.schedule.days.empty();
  if (!found) {
    if (solution.status == Status::infeasible && known.best >= 0) return "said infeasible";
    if (solution.status == Status::optimal) return "optimal without a schedule";
    return known.best >= 0 ? "no schedule found" : "";
  }
  const std::string broken = check_starts(network, solution.schedule.days);
  if (!broken.empty()) return "broken: " + broken;
  const long makespan = solution.schedule.days.back();
  if (solution.costs != std::vector<Cost>{makespan}) return "cost is not the makespan";
  if (known.status == "infeasible") return "schedule of an infeasible network";
  if (makespan < known.bound) return "better than possible";
  if (solution.status == Status::optimal && makespan > known.best) return "not optimal";
  if (known.best >= 0 && solution.bounds[0] > known.best) return "bound above best known";
  return {};
}

Outcome run(const Options& options, const Known& known) {
  Outcome outcome{known, {}, 0, {}};
  std::ifstream in(options.folder + "/" + known.file);
  const std::optional<RawNetwork> network = read_network(in);
  if (!network) {
    outcome.wrong = "cannot be read";
    return outcome;
  }
  const auto begin = std::chrono::steady_clock::now();
  SolveOptions solve_options;
  solve_options.seconds = options.seconds;
  outcome.solution = solve(problem_of(*network), solve_options);
  outcome.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
  outcome.wrong = fault(*network, known, outcome.solution);
  return outcome;
}

double gap(const Outcome& outcome) {
  const double best = static_cast<double>(outcome.known.best);
  return (static_cast<double>(outcome.solution.costs[0]) - best) / best * 100;
}

void print_each(const Outcome& outcome) {
  const char* const statuses[] = {"optimal", "feasible", "infeasible", "unknown"};
  const bool found = !outcome.solution.schedule.days.empty();
  std::printf(
      "%-18s %-10s known %-10s %5ld found %5ld bound %5ld %6.2f s %s\n", outcome.known.file.c_str(),
      statuses[static_cast<std::size_t>(outcome.solution.status)], outcome.known.status.c_str(),
      outcome.known.best, found ? static_cast<long>(outcome.solution.costs[0]) : -1L,
      outcome.solution.bounds.empty() ? -1L : static_cast<long>(outcome.solution.bounds[0]),
      outcome.seconds, outcome.wrong.c_str());
  std::fflush(stdout);
}

struct Sums {
  int count = 0, known_feasible = 0, found = 0, optimal = 0, infeasible = 0, compared = 0;
  double gaps = 0, largest = 0, seconds = 0;
};

void print_table(const std::vector<Outcome>& outcomes) {
  std::vector<std::string> order;
  std::map<std::string, Sums> sets;
  for (const Outcome& outcome : outcomes) {
    if (!sets.contains(outcome.known.set)) order.push_back(outcome.known.set);
    Sums& sums = sets[outcome.known.set];
    const bool found = !outcome.solution.schedule.days.empty();
    ++sums.count;
    sums.known_feasible += outcome.known.best >= 0;
    sums.found += found;
    sums.optimal += outcome.solution.status == Status::optimal;
    sums.infeasible += outcome.solution.status == Status::infeasible;
    sums.seconds += outcome.seconds;
    if (!found || outcome.known.best <= 0) continue;
    ++sums.compared;
    sums.gaps += gap(outcome);
    sums.largest = std::max(sums.largest, gap(outcome));
  }
  std::printf("set     networks  found/known  optimal  infeasible  gap %%  largest %%  seconds\n");
  for (const std::string& set : order) {
    const Sums& s = sets[set];
    std::printf("%-8s %7d %7d/%-4d %8d %11d %6.2f %10.2f %8.2f\n", set.c_str(), s.count, s.found,
                s.known_feasible, s.optimal, s.infeasible, s.compared ? s.gaps / s.compared : 0.0,
                s.largest, s.seconds / s.count);
  }
}

Options read_options(int count, char** words) {
  Options options;
  for (int i = 1; i < count; ++i) {
    const std::string word = words[i];
    const bool more = i + 1 < count;
    if (word == "--set" && more) {
      options.set = words[++i];
    } else if (word == "--for" && more) {
      options.seconds = std::stod(words[++i]);
    } else if (word == "--jobs" && more) {
      options.jobs = static_cast<unsigned>(std::stoul(words[++i]));
    } else if (word == "--every" && more) {
      options.every = std::stoul(words[++i]);
    } else if (word == "--most" && more) {
      options.most = std::stol(words[++i]);
    } else if (word == "--each") {
      options.each = true;
    } else {
      options.folder = word;
    }
  }
  return options;
}

}  // namespace

int main(int count, char** words) {
  Options options = read_options(count, words);
  std::vector<Known> known = read_known(options);
  const char* const shared = std::getenv("BUDWOOD_SHARED_DATA");
  if (known.empty() && shared != nullptr) {
    options.folder = std::string(shared) + "/rcpsp-max";
    known = read_known(options);
  }
  if (known.empty()) {
    std::printf("skipped: no networks in '%s' (set BUDWOOD_SHARED_DATA to the data folder)\n",
                options.folder.c_str());
    return 77;
  }
  std::vector<Outcome> outcomes(known.size());
  std::atomic<std::size_t> next = 0;
  std::mutex printing;
  std::vector<std::thread> threads;
  for (unsigned job = 0; job < std::max(1U, options.jobs); ++job) {
    threads.emplace_back([&] {
      for (std::size_t i = next++; i < known.size(); i = next++) {
        outcomes[i] = run(options, known[i]);
        const std::lock_guard lock(printing);
        if (options.each || !outcomes[i].wrong.empty()) print_each(outcomes[i]);
      }
    });
  }
  for (std::thread& thread : threads) thread.join();
  print_table(outcomes);
  int wrong = 0;
  for (const Outcome& outcome : outcomes) wrong += !outcome.wrong.empty();
  std::printf("%zu networks, %d wrong\n", outcomes.size(), wrong);
  return wrong == 0 ? 0 : 1;
}
