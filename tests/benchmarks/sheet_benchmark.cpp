// The sheets of a site against a plain loop that is written for one model by hand: 48 values that
// are worked out for each batch, and a year of daily totals of a room and a crew. Prints times and
// ratios of one run; the loop's columns are held against the sheet's before anything is timed.
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <fstream>

#include "files/read.hpp"
#include "sheet/columns/given.hpp"
#include "sheet/sheet.hpp"
#include "sheet/site/site.hpp"
#include "sheet/site/site_sheets.hpp"
#include "sheet/template/compile.hpp"
#include "sheet/template/template.hpp"

using namespace budwood;
using sheet::CellId;
using sheet::Day;

namespace {

double now() {
  using clock = std::chrono::steady_clock;
  return std::chrono::duration<double>(clock::now().time_since_epoch()).count();
}

/// The best of some runs, seconds.
template <typename Work>
double best_of(int runs, const Work& work) {
  double best = 1e9;
  for (int i = 0; i < runs; ++i) {
    const double begin = now();
    work();
    best = std::min(best, now() - begin);
  }
  return best;
}

double resident_bytes() {
  std::ifstream statm("/proc/self/statm");
  double total = 0;
  double resident = 0;
  statm >> total >> resident;
  return resident * static_cast<double>(sysconf(_SC_PAGESIZE));
}

[[noreturn]] void fail(const std::string& what) {
  std::fprintf(stderr, "%s\n", what.c_str());
  std::exit(1);
}

std::shared_ptr<const sheet::Template> model() {
  static text::Sources sources;
  text::Diagnostics diagnostics;
  const text::Source* source = files::read_text(BUDWOOD_MODEL, sources, diagnostics);
  if (source == nullptr) fail("The model is not there.");
  language::Document document = language::read(*source, diagnostics);
  if (document.protocols.empty()) fail("The model has mistakes.");
  return sheet::compile(std::move(document.protocols.front()), diagnostics);
}

const Day first_ready = *calendar::day_of({2029, 2, 5});
constexpr int days_of_year = 365;

calendar::WorkingDays weekdays() {
  using calendar::Weekday;
  return {
      {Weekday::monday, Weekday::tuesday, Weekday::wednesday, Weekday::thursday, Weekday::friday},
      {first_ready + 80, first_ready + 120}};
}

/// The input of a batch that is not the protocol's own value.
double take_of(std::size_t row) {
  return 0.6 + 0.01 * static_cast<double>(row % 40);
}

std::vector<sheet::BatchFacts> season(const sheet::Template& t, std::size_t batches) {
  std::vector<sheet::BatchFacts> out(batches);
  for (std::size_t row = 0; row < batches; ++row) {
    out[row].plants = static_cast<double>(100 + row % 900);
    out[row].ready = first_ready + static_cast<Day>(row * 7 % days_of_year);
    if (row % 3 == 0) sheet::give(t, t.find("take"), take_of(row), {}, out[row].inputs);
  }
  return out;
}

sheet::SiteSheets site_sheets(const std::shared_ptr<const sheet::Template>& t, sheet::Site site,
                              std::vector<sheet::BatchFacts> batches) {
  std::vector<sheet::Sheet> sheets;
  sheet::Sheet& one = sheets.emplace_back(t, std::move(site));
  one.reserve(batches.size());
  for (sheet::BatchFacts& batch : batches) one.add(std::move(batch));
  return sheet::SiteSheets(std::move(sheets));
}

/// The best of some runs, seconds. What the loop has before it begins is there here as well: the
/// site's days, and facts of its own; and as there, nothing is given back.
double sheets_time(int runs, const std::shared_ptr<const sheet::Template>& t,
                   const sheet::Site& site, const std::vector<sheet::BatchFacts>& facts) {
  double best = 1e9;
  for (int i = 0; i < runs; ++i) {
    sheet::Site days = site;
    std::vector<sheet::BatchFacts> batches = facts;
    const double begin = now();
    const sheet::SiteSheets made = site_sheets(t, std::move(days), std::move(batches));
    best = std::min(best, now() - begin);
  }
  return best;
}

/// The model written out by hand: columns, and totals of the room and the crew.
class PlainLoop {
 public:
  explicit PlainLoop(const sheet::Template& t) {
    const calendar::WorkingDays working = weekdays();
    for (Day day = base; day < base + span; ++day) {
      before_.push_back(static_cast<float>(*working.days().previous(day)));
    }
    const calendar::DaySet grading = working.days().any_within(7, 10);
    for (Day day = base; day < base + span; ++day) {
      grading_.push_back(static_cast<float>(*grading.previous(day)));
      after_.push_back(static_cast<float>(*working.days().next(day)));
    }
    room_.assign(span, 0);
    crew_.assign(span, 0);
    const char* names[] = {"growing.loss",
                           "growing.survival",
                           "growing.float",
                           "growing.latest",
                           "growing.earliest",
                           "growing.end",
                           "growing.start",
                           "growing.days",
                           "growing.work1.times",
                           "sowing.float",
                           "sowing.latest",
                           "sowing.earliest",
                           "sowing.end",
                           "sowing.start",
                           "sowing.days",
                           "sowing.work1.times",
                           "batch.ready",
                           "growing.needed",
                           "sowing.plants",
                           "sowing.space",
                           "sowing.work1.hours",
                           "sowing.hours",
                           "seeds",
                           "seed_cost",
                           "sowing.left",
                           "growing.left",
                           "growing.plants",
                           "growing.space",
                           "growing.work1.hours",
                           "growing.hours",
                           "people_hours",
                           "wages",
                           "batch.hours",
                           "trays",
                           "tray_days",
                           "heating",
                           "labels",
                           "label_cost",
                           "mix",
                           "mix_cost",
                           "tray_cost",
                           "direct",
                           "cost",
                           "sold",
                           "margin",
                           "share",
                           "markup",
                           "a_plug"};
    for (const char* name : names) {
      const CellId id = t.find(name);
      if (id == sheet::no_cell) fail(std::string("The model has no ") + name);
      column_of_.push_back(id);
    }
    columns_.resize(column_of_.size());
  }

  std::size_t width() const { return columns_.size(); }

  void resize(std::size_t rows) {
    for (std::vector<double>& column : columns_) column.assign(rows, 0);
    plants_.assign(rows, 0);
    take_.assign(rows, 0);
    ready_.assign(rows, 0);
  }

  void load(const std::vector<sheet::BatchFacts>& batches) {
    resize(batches.size());
    for (std::size_t row = 0; row < batches.size(); ++row) {
      plants_[row] = batches[row].plants;
      take_[row] = row % 3 == 0 ? take_of(row) : 0.85;
      ready_[row] = *batches[row].ready;
    }
  }

  void run() {
    std::fill(room_.begin(), room_.end(), 0);
    std::fill(crew_.begin(), crew_.end(), 0);
    for (std::size_t row = 0; row < plants_.size(); ++row) {
      work_out(row);
      add(row, 1);
    }
  }

  void edit(std::size_t row, double take) {
    add(row, -1);
    take_[row] = take;
    work_out(row);
    add(row, 1);
  }

  /// How many of its values differ from the sheet's, and how many totals do.
  int differences(const sheet::SiteSheets& sheets) const {
    int wrong = 0;
    for (std::uint32_t row = 0; row < plants_.size(); ++row) {
      for (std::size_t i = 0; i < columns_.size(); ++i) {
        const double theirs = sheets.value({0, row}, column_of_[i]);
        if (std::abs(theirs - columns_[i][row]) <= 1e-9 * std::abs(theirs)) continue;
        if (++wrong == 1) {
          std::printf("Column %zu of row %u is %.10g in the sheet and %.10g in the loop.\n", i, row,
                      theirs, columns_[i][row]);
        }
      }
    }
    const sheet::DailyTotals& totals = sheets.totals();
    const auto room = totals.find(sheet::Resource::Kind::room, "bench");
    const auto crew = totals.find(sheet::Resource::Kind::crew, "growing");
    double in_room = 0;
    double of_crew = 0;
    for (Day day = base; day < base + span; ++day) {
      in_room += room_[static_cast<std::size_t>(day - base)];
      of_crew = crew_[static_cast<std::size_t>(day - base)];
      if (std::abs(totals.on(*room, day) - in_room) > 1e-6) ++wrong;
      if (std::abs(totals.on(*crew, day) - of_crew) > 1e-6 * (1 + of_crew)) ++wrong;
    }
    return wrong;
  }

 private:
  static constexpr Day span = 900;
  const Day base = first_ready - 200;

  double table(const std::vector<float>& days, double day) const {
    return days[static_cast<std::size_t>(static_cast<Day>(day) - base)];
  }

  void work_out(std::size_t row) {
    std::size_t next = 0;
    const auto put = [&](double value) {
      columns_[next++][row] = value;
      return value;
    };
    const double loss = put(1 - take_[row]);
    const double survival = put(1 - loss);
    const double ready = table(before_, ready_[row]);
    const double start = table(grading_, ready - 21);
    const double end = start + 21;
    const double sown = table(before_, start - 3);
    put(ready - end);
    put(end);
    put(end);  // nothing is uncertain, so it may end on no other day
    put(end);
    put(start);
    const double days = put(end - start);
    const double graded = put(1);
    put(start - (sown + 3));
    put(sown + 3);
    put(sown + 3);
    put(sown + 3);
    put(sown);
    const double sowing_days = put(3);
    const double sowings = put(1);
    put(ready);
    const double needed = put(plants_[row]);
    const double sowing =
        put(std::ceil(needed / survival - 1e-9 * std::max(needed / survival, 1.0)));
    put(std::ceil(sowing / 100 - slack));
    const double sowing_work = put(sowing / (300.0 / 3600));
    const double sowing_hours = put(sowing_work * sowings);
    const double seeds = put(std::ceil(sowing * 1.05 - slack));
    const double seed_cost = put(seeds * 0.021);
    const double left = put(sowing);
    put(left * survival);
    const double growing = put(std::ceil(left - slack));
    put(std::ceil(growing / 72 - slack));
    const double grading = put(growing / (200.0 / 3600));
    const double grading_hours = put(grading * graded);
    const double people_hours = put((sowing_hours + grading_hours) / 3600);
    const double wages = put(people_hours * 19.5);
    put(sowing_hours + grading_hours);
    const double trays = put(std::ceil(growing / 72 - slack));
    const double tray_days = put(trays * (days + sowing_days));
    const double heating = put(tray_days * 0.014);
    const double labels = put(trays + 2);
    const double label_cost = put(labels * 0.03);
    const double mix = put(trays * 2.4);
    const double mix_cost = put(mix * 0.11);
    const double tray_cost = put(trays * 0.38);
    const double direct = put(seed_cost + tray_cost + mix_cost + label_cost);
    const double cost = put(direct + wages + heating);
    const double sold = put(plants_[row] * 0.29);
    const double margin = put(sold - cost);
    put(margin / sold);
    put(margin / cost);
    put(cost / plants_[row]);
  }

  void add(std::size_t row, double sign) {
    const auto at = [&](double day) {
      return static_cast<std::size_t>(static_cast<Day>(day) - base);
    };
    const double sown = columns_[13][row];
    const double start = columns_[6][row];
    room_[at(sown)] += sign * columns_[19][row];
    room_[at(start)] += sign * (columns_[27][row] - columns_[19][row]);
    room_[at(columns_[16][row])] -= sign * columns_[27][row];
    crew_[at(sown)] += sign * columns_[20][row];
    crew_[at(table(after_, start + 7))] += sign * columns_[28][row];
  }

  static constexpr double slack = 1e-9;
  std::vector<float> before_, after_, grading_;
  std::vector<CellId> column_of_;
  std::vector<std::vector<double>> columns_;
  std::vector<double> plants_, take_, ready_;
  std::vector<double> room_, crew_;
};

/// Seconds for an edit: the best run of many over batches all over the sheet.
template <typename Edit>
double edit_time(std::size_t batches, const Edit& edit) {
  constexpr std::size_t edits = 2000;
  double best = 1e9;
  for (int run = 0; run < 5; ++run) {
    const double begin = now();
    for (std::size_t i = 0; i < edits; ++i) {
      edit(i * 7919 % batches, static_cast<double>((i + static_cast<std::size_t>(run)) % 30));
    }
    best = std::min(best, (now() - begin) / edits);
  }
  return best;
}

void print(const char* what, double seconds, double against, const char* than) {
  const bool micro = seconds < 1e-3;
  std::printf("  %-44s %9.3f %s", what, seconds * (micro ? 1e6 : 1e3), micro ? "us" : "ms");
  if (against > 0) {
    const double ratio = against > seconds ? against / seconds : seconds / against;
    std::printf("  %8.1f times the time of %s", against > seconds ? 1 / ratio : ratio, than);
  }
  std::printf("\n");
}

void measure(const std::shared_ptr<const sheet::Template>& t, std::size_t batches) {
  std::printf("%zu batches\n", batches);
  const std::vector<sheet::BatchFacts> facts = season(*t, batches);
  PlainLoop plain(*t);
  plain.load(facts);
  const double loop = best_of(5, [&] { plain.run(); });

  sheet::Site site;
  site.working = weekdays();
  const double memory = resident_bytes();
  sheet::SiteSheets sheets = site_sheets(t, site, facts);
  const double bytes = resident_bytes() - memory;
  if (const int wrong = plain.differences(sheets); wrong > 0) {
    fail(std::to_string(wrong) + " values differ between the loop and the sheet.");
  }
  sheet::Sheet one(t, site);
  for (const sheet::BatchFacts& batch : facts) one.add(batch);
  const double sheet_time = best_of(5, [&] { one.evaluate(); });
  const double with_totals = sheets_time(batches > 100'000 ? 3 : 20, t, site, facts);

  print("plain loop, totals included", loop, 0, "");
  print("all cells", sheet_time, loop, "the loop");
  print("all cells and totals, from the facts on", with_totals, loop, "the loop");
  std::printf("  %-44s %9.1f bytes (%.0f MB)\n", "a cell, facts and totals included",
              bytes / static_cast<double>(batches * plain.width()), bytes / 1e6);

  const CellId take = t->find("take");
  const double plain_edit =
      edit_time(batches, [&](std::size_t row, double n) { plain.edit(row, 0.6 + 0.01 * n); });
  const double input = edit_time(batches, [&](std::size_t row, double n) {
    sheets.apply(sheet::SetInput{{0, static_cast<std::uint32_t>(row)}, take, 0.6 + 0.01 * n});
  });
  const double date = edit_time(batches, [&](std::size_t row, double n) {
    const Day day = first_ready + static_cast<Day>(row % days_of_year) + static_cast<Day>(n);
    sheets.apply(sheet::SetReady{{0, static_cast<std::uint32_t>(row)}, day});
  });
  // A pinned batch has its dates worked out anew, whatever others share.
  const std::span<const double> column = sheets[0].columns().of(t->find("growing.start"));
  const std::vector<double> starts(column.begin(), column.end());
  const double pin = edit_time(batches, [&](std::size_t row, double n) {
    const Day day = static_cast<Day>(starts[row]) - static_cast<Day>(n) % 5;
    sheets.apply(
        sheet::SetPin{{0, static_cast<std::uint32_t>(row)}, language::StageId(1), false, day});
  });
  const double undo = edit_time(batches, [&](std::size_t, double) { sheets.undo(); });
  print("one batch in the plain loop, totals included", plain_edit, 0, "");
  print("edit of an input, totals included", input, plain_edit, "that");
  print("edit of a date, totals included", date, plain_edit, "that");
  print("edit of a pin, dates worked out anew", pin, plain_edit, "that");
  print("taking an edit back", undo, plain_edit, "that");
}

}  // namespace

int main() {
  const auto t = model();
  if (t == nullptr) return 1;
  measure(t, 10'000);
  measure(t, 1'000'000);
}
