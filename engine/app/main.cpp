#include <fcntl.h>
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <csignal>
#include <iostream>

#include "app/app.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "files/temporary_file.hpp"

namespace {

using namespace budwood;

constexpr const char* purpose =
    "Budwood turns a propagation method, written once, into dated work for every batch.";
constexpr const char* examples =
    "Examples:\n"
    "  budwood check protocols             find mistakes in protocols\n"
    "  budwood plan mybook                 work orders of the book in the folder mybook\n"
    "  budwood plan mybook --from 2027-03-01 --to 2027-03-07 --crew grafting\n"
    "  budwood plan mybook --set \"A27-003.ready=1 week earlier\"\n"
    "  budwood record mybook \"BM27-1/healing counted 61 of 80 on 2027-04-15 by Ana\"\n"
    "  budwood needs mybook --format csv --out needs.csv\n"
    "  budwood load mybook --format svg --out load.svg\n"
    "  budwood graph method.bud --out method.svg\n"
    "  budwood serve mybook                the book in a browser\n"
    "  budwood print mybook --from 2027-03-08 --to 2027-03-14 --out week.html\n"
    "Exit status: 0 fine, 1 errors in the input or conflicts in the plan, 2 used wrongly.";

/// A file opened while one of the three is closed would take its place and receive its text.
void hold_standard_streams() {
  int descriptor = 0;
  do {
    descriptor = ::open("/dev/null", O_RDONLY);
  } while (descriptor >= 0 && descriptor <= STDERR_FILENO);
  if (descriptor > STDERR_FILENO) ::close(descriptor);
}

int answer(const std::string& text) {
  return app::write_result({}, [&](std::ostream& out) { out << text; }) ? app::exit_fine
                                                                        : app::exit_faults;
}

int misuse(const std::string& message, const std::string& command) {
  app::complain(message);
  std::cerr << "`budwood " << command << (command.empty() ? "" : " ")
            << "--help` tells what there is.\n";
  return app::exit_misuse;
}

/// What was typed where a command should stand.
int unknown_command(const std::string& word, const std::vector<app::Command>& commands) {
  std::vector<std::string> names;
  for (const app::Command& command : commands) names.push_back(command.words->get_name());
  const std::string advice = text::did_you_mean(word, names);
  const std::string what = word.starts_with('-') ? "option" : "command";
  return misuse("There is no " + what + " `" + word + "`." + (advice.empty() ? "" : " " + advice),
                "");
}

int run(int argc, char** argv) {
  CLI::App program(purpose, "budwood");
  program.set_help_flag("-h,--help", "Print this help and leave");
  program.set_version_flag("--version", "budwood " BUDWOOD_VERSION, "Print the version and leave");
  const auto words = program.get_formatter();
  words->label("SUBCOMMAND", "COMMAND");
  words->label("Positionals", "Arguments");
  words->label("REQUIRED", "");
  const std::vector<app::Command> commands = {
      app::add_check(program),     app::add_plan(program),
      app::add_needs(program),     app::add_load(program),
      app::add_propose(program),   app::add_sheet(program),
      app::add_graph(program),     app::add_print(program),
      app::add_why(program),       app::add_compare(program),
      app::add_editions(program),  app::add_pack(program),
      app::add_unpack(program),    app::add_keys(program),
      app::add_record(program),    app::add_results(program),
      app::add_learn(program),     app::add_revise(program),
      app::add_serve(program),     app::add_people(program),
      app::add_tidy(program),      app::add_language_server(program),
      app::add_new(program),       app::add_help(program),
      app::add_completion(program)};
  for (const app::Command& c : commands) c.words->group("Commands");
  // Commands would take these over.
  program.footer(examples);
  program.allow_extras();  // answered below, with what may have been meant
  std::string command;
  try {
    program.parse(argc, argv);
  } catch (const CLI::CallForHelp&) {
    return answer(program.help());
  } catch (const CLI::CallForVersion&) {
    return answer(program.version() + "\n");
  } catch (const CLI::ParseError& error) {
    for (const app::Command& c : commands) {
      if (c.words->parsed()) command = c.words->get_name();
    }
    return misuse(error.what(), command);
  }
  const std::vector<std::string> extras = program.remaining();
  if (!extras.empty()) return unknown_command(extras.front(), commands);
  for (const app::Command& c : commands) {
    if (c.words->parsed()) return c.run();
  }
  std::cerr << program.help();
  return app::exit_misuse;
}

}  // namespace

int main(int argc, char** argv) {
  try {
    hold_standard_streams();
    files::remove_temporary_files_on_signals();
    std::signal(SIGXFSZ, SIG_IGN);  // a file that may not grow is a write error like any other
    return run(argc, argv);
  } catch (const std::bad_alloc&) {
    std::cerr << "budwood: There is not enough memory for this.\n";
  } catch (const std::exception& error) {
    app::complain(error.what());
  }
  return app::exit_broken;
}
