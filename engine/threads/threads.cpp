#include "threads/threads.hpp"

#include <algorithm>
#include <exception>
#include <mutex>
#include <system_error>
#include <thread>
#include <vector>

namespace budwood::threads {

namespace {

constexpr std::size_t most_at_once = 4;

/// Hands out pieces in their order, until one has thrown.
class Counter {
 public:
  explicit Counter(std::size_t pieces) : pieces_(pieces) {}

  void work_off(const std::function<void(std::size_t, std::size_t)>& work, std::size_t worker) {
    for (std::size_t piece = 0; next(piece);) {
      try {
        work(piece, worker);
      } catch (...) {
        failed(piece);
      }
    }
  }

  void rethrow() const {
    if (failure_) std::rethrow_exception(failure_);
  }

 private:
  bool next(std::size_t& piece) {
    const std::lock_guard lock(mutex_);
    if (failure_ || next_ == pieces_) return false;
    piece = next_++;
    return true;
  }

  void failed(std::size_t piece) {
    const std::lock_guard lock(mutex_);
    if (failure_ && failed_ < piece) return;
    failure_ = std::current_exception();
    failed_ = piece;
  }

  const std::size_t pieces_;
  std::mutex mutex_;
  std::size_t next_ = 0;
  std::size_t failed_ = 0;
  std::exception_ptr failure_;
};

}  // namespace

std::size_t at_once() {
  static const std::size_t cores = std::thread::hardware_concurrency();
  return std::clamp<std::size_t>(cores, 1, most_at_once);
}

void each_piece(std::size_t pieces,
                const std::function<void(std::size_t piece, std::size_t worker)>& work,
                std::size_t threads) {
  Counter counter(pieces);
  {
    std::vector<std::jthread> others;  // joined where they go out of scope
    const std::size_t wanted = std::min(threads, pieces);
    for (std::size_t worker = 1; worker < wanted; ++worker) {
      try {
        others.emplace_back([&, worker] { counter.work_off(work, worker); });
      } catch (const std::system_error&) {
        break;  // the system has no thread to give: fewer do it
      }
    }
    counter.work_off(work, 0);
  }
  counter.rethrow();
}

void each_piece(std::size_t pieces, const std::function<void(std::size_t piece)>& work,
                std::size_t threads) {
  each_piece(
      pieces, [&](std::size_t piece, std::size_t) { work(piece); }, threads);
}

}  // namespace budwood::threads
