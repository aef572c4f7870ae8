#include <cstddef>
#include <cstdint>
#include <cstdlib>

#include "share/unpack.hpp"

/// Any bytes as a pack: opening it must end, and either there is a pack or a reason why not. What
/// would be written lies in the folder that it is unpacked into.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace budwood;
  text::Sources sources;
  text::Diagnostics diagnostics;
  std::string problem;
  const std::string_view bytes(reinterpret_cast<const char*>(data), size);
  const auto pack = share::open_pack(bytes, "fuzz.zip", {}, sources, diagnostics, problem);
  if (pack.has_value() != problem.empty()) std::abort();
  if (!pack) return 0;
  const share::Target target{"/nowhere/folder", {}, nullptr};
  for (const share::NewFile& file : share::plan_unpacking(*pack, target).files) {
    if (!file.path.lexically_normal().string().starts_with("/nowhere/folder/")) std::abort();
  }
  return 0;
}
