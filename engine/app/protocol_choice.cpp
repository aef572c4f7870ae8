#include "app/protocol_choice.hpp"

#include <algorithm>

#include "app/app.hpp"
#include "app/console.hpp"
#include "book/library.hpp"

namespace budwood::app {

namespace fs = std::filesystem;

namespace {

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

}  // namespace

bool is_book(const fs::path& folder) {
  std::error_code ignored;
  return fs::exists(folder / "site.yaml", ignored) || fs::exists(folder / "batches.yaml", ignored);
}

language::Document read_path(const fs::path& path, text::Sources& sources,
                             text::Diagnostics& diagnostics) {
  std::error_code ignored;
  language::Document out;
  if (!fs::is_directory(path, ignored)) {
    out = book::read_files({path}, sources, diagnostics);
  } else if (is_book(path)) {
    auto book = book::read_book(path, sources, diagnostics);
    if (book) out = {std::move(book->protocols), std::move(book->rule_sets), {}, {}};
  } else {
    out = book::read_library({{path, {}}}, {}, sources, diagnostics);
  }
  return out;
}

void report_none(const std::string& path, text::Diagnostics& diagnostics) {
  if (diagnostics.has_errors()) return;
  diagnostics.error("no-protocols", {}, "There is no protocol (*.bud) in `" + path + "`.",
                    "Check the path.");
}

const language::Protocol* choose_protocol(const std::vector<language::Protocol>& protocols,
                                          const std::string& wanted, const std::string& place,
                                          std::string& problem) {
  const std::vector<std::string> names = names_of(protocols);
  if (wanted.empty() && protocols.size() == 1) return &protocols.front();
  for (std::size_t i = 0; i < protocols.size(); ++i) {
    const language::Protocol& one = protocols[i];
    const std::string whole = one.name + " edition " + std::to_string(one.edition);
    if (wanted == names[i] || wanted == whole) return &one;
  }
  const std::string held = text::list_words(names);
  if (wanted.empty()) {
    problem = "`" + place + "` holds several protocols: " + held + ". Choose one with --protocol.";
    return nullptr;
  }
  const std::string advice = text::did_you_mean(wanted, names);
  problem = "There is no protocol `" + wanted + "` in `" + place + "`. " +
            (advice.empty() ? "It holds " + held + "." : advice);
  return nullptr;
}

const language::Protocol* find_protocol(const std::vector<language::Protocol>& protocols,
                                        const std::string& wanted, const std::string& place,
                                        text::Diagnostics& diagnostics, int& status) {
  if (protocols.empty()) {
    report_none(place, diagnostics);
    report_problems(diagnostics);
    status = exit_faults;
    return nullptr;
  }
  std::string problem;
  const language::Protocol* protocol = choose_protocol(protocols, wanted, place, problem);
  if (protocol == nullptr) {
    // What is asked for may be what could not be read.
    status = report_problems(diagnostics) ? exit_faults : exit_misuse;
    complain(problem);
  }
  return protocol;
}

}  // namespace budwood::app
