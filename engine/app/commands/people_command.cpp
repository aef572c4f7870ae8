#include <termios.h>
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <iostream>
#include <memory>

#include "app/app.hpp"
#include "app/arguments.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "page/people/people.hpp"

namespace budwood::app {

namespace {

struct PeopleArguments {
  std::string folder = ".";
  std::string add, remove, role;
};

/// A line from the person in front of it, without showing it on a terminal.
std::string read_password() {
  termios before{};
  const bool terminal = ::isatty(STDIN_FILENO) == 1 && ::tcgetattr(STDIN_FILENO, &before) == 0;
  if (terminal) {
    std::cerr << "Password: " << std::flush;
    termios hidden = before;
    hidden.c_lflag &= ~static_cast<tcflag_t>(ECHO);
    ::tcsetattr(STDIN_FILENO, TCSANOW, &hidden);
  }
  std::string line;
  std::getline(std::cin, line);
  if (terminal) {
    ::tcsetattr(STDIN_FILENO, TCSANOW, &before);
    std::cerr << '\n';
  }
  return line;
}

/// Nothing when it cannot be read, which was told.
std::optional<std::vector<page::Person>> read_all(const std::string& folder) {
  std::string problem;
  auto people = page::read_people(folder, problem);
  if (problem.empty()) return people;
  complain(problem);
  return std::nullopt;
}

int write_all(const std::string& folder, const std::vector<page::Person>& people,
              const std::string& done) {
  if (const std::string problem = page::write_people(folder, people); !problem.empty()) {
    complain(problem);
    return exit_faults;
  }
  return tell_done(done, [&](std::ostream& out) { out << done << ".\n"; }) ? exit_fine
                                                                           : exit_faults;
}

int add_person(const PeopleArguments& arguments) {
  const auto role = page::find_role(arguments.role);
  std::string wrong = page::misuse_of_name(arguments.add);
  if (wrong.empty() && !role) wrong = "Say with --role what they may do: look, record or plan.";
  if (!wrong.empty()) {
    complain(wrong);
    return exit_misuse;
  }
  auto people = read_all(arguments.folder);
  if (!people) return exit_faults;
  const std::string password = read_password();
  if (const std::string bad = page::misuse_of_password(password); !bad.empty()) {
    complain(bad);
    return exit_misuse;
  }
  const bool known = std::erase_if(*people, [&](const page::Person& one) {
                       return one.name == arguments.add;
                     }) > 0;
  people->push_back({arguments.add, *role, page::hashed(password)});
  return write_all(arguments.folder, *people,
                   arguments.add +
                       (known ? " has a new password and may " : " was added and may ") +
                       std::string(page::word(*role)));
}

int remove_person(const PeopleArguments& arguments) {
  auto people = read_all(arguments.folder);
  if (!people) return exit_faults;
  const auto gone =
      std::erase_if(*people, [&](const page::Person& one) { return one.name == arguments.remove; });
  if (gone == 0) {
    complain("Nobody is called `" + text::shortened(arguments.remove) + "`.");
    return exit_misuse;
  }
  return write_all(arguments.folder, *people, arguments.remove + " was removed and is signed out");
}

int list_people(const PeopleArguments& arguments) {
  const auto people = read_all(arguments.folder);
  if (!people) return exit_faults;
  const bool written = write_result({}, [&](std::ostream& out) {
    if (people->empty()) out << "Nobody has to sign in, and nobody can from another machine.\n";
    for (const page::Person& one : *people) {
      out << one.name << "  may " << page::word(one.role) << '\n';
    }
  });
  return written ? exit_fine : exit_faults;
}

int run_people(const PeopleArguments& arguments) {
  if (!arguments.add.empty() && !arguments.remove.empty()) {
    complain("Choose one: --add or --remove.");
    return exit_misuse;
  }
  if (!arguments.add.empty()) return add_person(arguments);
  return arguments.remove.empty() ? list_people(arguments) : remove_person(arguments);
}

}  // namespace

Command add_people(CLI::App& program) {
  const auto arguments = std::make_shared<PeopleArguments>();
  CLI::App* words = program.add_subcommand(
      "people", "Who may see the book in a browser, and what they may do: lists, adds, removes");
  add_book(*words, arguments->folder);
  words
      ->add_option("--add", arguments->add,
                   "Add somebody, or give them another password; it is typed, or read from a pipe")
      ->type_name("NAME");
  words->add_option("--role", arguments->role, "What they may do: look, record or plan")
      ->type_name("ROLE");
  words->add_option("--remove", arguments->remove, "Remove somebody; they are signed out at once")
      ->type_name("NAME");
  return {words, [arguments] { return run_people(*arguments); }};
}

}  // namespace budwood::app
