#pragma once

#include <algorithm>
#include <optional>
#include <random>
#include <string>
#include <vector>

#include "sheet/site/site.hpp"

namespace budwood::sheet::test {

/// Draws that are the same on every machine.
class Draw {
 public:
  explicit Draw(std::uint32_t seed) : engine_(seed) {}
  /// Between low and high, both included.
  int between(int low, int high) {
    return low + static_cast<int>(engine_() % static_cast<std::uint32_t>(high - low + 1));
  }
  bool chance(int percent) { return between(1, 100) <= percent; }

 private:
  std::mt19937 engine_;
};

/// A protocol made up by a seed: its text, and what it says about dates, known without reading it.
class RandomProtocol {
 public:
  struct After {
    int stage = 0;
    int low = 0;
    std::optional<int> high;
  };
  /// Work with a crew on one day that must find people, `due` counted from 0.
  struct Duty {
    int due = 0;
    int within = 0;
  };
  struct Stage {
    std::string name;
    int shortest = 1, usual = 1, longest = 1;  ///< days
    std::optional<int> wait;                   ///< days; nothing: until the next working day
    std::vector<int> takes;
    std::vector<After> after;
    std::vector<Duty> duties;
  };

  /// Of one part, or of two or three that are joined, each with one to `most` stages in a row.
  RandomProtocol(std::uint32_t seed, int most) : draw_(seed) {
    const int parts = draw_.chance(30) ? 1 : draw_.chance(75) ? 3 : 5;
    text_ = "protocol sample {\n  supply seed in seeds\n  supply tray in trays reused\n";
    for (int part = 0; part < parts; ++part) text_ += "  part p" + std::to_string(part) + "\n";
    std::vector<int> ends;  // of each part: its last stage
    for (int part = 0; part < parts; ++part) {
      // Parts 0 and 1 meet in 2; with five parts, 2 and 3 meet in 4.
      const bool join = part == 2 || part == 4;
      const int stages = draw_.between(1, most);
      for (int i = 0; i < stages; ++i) {
        std::vector<int> takes;
        if (i > 0) takes = {static_cast<int>(stages_.size()) - 1};
        if (i == 0 && join) takes = {ends[part - 2U], ends[part - 1U]};
        add_stage(part, i == 0 && join, std::move(takes));
      }
      ends.push_back(static_cast<int>(stages_.size()) - 1);
    }
    text_ += "}\n";
  }

  const std::string& text() const { return text_; }
  const std::vector<Stage>& stages() const { return stages_; }

  /// Whether these starts and this day of delivery keep to everything that the protocol says.
  bool allows(const std::vector<Day>& starts, Day ready,
              const calendar::WorkingDays& working) const {
    for (std::size_t s = 0; s < stages_.size(); ++s) {
      if (!allows_start(s, starts, working)) return false;
    }
    const Stage& last = stages_.back();
    return working.works(ready) && may_wait(last, starts.back() + last.usual, ready, working);
  }

  /// The same for one stage, when all before it keep to everything.
  bool allows_start(std::size_t s, const std::vector<Day>& starts,
                    const calendar::WorkingDays& working) const {
    const Stage& stage = stages_[s];
    const auto end_of = [&](int of) {
      return starts[static_cast<std::size_t>(of)] + stages_[static_cast<std::size_t>(of)].usual;
    };
    for (const After& after : stage.after) {
      const Day gap = starts[s] - end_of(after.stage);
      if (gap < after.low || (after.high && gap > *after.high)) return false;
    }
    for (const int from : stage.takes) {
      const bool said = std::any_of(stage.after.begin(), stage.after.end(),
                                    [&](const After& after) { return after.stage == from; });
      const Stage& before = stages_[static_cast<std::size_t>(from)];
      if (!(said && !before.wait) && !may_wait(before, end_of(from), starts[s], working))
        return false;
    }
    for (const Duty& duty : stage.duties) {
      const Day last = starts[s] + std::max(duty.due, stage.usual - 1);
      bool found = false;
      for (Day day = starts[s] + duty.due; day <= starts[s] + duty.due + duty.within; ++day) {
        found = found || (day <= last && working.works(day));
      }
      if (duty.due < std::max(1, stage.usual) && !found) return false;
    }
    return true;
  }

 private:
  static bool may_wait(const Stage& stage, Day end, Day next,
                       const calendar::WorkingDays& working) {
    if (next < end) return false;
    if (stage.wait) return next - end <= *stage.wait;
    // No day in between on which people could have gone on.
    for (Day day = end; day < next; ++day) {
      if (working.works(day)) return false;
    }
    return next - end <= 3;
  }

  static std::string days(int n) { return std::to_string(n) + (n == 1 ? " day" : " days"); }

  void add_stage(int part, bool join, std::vector<int> takes) {
    Stage stage;
    stage.name = "s" + std::to_string(stages_.size());
    stage.takes = std::move(takes);
    const std::string own = "p" + std::to_string(part);
    text_ += "  stage " + stage.name;
    text_ += join ? " joins p" + std::to_string(part - 2) + " with p" + std::to_string(part - 1) +
                        " into " + own + " {\n"
                  : " of " + own + " {\n";
    add_length(stage);
    add_wait(stage);
    add_after(stage, part);
    if (draw_.chance(50)) text_ += "    loses " + std::to_string(draw_.between(0, 60)) + " %\n";
    for (int i = draw_.between(0, 3); i > 0; --i) add_work(stage);
    text_ += "  }\n";
    stages_.push_back(std::move(stage));
    parts_.push_back(part);
  }

  void add_length(Stage& stage) {
    if (draw_.chance(15)) {
      stage.shortest = stage.usual = stage.longest = 0;
      text_ += "    lasts 3 hours\n";
    } else if (draw_.chance(50)) {
      stage.shortest = stage.usual = stage.longest = draw_.between(1, 9);
      text_ += "    lasts " + days(stage.usual) + "\n";
    } else {
      stage.usual = draw_.between(1, 9);
      stage.shortest = std::max(1, stage.usual - draw_.between(0, 2));
      stage.longest = stage.usual + draw_.between(0, 3);
      text_ += "    lasts " + days(stage.shortest) + " to " + days(stage.longest) + " usually " +
               days(stage.usual) + "\n";
    }
  }

  void add_wait(Stage& stage) {
    if (draw_.chance(20)) {
      stage.wait = 0;
      text_ += "    no wait\n";
    } else if (draw_.chance(40)) {
      stage.wait = draw_.between(0, 5);
      text_ += "    may wait " + days(*stage.wait) + "\n";
    }
  }

  /// Of the same part, only the stage that gives the plants may be named.
  void add_after(Stage& stage, int part) {
    if (stages_.empty() || !draw_.chance(25)) return;
    const int other = draw_.between(0, static_cast<int>(stages_.size()) - 1);
    const bool gives =
        std::find(stage.takes.begin(), stage.takes.end(), other) != stage.takes.end();
    if (parts_[static_cast<std::size_t>(other)] == part && !gives) return;
    After after;
    after.stage = other;
    text_ += "    after " + stages_[static_cast<std::size_t>(other)].name;
    if (gives || draw_.chance(50)) {
      after.low = draw_.between(0, 4);
      after.high = after.low + draw_.between(0, 6);
      text_ += " by " + days(after.low) + " to " + days(*after.high);
    }
    text_ += "\n";
    stage.after.push_back(after);
  }

  void add_work(Stage& stage) {
    const std::string title = "\"Work " + std::to_string(++works_) + "\"";
    const int last = std::max(1, stage.usual);
    const bool crew = draw_.chance(60);
    text_ += "    do " + title;
    if (draw_.chance(40)) {
      const int interval = draw_.between(1, 4);
      text_ += " every " + days(interval) + " from day " + std::to_string(draw_.between(1, last));
    } else {
      Duty duty;
      duty.due = draw_.between(1, last) - 1;
      duty.within = draw_.between(0, 2);
      text_ += " on day " + std::to_string(duty.due + 1) + " within " + days(duty.within);
      if (crew) stage.duties.push_back(duty);
    }
    text_ += std::string(" { time 10 min ") + (draw_.chance(50) ? "rate 60 per hour " : "") +
             (crew ? "crew all " : "") + (draw_.chance(50) ? "use 1 seed each " : "") +
             (draw_.chance(50) ? "use 1 tray per 40 " : "") + "}\n";
  }

  Draw draw_;
  std::string text_;
  std::vector<Stage> stages_;
  std::vector<int> parts_;  ///< by stage
  int works_ = 0;
};

/// Monday to Friday, or every day but some, less some closed days from `first` on.
inline calendar::WorkingDays random_working_days(Draw& draw, Day first, int length) {
  using calendar::Weekday;
  std::vector<Weekday> weekdays;
  for (int i = 0; i < 7; ++i) {
    if (i < 5 ? draw.chance(90) : draw.chance(20)) weekdays.push_back(static_cast<Weekday>(i));
  }
  if (weekdays.empty()) weekdays.push_back(Weekday::tuesday);
  std::vector<Day> closed;
  for (Day day = first; day < first + length; ++day) {
    if (draw.chance(8)) closed.push_back(day);
  }
  return calendar::WorkingDays(weekdays, closed);
}

}  // namespace budwood::sheet::test
