#include <CLI/CLI.hpp>
#include <algorithm>
#include <filesystem>
#include <memory>

#include "app/app.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "files/read.hpp"
#include "language/layout/tidy.hpp"

namespace budwood::app {

namespace fs = std::filesystem;

namespace {

/// The files themselves, and all protocols in folders, hidden ones left out.
std::vector<fs::path> protocols_among(const std::vector<std::string>& paths,
                                      text::Diagnostics& diagnostics) {
  std::vector<fs::path> out;
  for (const std::string& path : paths) {
    std::error_code failure;
    if (!fs::is_directory(path, failure)) {
      out.emplace_back(path);
      continue;
    }
    std::vector<fs::path> inside;
    fs::recursive_directory_iterator i(path, failure);
    for (const fs::recursive_directory_iterator end; !failure && i != end; i.increment(failure)) {
      if (i->path().filename().native().starts_with('.')) i.disable_recursion_pending();
      if (i->path().extension() == ".bud") inside.push_back(i->path());
    }
    if (failure || inside.empty()) {
      diagnostics.error("no-protocols", {}, "There is no protocol (*.bud) in `" + path + "`.",
                        "Check the path.");
    }
    std::sort(inside.begin(), inside.end());
    out.insert(out.end(), inside.begin(), inside.end());
  }
  return out;
}

/// A file that is not laid out as it should be, and how it should.
struct Untidy {
  fs::path path;
  std::string text;
};

int run_tidy(const std::vector<std::string>& paths, bool only_check) {
  text::Sources sources;
  text::Diagnostics diagnostics;
  std::vector<Untidy> untidy;
  const std::vector<fs::path> files = protocols_among(paths, diagnostics);
  for (const fs::path& file : files) {
    const text::Source* source = files::read_text(file, sources, diagnostics);
    if (source == nullptr) continue;
    auto text = language::tidy(*source, diagnostics);
    if (text && *text != source->text()) untidy.push_back({file, std::move(*text)});
  }
  bool fine = !report_problems(diagnostics);
  for (const Untidy& one : untidy) {
    if (only_check) break;
    fine = replace_file(one.path, [&](std::ostream& out) { out << one.text; }) && fine;
  }
  const auto tell = [&](std::ostream& out) {
    for (const Untidy& one : untidy) {
      out << one.path.generic_string() << (only_check ? ": not tidy\n" : ": tidied\n");
    }
    if (untidy.empty() && fine) {
      out << files.size() << (files.size() == 1 ? " file is tidy.\n" : " files are tidy.\n");
    }
  };
  const bool told = tell_done(only_check ? "" : "The files were tidied", tell);
  return fine && told && !(only_check && !untidy.empty()) ? exit_fine : exit_faults;
}

}  // namespace

Command add_tidy(CLI::App& program) {
  CLI::App* words = program.add_subcommand(
      "tidy", "The standard layout for protocols: comments stay, and so does what they mean");
  const auto paths = std::make_shared<std::vector<std::string>>();
  words->add_option("PATH", *paths, "Protocols (*.bud), or folders that hold some")
      ->type_name("")
      ->required();
  const auto only_check = std::make_shared<bool>(false);
  words->add_flag("--check", *only_check,
                  "Change nothing; say which files would change, and leave with 1 if any");
  return {words, [paths, only_check] { return run_tidy(*paths, *only_check); }};
}

}  // namespace budwood::app
