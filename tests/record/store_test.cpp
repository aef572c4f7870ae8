#include <doctest/doctest.h>
#include <stdlib.h>

#include <fstream>
#include <set>
#include <thread>

#include "record/line.hpp"
#include "record/standing.hpp"
#include "record/store.hpp"

namespace budwood::record::test {

namespace fs = std::filesystem;

namespace {

/// A folder that is gone after the test.
class BookFolder {
 public:
  BookFolder() {
    std::string name = (fs::temp_directory_path() / "record test%-XXXXXX").string();
    path_ = mkdtemp(name.data());
  }
  ~BookFolder() { fs::remove_all(path_); }
  BookFolder(const BookFolder&) = delete;
  BookFolder& operator=(const BookFolder&) = delete;
  fs::path file() const { return path_ / record_file; }
  Where where() const { return {file(), ""}; }

 private:
  fs::path path_;
};

Entry entry(const std::string& batch, const std::string& day, const std::string& by = "") {
  Entry out;
  out.id = new_id();
  out.noted = moment_now();
  out.day = *calendar::parse_iso_date(day);
  out.batch = batch;
  out.place = "healing";
  out.what = What::counted;
  out.number = 61;
  out.of = 80;
  out.unit = "plants";
  out.by = by;
  out.used = {{0.1, "m", "tape"}};
  return out;
}

std::unique_ptr<Store> opened(const Where& where) {
  Opened out = open(where, Access::write);
  CHECK(out.problem == "");
  REQUIRE(out.store != nullptr);
  return std::move(out.store);
}

Added add(Store& store, std::vector<Entry> entries) {
  Added added;
  CHECK(store.add(entries, added) == "");
  return added;
}

std::vector<Entry> read(Store& store, const Query& query = {}) {
  std::vector<Entry> out;
  CHECK(store.read(query, out) == "");
  return out;
}

}  // namespace

TEST_CASE("what was added is there when the record is opened again, word for word") {
  const BookFolder folder;
  Entry one = entry("BM27-1", "2027-04-15", "Zoë \"Z\"");
  Entry other = entry("BM27-2", "2027-04-16");
  other.number = other.of = std::nullopt;
  other.what = What::ended;
  other.seconds = 0.1;
  add(*opened(folder.where()), {one, other});
  const auto there = read(*opened(folder.where()));
  REQUIRE(there.size() == 2);
  CHECK(there[0].turn >= one.noted);
  CHECK(there[1].turn > there[0].turn);
  one.turn = there[0].turn;
  other.turn = there[1].turn;
  CHECK(there[0] == one);
  CHECK(there[1] == other);
}

TEST_CASE("a record that is not there is nothing to read, and reading makes none") {
  const BookFolder folder;
  const Opened none = open(folder.where(), Access::read);
  CHECK(none.store == nullptr);
  CHECK(none.problem == "");
  CHECK_FALSE(fs::exists(folder.file()));
}

TEST_CASE("entries are chosen by batch, day and person") {
  const BookFolder folder;
  const auto store = opened(folder.where());
  add(*store, {entry("A", "2027-04-15", "Ana"), entry("B", "2027-04-16", "Ben"),
               entry("A", "2027-04-17", "Ben"), entry("C", "2027-04-18", "Ana")});
  const auto days = [&](const Query& query) {
    std::string out;
    for (const Entry& one : read(*store, query)) out += calendar::iso_date(one.day).substr(8) + " ";
    return out;
  };
  CHECK(days({}) == "15 16 17 18 ");
  CHECK(days({{"A"}, {}, {}, ""}) == "15 17 ");
  CHECK(days({{"A", "C"}, {}, {}, ""}) == "15 17 18 ");
  CHECK(days({{},
              calendar::parse_iso_date("2027-04-16"),
              calendar::parse_iso_date("2027-04-17"),
              ""}) == "16 17 ");
  CHECK(days({{}, {}, {}, "Ana"}) == "15 18 ");
  CHECK(days({{"X"}, {}, {}, ""}) == "");
}

TEST_CASE("a correction that moves an entry to another batch is found with the old one") {
  const BookFolder folder;
  const auto store = opened(folder.where());
  const Entry wrong = entry("A", "2027-04-15");
  Entry right = entry("B", "2027-04-15");
  right.corrects = wrong.id;
  add(*store, {wrong, right});
  CHECK(read(*store, {{"A"}, {}, {}, ""}).size() == 2);
  CHECK(standing(read(*store, {{"A"}, {}, {}, ""})).front().batch == "B");
  // The same when so many batches are asked for that it is done another way.
  Query many{{"A"}, {}, {}, ""};
  for (int i = 0; i < 30; ++i) many.batches.push_back("X" + std::to_string(i));
  CHECK(read(*store, many) == read(*store, {{"A"}, {}, {}, ""}));
  many.batches.push_back("B");
  CHECK(read(*store, many).size() == 2);
}

TEST_CASE(
    "the same entries twice are there once; another with the id of one is refused, and all with "
    "it") {
  const BookFolder folder;
  const auto store = opened(folder.where());
  const Entry one = entry("A", "2027-04-15");
  CHECK(add(*store, {one}).fresh == 1);
  const auto exported = read(*store);
  const Added again = add(*store, exported);
  CHECK(again.fresh == 0);
  CHECK(again.known == 1);
  std::vector<Entry> mixed = {entry("B", "2027-04-16"), exported.front()};
  mixed.back().number = 62;
  Added added;
  CHECK(store->add(mixed, added).find("another entry") != std::string::npos);
  CHECK(read(*store) == exported);
}

TEST_CASE("later entries are later, whatever the clock says") {
  const BookFolder folder;
  const auto store = opened(folder.where());
  Entry first = entry("A", "2027-04-15");
  Entry second = first;
  second.id = new_id();
  second.noted = first.noted - 7'200'000;
  second.corrects = first.id;
  add(*store, {first});
  add(*store, {second});
  const auto held = standing(read(*store));
  REQUIRE(held.size() == 1);
  CHECK(held.front().id == second.id);
  CHECK(held.front().noted < first.noted);
}

TEST_CASE("entries of two machines that are brought together stand in the order noted") {
  const BookFolder here;
  const BookFolder there;
  const auto noted_at = [](int minute, const std::string& words) {
    Entry out = entry("A", "2027-04-15");
    out.noted = 1'800'000'000'000 + minute * 60'000;
    out.words = words;
    return out;
  };
  const auto ours = opened(here.where());
  const auto theirs = opened(there.where());
  // There few entries, late in the day; here many, all day.
  for (int minute : {0, 10, 20, 40, 50, 90}) {
    add(*ours, {noted_at(minute, std::to_string(minute))});
  }
  for (int minute : {30, 60}) add(*theirs, {noted_at(minute, std::to_string(minute))});
  const std::vector<Entry> of_ours = read(*ours);
  const std::vector<Entry> of_theirs = read(*theirs);
  CHECK(add(*ours, of_theirs).fresh == 2);
  CHECK(add(*theirs, of_ours).fresh == 6);
  const auto order = [](Store& store) {
    std::string out;
    for (const Entry& one : read(store)) out += one.words + " ";
    return out;
  };
  CHECK(order(*ours) == "0 10 20 30 40 50 60 90 ");
  CHECK(order(*theirs) == order(*ours));
  // Who corrects knows what was there, also by a clock that is behind.
  Entry late = noted_at(5, "correction");
  late.corrects = read(*theirs).back().id;
  add(*theirs, {late});
  add(*ours, read(*theirs));
  CHECK(order(*ours) == "0 10 20 30 40 50 60 90 correction ");
  CHECK(standing(read(*ours)).back().words == "correction");
}

TEST_CASE("an entry is found by the front of its id") {
  const BookFolder folder;
  const auto store = opened(folder.where());
  std::vector<Entry> entries;
  for (int i = 0; i < 50; ++i) entries.push_back(entry("A", "2027-04-15"));
  add(*store, entries);
  std::vector<Entry> found;
  for (const Entry& one : entries) {
    CHECK(store->find(one.id, found) == "");
    REQUIRE(found.size() == 1);
    CHECK(found.front().id == one.id);
    CHECK(store->find(one.id.substr(0, 8), found) == "");
    CHECK(found.size() == 1);
  }
  CHECK(store->find("zzzz", found) == "");
  CHECK(found.empty());
}

TEST_CASE("many write at once: each entry is there, each once") {
  const BookFolder folder;
  constexpr int writers = 8;
  constexpr int each = 20;
  std::vector<std::thread> all;
  for (int w = 0; w < writers; ++w) {
    all.emplace_back([&, w] {
      Opened mine = open(folder.where(), Access::write);
      for (int i = 0; mine.store != nullptr && i < each; ++i) {
        std::vector<Entry> one = {entry("W" + std::to_string(w), "2027-04-15")};
        Added added;
        if (!mine.store->add(one, added).empty()) return;
      }
    });
  }
  for (std::thread& one : all) one.join();
  const auto there = read(*opened(folder.where()));
  CHECK(there.size() == writers * each);
  std::set<std::string> ids;
  for (const Entry& one : there) ids.insert(one.id);
  CHECK(ids.size() == writers * each);
}

TEST_CASE("a large record, read on several cores, is as it was noted") {
  const BookFolder folder;
  std::vector<Entry> noted;
  for (int i = 0; i < 60'000; ++i) {
    noted.push_back(entry("A" + std::to_string(i % 50), "2027-04-15", i % 2 == 0 ? "Ana" : "Bo"));
    noted.back().turn = 1 + i;
    noted.back().used.clear();
  }
  const auto store = opened(folder.where());
  add(*store, noted);
  CHECK((read(*store) == noted));
  // Most of it: forty of fifty batches.
  Query query;
  for (int i = 0; i < 40; ++i) query.batches.push_back("A" + std::to_string(i));
  std::erase_if(noted, [](const Entry& one) { return std::stoi(one.batch.substr(1)) >= 40; });
  CHECK((read(*store, query) == noted));
  query.by = "Bo";
  std::erase_if(noted, [](const Entry& one) { return one.by != "Bo"; });
  CHECK((read(*store, query) == noted));
}

TEST_CASE("a file that is no record, or a damaged one, is told; what can be read of it is") {
  const BookFolder folder;
  std::ofstream(folder.file()) << std::string(5000, 'x');
  Opened none = open(folder.where(), Access::write);
  CHECK(none.store == nullptr);
  CHECK(none.damaged);
  CHECK(none.problem.find("damaged") != std::string::npos);
  CHECK(salvage(folder.file()).empty());
  fs::remove(folder.file());

  std::vector<Entry> entries;
  for (int i = 0; i < 2000; ++i)
    entries.push_back(entry("A" + std::to_string(i % 7), "2027-04-15"));
  add(*opened(folder.where()), entries);
  // A stretch in the middle is overwritten, as by a bad sector.
  const auto size = fs::file_size(folder.file());
  {
    std::fstream file(folder.file(), std::ios::in | std::ios::out | std::ios::binary);
    file.seekp(static_cast<std::streamoff>(size / 4096 / 2 * 4096));
    file << std::string(4096, '\xA5');
  }
  const auto saved = salvage(folder.file());
  CHECK(saved.size() >= 1900);
  CHECK(saved.size() <= 2000);
  std::set<std::string> ids;
  for (const Entry& one : entries) ids.insert(one.id);
  for (const Entry& one : saved) CHECK(ids.contains(one.id));
}

}  // namespace budwood::record::test
