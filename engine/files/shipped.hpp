#pragma once

#include <filesystem>
#include <optional>
#include <string>

namespace budwood::files {

/// A folder or file that came with the program, such as "protocols": beside it in
/// `../share/budwood` where it was installed, or in `..` where it was built. "grammar", the
/// references, are installed in `../share/doc/budwood`. Nothing when it is nowhere.
std::optional<std::filesystem::path> shipped(const std::string& name);

}  // namespace budwood::files
