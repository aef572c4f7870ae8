#pragma once

#include <filesystem>
#include <map>
#include <optional>
#include <string>

namespace budwood::files {

/// Texts by the absolute paths of the files that they stand for.
using Texts = std::map<std::filesystem::path, std::string>;

/// While it lives, `read_text` gives these texts instead of the files of the same paths, on this
/// thread: what an editor holds and has not saved yet. One at a time; the texts must live on.
class HeldTexts {
 public:
  explicit HeldTexts(const Texts& texts);
  ~HeldTexts();
  HeldTexts(const HeldTexts&) = delete;
  HeldTexts& operator=(const HeldTexts&) = delete;
};

/// The text that stands for a file; nullptr when the file stands for itself.
const std::string* held_text(const std::filesystem::path& path);

/// The form of a path by which texts are held.
std::filesystem::path held_name(const std::filesystem::path& path);

}  // namespace budwood::files
