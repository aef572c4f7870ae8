/// Plans of small random books against a planner that tries days.
#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>
#include <map>
#include <random>
#include <string>

#include "plan/plan.hpp"
#include "planner.hpp"

namespace budwood::reference {

namespace {

/// The program's plan of a book.
class Told {
 public:
  explicit Told(const Book& facts) {
    text::Sources sources;
    book_.protocols =
        language::read(sources_.add("sample.bud", protocol_text(facts)), said_).protocols;
    if (said_.has_errors()) return;
    fill(facts, book_);
    plan_ = plan::make_plan(book_, said_);
  }

  /// Mistakes other than that the dates contradict each other in every case.
  std::string mistakes() const {
    std::string out;
    for (const text::Diagnostic& d : said_.sorted()) {
      const bool of_dates = d.code == "dates-contradict" || d.code == "not-planned";
      if (d.severity == text::Severity::error && !of_dates) out += d.code + ": " + d.message + "\n";
    }
    return out;
  }
  /// A line a stage.
  std::string dates() const {
    std::string out;
    for (const language::StageId s : row().protocol().stages.ids()) {
      out += row().stage(s).name + " " + calendar::short_date(row().start(s)) + " to " +
             calendar::short_date(row().end(s)) + "\n";
    }
    return out + "ready " + calendar::short_date(*row().ready()) + "\n";
  }
  /// Whether something is said not to be kept, in what happened or in what lies ahead.
  bool deviates() const { return !row().deviations().empty(); }
  /// Whether what lies ahead breaks a limit.
  bool breaks() const {
    const auto& all = row().deviations();
    return std::any_of(all.begin(), all.end(), [](const sheet::Deviation& one) {
      return !one.happened && one.kind != sheet::Deviation::Kind::ready;
    });
  }
  bool refused() const { return said_.has_errors(); }
  bool dated() const { return !plan_.batches.empty() && plan_.batches.front().dated; }
  bool over() const { return plan_.batches.front().over.has_value(); }
  const plan::Plan& plan() const { return plan_; }
  sheet::Row row() const { return plan_.row_of(plan_.batches.front()); }

  std::string conflict() const {
    std::string out;
    for (const plan::Conflict& one : plan_.conflicts) {
      out += one.message + "\n";
      for (const auto& fact : one.facts) out += "  " + fact.text + "\n";
      for (const auto& repair : one.repairs) out += "  + " + repair.text + "\n";
    }
    for (const text::Diagnostic& d : said_.sorted()) {
      if (d.severity != text::Severity::error) continue;
      out += d.message + " " + d.advice + "\n";
      for (const auto& related : d.related) out += "  " + related.message + "\n";
    }
    return out;
  }

 private:
  text::Sources sources_;
  text::Diagnostics said_;
  book::Book book_;
  plan::Plan plan_;
};

std::string date(Day day) {
  return calendar::short_date(day);
}

/// The day that a conflict names as the nearest on which the batch can start.
std::optional<Day> nearest_told(const std::string& conflict) {
  const std::size_t at = conflict.find(": the nearest day");
  if (at == std::string::npos) return std::nullopt;
  return calendar::parse_iso_date(conflict.substr(at - 10, 10));
}

/// No date outside the years around the batch is anybody's business.
std::string leaked_date(const std::string& told) {
  for (const char* year : {"1970", "2084", "2085", "2083", "2199"}) {
    if (told.find(year) != std::string::npos) return std::string("tells of ") + year + ":\n" + told;
  }
  return "";
}

std::string conflict_difference(const Book& book, const Told& told) {
  const std::string conflict = told.conflict();
  if (conflict.empty()) return "no dates and no word\n";
  if (std::string leak = leaked_date(conflict); !leak.empty()) return leak;
  if (book.date != Book::Date::start || told.refused()) return "";
  const auto nearest = nearest_told(conflict);
  constexpr Day looked_at = 9;
  const Day most = nearest ? std::min(std::abs(*nearest - book.day) - 1, looked_at) : looked_at;
  for (Day by = 1; by <= most; ++by) {
    for (const Day day : {book.day - by, book.day + by}) {
      if (can_start_on(book, day)) {
        return "could start on " + date(day) + ", told " + (nearest ? date(*nearest) : "none") +
               "\n" + conflict;
      }
    }
  }
  if (nearest && !can_start_on(book, *nearest)) {
    return "cannot start on " + date(*nearest) + "\n" + conflict;
  }
  return "";
}

std::string stage_difference(const StagePlan& truth, const sheet::Row& row,
                             const sheet::StageCells& cells, const std::string& name) {
  std::string out;
  const auto compare = [&](const char* what, Day wanted, sheet::CellId cell) {
    const Day found = row.day(cell);
    if (found == wanted) return;
    out += name + "." + what + ": " + date(wanted) + ", told " + date(found) + "\n";
  };
  compare("start", truth.start, cells.start);
  compare("end", truth.end, cells.end);
  if (!out.empty()) return out;
  compare("earliest", truth.earliest, cells.earliest);
  compare("latest", truth.latest, cells.latest);
  const int found = row.days(cells.float_days);
  if (found != truth.float_days) {
    out += name + ".float: " + std::to_string(truth.float_days) + ", told " +
           std::to_string(found) + "\n";
  }
  return out;
}

std::string order_difference(const Book& book, const Plan& truth, const plan::Plan& told) {
  std::map<std::pair<std::size_t, int>, std::vector<Day>> found;
  for (const plan::WorkOrder& order : told.orders) {
    found[{order.stage.place(), order.work.number()}].push_back(order.date);
  }
  for (std::size_t s = 0; s < book.stages.size(); ++s) {
    for (std::size_t w = 0; w < book.stages[s].works.size(); ++w) {
      std::vector<Day> wanted;
      for (const auto& day :
           work_days(book, book.stages[s], w, truth.stages[s].start, truth.stages[s].end)) {
        if (day) wanted.push_back(*day);
      }
      std::sort(wanted.begin(), wanted.end());
      if (found[{s, static_cast<int>(w) + 1}] != wanted) {
        std::string out = "work " + std::to_string(w + 1) + " of s" + std::to_string(s) + ":";
        for (const Day day : wanted) out += " " + date(day);
        out += ", told";
        for (const Day day : found[{s, static_cast<int>(w) + 1}]) out += " " + date(day);
        return out + "\n";
      }
    }
  }
  return "";
}

/// What is under way has dates even where no plan keeps to everything; then it is told what is not
/// kept.
std::string under_way_difference(const Book& book, const Told& told) {
  if (told.refused()) return "";  // the protocol itself cannot be followed
  if (!told.dated()) return "under way, and told no dates\n" + told.conflict();
  Plan dates;
  for (const language::StageId s : told.row().protocol().stages.ids()) {
    dates.stages.push_back({told.row().start(s), told.row().end(s)});
  }
  dates.ready = *told.row().ready();
  return told.deviates() || keeps_to_all(book, dates)
             ? ""
             : "no plan keeps to everything, and no word of what is not kept\n" + told.dates();
}

enum class Kind : std::uint8_t { mistake, none, dated };

/// What differs; "" when nothing does.
std::string difference(const Book& book, Kind* kind = nullptr) {
  const Told told(book);
  if (kind != nullptr) *kind = Kind::mistake;
  if (!told.mistakes().empty()) return "";
  const auto truth = plan(book);
  if (kind != nullptr) *kind = truth ? Kind::dated : Kind::none;
  if (!truth && book.today) return under_way_difference(book, told);
  if (!truth) {
    // Farther away than days are tried, seasons may meet after all.
    if (told.dated() && std::abs(*told.row().ready() - book.day) >= farthest) return "";
    if (told.dated()) return "no plan exists, told one\n";
    return conflict_difference(book, told);
  }
  if (!told.dated()) {
    return "a plan exists from " + date(truth->stages.front().start) + " to " + date(truth->ready) +
           ", told none\n" + told.conflict();
  }
  if (told.breaks())
    return "a plan keeps to everything, told one that does not\n" + told.dates() + told.conflict();
  const sheet::Row row = told.row();
  std::string out;
  for (std::size_t s = 0; s < book.stages.size(); ++s) {
    out += stage_difference(truth->stages[s], row, row.cells(language::StageId(s)),
                            "s" + std::to_string(s));
  }
  if (*row.ready() != truth->ready) {
    out += "ready: " + date(truth->ready) + ", told " + date(*row.ready()) + "\n";
  }
  // Of a batch whose plants are gone there is no work to be told.
  if (!out.empty() || told.over()) return out;
  return order_difference(book, *truth, told.plan());
}

/// The simplest book that still differs.
Book shrunk(Book book) {
  for (bool more = true; more;) {
    more = false;
    for (Book& one : simpler(book)) {
      if (difference(one).empty()) continue;
      book = std::move(one);
      more = true;
      break;
    }
  }
  return book;
}

std::uint32_t number(const char* variable, std::uint32_t otherwise) {
  const char* value = std::getenv(variable);
  return value == nullptr ? otherwise : static_cast<std::uint32_t>(std::atoi(value));
}

/// A batch that went on for a while: some things early, some late, not all of them noted.
std::optional<Book> under_way(std::uint32_t seed) {
  Book book = random_book(seed);
  book.pins.clear();
  if (book.date == Book::Date::start) return std::nullopt;
  const auto planned = plan(book);
  if (!planned) return std::nullopt;
  std::mt19937 random(seed);
  const auto between = [&](int low, int high) {
    return low + static_cast<int>(random() % static_cast<unsigned>(high - low + 1));
  };
  const Day first = std::min_element(planned->stages.begin(), planned->stages.end(),
                                     [](const StagePlan& one, const StagePlan& other) {
                                       return one.start < other.start;
                                     })
                        ->start;
  book.today = between(first, planned->ready + 3);
  const bool steady = between(0, 2) == 0;
  std::vector<Day> ends;
  for (std::size_t s = 0; s < book.stages.size(); ++s) {
    const StagePlan& stage = planned->stages[s];
    const auto delay = [&](int low, int high) {
      return steady || between(0, 2) > 0 ? 0 : between(low, high);
    };
    Day start = stage.start + (book.stages[s].takes.empty() ? delay(-2, 3) : 0);
    for (const int from : book.stages[s].takes) {
      start = std::max(start, ends[static_cast<std::size_t>(from)] + delay(0, 3));
    }
    ends.push_back(std::max(start, start + stage.end - stage.start + delay(-2, 4)));
    const auto note = [&](bool end, Day day) {
      const bool noted = steady || between(0, 4) > 0;
      if (day <= *book.today && noted) book.pins.push_back({static_cast<int>(s), end, day, true});
    };
    note(false, start);
    note(true, ends.back());
  }
  return book;
}

std::uint32_t books_to_try() {
  return number("BUDWOOD_REFERENCE_BOOKS", 400);
}

/// Reports the first books that differ, as simple as they can be made.
class Compared {
 public:
  bool enough() const { return told_ >= 10; }
  void look_at(std::uint32_t seed, const Book& book) {
    Kind kind = Kind::mistake;
    const std::string differs = difference(book, &kind);
    ++kinds[static_cast<int>(kind)];
    if (differs.empty()) return;
    ++told_;
    const Book small = shrunk(book);
    FAIL_CHECK("seed ", seed, "\n", describe(small), difference(small));
  }

  std::uint32_t kinds[3] = {0, 0, 0};

 private:
  int told_ = 0;
};

}  // namespace

TEST_CASE("random books are planned as by trying days") {
  const std::uint32_t first = number("BUDWOOD_REFERENCE_FIRST", 1);
  const std::uint32_t count = books_to_try();
  Compared compared;
  for (std::uint32_t seed = first; seed < first + count && !compared.enough(); ++seed) {
    compared.look_at(seed, random_book(seed));
  }
  const auto& kinds = compared.kinds;
  MESSAGE("with dates ", kinds[2], ", without ", kinds[1], ", mistakes ", kinds[0]);
  // The books are not so loose, nor so tight, that nothing is tried.
  CHECK(kinds[2] > count / 3);
  CHECK(kinds[1] > count / 10);
  CHECK(kinds[0] < count / 5);
}

TEST_CASE("random books go on from today as by trying days") {
  const std::uint32_t first = number("BUDWOOD_REFERENCE_FIRST", 1);
  const std::uint32_t count = books_to_try();
  Compared compared;
  std::uint32_t tried = 0;
  for (std::uint32_t seed = first; seed < first + count && !compared.enough(); ++seed) {
    const auto book = under_way(seed);
    if (!book) continue;
    ++tried;
    compared.look_at(seed, *book);
  }
  const auto& kinds = compared.kinds;
  MESSAGE("with dates ", kinds[2], ", without ", kinds[1]);
  CHECK(kinds[2] > tried / 3);
  CHECK(kinds[1] > tried / 10);
}

TEST_CASE("random books: what was foreseen changes nothing") {
  const std::uint32_t first = number("BUDWOOD_REFERENCE_FIRST", 1);
  const std::uint32_t count = books_to_try() / 4;
  int told = 0;
  for (std::uint32_t seed = first; seed < first + count && told < 10; ++seed) {
    Book book = random_book(seed);
    book.pins.clear();
    const Told planned(book);
    if (!planned.dated()) continue;
    std::vector<Pin> events;
    for (std::size_t s = 0; s < book.stages.size(); ++s) {
      const language::StageId stage(s);
      events.push_back({static_cast<int>(s), false, planned.row().start(stage), true});
      events.push_back({static_cast<int>(s), true, planned.row().end(stage), true});
    }
    std::stable_sort(events.begin(), events.end(),
                     [](const Pin& one, const Pin& other) { return one.day < other.day; });
    for (const Pin& event : events) {
      book.pins.push_back(event);
      book.today = event.day;
      const Told after(book);
      const bool same = after.dated() && after.dates() == planned.dates();
      if (same) continue;
      ++told;
      FAIL_CHECK("seed ", seed, "\n", describe(book), planned.dates(), "then\n",
                 after.dated() ? after.dates() : after.conflict());
      break;
    }
  }
}

}  // namespace budwood::reference
