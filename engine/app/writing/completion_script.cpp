#include "app/writing/completion_script.hpp"

#include <CLI/CLI.hpp>
#include <map>

namespace budwood::app {

namespace {

/// What an option takes, as `budwood completion words` calls it; "" where nobody can tell.
std::string words_for(const CLI::Option& option) {
  static const std::map<std::string, std::string> by_name{
      {"--batch", "batches"}, {"--make-up", "batches"},    {"--room", "rooms"},
      {"--crew", "crews"},    {"--protocol", "protocols"}, {"--set", "changes"},
      {"--cells", "values"},  {"--stage", "stages"}};
  const auto found =
      by_name.find("--" + (option.get_lnames().empty() ? "" : option.get_lnames()[0]));
  return found == by_name.end() ? "" : found->second;
}

/// The words of a format stand in its description, with what each is for.
std::string formats_in(const CLI::Option& option) {
  std::string out;
  for (const char* one : {"table", "csv", "json", "svg", "xlsx", "ics", "dot"}) {
    if (option.get_description().find(one) != std::string::npos)
      out += std::string(out.empty() ? "" : " ") + one;
  }
  return out;
}

std::vector<const CLI::App*> commands_of(const CLI::App& program) {
  return program.get_subcommands([](const CLI::App*) { return true; });
}

std::vector<const CLI::Option*> options_of(const CLI::App& command) {
  std::vector<const CLI::Option*> out;
  for (const CLI::Option* one : command.get_options()) {
    if (!one->get_lnames().empty()) out.push_back(one);
  }
  return out;
}

std::string in_quotes(std::string text) {
  for (std::size_t at = text.find('\''); at != std::string::npos; at = text.find('\'', at + 4)) {
    text.replace(at, 1, "'\\''");
  }
  return "'" + text + "'";
}

}  // namespace

std::string bash_completion(const CLI::App& program) {
  std::string commands;
  std::string cases;
  std::string values;
  for (const CLI::App* command : commands_of(program)) {
    commands += (commands.empty() ? "" : " ") + command->get_name();
    std::string options;
    for (const CLI::Option* option : options_of(*command)) {
      const std::string name = "--" + option->get_lnames()[0];
      options += (options.empty() ? "" : " ") + name;
      const std::string asked = words_for(*option);
      const std::string place = "    " + command->get_name() + name + ") ";
      if (!asked.empty()) {
        values += place + "_budwood_ask " + asked + "; return ;;\n";
      } else if (name == "--format") {
        values += place + "_budwood_offer '" + formats_in(*option) + "'; return ;;\n";
      }
    }
    cases += "    " + command->get_name() + ") options='" + options + "' ;;\n";
  }
  return "# Completion of budwood for bash: . <(budwood completion bash)\n"
         "_budwood_offer() { mapfile -t COMPREPLY < <(compgen -W \"$1\" -- \"$current\"); }\n"
         "_budwood_ask() {\n"
         "  local book=. word\n"
         "  for word in \"${COMP_WORDS[@]:2}\"; do [ -f \"$word/site.yaml\" ] && book=$word; done\n"
         "  mapfile -t COMPREPLY < <(compgen -W \"$(budwood completion words \"$1\" \"$book\" "
         "2>/dev/null)\" -- \"$current\")\n"
         "}\n"
         "_budwood() {\n"
         "  local current=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]}\n"
         "  local command=${COMP_WORDS[1]} options=''\n"
         "  COMPREPLY=()\n"
         "  if [ \"$COMP_CWORD\" -eq 1 ]; then _budwood_offer '" +
         commands +
         "'; return; fi\n"
         "  case $command$before in\n" +
         values +
         "  esac\n"
         "  case $command in\n" +
         cases +
         "  esac\n"
         "  case $current in\n"
         "    -*) _budwood_offer \"$options\" ;;\n"
         "    *) [ \"$command\" = help ] && _budwood_ask topics ;;\n"
         "  esac\n"
         "}\n"
         "complete -o default -F _budwood budwood\n";
}

std::string zsh_completion(const CLI::App& program) {
  std::string commands;
  std::string cases;
  for (const CLI::App* command : commands_of(program)) {
    commands += "    " + in_quotes(command->get_name() + ":" + command->get_description()) + "\n";
    cases += "    " + command->get_name() + ")\n      _arguments \\\n";
    for (const CLI::Option* option : options_of(*command)) {
      std::string description = option->get_description();
      // Brackets and colons have a meaning of their own here.
      for (char& c : description) {
        if (c == '[' || c == ']' || c == ':') c = ' ';
      }
      std::string spec = "--" + option->get_lnames()[0] + "[" + description + "]";
      const std::string asked = words_for(*option);
      if (!asked.empty()) {
        spec += ":" + asked + ":_budwood_ask " + asked;
      } else if (option->get_lnames()[0] == "format") {
        spec += ":format:(" + formats_in(*option) + ")";
      } else if (option->get_items_expected_max() > 0) {
        spec += ":value:_files";
      }
      cases += "        " + in_quotes(spec) + " \\\n";
    }
    cases += command->get_name() == "help" ? "        '*:topic:_budwood_ask topics' ;;\n"
                                           : "        '*:file:_files' ;;\n";
  }
  return "#compdef budwood\n"
         "# Completion of budwood for zsh: a file `_budwood` in a folder of $fpath.\n"
         "_budwood_ask() {\n"
         "  local book=. word\n"
         "  for word in $words[3,-1]; do [[ -f $word/site.yaml ]] && book=$word; done\n"
         "  compadd -- ${(f)\"$(budwood completion words $1 $book 2>/dev/null)\"}\n"
         "}\n"
         "_budwood() {\n"
         "  local -a commands=(\n" +
         commands +
         "  )\n"
         "  if (( CURRENT == 2 )); then _describe command commands; return; fi\n"
         "  case $words[2] in\n" +
         cases +
         "  esac\n"
         "}\n"
         "_budwood \"$@\"\n";
}

}  // namespace budwood::app
