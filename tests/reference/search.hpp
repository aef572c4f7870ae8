/// Trying days: which starts of the stages of a book agree with each other.
#pragma once

#include <functional>
#include <unordered_map>

#include "planner.hpp"

namespace budwood::reference {

constexpr Day longest_step = 90;  ///< from one stage's start to the next one's

using Starts = std::vector<Day>;

/// The end of what starts on a day and takes so much; nothing when the temperatures never bring it.
std::optional<Day> end_of(const Stage& stage, Day start, int amount);
/// The days of a stage of so many days on which the turns of a work are due, from 0.
std::vector<int> due_offsets(const Work& work, int length);
/// Whether a turn of work must find people, so that its stage starts on days that allow it.
bool binds_start(const Work& work, int due);
/// That day, or the next one on which people work.
Day next_working(const Book& book, Day day);
/// The day on which a turn that is due is done; nothing where nobody is there.
std::optional<Day> turn_day(const Book& book, const Work& work, Day start, int due, int length);

/// All plans of a book, found by trying.
class Search {
 public:
  explicit Search(const Book& book);

  const Pin* pin(std::size_t stage, bool end) const { return pins_[2 * stage + (end ? 1 : 0)]; }
  bool recorded(std::size_t stage, bool end) const;
  /// Whether a date of a batch under way is over, whether anybody noted it or not.
  bool over(std::size_t s, bool end) const { return book_.today && over_[2 * s + (end ? 1 : 0)]; }
  bool in_season(std::size_t s, Day start) const;
  /// Whether a day lies before the one from which the plan goes on, and nothing tells that what
  /// would be planned for it is over.
  bool too_early(std::size_t s, bool end, Day day) const;
  /// The end of a stage that starts on a day, with its usual length or as recorded. What is still
  /// under way takes longer, as long as nature may, and shorter where something behind it has
  /// begun.
  std::optional<Day> usual_end(std::size_t s, Day start) const;
  /// By how many days nature lets a stage that was noted to have begun, but not to be over, take
  /// longer than that.
  int room_to_stretch(std::size_t s) const;
  /// Such stages take so many days longer.
  void stretch(std::vector<int> days) { stretch_ = std::move(days); }
  /// The day of a batch that starts on a day, or not before one, where it holds for a stage: none
  /// starts before it in any year.
  std::optional<Day> first_start(std::size_t s) const;
  /// Whether a stage can start on a day, by itself.
  bool can_start(std::size_t s, Day start) const;
  /// Season, work that must find people, and who carries plants to another room.
  bool day_suits(std::size_t s, Day start) const;
  bool look_at_day(std::size_t s, Day start) const;
  bool may_wait(std::size_t s, Day end, Day next) const;
  /// What stage `to` says of stage `from`, whose end and start are known; and the wait between
  /// them.
  bool agree(std::size_t from, Day from_start, Day from_end, std::size_t to, Day to_start) const;
  /// All plans that are ready on a day.
  void plans(Day ready, const std::function<void(const Starts&)>& found);
  /// Nothing starts before this day, unless it was recorded.
  void start_from(std::optional<Day> first) { first_ = first; }
  /// Stages that start on these days.
  void hold(std::vector<std::optional<Day>> held) { held_ = std::move(held); }

  const Book& book() const { return book_; }
  int follower(std::size_t s) const { return follower_[s]; }

 private:
  bool agrees_within(const Stage& stage, std::size_t from, Day from_start, Day from_end,
                     std::size_t to, Day to_start) const;
  /// Chooses the stages from the last one back: each has to reach the one that takes its plants.
  void descend(std::size_t left);
  /// The one day on which a stage can start, where there is no choice.
  std::optional<Day> only_start(std::size_t s) const;
  /// What leads to something that was recorded is over, whether anybody noted it or not.
  void find_over();
  /// Whether a stage begins with the end of what it waits for, without anybody, and all of that was
  /// recorded.
  bool begins_by_itself(std::size_t s) const;
  /// The usual end without what is stretched, as it was found before.
  std::optional<Day> unstretched_end(std::size_t s, Day start) const;
  std::optional<Day> look_for_end(std::size_t s, Day start) const;
  /// The day by which a stage was over, as something behind it was noted to have begun.
  std::optional<Day> over_by(std::size_t s) const;

  const Book& book_;
  std::vector<const Pin*> pins_;
  std::vector<bool> over_;  ///< start and end of each stage
  /// By stage: days looked at before.
  mutable std::vector<std::unordered_map<Day, bool>> suits_;
  mutable std::vector<std::unordered_map<Day, std::optional<Day>>> ends_known_;
  std::vector<int> follower_;
  std::vector<int> stretch_;  ///< days by stage
  std::optional<Day> first_;
  std::vector<std::optional<Day>> held_;
  Day ready_ = 0;
  const std::function<void(const Starts&)>* found_ = nullptr;
  Starts starts_, ends_;
};

}  // namespace budwood::reference
