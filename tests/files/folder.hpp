#pragma once

#include <stdlib.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <string>
#include <vector>

/// A folder that is gone after the test.
class Folder {
 public:
  Folder() {
    std::string name = (std::filesystem::temp_directory_path() / "files-test-XXXXXX").string();
    path_ = mkdtemp(name.data());
  }
  ~Folder() { std::filesystem::remove_all(path_); }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;

  const std::filesystem::path& path() const { return path_; }
  std::filesystem::path operator/(const std::string& name) const { return path_ / name; }
  std::filesystem::path write(const std::string& name, const std::string& content) const {
    std::filesystem::create_directories((path_ / name).parent_path());
    std::ofstream(path_ / name, std::ios::binary) << content;
    return path_ / name;
  }

  /// Every file in it, with what it holds; folders end with a slash.
  std::map<std::string, std::string> content() const {
    std::map<std::string, std::string> out;
    for (const auto& one : std::filesystem::recursive_directory_iterator(path_)) {
      const std::string name = one.path().lexically_relative(path_).string();
      if (one.is_directory()) {
        out[name + "/"];
      } else {
        std::ifstream in(one.path(), std::ios::binary);
        out[name] = {std::istreambuf_iterator<char>(in), {}};
      }
    }
    return out;
  }

 private:
  std::filesystem::path path_;
};
