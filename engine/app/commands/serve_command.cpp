#include <CLI/CLI.hpp>
#include <iostream>
#include <memory>

#include "app/app.hpp"
#include "app/arguments.hpp"
#include "app/console.hpp"
#include "page/page.hpp"

namespace budwood::app {

namespace {

struct ServeArguments {
  BookArguments book;
  std::string listen = "127.0.0.1:8040";
  std::vector<std::string> names;
  bool read_only = false;
};

int run_serve(const ServeArguments& arguments) {
  page::Serving serving;
  if (const std::string wrong = page::read_address(arguments.listen, serving); !wrong.empty()) {
    complain("--listen " + arguments.listen + ": " + wrong);
    return exit_misuse;
  }
  serving.folder = arguments.book.folder;
  serving.today = arguments.book.day();
  serving.names = arguments.names;
  serving.read_only = arguments.read_only;
  const std::string problem = page::serve(serving, [](const std::string& address) {
    std::cout << "The book is at " << address << " until this is ended with Ctrl+C." << std::endl;
  });
  complain(problem);
  return exit_faults;
}

}  // namespace

Command add_serve(CLI::App& program) {
  const auto arguments = std::make_shared<ServeArguments>();
  CLI::App* words = program.add_subcommand(
      "serve", "The book in a browser: work to tick off, the season, the sheet, methods");
  arguments->book.add_to(*words);
  words
      ->add_option("--listen", arguments->listen,
                   "Where browsers find it; beyond this machine people sign in (budwood people)")
      ->type_name("HOST:PORT")
      ->capture_default_str();
  add_repeated(*words, "--name", arguments->names, "NAME",
               "A name under which browsers find it, such as plants.example");
  words->add_flag("--read-only", arguments->read_only, "Show the book without changing anything");
  return {words, [arguments] { return run_serve(*arguments); }};
}

}  // namespace budwood::app
