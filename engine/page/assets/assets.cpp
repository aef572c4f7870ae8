#include "page/assets/assets.hpp"

#include <map>

#include "digest/digest.hpp"
#include "page/assets/embedded.hpp"

namespace budwood::page {

namespace {

std::string type_of(std::string_view path) {
  if (path.ends_with(".css")) return "text/css; charset=utf-8";
  if (path.ends_with(".html")) return "text/html; charset=utf-8";
  if (path.ends_with(".svg")) return "image/svg+xml";
  if (path.ends_with(".webmanifest")) return "application/manifest+json";
  return "text/javascript; charset=utf-8";
}

const std::map<std::string, Asset, std::less<>>& assets() {
  static const auto all = [] {
    std::map<std::string, Asset, std::less<>> out;
    for (const EmbeddedFile& file : embedded_files()) {
      const std::string_view bytes(file.begin, static_cast<std::size_t>(file.end - file.begin));
      constexpr std::size_t enough = 16;
      out[std::string(file.path)] = {bytes, type_of(file.path),
                                     '"' + digest::sha256(bytes).substr(0, enough) + '"'};
    }
    return out;
  }();
  return all;
}

}  // namespace

const Asset* find_asset(std::string_view path) {
  auto found = assets().find(path);
  if (found == assets().end() && path.starts_with("/preact/")) {
    found = assets().find(std::string(path) + ".js");
  }
  return found == assets().end() ? nullptr : &found->second;
}

const Asset& front_page() {
  return assets().find("/web/index.html")->second;
}

}  // namespace budwood::page
