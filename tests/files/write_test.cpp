#include <doctest/doctest.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <ostream>
#include <thread>

#include "failing_disk.hpp"
#include "files/temporary_file.hpp"
#include "files/write.hpp"
#include "folder.hpp"

using namespace budwood;

namespace {

files::Writer writes(const std::string& text) {
  return [text](std::ostream& out) { out << text; };
}

mode_t rights_of(const std::filesystem::path& path) {
  struct stat facts {};
  ::stat(path.c_str(), &facts);
  return facts.st_mode & 07777U;
}

}  // namespace

TEST_CASE("a file is written whole or not at all, whichever step fails") {
  for (const bool replaces : {false, true}) {
    for (int step = 0;; ++step) {
      CAPTURE(step);
      const Folder folder;
      if (replaces) folder.write("a.csv", "old");
      FailingDisk disk(step, FailingDisk::Kind::once);
      const std::string problem = files::write_whole(folder / "a.csv", writes("new"), disk);
      auto left = folder.content();
      if (!disk.failed()) {
        CHECK(problem.empty());
        CHECK(left == std::map<std::string, std::string>{{"a.csv", "new"}});
        CHECK(step > 3);
        break;
      }
      CHECK_FALSE(problem.empty());
      const bool written = problem.find("was written") != std::string::npos;
      const auto expected = written    ? std::map<std::string, std::string>{{"a.csv", "new"}}
                            : replaces ? std::map<std::string, std::string>{{"a.csv", "old"}}
                                       : std::map<std::string, std::string>{};
      CHECK(left == expected);
    }
  }
}

TEST_CASE("rights stay, and a new file has those of any other") {
  const Folder folder;
  const auto old = folder.write("old", "x");
  ::chmod(old.c_str(), 0640);
  CHECK(files::write_whole(old, writes("y")).empty());
  CHECK(rights_of(old) == 0640);
  const mode_t mask = ::umask(022);
  CHECK(files::write_whole(folder / "new", writes("y")).empty());
  ::umask(mask);
  CHECK(rights_of(folder / "new") == 0644);
}

TEST_CASE("links: through one to a file, and none to nothing") {
  const Folder folder;
  const auto real = folder.write("real", "x");
  std::filesystem::create_symlink("real", folder / "link");
  CHECK(files::write_whole(folder / "link", writes("y")).empty());
  CHECK(folder.content()["real"] == "y");
  CHECK(std::filesystem::is_symlink(folder / "link"));
  std::filesystem::create_symlink("nothing", folder / "dangling");
  const std::string problem = files::write_whole(folder / "dangling", writes("y"));
  CHECK(problem.find("not there") != std::string::npos);
  CHECK_FALSE(std::filesystem::exists(folder / "nothing"));
}

TEST_CASE("a file that must be new is never written over") {
  const Folder folder;
  CHECK(files::write_new(folder / "key", "1", 0600) == 0);
  CHECK(rights_of(folder / "key") == 0600);
  CHECK(files::write_new(folder / "key", "2", 0600) == EEXIST);
  CHECK(folder.content()["key"] == "1");
}

TEST_CASE("temporary files of the dead are removed by the next run, those of the living stay") {
  const Folder folder;
  const files::TemporaryFile living(folder.path());
  REQUIRE(living.error() == 0);
  folder.write(".budwood-1-0.tmp", "left by somebody who is gone");
  folder.write("other.tmp", "not ours");
  CHECK(files::write_whole(folder / "a", writes("x")).empty());
  const auto left = folder.content();
  CHECK(left.size() == 3);
  CHECK(left.contains(living.path().filename().string()));
  CHECK(left.contains("other.tmp"));
  CHECK(left.contains("a"));
}

TEST_CASE("a signal that ends the program removes what it was writing") {
  for (const int signal : {SIGINT, SIGTERM, SIGHUP}) {
    const Folder folder;
    folder.write("a", "old");
    const pid_t child = ::fork();
    if (child == 0) {
      files::remove_temporary_files_on_signals();
      files::write_whole(folder / "a", [](std::ostream& out) {
        out << std::string(1U << 20U, 'x') << std::flush;
        ::pause();
      });
      ::_exit(3);
    }
    for (int i = 0; i < 500 && folder.content().size() < 2; ++i) {
      std::this_thread::sleep_for(std::chrono::milliseconds(10));
    }
    CHECK(folder.content().size() == 2);
    ::kill(child, signal);
    int status = 0;
    ::waitpid(child, &status, 0);
    CHECK(WIFSIGNALED(status));
    CHECK(WTERMSIG(status) == signal);
    CHECK(folder.content() == std::map<std::string, std::string>{{"a", "old"}});
  }
}
