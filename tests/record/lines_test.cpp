#include <random>

#include "known_method.hpp"
#include "record/line.hpp"

namespace budwood::record::test {

namespace {

Entry one(const std::string& text) {
  const KnownMethod known;
  const Lines lines(text, known);
  CAPTURE(text);
  CHECK(lines.codes == std::vector<std::string>{});
  REQUIRE(lines.entries.size() == 1);
  return lines.entries.front();
}

std::string codes_of(const std::string& text) {
  const KnownMethod known;
  const Lines lines(text, known);
  std::string out;
  for (const std::string& code : lines.codes) out += (out.empty() ? "" : ", ") + code;
  CHECK_FALSE(lines.codes.empty());
  CHECK(lines.entries.empty());
  return out;
}

}  // namespace

TEST_CASE("an order that was done: day, who, plants, time and what was used") {
  const Entry entry = one(
      "BM27-1/grafting/2/1 done on 2027-04-08 by Ana Ruiz, 291 plants, 6 h 10 min, used 30 m tape "
      "and 2.5 L mix");
  CHECK(entry.what == What::done);
  CHECK(entry.batch == "BM27-1");
  CHECK(entry.place == "grafting/2/1");
  CHECK(calendar::iso_date(entry.day) == "2027-04-08");
  CHECK(entry.by == "Ana Ruiz");
  CHECK(entry.number == 291);
  CHECK(entry.seconds == 6 * 3600 + 10 * 60);
  REQUIRE(entry.used.size() == 2);
  CHECK(entry.used[0] == Used{30, "m", "tape"});
  CHECK(entry.used[1] == Used{2.5, "L", "mix"});
  CHECK(line_of(entry) ==
        "BM27-1/grafting/2/1 done on 2027-04-08 by Ana Ruiz, 291 plants, 6 h 10 min, used 30 m "
        "tape and 2.5 L mix");
}

TEST_CASE("each thing that can happen") {
  CHECK(one("BM27-1/healing counted 61 of 80 on 2027-04-15").of == 80);
  CHECK(one("BM27-1/healing counted 480 plants in tray 7").tray == "7");
  CHECK(one("BM27-1/healing seen callus 70 % on 2027-04-15").unit == "%");
  CHECK(one("BM27-1/healing seen callus 16 of 20").of == 20);
  CHECK(one("BM27-1/healing seen girth 0.9 cm").unit == "cm");
  CHECK(one("BM27-1/healing seen girth 9").unit == "mm");
  CHECK(one("BM27-1/healing seen buds").what == What::seen);
  CHECK(one("BM27-1 not seen buds").what == What::not_seen);
  CHECK(one("BM27-1/healing lost 12 plants \"damping off\"").words == "damping off");
  CHECK(one("BM27-1/healing started on 2027-04-15").what == What::started);
  CHECK(one("BM27-1/healing ended").what == What::ended);
  CHECK(one("BM27-1 stopped on 2027-04-15 \"frost in the tunnel\"").what == What::stopped);
  CHECK(one("stock mix 140 L on 2027-04-15").name == "mix");
  CHECK(one("stock mix came in 40 L").what == What::came_in);
  CHECK(one("stock \"Potting mix\" thrown out 4 L \"mouldy\"").name == "mix");
  CHECK(one("BM27-1/grafting left out \"no scions\"").what == What::left_out);
  CHECK(one("BM27-1/grafting lesson \"start a week later\"").what == What::lesson);
  CHECK(one("2027-A/grafting note \"rain\" # not part of it").batch == "2027-A");
}

TEST_CASE("an order may be named by less where that is only one") {
  CHECK(one("BM27-1/healing done").place == "healing/1/1");
  CHECK(one("BM27-1/grafting/1 done").place == "grafting/1/1");
  CHECK(codes_of("BM27-1/grafting done") == "which-order 1:1");
  CHECK(codes_of("BM27-1/grafting/2 done") == "which-order 1:1");
  CHECK(codes_of("BM27-1 done") == "which-order 1:1");
  CHECK(codes_of("BM27-1/grafting/2/3 done") == "unknown-name 1:1");
}

TEST_CASE("a stage may have gone on for longer than was planned when the entry was written") {
  CHECK(one("BM27-1/healing/1/2 done on 2027-04-10").place == "healing/1/2");
  CHECK(codes_of("BM27-1/healing/1/2 done on 2027-04-09") == "unknown-name 1:1");
  CHECK(codes_of("BM27-1/healing/1/3 done on 2027-04-10") == "unknown-name 1:1");
}

TEST_CASE("trays of a trial are those that were drawn") {
  CHECK(one("C-c1/healing counted 12 in tray 4").tray == "4");
  CHECK(codes_of("C-c1/healing counted 12 in tray 2") == "unknown-tray 1:33");
  CHECK(codes_of("C-c1/healing counted 12 in tray 9") == "unknown-tray 1:33");
  CHECK(one("BM27-1/healing counted 12 in tray 9").tray == "9");
}

TEST_CASE("plants are counted in a grade that their stage has") {
  const Entry strong = one("BM27-1/healing counted 310 in grade strong on 2027-04-20 by Ana");
  CHECK(strong.number == 310);
  CHECK(strong.name == "strong");
  CHECK(codes_of("BM27-1/healing counted 310 in grade stong") == "unknown-name 1:37");
  CHECK(codes_of("BM27-1/grafting counted 310 in grade strong") == "unknown-name 1:38");
  CHECK(codes_of("BM27-1/healing lost 3 in grade weak") == "does-not-go 1:32");
  CHECK(codes_of("BM27-1/healing counted 3 of 9 in grade weak") == "does-not-go 1:24");
}

TEST_CASE("words of entries are names elsewhere, and words of protocols are names in entries") {
  CHECK(one("stock used 14 trays").name == "used");
  CHECK(one("BM27-1/healing done used 3 used").used == std::vector<Used>{{3, "trays", "used"}});
  CHECK(one("BM27-1/healing ended by may").by == "may");
}

TEST_CASE("less is typed where it is clear all the same") {
  const Entry lost = one("BM27-1/healing lost 12 damping off on 2027-04-08 by Ana");
  CHECK(lost.number == 12);
  CHECK(lost.words == "damping off");
  CHECK(lost.by == "Ana");
  const Entry stock = one("stock mix 140 L on hand");
  CHECK(stock.number == 140);
  CHECK(stock.unit == "L");
  CHECK(one("BM27-1/healing ended today").day == day_now());
  CHECK(one("BM27-1/healing ended on today by Ana").day == day_now());
  CHECK(one("stock mix 140 L on hand today").day == day_now());
  CHECK(one("BM27-1/healing ended by Ana today").by == "Ana");
  CHECK(one("BM27-1/healing lost 12 plants").words == "");
  CHECK(codes_of("BM27-1/healing lost 12 plnats") == "syntax 1:24");
  CHECK(codes_of("BM27-1/healing ended today on 2027-04-08") == "duplicate-statement 1:28");
}

TEST_CASE("plants are of one cultivar, days and work of all") {
  CHECK(one("C/healing ended").batch == "C");
  CHECK(one("C-c1/healing counted 12").batch == "C-c1");
  CHECK(codes_of("C/healing counted 12") == "which-cultivar 1:1");
  CHECK(codes_of("C/healing lost 2 plants") == "which-cultivar 1:1");
}

TEST_CASE("a mistake is told at its place and costs its line alone") {
  const KnownMethod known;
  const Lines lines(
      "BM27-1/healing ended\n\n# rain\nBM27-1/healing dnoe\nBM27-2/healing ended\n"
      "BM27-1/healing counted 61 of 80\n",
      known);
  CHECK(lines.codes == std::vector<std::string>{"syntax 4:16", "unknown-name 5:1"});
  CHECK(lines.advice == std::vector<std::string>{"Did you mean `done`?", "Did you mean `BM27-1`?"});
  CHECK(lines.entries.size() == 2);
}

TEST_CASE("wrong entries are named") {
  const struct {
    const char* line;
    const char* codes;
  } mistakes[] = {
      {"BM27-1/healing", "syntax 1:1"},
      {"BM27-1/healing ended on 2027-04", "syntax 1:25"},
      {"BM27-1/healing ended on 2027-02-30", "no-such-date 1:25"},
      {"BM27-1/healing ended on 2027-04-08 on 2027-04-09", "duplicate-statement 1:36"},
      {"BM27-1/heeling ended", "unknown-name 1:1"},
      {"BM27-1 ended", "which-stage 1:1"},
      {"BM27-1/healing stopped \"frost\"", "which-stage 1:1"},
      {"BM27-1/healing/1/1 ended", "which-stage 1:1"},
      {"BM27-1 stopped", "no-words 1:8"},
      {"BM27-1/healing counted", "syntax 1:16"},
      {"BM27-1/healing counted 81 of 80", "out-of-range 1:24"},
      {"BM27-1/healing counted 1.5", "out-of-range 1:24"},
      {"BM27-1/healing counted 10000001", "out-of-range 1:24"},
      {"BM27-1/healing seen calus 70 %", "unknown-name 1:21"},
      {"BM27-1/healing seen callus", "no-amount 1:21"},
      {"BM27-1/healing seen callus 170 %", "out-of-range 1:28"},
      {"BM27-1/healing seen callus 3 L", "unit-mismatch 1:28"},
      {"BM27-1/healing seen girth 3 of 4", "unit-mismatch 1:27"},
      {"BM27-1/healing seen buds 3", "unit-mismatch 1:26"},
      {"BM27-1/healing seen girth 3 mmm", "unknown-unit 1:29"},
      {"BM27-1/healing done 3 furlongs", "unknown-unit 1:23"},
      {"BM27-1/healing done used 3 m mixx", "unknown-name 1:30"},
      {"BM27-1/healing done used 3 m mix", "unit-mismatch 1:26"},
      {"BM27-1/healing ended, 3 plants", "does-not-go 1:23"},
      {"BM27-1/healing ended used 3 m tape", "does-not-go 1:27"},
      {"stock mix 3 L, 2 h", "does-not-go 1:16"},
      {"stock mix came in 3 L in tray 4", "does-not-go 1:31"},
      {"stock mix 3 of 4", "unit-mismatch 1:11"},
      {"stock mix -3 L", "out-of-range 1:11"},
      {"stock mixx 3 L", "unknown-name 1:7"},
      {"stock mix", "syntax 1:7"},
      {"withdraw abc", "unknown-entry 1:10"},
      {"withdraw k7m2q9x4", "unknown-entry 1:10"},
      {"correct k7m2q9x4 with BM27-1/healing ended", "unknown-entry 1:9"},
      {"BM27-1/healing note \"rain", "unclosed-text 1:21"},
      {"BM27-1/healing ended ;", "stray-character 1:22"},
  };
  for (const auto& mistake : mistakes) {
    CAPTURE(mistake.line);
    CHECK(codes_of(mistake.line) == mistake.codes);
  }
}

TEST_CASE("what is corrected or withdrawn is named by the front of its id") {
  KnownMethod known;
  Entry first = one("BM27-1/healing ended");
  first.id = "k7m2q9x4t3v8b5n6";
  Entry second = first;
  second.id = "k7m2zzzzt3v8b5n6";
  known.noted = {first, second};
  const Lines right(
      "correct k7m2q with BM27-1/healing ended on 2027-04-09\nwithdraw k7m2z \"twice\"", known);
  REQUIRE(right.codes.empty());
  REQUIRE(right.entries.size() == 2);
  CHECK(right.entries[0].corrects == first.id);
  CHECK(right.entries[0].what == What::ended);
  CHECK(right.entries[1].corrects == second.id);
  CHECK(right.entries[1].what == What::withdrawal);
  CHECK(right.entries[1].batch == "BM27-1");
  CHECK(Lines("withdraw k7m2", known).codes == std::vector<std::string>{"unknown-entry 1:10"});
}

namespace {

/// Entries by lot, each such that it can be.
class Lot {
 public:
  explicit Lot(unsigned seed) : random_(seed) {}

  Entry entry(KnownMethod& known) {
    Entry out;
    out.id = new_id();
    out.what = static_cast<What>(below(what_count));
    out.day = *calendar::parse_iso_date("2027-01-01") + below(400);
    if (below(2) == 0) out.by = text(20);
    if (out.what == What::withdrawal || (!is_of_stock(out.what) && below(6) == 0)) {
      out.corrects = new_id();
    }
    fill(out);
    if (!out.corrects.empty()) {
      Entry other;
      other.id = out.corrects;
      if (out.what == What::withdrawal) {
        other.batch = out.batch;
        other.place = out.place;
      }
      known.noted = {other};
    }
    const bool alone = is_of_stock(out.what) || out.what == What::withdrawal;
    if (!alone && below(3) == 0) out.seconds = below(4) == 0 ? below(9000) / 10.0 : 60 * below(900);
    if (!alone && below(4) == 0) out.tray = below(2) == 0 ? std::to_string(below(90)) : text(8);
    const bool needs = out.what == What::left_out || out.what == What::stopped ||
                       out.what == What::note || out.what == What::lesson ||
                       out.what == What::thrown_out;
    if (needs || below(3) == 0) out.words = text(60);
    return out;
  }

 private:
  int below(int limit) { return static_cast<int>(random_() % static_cast<unsigned>(limit)); }

  double amount() { return below(3) == 0 ? below(1000) / 8.0 : below(1000); }

  std::string text(int longest) {
    static const std::vector<std::string> pieces = {"a", "Z",      " ",    "\"",    "\\",  "9",
                                                    "ü", "done",   " by ", ",",     "#",   "%",
                                                    "-", "plants", "é",    "today", "hand"};
    std::string out = "x";
    for (int i = below(longest) / 2; i > 0; --i) {
      out += pieces[static_cast<std::size_t>(below(static_cast<int>(pieces.size())))];
    }
    return out;
  }

  void fill(Entry& out) {
    if (is_of_stock(out.what)) {
      out.name = "mix";
      out.number = amount();
      out.unit = "L";
      return;
    }
    out.batch = below(2) == 0 ? "BM27-1" : "2027-A";
    out.place = below(2) == 0 ? "grafting" : "healing";
    switch (out.what) {
      case What::done:
        out.place = "grafting/2/2";
        if (below(2) == 0) share(out, "plants");
        if (below(2) == 0) out.used = {{amount(), "m", "tape"}, {amount(), "trays", "used"}};
        break;
      case What::counted:
        share(out, "plants");
        if (!out.of && out.place == "healing" && below(2) == 0) out.name = "weak";
        break;
      case What::lost:
        share(out, "plants");
        break;
      case What::seen:
        out.name = below(2) == 0 ? "girth" : "callus";
        out.number = below(100);
        out.unit = out.name == "girth" ? "mm" : "%";
        if (out.name == "callus" && below(2) == 0) {
          out.of = 100;
          out.unit = "";
        }
        break;
      case What::not_seen:
        out.name = "buds";
        break;
      case What::stopped:
        out.place = "";
        break;
      default:
        break;
    }
  }

  void share(Entry& out, const char* unit) {
    out.number = below(300);
    if (below(2) == 0) out.of = *out.number + 1 + below(100);
    out.unit = unit;
  }

  std::mt19937 random_;
};

}  // namespace

TEST_CASE("an entry, written as a line and read again, is the same entry") {
  Lot lot(19);
  KnownMethod known;
  for (int i = 0; i < 3000; ++i) {
    const Entry entry = lot.entry(known);
    REQUIRE(fault_of(entry) == "");
    const std::string line = line_of(entry);
    CAPTURE(line);
    const Lines read(line, known);
    REQUIRE(read.codes == std::vector<std::string>{});
    REQUIRE(read.entries.size() == 1);
    Entry again = read.entries.front();
    again.id = entry.id;
    REQUIRE(again == entry);
  }
}

TEST_CASE("lines with a few things changed never do more than report") {
  std::mt19937 random(7);
  const KnownMethod known;
  const std::vector<std::string> seeds = {
      "BM27-1/grafting/2/1 done on 2027-04-08 by Ana, 291 plants, 6 h 10 min, used 30 m tape",
      "correct k7m2q with BM27-1/healing counted 61 of 80 in tray 7 \"x\"",
      "stock mix came in 140 L on 2027-04-08", "withdraw k7m2q \"why\""};
  for (int i = 0; i < 4000; ++i) {
    std::string line = seeds[random() % seeds.size()];
    for (unsigned change = 1 + random() % 3; change > 0; --change) {
      const std::size_t at = random() % line.size();
      if (random() % 2 == 0) {
        line.erase(at, 1 + random() % 4);
      } else {
        line.insert(at, 1, "/ ,\"\\#%-9a\n\xC3(){}"[random() % 15]);
      }
      if (line.empty()) line = " ";
    }
    const Lines read(line, known);
    for (const Entry& entry : read.entries) CHECK(fault_of(entry) == "");
  }
}

}  // namespace budwood::record::test
