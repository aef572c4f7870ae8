#pragma once

#include <doctest/doctest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <string>

/// A folder of its own for a test, gone with it.
class Folder {
 public:
  Folder()
      : path_(std::filesystem::temp_directory_path() /
              ("budwood-editor-" + std::to_string(::getpid()) + "-" + number())) {
    std::filesystem::remove_all(path_);
    std::filesystem::create_directories(path_);
  }
  ~Folder() { std::filesystem::remove_all(path_); }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;

  std::filesystem::path write(const std::string& name, const std::string& text) const {
    const std::filesystem::path file = path_ / name;
    std::filesystem::create_directories(file.parent_path());
    std::ofstream(file, std::ios::binary) << text;
    return file;
  }
  const std::filesystem::path& path() const { return path_; }

 private:
  static std::string number() {
    static int made = 0;
    return std::to_string(++made);
  }

  std::filesystem::path path_;
};
