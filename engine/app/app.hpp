/// The program: commands, each with the words and options that it takes.
///
/// Results go to stdout or a file, everything else to stderr. Exit status: 0 fine, 1 the input has
/// errors, the plan has conflicts or the result could not be written, 2 the command was used
/// wrongly.
#pragma once

#include <functional>

namespace CLI {
class App;
}

namespace budwood::app {

inline constexpr int exit_fine = 0;
inline constexpr int exit_faults = 1;
inline constexpr int exit_misuse = 2;
inline constexpr int exit_broken = 3;  ///< a fault of the program's own

/// One command of the program.
struct Command {
  CLI::App* words = nullptr;  ///< what it takes on the command line; owned by the program
  std::function<int()> run;   ///< gives the exit status
};

/// Each adds its command to the program.
Command add_check(CLI::App& program);
Command add_plan(CLI::App& program);
Command add_needs(CLI::App& program);
Command add_load(CLI::App& program);
Command add_propose(CLI::App& program);
Command add_sheet(CLI::App& program);
Command add_graph(CLI::App& program);
Command add_print(CLI::App& program);
Command add_why(CLI::App& program);
Command add_compare(CLI::App& program);
Command add_editions(CLI::App& program);
Command add_pack(CLI::App& program);
Command add_unpack(CLI::App& program);
Command add_keys(CLI::App& program);
Command add_record(CLI::App& program);
Command add_results(CLI::App& program);
Command add_learn(CLI::App& program);
Command add_revise(CLI::App& program);
Command add_serve(CLI::App& program);
Command add_people(CLI::App& program);
Command add_tidy(CLI::App& program);
Command add_language_server(CLI::App& program);
Command add_new(CLI::App& program);
Command add_help(CLI::App& program);
Command add_completion(CLI::App& program);

}  // namespace budwood::app
