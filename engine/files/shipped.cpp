#include "files/shipped.hpp"

namespace budwood::files {

namespace fs = std::filesystem;

std::optional<fs::path> shipped(const std::string& name) {
  std::error_code failure;
  const fs::path program = fs::read_symlink("/proc/self/exe", failure);
  if (failure) return std::nullopt;
  const fs::path around = program.parent_path().parent_path();
  const fs::path installed = around / "share";
  for (const fs::path& place :
       {name == "grammar" ? installed / "doc" / "budwood" : installed / "budwood" / name,
        around / name}) {
    if (fs::exists(place, failure)) return place;
  }
  return std::nullopt;
}

}  // namespace budwood::files
