#include "book/library.hpp"

#include <algorithm>
#include <system_error>

namespace budwood::book {

namespace {

namespace fs = std::filesystem;

std::vector<fs::path> protocol_files(const fs::path& folder, std::error_code& failure) {
  std::vector<fs::path> files;
  for (fs::directory_iterator i(folder, failure), end; !failure && i != end; i.increment(failure)) {
    if (i->path().extension() == ".bud") files.push_back(i->path());
  }
  // The system lists files in any order; plans must not depend on it.
  std::sort(files.begin(), files.end());
  return files;
}

void add_protocol(language::Protocol protocol, text::Diagnostics& diagnostics,
                  std::vector<language::Protocol>& protocols) {
  const auto same =
      std::find_if(protocols.begin(), protocols.end(), [&](const language::Protocol& other) {
        return other.name == protocol.name && other.edition == protocol.edition;
      });
  if (same == protocols.end()) {
    protocols.push_back(std::move(protocol));
    return;
  }
  text::Diagnostic d;
  d.code = "duplicate-protocol";
  d.span = protocol.span;
  d.message = "There is already an edition " + std::to_string(protocol.edition) + " of `" +
              protocol.name + "`.";
  d.advice = "Give the changed method the next edition number, or another name.";
  d.related.push_back({same->span, "The first is here."});
  diagnostics.add(std::move(d));
}

}  // namespace

void read_protocols(const fs::path& folder, const text::Span& span, text::Sources& sources,
                    text::Diagnostics& diagnostics, std::vector<language::Protocol>& protocols) {
  std::error_code failure;
  const std::vector<fs::path> files = protocol_files(folder, failure);
  if (failure) {
    diagnostics.error("no-folder", span,
                      "The folder `" + folder.generic_string() + "` cannot be read.",
                      "Check the path; it counts from the book's folder.");
    return;
  }
  for (const fs::path& file : files) {
    const text::Source* source = sources.read(file, diagnostics);
    if (source == nullptr) continue;
    for (language::Protocol& protocol : language::read(*source, diagnostics)) {
      add_protocol(std::move(protocol), diagnostics, protocols);
    }
  }
}

}  // namespace budwood::book
