#include "files/signals.hpp"

#include <unistd.h>

#include <array>
#include <atomic>
#include <cerrno>
#include <climits>
#include <cstring>

#include "files/temporary_file.hpp"

namespace budwood::files {

namespace {

constexpr std::array endings = {SIGHUP, SIGINT, SIGQUIT, SIGTERM, SIGPIPE, SIGXCPU};

/// A handler may neither wait nor ask for memory, so what it removes stands in fixed places.
struct Slot {
  enum State : int { free, being_filled, filled };
  std::atomic<int> state = free;
  std::array<char, PATH_MAX> path{};
};
std::array<Slot, 16> slots;
constexpr std::size_t no_slot = slots.size();

void remove_and_end(int signal) {
  const int kept = errno;
  for (Slot& slot : slots) {
    if (slot.state.load() == Slot::filled) ::unlink(slot.path.data());
  }
  errno = kept;
  std::signal(signal, SIG_DFL);
  std::raise(signal);
}

}  // namespace

RemovedOnSignal::RemovedOnSignal(const std::filesystem::path& file) : slot_(no_slot) {
  const std::string& name = file.native();
  if (name.size() >= PATH_MAX) return;
  for (std::size_t i = 0; i < slots.size(); ++i) {
    int expected = Slot::free;
    if (!slots[i].state.compare_exchange_strong(expected, Slot::being_filled)) continue;
    std::memcpy(slots[i].path.data(), name.c_str(), name.size() + 1);
    slots[i].state.store(Slot::filled);
    slot_ = i;
    return;
  }
}

RemovedOnSignal::~RemovedOnSignal() {
  if (slot_ != no_slot) slots[slot_].state.store(Slot::free);
}

HeldSignals::HeldSignals() : before_{} {
  sigset_t held;
  sigemptyset(&held);
  for (const int signal : endings) sigaddset(&held, signal);
  pthread_sigmask(SIG_BLOCK, &held, &before_);
}

HeldSignals::~HeldSignals() {
  pthread_sigmask(SIG_SETMASK, &before_, nullptr);
}

void remove_temporary_files_on_signals() {
  for (const int signal : endings) {
    struct sigaction old {};
    // What was told to be ignored (nohup) stays so.
    if (sigaction(signal, nullptr, &old) != 0 || old.sa_handler == SIG_IGN) continue;
    struct sigaction wanted {};
    wanted.sa_handler = remove_and_end;
    sigemptyset(&wanted.sa_mask);
    sigaction(signal, &wanted, nullptr);
  }
}

}  // namespace budwood::files
