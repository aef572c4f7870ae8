#include "fuzzing.hpp"
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
  fuzz::check_told(diagnostics);
  fuzz::must(pack.has_value() == problem.empty(), "neither a pack nor a reason, or both");
  fuzz::accepted = pack.has_value();
  if (!pack) return 0;
  const share::Target target{"/nowhere/folder", {}, nullptr};
  for (const files::NewFile& file : share::plan_unpacking(*pack, target).files) {
    fuzz::must(file.path.lexically_normal().string().starts_with("/nowhere/folder/"),
               "a pack that leaves its folder");
  }
  return 0;
}
