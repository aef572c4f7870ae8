#pragma once

#include <cerrno>

#include "files/disk.hpp"

/// A disk of which one step fails, or that is gone from one step on, as after a power cut.
class FailingDisk : public budwood::files::Disk {
  using Path = std::filesystem::path;
  using Disk = budwood::files::Disk;

 public:
  enum class Kind { once, from_then_on };
  FailingDisk(int step, Kind kind, bool links = true) : step_(step), kind_(kind), links_(links) {}

  /// Whether the run came as far as the step that fails.
  bool failed() const { return done_ > step_; }

  int create(const Path& path, mode_t mode, int& descriptor) override {
    return fails() ? EIO : Disk::create(path, mode, descriptor);
  }
  int write(int descriptor, std::string_view bytes) override {
    if (!fails()) return Disk::write(descriptor, bytes);
    // A disk that is full takes the front part.
    if (kind_ == Kind::once) Disk::write(descriptor, bytes.substr(0, bytes.size() / 2));
    return ENOSPC;
  }
  int save(int descriptor) override { return fails() ? EIO : Disk::save(descriptor); }
  int save_folder(const Path& folder) override { return fails() ? EIO : Disk::save_folder(folder); }
  int rename(const Path& from, const Path& to) override {
    return fails() ? EIO : Disk::rename(from, to);
  }
  int link(const Path& from, const Path& to) override {
    if (fails()) return EIO;
    return links_ ? Disk::link(from, to) : EPERM;
  }
  int remove(const Path& file) override { return fails() ? EIO : Disk::remove(file); }
  int make_folder(const Path& folder) override { return fails() ? EIO : Disk::make_folder(folder); }
  int remove_folder(const Path& folder) override {
    return fails() ? EIO : Disk::remove_folder(folder);
  }

 private:
  bool fails() {
    const int now = done_++;
    return kind_ == Kind::once ? now == step_ : now >= step_;
  }

  int step_;
  Kind kind_;
  bool links_;
  int done_ = 0;
};
