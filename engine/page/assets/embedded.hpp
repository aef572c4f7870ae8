#pragma once

#include <string_view>
#include <vector>

namespace budwood::page {

/// A file that was put into the program when it was built; see `embed.cmake`.
struct EmbeddedFile {
  std::string_view path;  ///< "/web/app.js"
  const char* begin = nullptr;
  const char* end = nullptr;
};
std::vector<EmbeddedFile> embedded_files();

}  // namespace budwood::page
