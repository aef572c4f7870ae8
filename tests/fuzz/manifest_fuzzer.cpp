#include "fuzzing.hpp"
#include "share/archive.hpp"
#include "share/manifest.hpp"

/// Any bytes as the manifest of a pack: what is read can be written and read again.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace budwood;
  const std::string input = fuzz::bytes_of(data, size);
  std::string problem;
  const share::Manifest read = share::read_manifest(input, problem);
  fuzz::must(text::find_invalid_utf8(problem) == std::string::npos, "a reason that is no UTF-8");
  fuzz::accepted = problem.empty();
  if (!problem.empty()) return 0;
  const std::string written = share::manifest_text(read);
  const share::Manifest again = share::read_manifest(written, problem);
  fuzz::must(problem.empty(), "a manifest that cannot be read again");
  fuzz::must(share::manifest_text(again) == written, "a manifest that is another when written");
  return 0;
}
