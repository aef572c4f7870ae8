#include "editor/books/key_maps.hpp"

#include <algorithm>

namespace budwood::editor {

namespace {

using book::KeyMap;

/// Which keys stand below others; "*" is a name that somebody has chosen.
struct Below {
  FileKind file;
  KeyPath path;
  KeyMap map;
};

const std::vector<Below>& maps() {
  using enum FileKind;
  static const std::vector<Below> all = {{site, {}, KeyMap::site},
                                         {site, {"working"}, KeyMap::working},
                                         {site, {"tolerance"}, KeyMap::tolerance},
                                         {site, {"steps"}, KeyMap::steps},
                                         {site, {"rooms", "*"}, KeyMap::room},
                                         {site, {"rooms", "*", "stands"}, KeyMap::standing},
                                         {site, {"rooms", "*", "tolerance"}, KeyMap::tolerance},
                                         {site, {"rooms", "*", "steps"}, KeyMap::steps},
                                         {site, {"rooms", "*", "scout"}, KeyMap::scouting},
                                         {site, {"crews", "*"}, KeyMap::crew},
                                         {site, {"crews", "*", "duty"}, KeyMap::duty},
                                         {site, {"crews", "*", "leave"}, KeyMap::leave},
                                         {site, {"crews", "*", "extra"}, KeyMap::extra},
                                         {site, {"supplies", "*"}, KeyMap::supply},
                                         {site, {"supplies", "*", "offers", "*"}, KeyMap::offer},
                                         {site, {"lots", "*"}, KeyMap::lot},
                                         {site, {"mothers", "*"}, KeyMap::mothers},
                                         {site, {"finished", "*"}, KeyMap::finished},
                                         {site, {"recipes", "*"}, KeyMap::recipe},
                                         {site, {"climate"}, KeyMap::climate},
                                         {site, {"climate", "normals"}, KeyMap::normals},
                                         {site, {"energy"}, KeyMap::energy},
                                         {site, {"water"}, KeyMap::water},
                                         {site, {"labels"}, KeyMap::labels},
                                         {site, {"moving"}, KeyMap::moving},
                                         {site, {"spacing"}, KeyMap::spacing},
                                         {site, {"picking"}, KeyMap::spacing},
                                         {batches, {}, KeyMap::batches},
                                         {batches, {"batches"}, KeyMap::batch},
                                         {batches, {"batches", "demand"}, KeyMap::demand},
                                         {batches, {"batches", "promised"}, KeyMap::promised},
                                         {batches, {"batches", "trial"}, KeyMap::trial},
                                         {batches, {"batches", "trial", "arms", "*"}, KeyMap::arm}};
  return all;
}

}  // namespace

bool fits(const KeyPath& path, const KeyPath& pattern) {
  return std::equal(
      path.begin(), path.end(), pattern.begin(), pattern.end(),
      [](const auto& one, const auto& wanted) { return wanted == "*" || one == wanted; });
}

std::optional<book::KeyMap> key_map_at(FileKind file, const KeyPath& path) {
  for (const Below& one : maps()) {
    if (one.file == file && fits(path, one.path)) return one.map;
  }
  return std::nullopt;
}

}  // namespace budwood::editor
