#include "app/output.hpp"

#include <unistd.h>

#include "app/console.hpp"
#include "files/read.hpp"
#include "files/write.hpp"
#include "record/store.hpp"

namespace budwood::app {

namespace fs = std::filesystem;

bool write_result(const fs::path& path, const Writer& writer) {
  if (!path.empty()) {
    if (!files::was_read(path)) return replace_file(path, writer);
    complain("`" + path.generic_string() +
             "` was not written: this run has read it. Name another file.");
    return false;
  }
  const int error = files::write_to(STDOUT_FILENO, writer);
  if (error != 0) {
    complain("The result could not be written in full: " + files::reason(error) + ".");
  }
  return error == 0;
}

bool replace_file(const fs::path& path, const Writer& writer) {
  if (record::is_of_record(path)) {
    complain("`" + path.generic_string() +
             "` was not written: a record has that name. Name another file.");
    return false;
  }
  const std::string problem = files::write_whole(path, writer);
  if (!problem.empty()) complain(problem);
  return problem.empty();
}

bool tell_done(const std::string& done, const Writer& writer) {
  const int error = files::write_to(STDOUT_FILENO, writer);
  if (error != 0) {
    complain(done + ", but not all that is told of it could be shown: " + files::reason(error) +
             ".");
  }
  return error == 0;
}

}  // namespace budwood::app
