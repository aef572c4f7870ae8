#include <algorithm>
#include <array>
#include <utility>

#include "language/check/cycle.hpp"
#include "language/check/stage_checker.hpp"

/// Checks what is said of the hour of work, and puts the works of a stage into the order in which
/// they are done on one day.
namespace budwood::language {

namespace {

constexpr int midday = 12 * 60;

struct DayPart {
  const char* name;
  int minute;  ///< by which it is put in order
};
constexpr std::array day_parts{DayPart{"morning", 6 * 60}, DayPart{"afternoon", 13 * 60},
                               DayPart{"evening", 18 * 60}};

std::string two_digits(int number) {
  return (number < 10 ? "0" : "") + std::to_string(number);
}

/// Before which others a work is done where nothing else is said. Plants are carried in before they
/// are worked on; what names no hour lies in the middle of the day.
int key_of(const Work& work) {
  if (work.timing.kind == Timing::Kind::start) return -2;
  if (work.moves || work.timing.hours.first) return -1;
  return work.timing.hours.minute < 0 ? midday : work.timing.hours.minute;
}

}  // namespace

Hours StageChecker::hours(const syntax::Hours& written) {
  Hours out;
  out.first = written.first;
  out.overnight = written.overnight;
  if (written.minute) {
    out.minute = *written.minute;
    out.at = "at " + two_digits(out.minute / 60) + ":" + two_digits(out.minute % 60);
  }
  if (!written.part) return out;
  const auto* part = std::find_if(day_parts.begin(), day_parts.end(), [&](const DayPart& one) {
    return one.name == written.part->text;
  });
  if (part == day_parts.end()) {
    diagnostics_.error("no-such-time", written.part->span,
                       "There is no such part of the day to work in.",
                       "Write `in the morning`, `in the afternoon`, `in the evening`, or the hour: "
                       "`at 12:00`.");
    return out;
  }
  out.minute = part->minute;
  out.at = std::string("in the ") + part->name;
  return out;
}

void StageChecker::resolve_order_of_work(const syntax::Stage& written) {
  List<Work>& works = stage().works;
  std::vector<std::pair<std::size_t, std::size_t>> arcs;  // from a work to the one before it
  bool moves = false;
  std::size_t index = 0;
  for (const syntax::StageItem& item : written.items) {
    // A second `move` is refused and was left out.
    if (std::holds_alternative<syntax::Move>(item) && !std::exchange(moves, true)) ++index;
    const auto* work = std::get_if<syntax::Work>(&item);
    if (work == nullptr) continue;
    for (const syntax::Text& title : work->timing.hours.after) {
      if (const auto before = work_before(WorkId(index), title)) {
        arcs.emplace_back(index, before->place());
      }
    }
    ++index;
  }
  if (const std::vector<std::size_t> circle = find_cycle(works.size(), arcs); !circle.empty()) {
    std::vector<std::string> titles;
    for (const std::size_t i : circle) titles.push_back(works[WorkId(i)].title);
    diagnostics_.error("order-of-work", works[WorkId(circle.front())].span,
                       "These works wait for each other in a circle: " +
                           describe_cycle(titles, "comes after") + ".",
                       "Let one of them come first.");
    arcs.clear();
  }
  put_in_order(arcs);
}

/// The work that a title names, after which another can be done.
std::optional<WorkId> StageChecker::work_before(WorkId id, const syntax::Text& title) {
  List<Work>& works = stage().works;
  std::vector<std::string> titles;
  for (const WorkId w : works.ids()) {
    if (works[w].title != title.value) {
      titles.push_back(works[w].title);
      continue;
    }
    if (!comes_before(works[w], works[id], title.span)) return std::nullopt;
    works[id].timing.hours.after.push_back(w);
    works[id].timing.hours.titles.push_back(title.value);
    return w;
  }
  if (!has_unread_) {
    diagnostics_.error(
        "unknown-name", title.span,
        "The stage `" + stage().name + "` has no work \"" + text::shortened(title.value) + "\".",
        text::did_you_mean(title.value, titles));
  }
  return std::nullopt;
}

/// Whether the days of two works allow that one is never done before the other.
bool StageChecker::comes_before(const Work& before, const Work& work, const text::Span& span) {
  const int first = days_of(before).first;
  const int earliest = days_of(work).first;
  const bool overnight = before.timing.hours.overnight;
  if (earliest > first || (earliest == first && !overnight)) return true;
  diagnostics_.error(
      "order-of-work", span,
      earliest < first
          ? "\"" + text::shortened(before.title) + "\" is done on a later day than this work."
          : "\"" + text::shortened(before.title) +
                "\" goes on overnight, so what comes after it is for the next day.",
      "Give this work a later day.");
  return false;
}

/// At the start, first of the day, by the hour, as written; and never before what it comes after.
void StageChecker::put_in_order(const std::vector<std::pair<std::size_t, std::size_t>>& arcs) {
  List<Work>& works = stage().works;
  std::vector<WorkId> order;
  for (const WorkId w : works.ids()) order.push_back(w);
  std::stable_sort(order.begin(), order.end(),
                   [&](WorkId a, WorkId b) { return key_of(works[a]) < key_of(works[b]); });
  std::vector<bool> placed(works.size(), false);
  for (std::uint16_t place = 0; place < works.size(); ++place) {
    const auto next = std::find_if(order.begin(), order.end(), [&](WorkId w) {
      return !placed[w.place()] && std::all_of(arcs.begin(), arcs.end(), [&](const auto& arc) {
        return arc.first != w.place() || placed[arc.second];
      });
    });
    works[*next].place = place;
    placed[next->place()] = true;
  }
}

}  // namespace budwood::language
