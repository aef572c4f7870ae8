#include "report/why/why_dates.hpp"

#include <algorithm>

#include "report/formats/wording.hpp"
#include "report/why/closed_words.hpp"
#include "sheet/dates/date_reasons.hpp"

namespace budwood::report {

namespace {

using calendar::Day;
using calendar::days_text;
using sheet::DateReason;
using Hold = DateReason::Hold;

class DateStory {
 public:
  DateStory(const Asked& asked, const std::vector<DateReason>& reasons)
      : asked_(asked), reasons_(reasons), words_(reasons.front().day) {}

  std::string answer() const {
    const DateReason& first = reasons_.front();
    const std::string subject = answer_subject(first.cell) + DayWords::whole(first.day);
    if (reasons_.size() == 1 && first.closed.empty()) return subject + own_answer(first) + ".";
    const auto closed = std::find_if(reasons_.begin(), reasons_.end(),
                                     [](const DateReason& one) { return !one.closed.empty(); });
    std::string why;
    if (closed != reasons_.end()) {
      why = closed_day_text(asked_, closed->closed.front(), words_) + ", and ";
    }
    return subject + ", because " + why + root_words(reasons_.back()) + ".";
  }

  /// What holds the date, a line for each step that says something new.
  std::vector<std::string> steps() {
    std::vector<std::string> out;
    next_ = 0;
    while (next_ < reasons_.size()) {
      const DateReason& reason = reasons_[next_];
      if (!reason.closed.empty() && !is_own(reason)) out.push_back(closed_step(reason));
      std::string line = step();
      if (!line.empty()) out.push_back(std::move(line));
    }
    if (tells_earliest()) add_earliest(out);
    return out;
  }

 private:
  /// Whether it is a story of why the date is not earlier.
  bool tells_earliest() const {
    const DateReason& root = reasons_.back();
    return root.hold == Hold::started && !(root.bound == asked_.row.facts().first_day() &&
                                           point(root.cell).verb == std::string_view("start"));
  }
  static bool is_own(const DateReason& one) {
    return one.hold == Hold::ready || one.hold == Hold::started || one.hold == Hold::pinned ||
           one.hold == Hold::calendar;
  }

  /// A date in a sentence.
  struct Point {
    std::string of;    ///< "`rooting`", "the batch"
    const char* verb;  ///< "start", "be over", "be ready"
  };

  Point point(sheet::CellId cell) const {
    for (const language::StageId s : asked_.t.stages.ids()) {
      if (asked_.row.cells(s).start == cell) return {asked_.stage(s), "start"};
      if (asked_.row.cells(s).end == cell) return {asked_.stage(s), "be over"};
    }
    return {"the batch", "be ready"};
  }

  std::string answer_subject(sheet::CellId cell) const {
    const Point asked = point(cell);
    if (cell == asked_.t.ready) return asked_.name() + " is ready on ";
    if (asked.verb == std::string_view("start")) {
      return asked_.name() + " starts " + asked.of + " on ";
    }
    return asked.of + " of " + asked_.name() + " is over on ";
  }

  /// As the beginning of a sentence.
  static std::string sentence(std::string text) {
    if (text.starts_with("the ")) text.front() = 'T';
    return text;
  }

  /// "`rooting` has to start by Sun 14 March".
  std::string has_to(sheet::CellId cell, Day day) const {
    const Point bound = point(cell);
    return bound.of + " has to " + bound.verb + " by " + words_(day);
  }

  text::Span ready_span() const {
    const auto& ready = asked_.facts().ready;
    return ready ? ready->span : asked_.facts().span;
  }
  text::Span start_span() const {
    const book::Batch& facts = asked_.facts();
    const auto& day = facts.start ? facts.start : facts.not_before;
    return day ? day->span : facts.span;
  }

  /// "on Mon 12 April", or "on Mon 12 April or later".
  std::string start_words() const {
    const sheet::BatchFacts& facts = asked_.row.facts();
    return "on " + words_(*facts.first_day()) + (facts.start ? "" : " or later");
  }

  /// Whether what has happened keeps the batch from being ready on its day.
  bool is_late() const {
    const auto& deviations = asked_.row.deviations();
    return asked_.facts().ready &&
           std::any_of(deviations.begin(), deviations.end(), [](const sheet::Deviation& one) {
             return one.kind == sheet::Deviation::Kind::ready;
           });
  }

  std::string own_answer(const DateReason& one) const {
    switch (one.hold) {
      case Hold::ready:
        return is_late() ? ", the earliest day on which it can be; " +
                               words_(asked_.facts().ready->value) + " was asked for" +
                               asked_.at(ready_span())
                         : ", the day asked for" + asked_.at(ready_span());
      case Hold::started:
        return ": " + started_words(one);
      case Hold::pinned:
        return (one.recorded ? asked_.as_recorded(one.span) : ", as the batch says") +
               asked_.at(one.span);
      default:
        return ": " + without_stop(one.facts.front().text) + asked_.at(one.facts.front().span);
    }
  }

  /// The date that everything is counted from, in the first sentence.
  std::string root_words(const DateReason& root) const {
    switch (root.hold) {
      case Hold::ready:
        return "the batch has to be ready by " + words_(root.bound);
      case Hold::started:
        return started_words(root);
      case Hold::pinned:
        return pinned_words(root);
      default:
        return without_stop(root.facts.front().text);
    }
  }

  std::string started_words(const DateReason& root) const {
    const std::string starts = "the batch starts " + start_words() + asked_.at(start_span());
    const Point held = point(root.cell);
    if (root.bound == *asked_.row.facts().first_day() && held.verb == std::string_view("start")) {
      return starts;
    }
    if (root.cell == asked_.t.ready) {
      return starts + " and is ready on " + words_(root.bound) + " at the earliest";
    }
    return starts + ", and " + held.of + " can " + held.verb + " on " + words_(root.bound) +
           " at the earliest";
  }

  std::string pinned_words(const DateReason& one) const {
    const bool end = asked_.row.cells(one.stage).end == one.cell;
    const std::string verb = one.recorded ? (end ? " was over on " : " was started on ")
                                          : (end ? " is over on " : " starts on ");
    return asked_.stage(one.stage) + verb + words_(one.day) +
           (one.recorded ? asked_.as_recorded(one.span) : ", as the batch says");
  }

  static std::string without_stop(const std::string& sentence) {
    return sentence.ends_with('.') ? sentence.substr(0, sentence.size() - 1) : sentence;
  }

  /// "14 March is a Sunday and "Sow" needs people", for all reasons one after the other, each once:
  /// a season comes back between closed days.
  std::string all_closed(const DateReason& one) const {
    constexpr std::size_t most = 3;
    std::vector<std::string> clauses;
    for (const sheet::ClosedDays& closed : one.closed) {
      std::string clause = closed_days_text(asked_, closed, words_) + asked_.at(closed.span);
      if (std::find(clauses.begin(), clauses.end(), clause) != clauses.end()) continue;
      clauses.push_back(std::move(clause));
    }
    std::string out;
    for (std::size_t i = 0; i < clauses.size() && i < most; ++i) {
      out += (i == 0 ? "" : "; then ") + clauses[i];
    }
    return out + (clauses.size() > most ? "; and so on" : "");
  }

  std::string closed_step(const DateReason& one) const {
    const Point date = point(one.cell);
    return sentence(date.of) + " could " + date.verb + " as late as " + words_(one.bound) +
           ", but " + all_closed(one) + ": so by " + words_(one.day) + ".";
  }

  /// The step at `next_`, with the one behind it where both make one sentence.
  std::string step() {
    const DateReason& one = reasons_[next_++];
    const DateReason* through = next_ < reasons_.size() ? &reasons_[next_] : nullptr;
    if (is_own(one) || through == nullptr) return own_step(one);
    switch (one.hold) {
      case Hold::length:
        return one.by_end ? length_from_start(one, *through) : length_to_end(one, *through);
      case Hold::follows:
        return one.by_end ? soon_after(one, *through) : comes_before(one, *through);
      default:
        return without_stop(one.facts.front().text) + asked_.at(one.span) + ", and " +
               has_to(through->cell, through->day) + ".";
    }
  }

  std::string length_words(const DateReason& one, int planned) const {
    if (!one.days) return " lasts " + days_text(planned) + " by the site's temperatures";
    if (*one.days == 0) return " is over on the day it starts";
    const sheet::CellId cold = asked_.row.cells(one.stage).chilling;
    const bool chilled = cold != sheet::no_cell && asked_.number(cold) == *one.days;
    return " lasts " + days_text(*one.days) + (chilled ? " for its chilling" : "");
  }

  /// Whether the step after the next says that something follows, and nothing else.
  bool plainly_follows(const DateReason& one) const {
    return one.hold == Hold::follows && !one.by_end && one.closed.empty() &&
           next_ + 1 < reasons_.size();
  }

  /// The stage must start because it must be over in time.
  std::string length_to_end(const DateReason& one, const DateReason& end) {
    const bool at_once = one.days == 0;
    std::string out = asked_.stage(one.stage) + lead_ + length_words(one, end.day - one.bound) +
                      asked_.at(one.span);
    lead_.clear();
    if (!plainly_follows(end)) {
      return out + (at_once ? "." : " and has to be over by " + words_(end.day) + ".");
    }
    const DateReason& next = reasons_[++next_];
    const bool delivery = !end.other.known();
    if (delivery && !at_once && next.hold == Hold::ready && next.closed.empty()) {
      ++next_;
      return out + " and has to be over by " + words_(end.day) +
             ", the day by which the batch has to be ready" + asked_.at(ready_span()) + ".";
    }
    const std::string then = delivery ? "the batch is ready" : asked_.stage(end.other) + " starts";
    if (!at_once) return out + " and has to be over by " + words_(end.day) + ", when " + then + ".";
    if (!delivery && next.hold == Hold::length && !next.by_end && next.closed.empty()) {
      lead_ = ", on the same day as " + asked_.stage(one.stage) + ",";
      return "";
    }
    return out + ", when " + then + ", by " + words_(end.day) + ".";
  }

  /// The stage cannot be over later, because of its start.
  std::string length_from_start(const DateReason& one, const DateReason& start) const {
    return asked_.stage(one.stage) + " starts by " + words_(start.day) + " and" +
           length_words(one, one.bound - start.day) + asked_.at(one.span) + ".";
  }

  std::string soon_after(const DateReason& one, const DateReason& end) {
    const bool delivery = !one.other.known();
    const std::string stage = asked_.stage(one.stage);
    const std::string what = delivery ? "delivery" : asked_.stage(one.other);
    const bool at_once = one.days == 0;
    std::string out;
    if (at_once) {
      out = (delivery ? "Delivery" : what) + " follows " + stage + " at once" + asked_.at(one.span);
    } else if (one.days) {
      out = "Plants wait " + days_text(*one.days) + " at most for " + what + " after " + stage +
            asked_.at(one.span);
    } else {
      out = "Plants wait for " + what + " after " + stage + " only until the next working day";
    }
    const bool joins =
        end.hold == Hold::length && end.by_end && end.closed.empty() && next_ + 1 < reasons_.size();
    if (!joins) return out + ", and " + stage + " is over by " + words_(end.day) + ".";
    const DateReason& start = reasons_[++next_];
    if (end.days == 0) return out + ", and " + stage + " is over on the day it starts.";
    return out + ", and " + stage + " starts by " + words_(start.day) + " and" +
           length_words(end, end.bound - start.day) + asked_.at(end.span) + ".";
  }

  std::string comes_before(const DateReason& one, const DateReason& next) const {
    const bool delivery = !one.other.known();
    if (delivery) return "The batch is ready when " + asked_.stage(one.stage) + " is over.";
    return asked_.stage(one.other) + " follows " + asked_.stage(one.stage) +
           " and has to start by " + words_(next.day) + ".";
  }

  std::string own_step(const DateReason& one) const {
    const std::string closed =
        one.closed.empty() ? "" : "; " + all_closed(one) + ": so by " + words_(one.day);
    switch (one.hold) {
      case Hold::ready:
        return (is_late() ? "The batch can be ready on " + words_(one.bound) + " at the earliest"
                          : "The batch has to be ready by " + words_(one.bound)) +
               asked_.at(ready_span()) + closed + ".";
      case Hold::started:
        return sentence(started_words(one)) + (tells_earliest() ? ":" : ".");
      case Hold::pinned:
        return pinned_words(one) + asked_.at(one.span) + closed + ".";
      default:
        return without_stop(one.facts.front().text) + asked_.at(one.facts.front().span) + closed +
               ".";
    }
  }

  /// Why a batch that was started is not ready earlier, in the order of time.
  void add_earliest(std::vector<std::string>& out) const {
    const auto chain = sheet::reasons_not_earlier(asked_.row, reasons_.back().cell);
    for (auto one = chain.rbegin(); one != chain.rend(); ++one) {
      const Point date = point(one->cell);
      const bool zero = one->hold == Hold::length && one->by_end && one->days == 0;
      if (one->hold == Hold::length && one->by_end && !zero) {
        out.push_back(asked_.stage(one->stage) +
                      length_words(*one, one->bound - std::prev(one)->day) + asked_.at(one->span) +
                      ", to " + words_(one->bound) + ".");
      } else if (one->hold == Hold::pinned) {
        out.push_back(pinned_words(*one) + asked_.at(one->span) + ".");
      } else if (one->hold == Hold::after || (one->hold == Hold::follows && !one->by_end)) {
        out.push_back(without_stop(one->facts.front().text) + asked_.at(one->span) + ": " +
                      date.of + " can " + date.verb + " on " + words_(one->bound) + ".");
      }
      if (!one->closed.empty()) {
        out.push_back(sentence(date.of) + " could " + date.verb + " on " + words_(one->bound) +
                      ", but " + all_closed(*one) + ": so on " + words_(one->day) + ".");
      }
    }
  }

  const Asked& asked_;
  const std::vector<DateReason>& reasons_;
  DayWords words_;
  std::size_t next_ = 0;
  std::string lead_;  ///< goes behind the name of the next stage: what starts with it
};

}  // namespace

void tell_date(Paragraphs& out, const Asked& asked, const std::vector<DateReason>& reasons,
               bool all) {
  constexpr std::size_t most_steps = 8;
  DateStory story(asked, reasons);
  out.write(story.answer());
  const bool told = reasons.size() == 1 && reasons.front().closed.empty();
  if (told && reasons.front().hold != Hold::started) return;
  const std::vector<std::string> steps = story.steps();
  const bool folds = !all && steps.size() > most_steps + 1;
  for (std::size_t i = 0; i + 1 < steps.size(); ++i) {
    if (folds && i >= most_steps) {
      out.fold(1);
    } else {
      out.write(steps[i], 1);
    }
  }
  out.end("step");
  // What it all rests on stands last and is always told.
  out.write(steps.back(), 1);
}

void tell_range(Paragraphs& out, const Asked& asked, sheet::CellId cell) {
  const language::StageId s = asked.stage_of(cell);
  if (!s.known()) return;
  const sheet::StageCells& cells = asked.row.cells(s);
  const std::string stage = asked.stage(s);
  const std::string place = asked.at(asked.row.stage(s).length_span);
  const bool early = cell == cells.earliest;
  if (cell == cells.float_days) {
    out.write(stage + " of " + asked.name() + " is planned to be over on " +
              asked.value(cells.end) + " and can be " +
              calendar::days_text(static_cast<int>(asked.number(cell))) +
              " later before the day moves on which the batch is ready; what follows moves along "
              "within its waits, seasons "
              "and working days.");
    return;
  }
  const sheet::CellId length = early ? cells.shortest : cells.longest;
  out.write(stage + " of " + asked.name() + " is over on " + asked.value(cell) + " at the " +
            (early ? "earliest" : "latest") + ", if it lasts " + asked.value(length) + place +
            " and nature is " + (early ? "quick" : "slow") + " in all that comes before it.");
  out.write("It is planned from " + asked.value(cells.start) + " to " + asked.value(cells.end) +
                "; first stages start as planned, every other one as soon as what it waits for is "
                "over and people work, in a slow year not before its planned day.",
            1);
}

}  // namespace budwood::report
