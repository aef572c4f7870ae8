#include <doctest/doctest.h>
#include <sys/stat.h>

#include "failing_disk.hpp"
#include "files/place_all.hpp"
#include "folder.hpp"

using namespace budwood;

namespace {

using Content = std::map<std::string, std::string>;

/// A book whose protocols stand in a folder beside it.
struct Site {
  Folder folder;
  std::filesystem::path book = folder / "book";

  Site() {
    folder.write("book/editions.yaml", "before");
    folder.write("book/site.yaml", "site");
    folder.write("protocols/here.bud", "here");
  }
  std::vector<files::NewFile> wanted() const {
    return {{book / "editions.yaml", "after", true},
            {book / ".." / "protocols" / "new.bud", "new", false},
            {book / ".." / "protocols" / "rules" / "house.bud", "rules", false}};
  }
};

const Content before = {{"book/", ""},
                        {"book/editions.yaml", "before"},
                        {"book/site.yaml", "site"},
                        {"protocols/", ""},
                        {"protocols/here.bud", "here"}};
const Content after = {{"book/", ""},
                       {"book/editions.yaml", "after"},
                       {"book/site.yaml", "site"},
                       {"protocols/", ""},
                       {"protocols/here.bud", "here"},
                       {"protocols/new.bud", "new"},
                       {"protocols/rules/", ""},
                       {"protocols/rules/house.bud", "rules"}};

}  // namespace

TEST_CASE("all files come to be, with the rights of what they replace") {
  const Site site;
  ::chmod((site.book / "editions.yaml").c_str(), 0600);
  CHECK(files::place_all(site.wanted(), site.book).empty());
  CHECK(site.folder.content() == after);
  struct stat facts {};
  ::stat((site.book / "editions.yaml").c_str(), &facts);
  CHECK((facts.st_mode & 0777U) == 0600);
}

namespace {

/// A disk on which another run looks for left-overs whenever a file was just made.
class WatchedDisk : public files::Disk {
 public:
  explicit WatchedDisk(std::filesystem::path root) : root_(std::move(root)) {}

  int create(const std::filesystem::path& path, mode_t mode, int& descriptor) override {
    const int error = Disk::create(path, mode, descriptor);
    if (path.extension() == ".begun" && looks_++ < 3) files::take_back_interrupted(root_);
    return error;
  }
  int rename(const std::filesystem::path& from, const std::filesystem::path& to) override {
    if (to.extension() != ".done") journal_there = journal_there && has_journal();
    return Disk::rename(from, to);
  }

  bool journal_there = true;  ///< whenever something was put in place

 private:
  bool has_journal() const {
    for (const auto& one : std::filesystem::directory_iterator(root_)) {
      if (one.path().extension() == ".begun") return true;
    }
    return false;
  }

  std::filesystem::path root_;
  int looks_ = 0;
};

}  // namespace

TEST_CASE("a journal that another run took for left over before it was locked is made anew") {
  const Site site;
  WatchedDisk disk(site.book);
  CHECK(files::place_all(site.wanted(), site.book, disk).empty());
  CHECK(disk.journal_there);
  CHECK(site.folder.content() == after);
}

namespace {

/// A disk on which another run makes each folder a moment earlier.
class SharedDisk : public files::Disk {
 public:
  int make_folder(const std::filesystem::path& folder) override {
    std::filesystem::create_directory(folder);
    return Disk::make_folder(folder);
  }
};

}  // namespace

TEST_CASE("a folder that another run has just made is taken as it is") {
  const Site site;
  SharedDisk disk;
  CHECK(files::place_all(site.wanted(), site.book, disk).empty());
  CHECK(site.folder.content() == after);
}

TEST_CASE("when one step fails all files come to be or none, and nothing is lost") {
  for (const bool links : {true, false}) {
    int taken_back = 0;
    for (int step = 0;; ++step) {
      CAPTURE(links);
      CAPTURE(step);
      const Site site;
      FailingDisk disk(step, FailingDisk::Kind::once, links);
      const std::string problem = files::place_all(site.wanted(), site.book, disk);
      if (!disk.failed()) {
        CHECK(problem.empty());
        CHECK(site.folder.content() == after);
        break;
      }
      // What could not be tidied up then is by the next run.
      files::take_back_interrupted(site.book);
      const Content left = site.folder.content();
      CHECK((left == before || left == after));
      CHECK((!problem.empty() || left == after));
      taken_back += left == before ? 1 : 0;
    }
    CHECK(taken_back > 10);
  }
}

TEST_CASE("when the power fails the next run makes it all or none") {
  for (const bool links : {true, false}) {
    int finished = 0;
    int undone = 0;
    for (int step = 0;; ++step) {
      CAPTURE(links);
      CAPTURE(step);
      const Site site;
      FailingDisk disk(step, FailingDisk::Kind::from_then_on, links);
      files::place_all(site.wanted(), site.book, disk);
      if (!disk.failed()) break;
      // The run that puts it right can be cut short too.
      for (int again = 0; again < 6; ++again) {
        FailingDisk worse(again, FailingDisk::Kind::from_then_on, links);
        files::take_back_interrupted(site.book, worse);
      }
      const files::TakenBack found = files::take_back_interrupted(site.book);
      CHECK(found.problems.empty());
      const Content left = site.folder.content();
      CHECK((left == before || left == after));
      (left == after ? finished : undone) += 1;
      CHECK(files::take_back_interrupted(site.book).files.empty());
    }
    CHECK(finished > 2);
    CHECK(undone > 10);
  }
}

TEST_CASE("what stands in the way is left as it is") {
  const Site site;
  std::vector<files::NewFile> wanted = site.wanted();
  wanted.push_back({site.book / ".." / "protocols" / "here.bud", "theirs", false});
  CHECK(files::place_all(wanted, site.book).find("Nothing was written") != std::string::npos);
  CHECK(site.folder.content() == before);
  CHECK_FALSE(files::place_all({{site.book / "no/such/folder/x", "x", false}}, site.book).empty());
  CHECK(site.folder.content() == before);
}

TEST_CASE("a journal from strangers moves nothing that is not its own") {
  using std::string_literals::operator""s;
  const std::string good_head = "budwood files 1\0"s;
  for (const std::string& steps :
       {"replaces\0../precious\0../.budwood-x.new\0../.budwood-x.old\0"s,
        "replaces\0precious\0.budwood-x.new\0other\0"s,
        "replaces\0precious\0elsewhere/.budwood-x.new\0.budwood-x.old\0"s,
        "adds\0../precious\0../.budwood-x.new\0../.budwood-x.old\0"s}) {
    const Folder folder;
    folder.write("precious", "mine");
    folder.write("book/precious", "mine");
    folder.write("book/other", "theirs");
    folder.write(".budwood-x.new", "theirs");
    folder.write(".budwood-x.old", "theirs");
    folder.write("book/.budwood-1.begun", good_head + steps + "end\0"s);
    files::take_back_interrupted(folder / "book");
    CHECK(folder.content()["precious"] == "mine");
    CHECK(folder.content()["book/precious"] == "mine");
  }
}
