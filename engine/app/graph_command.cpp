#include <CLI/CLI.hpp>
#include <algorithm>
#include <filesystem>
#include <memory>

#include "app/app.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "book/book.hpp"

namespace budwood::app {

namespace fs = std::filesystem;

namespace {

struct GraphArguments {
  std::string path, protocol, file;
  std::string format = "svg";
};

std::vector<language::Protocol> read_path(const fs::path& path, text::Sources& sources,
                                          text::Diagnostics& diagnostics) {
  std::error_code ignored;
  std::vector<language::Protocol> protocols;
  if (!fs::is_directory(path, ignored)) {
    protocols = book::read_files({path}, sources, diagnostics).protocols;
  } else if (fs::exists(path / "site.yaml", ignored) ||
             fs::exists(path / "batches.yaml", ignored)) {
    auto book = book::read_book(path, sources, diagnostics);
    if (book) protocols = std::move(book->protocols);
  } else {
    protocols = book::read_library({{path, {}}}, sources, diagnostics).protocols;
  }
  return protocols;
}

/// What a protocol is called: with its edition where the name alone could mean several.
std::vector<std::string> names_of(const std::vector<language::Protocol>& protocols) {
  std::vector<std::string> names;
  for (const language::Protocol& one : protocols) {
    const auto editions =
        std::count_if(protocols.begin(), protocols.end(),
                      [&](const language::Protocol& other) { return other.name == one.name; });
    const std::string edition = " edition " + std::to_string(one.edition);
    names.push_back(one.name + (editions > 1 ? edition : ""));
  }
  return names;
}

/// The one that is asked for; nothing when that is not clear, which `problem` then says.
const language::Protocol* choose(const std::vector<language::Protocol>& protocols,
                                 const GraphArguments& arguments, std::string& problem) {
  const std::vector<std::string> names = names_of(protocols);
  if (arguments.protocol.empty() && protocols.size() == 1) return &protocols.front();
  for (std::size_t i = 0; i < protocols.size(); ++i) {
    const language::Protocol& one = protocols[i];
    const std::string whole = one.name + " edition " + std::to_string(one.edition);
    if (arguments.protocol == names[i] || arguments.protocol == whole) return &one;
  }
  const std::string held = text::list_words(names);
  if (arguments.protocol.empty()) {
    problem = "`" + arguments.path + "` holds several protocols: " + held +
              ". Choose one with --protocol.";
    return nullptr;
  }
  const std::string advice = text::did_you_mean(arguments.protocol, names);
  problem = "There is no protocol `" + arguments.protocol + "` in `" + arguments.path + "`. " +
            (advice.empty() ? "It holds " + held + "." : advice);
  return nullptr;
}

/// Nothing when it cannot be worked through; that is reported.
std::optional<report::Graph> graph_of(const language::Protocol& protocol,
                                      text::Diagnostics& diagnostics) {
  const auto t = sheet::compile(protocol, diagnostics);
  if (t == nullptr) return std::nullopt;
  text::Diagnostics found;
  sheet::try_out(t, found);
  for (const text::Diagnostic& d : found.sorted()) diagnostics.add(d);
  if (found.has_errors()) return std::nullopt;
  return report::make_graph(t, diagnostics);
}

int run_graph(const GraphArguments& arguments) {
  text::Sources sources;
  text::Diagnostics diagnostics;
  const auto protocols = read_path(arguments.path, sources, diagnostics);
  if (protocols.empty()) {
    if (!diagnostics.has_errors()) {
      diagnostics.error("no-protocols", {},
                        "There is no protocol (*.bud) in `" + arguments.path + "`.",
                        "Check the path.");
    }
    report_problems(diagnostics);
    return exit_faults;
  }
  std::string problem;
  const language::Protocol* protocol = choose(protocols, arguments, problem);
  if (protocol == nullptr) {
    // What is asked for may be what could not be read.
    const bool faults = report_problems(diagnostics);
    complain(problem);
    return faults ? exit_faults : exit_misuse;
  }
  const auto graph = graph_of(*protocol, diagnostics);
  const auto format =
      arguments.format == "dot" ? report::GraphFormat::dot : report::GraphFormat::svg;
  const bool written = graph && write_result(arguments.file, [&](std::ostream& out) {
                         report::write_graph(out, *graph, format);
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
