#pragma once

#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

/// Golden files: what a test prints for a file stands beside it. tests/refresh_golden rewrites what
/// is expected; what it changed is then read in the diff.
namespace budwood::tests {

/// The files of a folder with this ending, by name.
inline std::vector<std::filesystem::path> files_in(const std::filesystem::path& folder,
                                                   const std::string& ending) {
  std::vector<std::filesystem::path> out;
  for (const auto& entry : std::filesystem::directory_iterator(folder)) {
    if (entry.path().extension() == ending) out.push_back(entry.path());
  }
  std::sort(out.begin(), out.end());
  return out;
}

/// The whole of a file; empty when there is none.
inline std::string content_of(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream out;
  out << file.rdbuf();
  return out.str();
}

/// Compares with the file beside it, or rewrites that. Nothing printed needs no file.
inline void check_printed(const std::filesystem::path& path, const std::string& printed) {
  const std::filesystem::path expected = std::filesystem::path(path).replace_extension(".expected");
  if (std::getenv("BUDWOOD_REFRESH_GOLDEN") != nullptr) {
    if (printed.empty()) {
      std::filesystem::remove(expected);
    } else {
      std::ofstream(expected, std::ios::binary) << printed;
    }
  }
  INFO("golden file of ", path.filename().string());
  CHECK(printed == content_of(expected));
}

}  // namespace budwood::tests
