#include <sys/mman.h>
#include <unistd.h>

#include "small_book.hpp"

namespace {

/// A file in memory, so that nothing is written to a disk for each input.
class MemoryFile {
 public:
  MemoryFile() : number_(::memfd_create("demand", 0)) {}
  std::string path() const { return "/proc/self/fd/" + std::to_string(number_); }
  bool hold(const std::string& bytes) const {
    const auto size = static_cast<ssize_t>(bytes.size());
    return ::ftruncate(number_, 0) == 0 && ::pwrite(number_, bytes.data(), bytes.size(), 0) == size;
  }

 private:
  int number_;
};

}  // namespace

/// Any bytes as what is wanted: batches that the book does not have yet, or an error.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace budwood;
  static const MemoryFile file;
  fuzz::must(file.hold(fuzz::bytes_of(data, size)), "no memory for a file");
  fuzz::SmallBook small;
  text::Sources sources;
  text::Diagnostics diagnostics;
  const auto wanted = book::read_demand(file.path(), small.book(), sources, diagnostics);
  fuzz::check_told(diagnostics);
  fuzz::must(wanted.empty() || !diagnostics.has_errors(), "a demand in spite of errors");
  for (const book::Batch& batch : wanted) {
    for (const book::Batch& one : small.book().batches) {
      fuzz::must(one.id.value != batch.id.value, "a batch that is there already");
    }
  }
  fuzz::accepted = !wanted.empty();
  return 0;
}
