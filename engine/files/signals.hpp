/// What an interrupt from the keyboard or the system does to files in the making.
#pragma once

#include <csignal>
#include <cstddef>
#include <filesystem>

namespace budwood::files {

/// While it lives, a file is removed when a signal ends the program.
class RemovedOnSignal {
 public:
  explicit RemovedOnSignal(const std::filesystem::path& file);
  ~RemovedOnSignal();
  RemovedOnSignal(const RemovedOnSignal&) = delete;
  RemovedOnSignal& operator=(const RemovedOnSignal&) = delete;

 private:
  std::size_t slot_;
};

/// While it lives, signals that would end the program wait. For steps between which a file has a
/// name that nobody would remove, such as a library's own temporary files.
class HeldSignals {
 public:
  HeldSignals();
  ~HeldSignals();
  HeldSignals(const HeldSignals&) = delete;
  HeldSignals& operator=(const HeldSignals&) = delete;

 private:
  sigset_t before_;
};

}  // namespace budwood::files
