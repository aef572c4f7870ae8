#pragma once

#include <string>
#include <string_view>

namespace budwood::page {

/// A file for the browser.
struct Asset {
  std::string_view bytes;
  std::string type;  ///< "text/css; charset=utf-8"
  std::string tag;   ///< the same as long as the bytes are
};

/// The file that stands at a path, such as "/web/app.js"; nullptr when there is none. Modules of
/// Preact name each other without an ending, so the ending may be left out.
const Asset* find_asset(std::string_view path);

/// The document in which every view is shown.
const Asset& front_page();

}  // namespace budwood::page
