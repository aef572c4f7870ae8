#include <doctest/doctest.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>
#include <unistd.h>

#include <cstring>

#include "files/read.hpp"
#include "folder.hpp"

using namespace budwood;

namespace {

std::string only_code(const text::Diagnostics& diagnostics) {
  const auto all = diagnostics.sorted();
  return all.size() == 1 ? all.front().code : "";
}

std::string code_of(const std::filesystem::path& path, std::size_t limit = files::largest_text) {
  text::Sources sources;
  text::Diagnostics diagnostics;
  CHECK(files::read_text(path, sources, diagnostics, limit) == nullptr);
  return only_code(diagnostics);
}

}  // namespace

TEST_CASE("a file is read whole up to its limit") {
  const Folder folder;
  text::Sources sources;
  text::Diagnostics diagnostics;
  CHECK(code_of(folder / "none.bud") == "no-file");
  CHECK(code_of(folder.write("large.bud", std::string(101, 'x')), 100) == "large-file");
  const std::string whole(200'000, 'x');
  const text::Source* source =
      files::read_text(folder.write("fits.bud", whole), sources, diagnostics, whole.size());
  REQUIRE(source != nullptr);
  CHECK(source->text() == whole);
  CHECK(diagnostics.empty());
}

TEST_CASE("what is no file is refused at once, though opening or reading it would wait") {
  const Folder folder;
  CHECK(code_of(folder.path()) == "unreadable-file");
  REQUIRE(::mkfifo((folder / "pipe").c_str(), 0600) == 0);
  CHECK(code_of(folder / "pipe") == "unreadable-file");
  const int made = ::socket(AF_UNIX, SOCK_STREAM, 0);
  sockaddr_un address{};
  address.sun_family = AF_UNIX;
  const std::string name = folder / "socket";
  std::strncpy(address.sun_path, name.c_str(), sizeof address.sun_path - 1);
  REQUIRE(::bind(made, reinterpret_cast<sockaddr*>(&address), sizeof address) == 0);
  CHECK(code_of(name) == "unreadable-file");
  ::close(made);
  for (const char* path : {"/dev/zero", "/dev/null", "/dev/tty", "/proc/kmsg", "/proc/self/status",
                           "/sys/kernel/uevent_seqnum"}) {
    CAPTURE(path);
    if (std::filesystem::exists(path)) CHECK(code_of(path) == "unreadable-file");
  }
  std::filesystem::create_symlink("/dev/zero", folder / "link.bud");
  CHECK(code_of(folder / "link.bud") == "unreadable-file");
}

TEST_CASE("a byte-order mark is dropped and does not shift places") {
  const Folder folder;
  text::Sources sources;
  text::Diagnostics diagnostics;
  const text::Source* source =
      files::read_text(folder.write("bom.bud", "\xEF\xBB\xBFprotocol x"), sources, diagnostics);
  REQUIRE(source != nullptr);
  CHECK(source->text() == "protocol x");
}

TEST_CASE("what is no text is refused, with the place") {
  const Folder folder;
  text::Sources sources;
  text::Diagnostics diagnostics;
  const auto path = folder.write("bad.bud", "protocol x {\né\xFF");
  CHECK(files::read_text(path, sources, diagnostics) == nullptr);
  REQUIRE(only_code(diagnostics) == "not-text");
  CHECK(diagnostics.sorted().front().message.find("line 2, column 2") != std::string::npos);
}

TEST_CASE("what was read is known by any of its names") {
  const Folder folder;
  const auto one = folder.write("one.yaml", "x");
  CHECK(files::read_bytes(one, 10).ok());
  std::filesystem::create_symlink(one, folder / "link");
  std::filesystem::create_hard_link(one, folder / "second");
  CHECK(files::was_read(one));
  CHECK(files::was_read(folder / "link"));
  CHECK(files::was_read(folder / "second"));
  CHECK_FALSE(files::was_read(folder / "none"));
}
