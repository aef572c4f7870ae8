#include "app/writing/man_page.hpp"

#include <CLI/CLI.hpp>

namespace budwood::app {

namespace {

/// Text as the formatter takes it: no line of it is a command, a hyphen is one.
std::string roff(const std::string& text) {
  std::string out;
  for (const char c : text) {
    if (c == '\\') {
      out += "\\e";
    } else if (c == '-') {
      out += "\\-";
    } else {
      if ((c == '.' || c == '\'') && (out.empty() || out.back() == '\n')) out += "\\&";
      out += c;
    }
  }
  return out;
}

std::string names_of(const CLI::Option& option) {
  std::string out;
  for (const std::string& one : option.get_snames()) out += "-" + one + ", ";
  for (const std::string& one : option.get_lnames()) out += "--" + one + ", ";
  if (out.empty()) return option.get_name(true);
  out.resize(out.size() - 2);
  const std::string type = option.get_type_name();
  return option.get_items_expected_max() > 0 && !type.empty() ? out + " " + type : out;
}

}  // namespace

std::string man_page(const CLI::App& program, const std::string& version) {
  std::string out =
      ".TH BUDWOOD 1 \"\" \"Budwood " + roff(version) + "\" \"User Commands\"\n" +
      ".SH NAME\nbudwood \\- dated work orders from written propagation methods\n" +
      ".SH SYNOPSIS\n.B budwood\n.I COMMAND\n[\\fIoptions\\fR]\n.SH DESCRIPTION\n" +
      roff(program.get_description()) +
      "\n.PP\n.B budwood help\n.I TOPIC\ntells what the references say of a statement, a "
      "message's code or a topic.\n.SH COMMANDS\n";
  for (const CLI::App* command : program.get_subcommands([](const CLI::App*) { return true; })) {
    out += ".SS " + roff(command->get_name()) + "\n" + roff(command->get_description()) + ".\n";
    for (const CLI::Option* option : command->get_options()) {
      if (option->get_description().empty()) continue;
      out += ".TP\n.B " + roff(names_of(*option)) + "\n" + roff(option->get_description()) + "\n";
    }
  }
  return out +
         ".SH EXIT STATUS\n0: fine. 1: errors in the input or conflicts in the plan. 2: used "
         "wrongly. 3: a fault of Budwood itself.\n";
}

}  // namespace budwood::app
