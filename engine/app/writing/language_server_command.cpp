#include <unistd.h>

#include <CLI/CLI.hpp>
#include <memory>

#include "app/app.hpp"
#include "editor/lsp/connection.hpp"

namespace budwood::app {

Command add_language_server(CLI::App& program) {
  CLI::App* words = program.add_subcommand(
      "language-server", "Help while writing, for editors that speak the Language Server Protocol");
  // Editors say so, whether there is another way or not.
  const auto stdio = std::make_shared<bool>(false);
  words->add_flag("--stdio", *stdio,
                  "Over standard input and output, which is the only way there is");
  return {words, [stdio] { return editor::lsp::serve(STDIN_FILENO, STDOUT_FILENO); }};
}

}  // namespace budwood::app
