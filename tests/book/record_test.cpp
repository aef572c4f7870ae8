#include "book_folder.hpp"
#include "record/store.hpp"

namespace budwood::book::test {

namespace {

constexpr const char* two_batches =
    "batches:\n"
    "  - {batch: A1, protocol: bench_graft, plants: 600, ready: 2027-05-10}\n"
    "  - {batch: B1, protocol: bench_graft, ready: 2027-05-10, cultivars: {Bonita: 20, Rex: 10}}\n";

record::Entry entry(record::What what, const std::string& batch, const std::string& place,
                    const std::string& day) {
  record::Entry out;
  out.id = record::new_id();
  out.noted = record::moment_now();
  out.what = what;
  out.batch = batch;
  out.place = place;
  out.day = *calendar::parse_iso_date(day);
  return out;
}

record::Entry plants(record::What what, double number, const std::string& day) {
  record::Entry out = entry(what, "A1", "budding", day);
  out.number = number;
  out.unit = "plants";
  return out;
}

/// A book of two batches, with a record.
class RecordedBook {
 public:
  explicit RecordedBook(std::vector<record::Entry> entries,
                        const std::string& batches = two_batches) {
    folder_.write("site.yaml", small_site);
    folder_.write("batches.yaml", batches);
    auto opened = record::open({folder_.path() / record::record_file, ""}, record::Access::write);
    REQUIRE(opened.store != nullptr);
    record::Added added;
    REQUIRE(opened.store->add(entries, added) == "");
    opened.store.reset();
    read();
  }

  void read() {
    text::Diagnostics found;
    book = read_book(folder_.path(), sources, found);
    problems.clear();
    for (const text::Diagnostic& d : found.sorted()) problems.push_back(one_line(d));
  }
  const Batch& batch(std::size_t place) const { return book->batches.at(place); }
  std::filesystem::path file() const { return folder_.path() / record::record_file; }

  text::Sources sources;
  std::optional<Book> book;
  std::vector<std::string> problems;

 private:
  Folder folder_;
};

}  // namespace

TEST_CASE("a record becomes dates, counts and orders done, each with the line that says so") {
  using record::What;
  RecordedBook read({entry(What::started, "A1", "budding", "2027-04-02"),
                     entry(What::done, "A1", "budding/1/1", "2027-04-03"),
                     plants(What::lost, 5, "2027-04-04"), plants(What::counted, 412, "2027-04-05"),
                     plants(What::lost, 12, "2027-04-06"),
                     entry(What::stopped, "X9", "", "2027-04-06")});
  CHECK(joined(read.problems) == "");
  const Batch& batch = read.batch(0);
  REQUIRE(batch.pins.size() == 1);
  CHECK(batch.pins[0].recorded);
  CHECK(calendar::iso_date(batch.pins[0].day) == "2027-04-02");
  CHECK(text::text_of(batch.pins[0].span) == "A1/budding started on 2027-04-02");
  REQUIRE(batch.counted.size() == 1);
  CHECK(batch.counted[0].plants == 400);
  REQUIRE(batch.done.size() == 1);
  CHECK(batch.done[0].order == "budding/1/1");
  CHECK(under_way(batch));
  CHECK(read.book->history.size() == 5);
}

TEST_CASE("samples and single trays are no count of a stage") {
  record::Entry sample = plants(record::What::counted, 61, "2027-04-05");
  sample.of = 80;
  record::Entry tray = plants(record::What::counted, 61, "2027-04-05");
  tray.tray = "7";
  const RecordedBook read({sample, tray, plants(record::What::lost, 3, "2027-04-06")});
  CHECK(joined(read.problems) == "");
  CHECK(read.batch(0).counted.empty());
}

TEST_CASE("counts hold by their days, not by when they were noted") {
  const RecordedBook read({plants(record::What::counted, 300, "2027-04-09"),
                           plants(record::What::counted, 412, "2027-04-05")});
  REQUIRE(read.batch(0).counted.size() == 1);
  CHECK(read.batch(0).counted[0].plants == 300);
}

TEST_CASE("what is said of a whole batch of cultivars holds for each of them") {
  const RecordedBook read({entry(record::What::ended, "B1", "budding", "2027-04-02")});
  REQUIRE(read.book->batches.size() == 3);
  CHECK(read.batch(0).pins.empty());
  CHECK(read.batch(1).pins.size() == 1);
  CHECK(read.batch(2).pins.size() == 1);
}

TEST_CASE("the record goes before batches.yaml, and where they differ both are told") {
  const std::string told =
      "batches:\n  - {batch: A1, protocol: bench_graft, plants: 600, ready: 2027-05-10, pins: "
      "{budding.end: 2027-04-20}, recorded: {budding.start: 2027-04-01, budding.left: 412}, done: "
      "{budding/1/1: 2027-04-03}}\n";
  const RecordedBook read({entry(record::What::started, "A1", "budding", "2027-04-02"),
                           entry(record::What::ended, "A1", "budding", "2027-04-21"),
                           entry(record::What::done, "A1", "budding/1/1", "2027-04-03"),
                           plants(record::What::counted, 400, "2027-04-21")},
                          told);
  std::string codes;
  for (const std::string& problem : read.problems) {
    codes += problem.find("record-differs") != std::string::npos ? "differs " : "";
    codes += problem.find("kept-in-batches") != std::string::npos ? "kept " : "";
  }
  CHECK(codes == "kept differs differs ");
  CHECK(calendar::iso_date(read.batch(0).pins[0].day) == "2027-04-02");
  CHECK(read.batch(0).counted[0].plants == 400);
  CHECK(told_in_batches(*read.book, 0).empty());
}

TEST_CASE("what older books say becomes entries that the record lacks") {
  const std::string told =
      "batches:\n  - {batch: A1, protocol: bench_graft, plants: 600, ready: 2027-05-10, recorded: "
      "{budding.start: 2027-04-01, budding.end: 2027-04-12, budding.left: 412}, done: "
      "{budding/1/1: "
      "2027-04-03}}\n";
  const RecordedBook read({entry(record::What::started, "A1", "budding", "2027-04-01")}, told);
  std::vector<record::Entry> taken = told_in_batches(*read.book, 0);
  REQUIRE(taken.size() == 3);
  for (const record::Entry& one : taken) CHECK(record::fault_of(one) == "");
  CHECK(taken[2].number == 412);
  CHECK(calendar::iso_date(taken[2].day) == "2027-04-12");
}

TEST_CASE("a record that cannot be read is an error of the book") {
  RecordedBook read({entry(record::What::started, "A1", "budding", "2027-04-02")});
  std::ofstream(read.file()) << std::string(9000, 'x');
  read.read();
  REQUIRE(read.problems.size() == 1);
  CHECK(read.problems[0].find("error no-record") != std::string::npos);
  CHECK(read.problems[0].find("damaged") != std::string::npos);
}

}  // namespace budwood::book::test
