#include <CLI/CLI.hpp>
#include <memory>

#include "app/app.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "app/protocol_choice.hpp"
#include "graph/graph.hpp"
#include "sheet/template/compile.hpp"
#include "sheet/template/trial.hpp"

namespace budwood::app {

namespace {

struct GraphArguments {
  std::string path, protocol, file;
  std::string format = "svg";
};

/// Nothing when it cannot be worked through; that is reported.
std::optional<graph::Graph> graph_of(const language::Protocol& protocol,
                                     text::Diagnostics& diagnostics) {
  const auto t = sheet::compile(protocol, diagnostics);
  if (t == nullptr) return std::nullopt;
  text::Diagnostics found;
  sheet::try_out(t, found);
  for (const text::Diagnostic& d : found.sorted()) diagnostics.add(d);
  if (found.has_errors()) return std::nullopt;
  return graph::make_graph(t, diagnostics);
}

int run_graph(const GraphArguments& arguments) {
  text::Sources sources;
  text::Diagnostics diagnostics;
  const auto protocols = read_path(arguments.path, sources, diagnostics).protocols;
  int status = exit_fine;
  const language::Protocol* protocol =
      find_protocol(protocols, arguments.protocol, arguments.path, diagnostics, status);
  if (protocol == nullptr) return status;
  const auto graph = graph_of(*protocol, diagnostics);
  const auto format = arguments.format == "dot" ? graph::GraphFormat::dot : graph::GraphFormat::svg;
  const bool written = graph && write_result(arguments.file, [&](std::ostream& out) {
                         graph::write_graph(out, *graph, format);
                       });
  const bool faults = report_problems(diagnostics);
  return written && !faults ? exit_fine : exit_faults;
}

}  // namespace

Command add_graph(CLI::App& program) {
  const auto arguments = std::make_shared<GraphArguments>();
  CLI::App* words = program.add_subcommand(
      "graph", "A picture of a protocol: what follows what, and how long it takes");
  words->add_option("PATH", arguments->path, "A protocol (*.bud), a folder of them, or a book")
      ->type_name("")
      ->required();
  words->add_option("--protocol", arguments->protocol, "Which one, where there are several")
      ->type_name("NAME");
  words
      ->add_option("--format", arguments->format,
                   "svg for a picture (the default), dot for the graph in the language of Graphviz")
      ->type_name("FORMAT")
      ->check([](const std::string& word) -> std::string {
        if (word == "svg" || word == "dot") return {};
        return "`" + word + "` is not a format; choose svg or dot.";
      });
  words->add_option("--out", arguments->file, "Write to this file instead of the terminal")
      ->type_name("FILE")
      ->check([](const std::string& word) -> std::string {
        return word.empty() ? "A file name is expected." : "";
      });
  return {words, [arguments] { return run_graph(*arguments); }};
}

}  // namespace budwood::app
