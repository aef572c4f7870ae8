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

TEST_CASE("counts of grades and of what was done are told apart from the plants of a stage") {
  using record::What;
  const auto graded = [](const char* grade, double number, const char* on) {
    record::Entry out = plants(What::counted, number, on);
    out.name = grade;
    return out;
  };
  record::Entry done = entry(What::done, "A1", "budding/1/1", "2027-04-03");
  done.number = 291;
  record::Entry of_tray = entry(What::done, "A1", "budding/1/2", "2027-04-03");
  of_tray.number = 12;
  of_tray.tray = "7";
  RecordedBook read({done, of_tray, graded("first", 210, "2027-04-06"),
                     graded("first", 200, "2027-04-05"), graded("second", 30, "2027-04-05"),
                     graded("second", 31, "2027-04-05")});
  const Batch& batch = read.batch(0);
  CHECK(batch.counted.empty());
  REQUIRE(batch.graded.size() == 2);
  CHECK(batch.graded[0].grade == "first");
  CHECK(batch.graded[0].plants == 210);
  CHECK(batch.graded[1].plants == 31);
  REQUIRE(read.problems.size() == 1);
  CHECK(read.problems.front().find("record-differs") != std::string::npos);
  REQUIRE(batch.done.size() == 2);
  CHECK(batch.done[0].plants == 291);
  CHECK_FALSE(batch.done[1].plants);
}

TEST_CASE("samples and single trays are no count of a stage") {
  record::Entry sample = plants(record::What::counted, 61, "2027-04-05");
  sample.of = 80;
  record::Entry tray = plants(record::What::counted, 61, "2027-04-05");
  tray.tray = "7";
  const RecordedBook read({sample, tray});
  CHECK(joined(read.problems) == "");
  CHECK(read.batch(0).counted.empty());
  // But whoever looks at plants has some: the batch is under way, and stays on its edition.
  CHECK(under_way(read.batch(0)));
  CHECK(under_way(RecordedBook({sample}).batch(0)));
  CHECK(under_way(RecordedBook({tray}).batch(0)));
  CHECK_FALSE(
      under_way(RecordedBook({entry(record::What::note, "A1", "", "2027-04-05")}).batch(0)));
}

TEST_CASE("what was lost is taken off what was counted before; without a count it is told") {
  using record::What;
  const auto left = [](std::vector<record::Entry> entries) {
    const RecordedBook read(std::move(entries));
    std::string out;
    for (const Count& count : read.batch(0).counted) out += std::to_string(count.plants) + " ";
    for (const std::string& problem : read.problems) {
      if (problem.find("lost-uncounted") != std::string::npos) out += "told ";
    }
    return out;
  };
  record::Entry of_tray = plants(What::lost, 3, "2027-04-06");
  of_tray.tray = "7";
  record::Entry of_batch = plants(What::lost, 3, "2027-04-06");
  of_batch.place = "";
  CHECK(left({plants(What::lost, 3, "2027-04-06")}) == "told ");
  CHECK(left({plants(What::lost, 3, "2027-04-04"), plants(What::counted, 50, "2027-04-05")}) ==
        "50 ");
  CHECK(left({plants(What::counted, 50, "2027-04-05"), of_tray}) == "47 ");
  CHECK(left({plants(What::counted, 50, "2027-04-05"), of_batch}) == "50 told ");
  CHECK(left({plants(What::counted, 2, "2027-04-05"), of_tray}) == "0 ");
}

TEST_CASE("of two that say the same otherwise the one noted last holds, and it is told once") {
  using record::What;
  const auto of_order = [](What what, const std::string& day,
                           const std::string& place = "budding/1/1") {
    return entry(what, "A1", place, day);
  };
  const auto facts = [](std::vector<record::Entry> entries) {
    const RecordedBook read(std::move(entries));
    const Batch& batch = read.batch(0);
    std::string out;
    for (const OrderDay& one : batch.done)
      out += "done " + calendar::iso_date(one.day).substr(8) + " ";
    for (const OrderDay& one : batch.left_out) out += "left out " + one.order + " ";
    for (const Count& one : batch.counted) out += std::to_string(one.plants) + " ";
    if (batch.stopped) out += "stopped " + calendar::iso_date(batch.stopped->value).substr(8) + " ";
    for (const std::string& problem : read.problems) {
      if (problem.find("record-differs") != std::string::npos) out += "told ";
    }
    return out;
  };
  CHECK(facts({of_order(What::done, "2027-04-03"), of_order(What::done, "2027-04-02")}) ==
        "done 02 told ");
  CHECK(facts({of_order(What::done, "2027-04-03"), of_order(What::done, "2027-04-03")}) ==
        "done 03 ");
  CHECK(facts({of_order(What::done, "2027-04-03"), of_order(What::left_out, "2027-04-02")}) ==
        "left out budding/1/1 told ");
  CHECK(facts({of_order(What::left_out, "2027-04-03"), of_order(What::done, "2027-04-02")}) ==
        "done 02 told ");
  // What is left out of a stage is the rest of it.
  CHECK(facts({of_order(What::done, "2027-04-03"),
               of_order(What::left_out, "2027-04-04", "budding")}) == "done 03 left out budding ");
  CHECK(facts({plants(What::counted, 50, "2027-04-05"), plants(What::counted, 40, "2027-04-05")}) ==
        "40 told ");
  CHECK(facts({plants(What::counted, 50, "2027-04-05"), plants(What::counted, 40, "2027-04-06")}) ==
        "40 ");
  CHECK(facts({entry(What::stopped, "A1", "", "2027-04-05"),
               entry(What::stopped, "A1", "", "2027-04-04")}) == "stopped 04 told ");
  // Of a batch of cultivars it is told once, not for each.
  CHECK(RecordedBook({entry(What::ended, "B1", "budding", "2027-04-05"),
                      entry(What::ended, "B1", "budding", "2027-04-06")})
            .problems.size() == 1);
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

TEST_CASE("only what batches.yaml says itself is taken over, once for all cultivars") {
  using record::What;
  const std::string told =
      "batches:\n"
      "  - {batch: A1, protocol: bench_graft, plants: 600, ready: 2027-05-10, recorded: "
      "{budding.start: 2027-04-01, budding.left: 412}, done: {budding/1/1: 2027-04-03}}\n"
      "  - {batch: B1, protocol: bench_graft, ready: 2027-05-10, cultivars: {Bonita: 20, Rex: 10}, "
      "recorded: {budding.start: 2027-04-05}, done: {budding/1/1: 2027-04-06}}\n";
  const auto taken = [&](std::vector<record::Entry> entries) {
    const RecordedBook read(std::move(entries), told);
    std::string out;
    for (const record::Entry& one : told_in_batches(*read.book, 0)) {
      out += record::whole_place(one) + " " + record::word(one.what) + ", ";
    }
    return out;
  };
  CHECK(taken({}) ==
        "A1/budding started, A1/budding/1/1 done, A1/budding counted, B1/budding started, "
        "B1/budding/1/1 done, ");
  // What the record says of a whole batch is none of batches.yaml; a loss is no count.
  CHECK(
      taken({entry(What::ended, "B1", "budding", "2027-04-20"), plants(What::lost, 5, "2027-04-10"),
             entry(What::done, "B1", "budding/1/1", "2027-04-06")}) ==
      "A1/budding started, A1/budding/1/1 done, A1/budding counted, B1/budding started, ");
  // Of one cultivar the record knows the start: the other keeps that of the file.
  CHECK(taken({entry(What::started, "B1-c1", "budding", "2027-04-06"),
               plants(What::counted, 400, "2027-04-10")}) ==
        "A1/budding started, A1/budding/1/1 done, B1/budding/1/1 done, B1-c2/budding started, ");
}

TEST_CASE("a place for the record that cannot be read is no other place") {
  for (const char* line : {"record: records/nursery\n", "record: [a]\n", "record:\n",
                           "recrod: postgresql://records/nursery\n"}) {
    CAPTURE(line);
    Folder folder;
    folder.write("site.yaml", std::string(small_site) + line);
    folder.write("batches.yaml", two_batches);
    text::Sources sources;
    text::Diagnostics found;
    const auto book = read_book(folder.path(), sources, found);
    REQUIRE(book);
    CHECK(found.has_errors());
    CHECK_FALSE(record_of(*book));
  }
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
